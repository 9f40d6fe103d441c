"""Partners looked for by where they stand are those that looking at every pair finds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given, strategies as st

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import timeline
from quincunx.grow.partners import WANTS, _partner, partners
from quincunx.grow.plantings import Planting, plantings
from quincunx.plants.catalogue import find_plant
from tests.grow.gardens import line
from tests.grow.test_harvest import ORCHARD

KINDS = ("malus-domestica-m-26-rootstock", "corylus-avellana", "prunus-avium-gisela-5-rootstock", "ribes-nigrum")


def plain(standing: Any) -> dict[str, Any]:
    """Look at every pair."""
    return {
        one.owner: _partner(one, [p for p in standing if p.plant.kin])
        for one in standing
        if one.plant.pollination in WANTS
    }


def copies(places: list[tuple[float, float, int, str]]) -> tuple[Planting, ...]:
    (model,) = plantings(line(ORCHARD[0]), 2034)
    kinds = [p for name in KINDS if (p := find_plant(name)) is not None] or [model.plant]
    return tuple(
        replace(
            model,
            standing=replace(model.standing, owner=f"tree-{n}", at=((x, y), (x + 1, y)), variety=name),
            plant=kinds[kind % len(kinds)],
        )
        for n, (x, y, kind, name) in enumerate(places)
    )


PLACES = st.tuples(
    st.one_of(st.floats(0, 140), st.sampled_from([0.0, 15.0, 30.0, 60.0])),
    st.sampled_from([0.0, 1.0, 25.0]),
    st.integers(0, 3),
    st.sampled_from(["", "Bramley", "Cox", "male"]),
)


@given(st.lists(PLACES, max_size=14))
def test_by_where_they_stand_as_by_every_pair(places: list[tuple[float, float, int, str]]) -> None:
    standing = copies(places)
    assert dict(partners(standing)) == plain(standing)


def test_in_the_demonstration_gardens_too() -> None:
    for demo in DEMOS:
        through = timeline(demo_garden(demo.id))
        standing = plantings(through, through.years[-1])
        assert dict(partners(standing)) == plain(standing)
