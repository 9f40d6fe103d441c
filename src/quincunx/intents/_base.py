"""What every must shares: its common fields, when it is due, and the words it is put in.

A kind of must is one file: a subclass of :class:`Intent` with its fields, its sentence, what it names, what it reads
and ``judge``.  Add its line to ``intents/__init__.py``; nothing else may know its name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field as datafield
from typing import Any, ClassVar

from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import (
    Style,
    format_area,
    format_hours,
    format_length,
    format_mass,
    format_money,
    format_volume,
    listed,
)
from quincunx.units.fields import Doc, Name, Slug, field
from quincunx.walk.places import OUTSIDE
from quincunx.walk.walkers import Walker, find_walker


@dataclass(frozen=True)
class Words:
    """How a garden speaks: what things are called, how figures are written, who walks there.

    ``names`` by id; ``own`` the garden's own walkers by id.
    """

    names: Mapping[str, str] = datafield(default_factory=dict)
    style: Style = datafield(default_factory=Style)
    own: Mapping[str, Walker] = datafield(default_factory=dict)

    @classmethod
    def of(cls, timeline: Timeline, style: Style | None = None, walkers: Mapping[str, Walker] | None = None) -> Words:
        """Return the words of a timeline's garden."""
        return cls(dict(timeline.frame.names), style or Style(), dict(walkers or {}))

    def name(self, ref: str) -> str:
        """Return what the person calls ``ref`` (its id if it has no name)."""
        return OUTSIDE if ref == OUTSIDE else self.names.get(ref) or ref

    def the(self, ref: str) -> str:
        """Return the name as it stands in a sentence: ``the side gate``, ``Grandfather's oak``, ``wall 2``, ``outside``."""
        name = self.name(ref)
        counted = name.rpartition(" ")[2].isdigit()
        first = next((c for c in name if c.isalpha()), "")  # many scripts have no small letters: a name then
        bare = ref == OUTSIDE or not first.islower() or name.split(" ")[0] in ("the", "a", "an", "our", "my")
        return name if bare or counted else f"the {name}"

    def both(self, refs: tuple[str, ...]) -> str:
        """Return several names joined: ``the hedge and the wall``."""
        return listed([self.the(r) for r in refs])

    def length(self, metres: float) -> str:
        """Return a length [m] as this person writes it."""
        return format_length(metres, self.style)

    def tape(self, metres: float) -> str:
        """Return a length [m] as finely as a tape shows it."""
        return format_length(metres, self.style, kind="tape")

    def distance(self, metres: float) -> str:
        """Return a walked distance [m], roughly."""
        return format_length(metres, self.style, kind="long")

    def money(self, minor: int) -> str:
        """Return a sum [minor units] as this person writes it."""
        return format_money(minor, self.style, whole=minor % 100 == 0)

    def hours(self, hours: float) -> str:
        """Return hours of work [h] as this person writes them."""
        return format_hours(hours, self.style)

    def slope(self, grade: float) -> str:
        """Return a slope (rise over run) as people say it: ``1 in 12``."""
        return f"1 in {1 / grade:.0f}" if grade > 1e-3 else "level"

    def minutes(self, seconds: float) -> str:
        """Return a time [s] in words, to the half minute below five and to the minute above."""
        halves = max(round(seconds / 30), 1)
        if halves == 1:
            return "half a minute"
        if halves < 10 and halves % 2:
            return f"{halves // 2}\N{VULGAR FRACTION ONE HALF} minutes"
        whole = round(seconds / 60)
        return "1 minute" if whole == 1 else f"{whole} minutes"

    def area(self, area_m2: float) -> str:
        """Return an area [m2] as this person writes it."""
        return format_area(area_m2, self.style)

    def water(self, litres: float) -> str:
        """Return an amount of water [litre] as this person writes it."""
        return format_volume(litres / 1000.0, self.style, kind="liquid")

    def rain(self, mm: float) -> str:
        """Return a depth of rain [mm] as this person writes it: ``304 mm``, or ``12.0 in``."""
        return f"{mm / 25.4:.1f} in" if self.style.system == "feet" else f"{mm:.0f} mm"

    def mass(self, kg: float) -> str:
        """Return a weight [kg] as this person writes it."""
        return format_mass(kg, self.style)

    def walker(self, walker_id: str) -> Walker | None:
        """Return the walker called ``walker_id``, the garden's own first; None if nobody knows it."""
        return find_walker(walker_id, self.own)


class Intent(Doc):
    """One thing the garden must do.  Subclasses set ``words``, ``about``, ``reads`` and ``example``."""

    words: ClassVar[str] = ""
    """What a person calls this kind of must."""
    about: ClassVar[str] = ""
    """One sentence: what it asks and how it is judged."""
    reads: ClassVar[frozenset[str]] = frozenset()
    """The parts of the computation it depends on: ``walk``, ``sight``, ``rain``, ``money``, ``hours``."""
    example: ClassVar[Mapping[str, Any]] = {}
    eases: ClassVar[bool] = False
    """Whether it is made for somebody who walks, climbs or bends with difficulty, and offered to them."""

    kind: str
    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    from_year: int | None = field("From the year (none: as soon as all it names stands)", None, ge=1900, le=2199)
    muted: bool = field("Left aside", False)

    def things(self) -> tuple[str, ...]:
        """Return the ids of the spots, rooms and features it names (``outside`` is none)."""
        return ()

    def walkers(self) -> tuple[str, ...]:
        """Return the ids of the walkers it names."""
        return ()

    def most_a_year(self) -> int | None:
        """Return the most that any year may cost [minor units], if that is what it asks; the order of works keeps it."""
        return None

    def loads_from(self) -> str | None:
        """Return the place from which loads come to the works, if it says so; the order of works keeps ways from there."""
        return None

    def spare_years(self, timeline: Timeline) -> Mapping[str, int]:
        """Return by how many years each feature could come later (below 0: must come sooner) to be ready in time.

        Only of what has to have grown by a year; the order of works keeps it.
        """
        del timeline
        return {}

    def asked_by(self) -> int | None:
        """Return the year by which something must be so, if it names one."""
        return None

    def reached_in(self, timeline: Timeline) -> int | None:
        """Return the year in which what it asks by a year is so as a rule, as planned; None if that is not in sight."""
        del timeline
        return None

    def sentence(self, words: Words) -> str:
        """Return the must as one plain sentence in the person's names."""
        raise NotImplementedError(f"{type(self).__name__} has no sentence")

    def asks(self, words: Words) -> tuple[str, ...]:
        """Return what the garden file can't know of it: questions somebody answers by looking, as printed sentences."""
        del words
        return ()

    def due_from(self, timeline: Timeline) -> int | None:
        """Return the first year it is due: as typed, else when every feature it names stands; None if never."""
        if self.from_year is not None:
            return self.from_year
        features = [t for t in self.things() if timeline.feature(t) is not None]
        return timeline.first_year(features) if features else timeline.years.start

    def judge(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Return how it stands in ``year``."""
        due = self.due_from(timeline)
        if due is None:
            missing = [
                t for t in self.things() if timeline.feature(t) and not timeline.stands_on(t, timeline.leaf_date(year))
            ]
            what = words.both(tuple(missing)) or "all it names"
            return Verdict(
                year, State.NOT_DUE, f"Not due: {what} {_do(missing)} not stand together with the rest within the plan."
            )
        if year < due:
            return Verdict(year, State.NOT_DUE, f"Not due before {due}.")
        unknown = [w for w in self.walkers() if words.walker(w) is None]
        if unknown:
            return Verdict(
                year, State.UNKNOWN, f"Nobody knows a walker called {unknown[0]!r}. Choose one of the list or add it."
            )
        return self.judged(timeline, year, words)

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether a verdict given on the garden as it ``was`` surely is the one that ``now`` would give.

        ``now`` is the same garden with some features in place of others.  False where it can't be told for much less
        than judging costs.
        """
        del verdict, was, now, words
        return False

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Return how it stands in ``year``, in which it is due and every walker is known."""
        raise NotImplementedError(f"{type(self).__name__} can't be judged")


def _do(things: list[str]) -> str:
    return "do" if len(things) > 1 else "does"


def worst(verdicts: list[Verdict]) -> Verdict:
    """Return the worst of several verdicts: fails, then unknown, then holds; the first of equals."""
    rank = {State.FAILS: 0, State.UNKNOWN: 1, State.HOLDS: 2, State.NOT_DUE: 3}
    return min(verdicts, key=lambda v: rank[v.state])
