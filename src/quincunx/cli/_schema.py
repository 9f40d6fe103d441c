"""``quincunx schema``: the JSON Schema of a garden."""

from __future__ import annotations

import json

import click

from quincunx.cli._say import hand_on


@click.command("schema")
def command() -> None:
    """Write the JSON Schema of a garden document."""
    from quincunx.garden import Garden

    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **Garden.model_json_schema()}
    hand_on(json.dumps(schema, indent=2, ensure_ascii=False))
