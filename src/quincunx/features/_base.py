"""What every kind of feature shares: its common fields and the contract a kind file fulfils.

A kind is one file: a subclass of :class:`Feature` with its fields (words, unit, default, bounds), how it stands
at a moment, how it is drawn, its handles, and an example.  Add its line to ``features/__init__.py`` and it is in
the schema, the forms, the reference pages and every engine; nothing else may know its name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Polygon

from quincunx.features._growing import aged
from quincunx.features._plan import mirrored_points, reflected_deg, shifted, turned_deg
from quincunx.plants.habit import Floats, Habit
from quincunx.scene.moment import Moment, StandingPlant, Stood
from quincunx.shapes import XY, Handle, LevelChange
from quincunx.units.fields import Doc, Length, Name, Point, Slug, YearMonth, field

Group = Literal["ground", "walls", "openings", "shelter", "plants", "furnishing", "services", "temporary"]
MONTHS = tuple(range(1, 13))
Axis = tuple[XY, float]
"""A line on the plan: a point of it [m] and its bearing [deg]."""


@dataclass(frozen=True, slots=True)
class HeldPlace:
    """Ground kept for something to be chosen: its outline [m], the height kept clear [m], when to decide, what for."""

    outline: Polygon
    greatest_height_m: float
    decide_by: str | None
    chosen: str | None
    shortlist: tuple[tuple[str, str, Feature], ...]
    """(id, words, the feature that would stand) for each of the shortlist."""


class Feature(Doc):
    """One thing in the garden.  Subclasses set ``words``, ``about``, ``group`` and ``example``."""

    words: ClassVar[str] = ""
    """What a person calls this kind, singular."""
    about: ClassVar[str] = ""
    """One sentence: what it is and what it does to feet, eyes, sun and rain."""
    group: ClassVar[Group] = "ground"
    bearings: ClassVar[tuple[str, ...]] = ()
    """The fields that hold a bearing on the plan: they turn with the thing."""
    opens: ClassVar[bool] = False
    """Whether gates and other openings sit in it."""
    example: ClassVar[Mapping[str, Any]] = {}
    """Field values of a believable one; the reference page shows it and tests stand it up."""

    usually_there: ClassVar[bool] = False
    """Whether it is usually there before anybody plans, so that one put in stands from the start until said otherwise."""

    weighed: ClassVar[tuple[str, ...]] = ()
    """Fields whose choices are weighed up against each other: what it is made of, made or bought."""

    kind: str
    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    there_from: Literal["start"] | YearMonth | None = field(
        "There from",
        None,
        help="'start' if there already, a month such as March 2027, or empty: by the job that makes it",
        said={"start": "there already", "": "when its job is done"},
    )
    there_until: YearMonth | None = field("There until", None, help="the month it goes, if that is known")
    note: str = field("Note", "")

    def finish_ids(self) -> tuple[str, ...]:
        """Return the ids of its successive finishes, first to last; most kinds have none."""
        return ()

    def hired(self) -> bool:
        """Return whether somebody is paid to build it; most kinds don't ask."""
        return False

    def also_weighed(self) -> Iterator[tuple[str, str, Feature]]:
        """Yield (id, words, feature) of what else it might be that no single field says; most kinds have nothing."""
        return iter(())

    def on_fewer_pads(self) -> tuple[str, float, Feature] | None:
        """Return (the length to change in words, to what [m], the thing so made) if that needs fewer pads; most kinds have none."""
        return None

    def stands_before(self) -> bool:
        """Return whether something of it stands before its job is done; most kinds have nothing."""
        return False

    def held_place(self) -> HeldPlace | None:
        """Return the place it keeps open for something to be chosen; most kinds keep none."""
        return None

    def stand(self, moment: Moment) -> Stood:
        """Return the solids, surfaces, openings, changes, plants, figures and work it gives at ``moment``."""
        raise NotImplementedError(f"{type(self).__name__} doesn't say how it stands")

    def growing(self, moment: Moment) -> tuple[StandingPlant, ...] | None:
        """Return the plants it gives at ``moment`` without standing up the rest; None where that isn't told apart."""
        return None

    def habit(self, moment: Moment) -> Habit | None:
        """Return how what is planted grows whatever its age; None where nothing is, or that isn't told."""
        return None

    def sizes(self, moment: Moment, later_years: Floats, months: NDArray[np.int64]) -> Floats | None:
        """Return height and spread, low, middle and high [m] (n, 6), so many years after ``moment`` (n), by month (n).

        None where they aren't told alone, or were measured since.  Nothing may happen to it between the first and last.
        """
        habit = self.habit(moment)
        age = aged(moment, self.there_from, getattr(self, "age_at_start", 0.0))
        if habit is None or age.measured is not None:
            return None
        return habit.sizes(np.array(age.grown.triple) + later_years[:, None], months, southern=moment.southern)

    def handles(self) -> tuple[Handle, ...]:
        """Return the points by which it is dragged into shape [m]."""
        raise NotImplementedError(f"{type(self).__name__} has no handles")

    def dragged(self, handle: str, to: XY) -> Mapping[str, Any]:
        """Return the fields that change when ``handle`` is dragged to ``to`` [m]; KeyError for a handle it hasn't."""
        raise NotImplementedError(f"{type(self).__name__} can't be dragged")

    def moved(self, dx_m: float, dy_m: float, turn_deg: float, about: XY) -> dict[str, Any]:
        """Return the fields that change when it is turned ``turn_deg`` clockwise about a point, then shifted [m]."""
        places = {name: shifted(at, dx_m, dy_m, turn_deg, about) for name, at in self.lines().items()}
        points = {name: shifted((at,), dx_m, dy_m, turn_deg, about)[0] for name, at in self._points().items()}
        return {**places, **points, **{n: turned_deg(getattr(self, n), turn_deg) for n in self.bearings}}

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Return the fields that change when it is mirrored in ``axis``: a point of it [m] and its bearing [deg].

        A kind with a left and a right of its own swaps them as well.
        """
        at, deg = axis
        places = {name: mirrored_points(line, at, deg) for name, line in self.lines().items()}
        points = {name: mirrored_points((p,), at, deg)[0] for name, p in self._points().items()}
        return {**places, **points, **{n: reflected_deg(getattr(self, n), deg) for n in self.bearings}}

    def holds(self) -> dict[str, XY]:
        """Return the points a measure can hold on to, by name [m]: its handles, and its corners where it has any."""
        return {h.id: h.at for h in self.handles()}

    def lines(self) -> dict[str, tuple[Point, ...]]:
        """Return the fields that are a line or an outline."""
        every = ((name, getattr(self, name)) for name in type(self).model_fields)
        return {name: v for name, v in every if isinstance(v, tuple) and len(v) > 1 and all(_is_point(p) for p in v)}

    def _points(self) -> dict[str, Point]:
        """Return the fields that are one point."""
        return {name: v for name in type(self).model_fields if _is_point(v := getattr(self, name))}

    def level_changes(self) -> tuple[LevelChange, ...]:
        """Return the breaks it makes in the ground; most kinds make none."""
        return ()

    def plants_named(self) -> tuple[str, ...]:
        """Return the ids of the plants it refers to."""
        return ()

    def planted_line(self) -> tuple[tuple[XY, ...], float] | None:
        """Return the line its plants are set along, and half the width they grow to [m]; None where they aren't."""
        return None

    def kept_free(self) -> LineString | None:
        """Return the line an opening takes in what it stands in, its posts with it [m]; None for what is none."""
        return None

    def bought_whole(self) -> bool:
        """Return whether it is bought as one thing where nothing of it is made: not so for a gap, or a heap."""
        return True

    def cautions(self) -> tuple[str, ...]:
        """Return what about it calls for care: foundations, a drain, old timber or paint, mains."""
        return ()

    def features_named(self) -> tuple[str, ...]:
        """Return the ids of other features it refers to (a climber's support)."""
        return ()

    def within(self, name: str, value: float) -> Length:
        """Return ``value`` brought inside the bounds of the length field ``name`` [m]."""
        extra = type(self).model_fields[name].json_schema_extra
        bounds = extra if isinstance(extra, dict) else {}
        low, high = bounds.get("min"), bounds.get("max")
        at_least = value if not isinstance(low, (int, float)) else max(value, float(low))
        return Length(at_least if not isinstance(high, (int, float)) else min(at_least, float(high)))

    @property
    def called(self) -> str:
        """Return its name, or its kind's words and what sets its id apart from its kind: ``house``, ``wall 2``."""
        which = "" if self.id == self.kind else self.id.removeprefix(f"{self.kind}-")
        return self.name or f"{self.words} {which}".rstrip()


def _is_point(value: Any) -> bool:
    return isinstance(value, tuple) and len(value) == 2 and all(isinstance(v, Length) for v in value)


def grid(value: float) -> Length:
    """Return ``value`` [m] as a length on the millimetre grid."""
    return Length(value)
