"""Misread levels: which difference in level doesn't fit, and what it probably was.

As with taped nets, the largest standardised residual is set aside if it is beyond chance, and the rest adjusted again
(W. Baarda's data snooping, 1968; from memory).  A rise written as a fall is the slip of levels alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from quincunx.survey.levels import RiseNet, levels_of, staffs_as_rises
from quincunx.survey.misread import critical_w
from quincunx.survey.readings import Rise, Staff, Survey
from quincunx.survey.slips import Slip, fitting, slips_of
from quincunx.units.fields import Length
from quincunx.units.style import Style

BIG_STEP_M = 0.01
"""A rise written as a fall is no slip worth naming where both are nearly nothing [m]."""


@dataclass(frozen=True, slots=True)
class LevelSuspect:
    """A difference in level that doesn't fit: what it was read as, what the others say [m], and what would explain it.

    ``upside_down`` if a rise was written as a fall or the other way; ``together`` are other readings that could be the
    bad one as well (a single loop closes on all of its readings alike).  ``start`` and ``end`` are its stakes; of a level
    book it is the sight that ends the rise from one to the other.
    """

    reading: str
    start: str
    end: str
    value_m: float
    likely_m: float
    w: float
    upside_down: bool
    slips: tuple[Slip, ...]
    together: tuple[str, ...]


def find_level_slips(survey: Survey, style: Style | None = None) -> tuple[RiseNet, tuple[LevelSuspect, ...]]:
    """Adjust the levels of ``survey`` without the rises that don't fit, and say what each of those probably was.

    A level book that alone doesn't close blames all of its sights alike: none is set aside, and the book says so itself.
    """
    left, found = staffs_as_rises(survey), list[LevelSuspect]()
    rises = {r.id: r for r in left.readings if isinstance(r, Rise)}
    staffs = {r.id: r for r in survey.readings if isinstance(r, Staff)}
    net = levels_of(left)
    while len(found) < max(1, len(rises) // 4):
        bad = _worst(net, rises)
        if bad is None:
            break
        names, w = bad
        if len(names) > 1 and all(n in staffs for n in names):
            break
        name = _likeliest(names, rises, left, style)
        left = _without(left, name)
        net = levels_of(left)
        told = _told(rises[name], net, w, style, tuple(n for n in names if n != name))
        found.append(_by_staff(told, staffs[name], style) if name in staffs else told)
    return net, tuple(found)


def _by_staff(s: LevelSuspect, staff: Staff, style: Style | None) -> LevelSuspect:
    """Return a suspect of a level book with the slips that its sight, as it was written, could hide."""
    meant = float(staff.reading) + s.value_m - s.likely_m
    found = fitting([o for o in slips_of(staff.reading, style) if o.kind != "feet_for_metres"], meant, 0.004)
    slips = tuple(replace(o, value_m=s.value_m + float(staff.reading) - o.value_m) for o in found)
    return replace(s, upside_down=False, slips=slips)


def _worst(net: RiseNet, rises: dict[str, Rise]) -> tuple[list[str], float] | None:
    """Return the rises whose residual is largest and beyond chance; several where they can't be told apart."""
    checked = {i: w for i, w in net.w.items() if w and i in rises}
    if not checked:
        return None
    top = max(abs(w) for w in checked.values())
    if top <= critical_w(len(checked)):
        return None
    return sorted(i for i, w in checked.items() if abs(w) > top * (1 - 1e-6)), top


def _without(survey: Survey, reading: str) -> Survey:
    return survey.changed(readings=tuple(r for r in survey.readings if r.id != reading))


def _likeliest(names: list[str], rises: dict[str, Rise], left: Survey, style: Style | None) -> str:
    """Return, of readings that could be the bad one alike, the first that a usual slip explains; else the first."""
    if len(names) == 1:
        return names[0]
    for name in names:
        told = _told(rises[name], levels_of(_without(left, name)), 0.0, style, ())
        if told.upside_down or told.slips:
            return name
    return names[0]


def _told(rise: Rise, net: RiseNet, w: float, style: Style | None, together: tuple[str, ...]) -> LevelSuspect:
    read = float(rise.rise)
    z = net.levels
    likely = z[rise.end] - z[rise.start] if rise.start in z and rise.end in z else read
    sd = max(0.004, (net.sd.get(rise.end, 0.0) ** 2 + net.sd.get(rise.start, 0.0) ** 2) ** 0.5)
    typed = rise.rise.typed
    size = Length(abs(read), typed.lstrip("-") if typed else None)
    same_hand = [s for s in slips_of(size, style) if s.kind != "feet_for_metres"]
    hand = 1.0 if read >= 0 else -1.0
    slips = tuple(replace(s, value_m=hand * s.value_m) for s in fitting(same_hand, hand * likely, sd))
    upside = abs(read) > BIG_STEP_M and abs(read + likely) < 3 * sd
    return LevelSuspect(rise.id, rise.start, rise.end, read, likely, w, upside, () if upside else slips, together)
