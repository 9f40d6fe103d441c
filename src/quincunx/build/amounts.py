"""What a piece of work comes to: things to buy, pieces to cut, tasks to do, and what was taken for granted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

Unit = Literal["m", "m2", "m3", "each", "kg"]
"""What quantities are counted in; the person's own units are put on at the edges."""


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to buy: ``net`` is what lies there, ``gross`` what has to be bought for it [``unit``].

    ``item`` is the word its price is found under, ``shop`` the kind of supplier, ``kg`` the weight to carry, ``how``
    one sentence saying how it was counted.
    """

    item: str
    words: str
    unit: Unit
    net: float
    gross: float
    shop: str = ""
    kg: float = 0.0
    how: str = ""
    owners: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """``count`` equal straight pieces ``length_m`` long, sawn from stock called ``item``."""

    item: str
    name: str
    length_m: float
    count: int
    section_m: tuple[float, float]
    words: str = ""
    shop: str = "timber yard"
    kg_m3: float = 500.0
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Plate:
    """``count`` equal rectangles ``wide_m`` x ``long_m`` cut from sheets called ``item``.

    ``turns`` says whether they may lie either way on a sheet (no ribs, flutes or grain).  ``net_m2`` is what they cover.
    """

    item: str
    name: str
    wide_m: float
    long_m: float
    count: int
    net_m2: float
    turns: bool = True
    words: str = ""
    shop: str = ""
    kg_m2: float = 0.0
    owner: str = ""


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do: ``amount`` of what the norm ``norm`` counts."""

    norm: str
    amount: float


@dataclass(frozen=True, slots=True)
class TakeOff:
    """All that some work comes to.  ``dug_m3`` leaves the hole, measured in the ground [m3]."""

    lines: tuple[Line, ...] = ()
    pieces: tuple[Piece, ...] = ()
    tasks: tuple[Task, ...] = ()
    notes: tuple[str, ...] = ()
    dug_m3: float = 0.0
    plates: tuple[Plate, ...] = ()

    def __add__(self, other: TakeOff) -> TakeOff:
        """Return both together; lines of one item are added up."""
        return TakeOff(
            merged((*self.lines, *other.lines)),
            gathered((*self.pieces, *other.pieces)),
            tasks_of((*self.tasks, *other.tasks)),
            tuple(dict.fromkeys((*self.notes, *other.notes))),
            self.dug_m3 + other.dug_m3,
            stacked((*self.plates, *other.plates)),
        )

    def owned(self, owner: str) -> TakeOff:
        """Return the same with every line and piece marked as ``owner``'s."""
        return replace(
            self,
            lines=tuple(replace(x, owners=(owner,)) for x in self.lines),
            pieces=tuple(replace(p, owner=owner) for p in self.pieces),
            plates=tuple(replace(p, owner=owner) for p in self.plates),
        )


@dataclass
class Tally:
    """A take-off being put together."""

    lines: list[Line] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    dug_m3: float = 0.0
    plates: list[Plate] = field(default_factory=list)

    def done(self) -> TakeOff:
        """Return it as it stands."""
        return TakeOff(
            merged(self.lines),
            gathered(self.pieces),
            tasks_of(self.tasks),
            tuple(dict.fromkeys(self.notes)),
            self.dug_m3,
            stacked(self.plates),
        )


def merged(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Return lines of one item and unit added up, in the order in which they first come."""
    found: dict[tuple[str, str], Line] = {}
    for x in lines:
        if x.net <= 0 and x.gross <= 0:
            continue
        key = (x.item, x.unit)
        had = found.get(key)
        if had is None:
            found[key] = x
            continue
        how = had.how if had.how == x.how or not x.how else f"{had.how}; {x.how}" if had.how else x.how
        found[key] = replace(
            had,
            net=had.net + x.net,
            gross=had.gross + x.gross,
            kg=had.kg + x.kg,
            how=how if len(how) < 400 else had.how,
            owners=tuple(dict.fromkeys((*had.owners, *x.owners))),
        )
    return tuple(found.values())


def gathered(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Return pieces equal to the millimetre counted together at the longest of them, longest first within an item."""
    found: dict[tuple[str, str, int, str], Piece] = {}
    for p in pieces:
        key = (p.item, p.name, round(p.length_m * 1000), p.owner)
        had = found.get(key)
        found[key] = (
            p if had is None else replace(had, count=had.count + p.count, length_m=max(had.length_m, p.length_m))
        )
    return tuple(sorted(found.values(), key=lambda p: (p.item, -round(p.length_m, 3), p.name, p.owner)))


def stacked(plates: Iterable[Plate]) -> tuple[Plate, ...]:
    """Return plates equal to the millimetre counted together at the largest of them, longest first within an item."""
    found: dict[tuple[str, str, int, int, str], Plate] = {}
    for p in plates:
        key = (p.item, p.name, round(p.wide_m * 1000), round(p.long_m * 1000), p.owner)
        had = found.get(key)
        if had is not None:
            wide, long = max(had.wide_m, p.wide_m), max(had.long_m, p.long_m)
            p = replace(  # noqa: PLW2901
                had, count=had.count + p.count, net_m2=had.net_m2 + p.net_m2, wide_m=wide, long_m=long
            )
        found[key] = p
    return tuple(
        sorted(found.values(), key=lambda p: (p.item, -round(p.long_m, 3), -round(p.wide_m, 3), p.name, p.owner))
    )


def tasks_of(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Return tasks of one norm added up."""
    found: dict[str, float] = {}
    for t in tasks:
        if t.amount > 0:
            found[t.norm] = found.get(t.norm, 0.0) + t.amount
    return tuple(Task(n, a) for n, a in found.items())
