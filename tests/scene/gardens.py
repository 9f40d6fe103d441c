"""A small invented garden of many kinds for the tests of time and of bytes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from shapely import box

from quincunx.features import Feature, feature_from, kinds
from quincunx.plants.catalogue import find_plant
from quincunx.scene import Frame, Room, Spot, Timeline
from quincunx.site.ground import Ground
from quincunx.works import Entry, Job, Means

BOUNDARY = box(-20, -20, 60, 60)
GROUND = Ground.from_levels([(-20, -20, 0), (60, -20, 0), (60, 60, 2), (-20, 60, 2)])


def thing(kind: str, **fields: Any) -> Feature:
    example = {k: v for k, v in kinds()[kind].example.items() if k not in ("there_from", "there_until")}
    return feature_from({**example, **fields, "kind": kind}, fields.get("id", f"a-{kind}"))


def timeline(
    features: Iterable[Feature], jobs: Iterable[Job] = (), journal: Iterable[Entry] = (), latitude_deg: float = 52.1
) -> Timeline:
    frame = Frame(
        BOUNDARY,
        GROUND,
        (Room("green", "Green", (3.0, 3.0)),),
        (Spot("door", "Door", (0.0, 0.0), 1.5),),
        latitude_deg=latitude_deg,
        snow_by_month_m=(0.1,) + (0.0,) * 11,
    )
    return Timeline(frame, features, jobs, Means(first_year=2027, years=6), journal, find_plant)


def everything() -> list[Feature]:
    """One of each kind, there from the start."""
    return [thing(word, there_from="start") for word in sorted(kinds())]
