"""Levels: a book reduced with its checks, nets of rises adjusted, falls, steps, and the earth of a terrace."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quincunx.survey._normal import solve
from quincunx.survey.accuracy import rise_sd_m
from quincunx.survey.readings import Instrument, Rise, Staff, Survey
from quincunx.survey.slips import Slip, fitting, slips_of
from quincunx.units.fields import Length
from quincunx.units.style import Style


@dataclass(frozen=True, slots=True)
class BookLine:
    """One line of a level book: rise (negative: fall) from the line before, level, and level after the spread."""

    stake: str
    rise_m: float
    level_m: float
    adjusted_m: float
    changes: bool


@dataclass(frozen=True, slots=True)
class Book:
    """A reduced level book.

    The three differences (sum of back less fore sights, of rises less falls, last less first level) must agree;
    ``closing_m`` is the miss on a known level at the end, spread evenly over the instrument's changes.
    """

    lines: tuple[BookLine, ...]
    back_sum_m: float
    fore_sum_m: float
    rise_sum_m: float
    fall_sum_m: float
    closing_m: float | None

    @property
    def differences_m(self) -> tuple[float, float, float]:
        """The three check differences [m]."""
        last = self.lines[-1].level_m - self.lines[0].level_m
        return self.back_sum_m - self.fore_sum_m, self.rise_sum_m - self.fall_sum_m, last

    @property
    def agrees(self) -> bool:
        """Tell whether the three differences are the same to 0.1 mm."""
        return max(self.differences_m) - min(self.differences_m) < 1e-4


def reduce_book(staffs: Sequence[Staff], first_level_m: float, last_level_m: float | None = None) -> Book:
    """Reduce staff readings by rise and fall, in the order taken.

    A back sight begins each set-up and a fore sight ends it.  ``last_level_m`` is the known level of the last
    staff, if the book closes on one.
    """
    _in_order(staffs)
    rows: list[tuple[Staff, float, float, bool]] = [(staffs[0], 0.0, first_level_m, False)]
    before = float(staffs[0].reading)
    for staff in staffs[1:]:
        now = float(staff.reading)
        if staff.sight == "back":
            before = now
            continue
        rise = before - now
        rows.append((staff, rise, rows[-1][2] + rise, staff.sight == "fore"))
        before = now
    closing = None if last_level_m is None else rows[-1][2] - last_level_m
    changes = max(1, sum(row[3] for row in rows))
    lines, done = [], 0
    for i, (staff, rise, level, change) in enumerate(rows):
        share = (done + 1) / changes if i else 0.0
        done += change
        lines.append(BookLine(staff.stake, rise, level, level - (closing or 0.0) * share, change))
    rises = [line.rise_m for line in lines]
    return Book(
        tuple(lines),
        sum(float(s.reading) for s in staffs if s.sight == "back"),
        sum(float(s.reading) for s in staffs if s.sight == "fore"),
        sum(r for r in rises if r > 0.0),
        -sum(r for r in rises if r < 0.0),
        closing,
    )


ALLOWED_CLOSING_M = 0.005
"""What a level book may miss its closing height by, times the root of the number of its set-ups [m].

For levelling on construction sites (SKAA 1023 Levelling, part 3, supplementary reading, "Precision of levelling": m = 5 mm,
three set-ups, 9 mm; for earth alone up to 30 mm, for concrete and steel 3 mm).
"""


def allowed_closing_m(setups: int) -> float:
    """Return how far off a level book of so many set-ups may close [m]."""
    return ALLOWED_CLOSING_M * math.sqrt(max(1, setups))


def books_in(survey: Survey) -> dict[str | None, list[Staff]]:
    """Return the lines of each level book, in the order they were read; the book without a name is None."""
    out: dict[str | None, list[Staff]] = {}
    for r in survey.readings:
        if isinstance(r, Staff):
            out.setdefault(r.book, []).append(r)
    return out


def rise_again(
    staffs: Sequence[Staff], closing_m: float, within_m: float, style: Style | None = None
) -> list[tuple[Staff, Slip]]:
    """Return the readings of a book, each with the slip of the pen or eye that alone explains how far off it closes [m].

    Readings between set-ups carry no height on, so a book closes alike whatever they are.
    """
    out: list[tuple[Staff, Slip]] = []
    for s in staffs:
        if s.sight != "between":
            meant = float(s.reading) - closing_m if s.sight == "back" else float(s.reading) + closing_m
            found = fitting(slips_of(s.reading, style), meant, within_m, within=1.0)
            out += [(s, found[0])] if found else []
    return sorted(out, key=lambda row: row[1].rank)


def _in_order(staffs: Sequence[Staff]) -> None:
    if len(staffs) < 2 or staffs[0].sight != "back" or staffs[-1].sight != "fore":
        raise ValueError(
            "a level book begins with a back sight and ends with a fore sight; check its first and last line"
        )
    open_set = False
    for i, staff in enumerate(staffs, 1):
        if (staff.sight == "back") == open_set:
            after = "fore sight" if open_set else "back sight"
            raise ValueError(f"line {i} of the level book is a {staff.sight} sight, but a {after} has to come first")
        open_set = staff.sight != "fore"
        if staff.sight == "fore" and i < len(staffs) and staffs[i].stake != staff.stake:
            raise ValueError(
                f"line {i + 1}: after moving, the staff must still be on {staff.stake!r}; it is on {staffs[i].stake!r}"
                " (another round is a book of its own: write “in book two” behind each of its lines)"
            )


@dataclass(frozen=True, slots=True)
class RiseNet:
    """Adjusted levels [m] and their standard deviations by stake, residuals by reading, and unit weight's ``s0``."""

    levels: dict[str, float]
    sd: dict[str, float]
    residuals: dict[str, float]
    w: dict[str, float]
    s0: float
    loose: tuple[str, ...]


def adjust_rises(known_m: Mapping[str, float], rises: Sequence[tuple[str, str, str, float, float]]) -> RiseNet:
    """Adjust differences in level (id, from, to, rise [m], standard deviation [m]) to the levels ``known_m``.

    Stakes that no chain of rises ties to a known level are listed in ``loose``.  Reference: C. Ghilani, Adjustment
    Computations, chapter 12 (differential levelling).
    """
    tied = set(known_m)
    while True:
        more = {p for _, a, b, _, _ in rises for p in (a, b) if (a in tied) != (b in tied)} - tied
        if not more:
            break
        tied |= more
    used = [r for r in rises if r[1] in tied and r[2] in tied]
    names = sorted({p for r in used for p in r[1:3]} - set(known_m))
    loose = tuple(sorted({p for r in rises for p in r[1:3]} - tied))
    if not names:
        return RiseNet(dict(known_m), dict.fromkeys(known_m, 0.0), {}, {}, math.nan, loose)
    column = {name: i for i, name in enumerate(names)}
    design, observed = np.zeros((len(used), len(names))), np.zeros(len(used))
    for i, (_, a, b, rise, _) in enumerate(used):
        observed[i] = rise
        for end, sign in ((b, 1.0), (a, -1.0)):
            if end in column:
                design[i, column[end]] += sign
            else:
                observed[i] -= sign * known_m[end]
    sd = np.array([r[4] for r in used])
    solved = solve(design, observed, 1.0 / sd**2)
    levels = dict(known_m) | dict(zip(names, solved.x.tolist(), strict=True))
    errors = dict.fromkeys(known_m, 0.0) | dict(zip(names, solved.sd.tolist(), strict=True))
    w = solved.residual / sd / np.sqrt(np.maximum(solved.redundancy, 1e-9))
    return RiseNet(
        levels,
        errors,
        {r[0]: float(v) for r, v in zip(used, solved.residual, strict=True)},
        {r[0]: float(v) if k > 0.01 else 0.0 for r, v, k in zip(used, w, solved.redundancy, strict=True)},
        solved.s0,
        loose,
    )


AS_READ = Instrument(id="staff-of-a-book", name="Staff", kind="staff")
"""What the rises of level books were read with."""


def staffs_as_rises(survey: Survey) -> Survey:
    """Return a survey whose level books are written as the rises they come to, each under the id of the staff it ends on."""
    rises = [
        Rise(id=i, start=a, end=b, rise=Length(rise), instrument=AS_READ.id)
        for book in books_in(survey).values()
        for i, a, b, rise, _ in _book_rises(book)
    ]
    if not rises:
        return survey
    others = (r for r in survey.readings if not isinstance(r, Staff))
    return survey.changed(instruments=(*survey.instruments, AS_READ), readings=(*others, *rises))


def levels_of(survey: Survey, length_m: float = 10.0) -> RiseNet:
    """Adjust all the rises of a survey to the stakes whose levels are known (else the datum is level 0).

    ``length_m`` [m] is the usual distance between two stakes, for instruments whose accuracy depends on it.
    """
    tools = {tool.id: tool.kind for tool in survey.instruments}
    known = {s.id: float(s.level) for s in survey.stakes if s.level is not None}
    if not known and survey.stakes:
        known = {survey.datum or min(s.id for s in survey.stakes): 0.0}
    rises = [
        (
            r.id,
            r.start,
            r.end,
            float(r.rise),
            float(r.accuracy) if r.accuracy else rise_sd_m(length_m, tools.get(r.instrument or "")),
        )
        for r in survey.readings
        if isinstance(r, Rise)
    ]
    rises += [rise for book in books_in(survey).values() for rise in _book_rises(book)]
    return adjust_rises(known, rises)


def _book_rises(staffs: Sequence[Staff]) -> list[tuple[str, str, str, float, float]]:
    """Return the rises of a book, each from the back sight of its set-up: a sight between carries no height on to the next."""
    out: list[tuple[str, str, str, float, float]] = []
    back: Staff | None = None
    for staff in staffs:
        if staff.sight == "back":
            back = staff
        elif back is not None and staff.stake != back.stake:
            rise = float(back.reading) - float(staff.reading)
            out.append((staff.id, back.stake, staff.stake, rise, rise_sd_m(0.0, "staff")))
    return out


def fall(level_a_m: float, level_b_m: float, distance_m: float) -> float:
    """Return the fall from a to b as a share of the distance (0.02 is 1 in 50; negative: it rises)."""
    if distance_m <= 0.0:
        raise ValueError(f"a fall needs a distance above zero; got {distance_m:g} m")
    return (level_a_m - level_b_m) / distance_m


@dataclass(frozen=True, slots=True)
class Steps:
    """A flight: ``count`` equal risers of ``rise_m`` and treads of ``tread_m`` over ``run_m`` [m]."""

    count: int
    rise_m: float
    tread_m: float

    @property
    def run_m(self) -> float:
        """Length of the flight on plan [m], one tread fewer than risers."""
        return (self.count - 1) * self.tread_m

    @property
    def stride_m(self) -> float:
        """Twice the rise and one tread [m]: 0.60 to 0.65 is easy (common practice, no source)."""
        return 2.0 * self.rise_m + self.tread_m


def steps_for(height_m: float, *, most_rise_m: float = 0.17, stride_m: float = 0.65) -> Steps:
    """Return the fewest equal steps for a height, none higher than ``most_rise_m`` [m].

    The local code decides on stairs that people rely on; this only divides a height.
    """
    if height_m <= 0.0:
        raise ValueError(f"steps need a height above zero; got {height_m:g} m")
    count = max(1, math.ceil(height_m / most_rise_m - 1e-9))
    rise = height_m / count
    return Steps(count, rise, stride_m - 2.0 * rise)
