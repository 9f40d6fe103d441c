"""Small plantings for the tests."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import TypeAdapter
from shapely import box

from quincunx.features import AnyFeature
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.scene import Frame, Timeline
from quincunx.site.ground import Ground
from quincunx.works import Entry, Means

FEATURE: TypeAdapter[Any] = TypeAdapter(AnyFeature)


def feature(kind: str, feature_id: str, **fields: Any) -> Any:
    return FEATURE.validate_python({"kind": kind, "id": feature_id, "there_from": "2027-03", **fields})


def note(day: str, what: str, about: str, amount: float | None = None) -> Entry:
    return Entry.model_validate(
        {"id": f"{what}-{day}-{about}", "day": day, "what": what, "about": about, "amount": amount}
    )


def line(
    *features: Any,
    journal: Iterable[Entry] = (),
    years: int = 8,
    own: Mapping[str, Plant] | None = None,
    **frame: Any,
) -> Timeline:
    fixed = {"boundary": box(0, 0, 60, 60), "ground": Ground.flat(), **frame}
    means = Means(first_year=2027, years=years)
    return Timeline(Frame(**fixed), features, (), means, tuple(journal), lambda i: find_plant(i, own))


def tree(feature_id: str, plant: str, at: tuple[float, float], **more: Any) -> Any:
    return feature("tree", feature_id, plant=plant, at=at, **more)


def hedge(feature_id: str = "hedge", plant: str = "carpinus-betulus", **more: Any) -> Any:
    return feature("hedge", feature_id, plant=plant, line=[[1, 1], [13, 1]], **more)


def known(year: int | None) -> int:
    """Return a year that has to be known."""
    assert year is not None
    return year


def plant(plant_id: str) -> Plant:
    """Return a plant of the catalogue."""
    found = find_plant(plant_id)
    assert found is not None
    return found
