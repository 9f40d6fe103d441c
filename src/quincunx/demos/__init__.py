"""The demonstration gardens: invented places, with everything a real garden file has."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quincunx.garden import Garden


@dataclass(frozen=True, slots=True)
class Demo:
    """One demonstration garden: its ``id``, its name and a line about it."""

    id: str
    name: str
    words: str


DEMOS: tuple[Demo, ...] = (
    Demo("ropewalk", "Ropewalk Cottage", "A long plot falling to a stream: old walls, roe in the meadow, six years."),
    Demo(
        "kettle-hill",
        "Kettle Hill",
        "A half-acre corner with a painted barn: deep snow, white-tails, feet and inches, eight years.",
    ),
)


def demo_text(demo_id: str) -> str:
    """Return the JSON of a demonstration garden; KeyError if there is none of that id."""
    if demo_id not in {d.id for d in DEMOS}:
        raise KeyError(demo_id)
    return (resources.files("quincunx.demos") / "data" / f"{demo_id}.json").read_text(encoding="utf-8")


def demo_garden(demo_id: str) -> Garden:
    """Return a demonstration garden; KeyError if there is none of that id."""
    from quincunx.garden import read_garden

    return read_garden(demo_text(demo_id))
