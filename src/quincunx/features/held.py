"""A place held open for a structure that is not yet chosen."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, ClassVar, Literal

from quincunx.features._base import Feature, Group, HeldPlace
from quincunx.features._floors import FLOORS, FloorName, Lies, floor_surface
from quincunx.features._lined import Outlined
from quincunx.features._plan import area_figure, label, outline_figure
from quincunx.features._registry import feature_from
from quincunx.scene._kept import Kept
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import AreaFigure, Figure, PathFigure
from quincunx.units.fields import Doc, Length, Slug, YearMonth, field, length, money


class Choice(Doc):
    """One structure of the shortlist: its fields as those of a feature of its kind, without an id of its own."""

    id: Slug = field("Id")
    words: str = field("In words", "")
    feature: dict[str, Any] = field("What would stand there")


class Held(Outlined):
    """A place kept for later: outline, greatest height, sum set aside, a date to decide by, a shortlist."""

    words: ClassVar[str] = "held place"
    about: ClassVar[str] = (
        "Keeps ground, height and money for a structure to be chosen later; planting nearby keeps clear."
    )
    group: ClassVar[Group] = "shelter"
    example: ClassVar = {
        "id": "seat-place",
        "outline": [[0, 0], [3, 0], [3, 3], [0, 3]],
        "greatest_height": 2.6,
        "set_aside": 90000,
        "decide_by": "2029-10",
        "meanwhile": "grass",
        "shortlist": [
            {
                "id": "low-wall",
                "words": "a low wall",
                "feature": {"kind": "wall", "line": [[0, 0], [3, 0]], "height": 0.6},
            },
            {
                "id": "shelter",
                "words": "a roofed shelter",
                "feature": {"kind": "roofed-shelter", "at": [1.5, 1.5], "width": 2.2, "depth": 2.2, "overhang": 0.3},
            },
        ],
        "there_from": "2030-05",
    }

    kind: Literal["held"] = "held"
    greatest_height: Length = length("Greatest height", 2.6, ge=0.0, le=15.0)
    set_aside: int = money("Sum set aside", 0)
    decide_by: YearMonth | None = field("Decide by", None)
    meanwhile: FloorName = field("What covers it meanwhile", "grass")
    shortlist: tuple[Choice, ...] = field("Shortlist", ())
    chosen: Slug | None = field("Chosen", None, from_list="shortlist")

    def __hash__(self) -> int:
        """Hash by the canonical text, since a choice holds a free dictionary."""
        return hash(self.model_dump_json())

    def stands_before(self) -> bool:
        """Return True: the meanwhile covers the ground until the choice is built."""
        return True

    def choice(self) -> Choice | None:
        """Return the chosen structure, or None."""
        return next((c for c in self.shortlist if c.id == self.chosen), None)

    def held_place(self) -> HeldPlace:
        """Return its outline, height, date and shortlist."""
        listed = tuple((c.id, c.words or c.id, _listed(c, self.id)) for c in self.shortlist)
        return HeldPlace(self.plan(), float(self.greatest_height), self.decide_by, self.chosen, listed)

    def features_named(self) -> tuple[str, ...]:
        """Return the features its shortlist refers to."""
        return tuple(n for c in self.shortlist for n in _listed(c, self.id).features_named())

    def plants_named(self) -> tuple[str, ...]:
        """Return the plants its shortlist refers to."""
        return tuple(n for c in self.shortlist for n in _listed(c, self.id).plants_named())

    def stand(self, moment: Moment) -> Stood:
        """Give the chosen structure once built, else the meanwhile and the outline kept clear."""
        chosen = self.choice()
        if moment.stage >= 0 and chosen is not None:
            return _listed(chosen, self.id).stand(moment)
        floor, shape = FLOORS[self.meanwhile], self.plan()
        surface = floor_surface(self.id, "meanwhile", shape, self.meanwhile, moment, Lies.MEANWHILE)
        figures = (
            area_figure(shape, "held", self.id, floor.pattern, edge=False),
            outline_figure(shape, "held", self.id, "normal", dash=True),
            *self._ghosts(moment),
            *(
                replace(words, length_m=float(self.greatest_height))
                for words in label(shape, f"{self.called}, kept clear to", "held", self.id)
            ),
        )
        return Stood(surfaces=(surface,), figures=figures)

    def _ghosts(self, moment: Moment) -> tuple[Figure, ...]:
        """Draw the chosen structure, or else all of the shortlist, in fine dashes: what may stand here."""
        chosen = self.choice()
        listed = self.shortlist if chosen is None else (chosen,)
        return tuple(g for c in listed for f in _listed(c, self.id).stand(moment).figures for g in ghost(f))


_LISTED: Kept[Feature] = Kept(256)


def _listed(choice: Choice, owner: str) -> Feature:
    """Return a structure of the shortlist as the feature it would be."""
    return _LISTED.get((choice,), owner, lambda: feature_from(choice.feature, owner))


def ghost(figure: Figure) -> tuple[Figure, ...]:
    """Return the outlines of a figure in fine dashes, as of a held place; words and measures are left out."""
    if isinstance(figure, PathFigure):
        return (replace(figure, role="held", weight="fine", dash=True),)
    if isinstance(figure, AreaFigure):
        return tuple(PathFigure(r, "held", figure.owner, closed=True, weight="fine", dash=True) for r in figure.rings)
    return ()
