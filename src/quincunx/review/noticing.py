"""What Quincunx notices unasked: one check a file, and this explicit list of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from quincunx.review import (
    _barred_ways,
    _beyond,
    _clashes,
    _climbing,
    _covers,
    _digging,
    _drips,
    _drops,
    _easing,
    _edges,
    _fit,
    _flooding,
    _held,
    _letters,
    _light,
    _looked_up,
    _loose_openings,
    _many_pads,
    _on_building,
    _opened_later,
    _order,
    _over_drains,
    _partners,
    _planting,
    _rooms,
    _roots,
    _set_back,
    _short_months,
    _sides,
    _too_late,
    _turf,
    _twice_paid,
    _uncosted,
    _unmade,
    _upkeep,
    _water,
)
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import capital

Check = Callable[[View], Iterable[Finding]]

CHECKS: tuple[Check, ...] = (
    _barred_ways.check,
    _beyond.check,
    _clashes.check,
    _climbing.check,
    _covers.check,
    _digging.check,
    _drips.check,
    _drops.check,
    _edges.check,
    _easing.check,
    _fit.check,
    _flooding.check,
    _held.check,
    _letters.check,
    _light.check,
    _looked_up.check,
    _loose_openings.check,
    _many_pads.check,
    _on_building.check,
    _opened_later.check,
    _order.check,
    _over_drains.check,
    _partners.check,
    _planting.check,
    _rooms.check,
    _roots.check,
    _set_back.check,
    _short_months.check,
    _sides.check,
    _too_late.check,
    _turf.check,
    _twice_paid.check,
    _uncosted.check,
    _unmade.check,
    _upkeep.check,
    _water.check,
)

_RANK = {Severity.DANGER: 0, Severity.FAULT: 1, Severity.CARE: 2, Severity.HINT: 3}


def notice(view: View) -> tuple[Finding, ...]:
    """Return every finding, the gravest first, each id once."""
    return sorted_findings(finding for check in CHECKS for finding in check(view))


def sorted_findings(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order they are told, the gravest first, each id once: the first of its kind.

    Their words begin with a large letter, also where they begin with the name of a thing.
    """
    each: dict[str, Finding] = {}
    for finding in found:
        each.setdefault(finding.id, replace(finding, words=capital(finding.words)))
    return tuple(sorted(each.values(), key=lambda f: (_RANK[f.severity], f.year or 0, f.id)))
