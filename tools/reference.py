"""Write docs/reference from the fields of kinds, musts, the document and the commands: ``python tools/reference.py``."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from quincunx.cli import COMMANDS
from quincunx.features import KINDS, Feature, kind_id
from quincunx.garden import Garden
from quincunx.intents import INTENTS, Intent, intent_kind
from quincunx.sheets import SHEETS

FOLDER = Path(__file__).resolve().parents[1] / "docs" / "reference"
GROUPS = ("ground", "walls", "openings", "shelter", "plants", "furnishing", "services", "temporary")
COMMON = frozenset(Feature.model_fields) - {"kind"}
COMMON_MUST = frozenset(Intent.model_fields) - {"kind"}


def pages() -> Mapping[str, str]:
    """Return every page of the reference by file name."""
    return {"kinds.md": kinds_page(), "musts.md": musts_page(), "file.md": file_page(), "commands.md": commands_page()}


def kinds_page() -> str:
    """Return the page of the kinds of feature."""
    lines = [
        "# Kinds of feature",
        "",
        "Written by `python tools/reference.py` from the kinds' own fields. Every kind also has:",
        "",
    ]
    lines += table(Feature, skip=frozenset({"kind"}))
    for group in GROUPS:
        lines += ["", f"## {group.capitalize()}"]
        for kind in sorted((k for k in KINDS if k.group == group), key=kind_id):
            lines += [
                "",
                f"### {kind.words} (`{kind_id(kind)}`)",
                "",
                kind.about,
                "",
                *table(kind, skip=COMMON | {"kind"}),
            ]
            example = {"kind": kind_id(kind), **kind.example}
            lines += ["", "```json", json.dumps(example, ensure_ascii=False), "```"]
    return "\n".join(lines) + "\n"


def musts_page() -> str:
    """Return the page of the kinds of must."""
    lines = [
        "# What a garden can be asked to do",
        "",
        "Written by `python tools/reference.py`. Every must also has:",
        "",
    ]
    lines += table(Intent, skip=frozenset({"kind"}))
    for must in sorted(INTENTS, key=intent_kind):
        lines += [
            "",
            f"## {must.words} (`{intent_kind(must)}`)",
            "",
            must.about,
            "",
            *table(must, skip=COMMON_MUST | {"kind"}),
        ]
        lines += ["", "```json", json.dumps({"kind": intent_kind(must), **must.example}, ensure_ascii=False), "```"]
    return "\n".join(lines) + "\n"


def file_page() -> str:
    """Return the page of the document's parts."""
    intro = "Written by `python tools/reference.py`. `quincunx schema` writes the whole as JSON Schema."
    lines = ["# The garden document", "", intro, "", *table(Garden)]
    seen: set[type[BaseModel]] = {Garden}
    queue = list(_parts(Garden))
    while queue:
        part = queue.pop(0)
        if part in seen or issubclass(part, (Feature, Intent)):
            continue
        seen.add(part)
        doc = (part.__doc__ or "").strip().split("\n\n")[0].replace("\n", " ")
        lines += ["", f"## {part.__name__}", "", " ".join(doc.split()), "", *table(part)]
        queue += list(_parts(part))
    return "\n".join(lines) + "\n"


def commands_page() -> str:
    """Return the page of the commands and sheets."""
    lines = [
        "# Commands and sheets",
        "",
        "Written by `python tools/reference.py`. `./run COMMAND` does the same after set-up.",
        "",
    ]
    lines += [f"- `quincunx {name}`: {words}" for name, words in COMMANDS.items()]
    lines += [
        "",
        "Exit codes: 0 done; 1 (`check` only) a must fails; 2 something was wrong with what was given.",
        "",
        "## Sheets",
        "",
    ]
    lines += [f"- `{sheet.ID}`: {sheet.WORDS}" for sheet in SHEETS]
    return "\n".join(lines) + "\n"


def _parts(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for info in model.model_fields.values():
        yield from _models(info.annotation)


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models(inner)


def table(model: type[BaseModel], skip: frozenset[str] = frozenset()) -> list[str]:
    """Return a Markdown table of a model's fields."""
    rows = [row(name, info) for name, info in model.model_fields.items() if name not in skip]
    return ["| field | in words | unit | usual | bounds |", "| --- | --- | --- | --- | --- |", *rows]


def row(name: str, info: FieldInfo) -> str:
    """Return one row: the field, its words, unit, default and bounds."""
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    words = f"{info.title or ''}{f' ({info.description})' if info.description else ''}"
    return f"| `{name}` | {words} | {extra.get('unit', '')} | {_default(info)} | {_bounds(info)} |".replace("\n", " ")


def _default(info: FieldInfo) -> str:
    value = info.get_default()
    if value is PydanticUndefined:
        return "must be given"
    if value is None or value in ((), ""):
        return ""
    return "as below" if isinstance(value, BaseModel) else f"`{value}`"


def _bounds(info: FieldInfo) -> str:
    found = []
    for limit in info.metadata:
        for sign, attr in (("≥", "ge"), (">", "gt"), ("≤", "le"), ("<", "lt")):
            if getattr(limit, attr, None) is not None:
                found.append(f"{sign} {getattr(limit, attr):g}")
    choices = [a for a in _literals(info.annotation) if isinstance(a, str)]
    return ", ".join(found) if found else " / ".join(f"`{c}`" for c in choices[:16])


def _literals(annotation: Any) -> Iterator[Any]:
    for inner in get_args(annotation):
        if isinstance(inner, (str, int)) and not isinstance(inner, bool):
            yield inner
        else:
            yield from _literals(inner)


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for file, text in pages().items():
        (FOLDER / file).write_text(text, encoding="utf-8")
        sys.stdout.write(f"{file}: {len(text)} letters\n")
