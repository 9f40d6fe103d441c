"""Setting out: from the plan to stakes, by two tapes and a check for each point.

Of all pairs of control stakes the one is chosen that fixes the point best: by the angle of cut, the length of the
tapes and how surely the control stakes themselves are known.  Lines that cross what stands there are not used.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from quincunx.survey.accuracy import HANDLING, Handling, tape_sd_m
from quincunx.survey.fixes import POOR_CUT_DEG, XY, NoFix, angle_of_cut_deg, offset_of, two_tapes
from quincunx.survey.marks import HALF_CENTIMETRES, Marks
from quincunx.survey.network import CONFIDENCE_95, Adjusted, Ellipse, ellipse_of

Polygon = Sequence[XY]
Covariance = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Control:
    """A stake to measure from: place [m], covariance (xx, xy, yy) [m2], and level [m] if known."""

    id: str
    xy: XY
    covariance: Covariance = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Target:
    """A point to set out; ``tolerance_m`` is what its use allows."""

    id: str
    xy: XY
    tolerance_m: float = 0.02


@dataclass(frozen=True, slots=True)
class Tie:
    """One tape: from ``stake``, the exact length and the length at the tape's mark [m]."""

    stake: str
    exact_m: float
    mark_m: float


@dataclass(frozen=True, slots=True)
class Placed:
    """How to set one point: two ``ties``, a ``check`` that must read within ``check_within_m``.

    ``side`` is the hand of the point for someone at the first stake looking at the second; ``cut_deg`` the angle of
    cut; ``ellipse`` the expected standard error ellipse; ``moved_m`` what rounding to the marks moves the point.
    """

    id: str
    xy: XY
    ties: tuple[Tie, Tie]
    side: str
    cut_deg: float
    check: Tie | None
    check_within_m: float
    ellipse: Ellipse
    moved_m: float
    from_points: tuple[str, ...] = ()

    @property
    def sure_m(self) -> float:
        """Half the longer axis of the 95 in 100 ellipse [m]."""
        return CONFIDENCE_95 * self.ellipse.major_m


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A distance between two set-out points that proves them: exact and at the mark, and how near it must come."""

    start: str
    end: str
    exact_m: float
    mark_m: float
    within_m: float


@dataclass(frozen=True, slots=True)
class SetOut:
    """The points in the order to set them, the checks between them, and those that can't be set, with the reason."""

    points: tuple[Placed, ...]
    diagonals: tuple[Diagonal, ...]
    unreachable: tuple[tuple[str, str], ...]


def controls_of(adjusted: Adjusted, only: Sequence[str] | None = None) -> tuple[Control, ...]:
    """Return the adjusted stakes as controls, by id; ``only`` limits them."""
    return tuple(
        Control(stake, (p.x_m, p.y_m), p.covariance)
        for stake, p in sorted(adjusted.positions.items())
        if only is None or stake in only
    )


def set_out(
    targets: Sequence[Target],
    controls: Sequence[Control],
    *,
    obstacles: Sequence[Polygon] = (),
    longest_m: float = 30.0,
    marks: Marks = HALF_CENTIMETRES,
    reuse: bool = True,
    handling: Handling = HANDLING,
) -> SetOut:
    """Choose ties and checks for all ``targets``.

    ``obstacles`` are polygons [m] no tape may cross (built or grown by that date); ``longest_m`` the longest tape;
    with ``reuse`` points already set may help others that have too few stakes in reach.
    """
    left = sorted(targets, key=lambda t: t.id)
    known: dict[str, Control] = {c.id: c for c in controls}
    done: list[Placed] = []
    while left:
        options = [
            (p, t) for t in left if (p := _best(t, known, set(), obstacles, longest_m, marks, handling)) is not None
        ]
        if not options:
            break
        if not reuse:
            done += [p for p, _ in options]
            left = [t for t in left if t.id not in {p.id for p in done}]
            break
        for placed, target in options:
            done.append(placed)
            left.remove(target)
        if left:
            e = {p.id: p for p, _ in options}
            known |= {i: Control(i, p.xy, _covariance_of(p.ellipse)) for i, p in e.items()}
    ordered = _in_order(done, {c.id: c.xy for c in controls})
    reason = "fewer than two stakes can be taped from without crossing something or a cut that is too sharp"
    stakes = {c.id: c for c in controls} | known
    return SetOut(
        ordered, diagonals_of(ordered, marks, longest_m, stakes, handling), tuple((t.id, reason) for t in left)
    )


def _covariance_of(e: Ellipse) -> Covariance:
    t = math.radians(e.azimuth_deg)
    s, c, a2, b2 = math.sin(t), math.cos(t), e.major_m**2, e.minor_m**2
    return a2 * s * s + b2 * c * c, (a2 - b2) * s * c, a2 * c * c + b2 * s * s


def _best(
    target: Target,
    known: Mapping[str, Control],
    banned: set[str],
    obstacles: Sequence[Polygon],
    longest_m: float,
    marks: Marks,
    hands: Handling,
) -> Placed | None:
    reach = [
        c
        for _, c in sorted(known.items())
        if c.id not in banned
        and c.id != target.id
        and 0.05 < math.dist(c.xy, target.xy) <= longest_m
        and not any(crosses(c.xy, target.xy, polygon) for polygon in obstacles)
    ]
    pairs = sorted(
        (_pair_error(target.xy, a, b, marks, hands)[0], a.id, b.id, a, b) for a, b in itertools.combinations(reach, 2)
    )
    if not pairs or not math.isfinite(pairs[0][0]):
        return None
    _, _, _, a, b = pairs[0]
    return _placed(target, a, b, [c for c in reach if c.id not in (a.id, b.id)], marks, hands)


def _pair_error(xy: XY, a: Control, b: Control, marks: Marks, hands: Handling) -> tuple[float, Covariance]:
    """Return the longer standard half axis [m] and the covariance of a point fixed from ``a`` and ``b``."""
    cut = angle_of_cut_deg(xy, a.xy, b.xy)
    if not POOR_CUT_DEG[0] <= cut <= POOR_CUT_DEG[1]:
        return math.inf, (math.inf, 0.0, math.inf)
    (ax, ay, va), (bx, by, vb) = (_ray(xy, c, marks, hands) for c in (a, b))
    det = ax * by - ay * bx
    # the point solves u_a . x = d_a, u_b . x = d_b; its covariance is the inverse of the two rows' information
    xx = (by * by * va + ay * ay * vb) / det**2
    yy = (bx * bx * va + ax * ax * vb) / det**2
    cross = -(bx * by * va + ax * ay * vb) / det**2
    return ellipse_of(xx, cross, yy).major_m, (xx, cross, yy)


def _ray(xy: XY, c: Control, marks: Marks, hands: Handling) -> tuple[float, float, float]:
    """Return the unit vector from a control to the point, and the variance along it [m2]."""
    d = math.dist(xy, c.xy)
    ux, uy = (xy[0] - c.xy[0]) / d, (xy[1] - c.xy[1]) / d
    xx, cross, yy = c.covariance
    own = ux * ux * xx + 2.0 * ux * uy * cross + uy * uy * yy
    return ux, uy, own + tape_sd_m(d, None, hands) ** 2 + marks.sd_m**2


def _placed(target: Target, a: Control, b: Control, others: list[Control], marks: Marks, hands: Handling) -> Placed:
    _, covariance = _pair_error(target.xy, a, b, marks, hands)
    ties = (_tie(target.xy, a, marks), _tie(target.xy, b, marks))
    rounded = _moved(target.xy, a.xy, b.xy, ties)
    right = (target.xy[0] - a.xy[0]) * (b.xy[1] - a.xy[1]) - (target.xy[1] - a.xy[1]) * (b.xy[0] - a.xy[0])
    check = _check(target.xy, covariance, others, marks, hands)
    return Placed(
        target.id,
        target.xy,
        ties,
        "right" if right > 0.0 else "left",
        angle_of_cut_deg(target.xy, a.xy, b.xy),
        check[0],
        check[1],
        ellipse_of(*covariance),
        math.dist(rounded, target.xy),
        (a.id, b.id),
    )


def _tie(xy: XY, c: Control, marks: Marks) -> Tie:
    d = math.dist(xy, c.xy)
    return Tie(c.id, d, marks.rounded(d))


def _moved(xy: XY, a: XY, b: XY, ties: tuple[Tie, Tie]) -> XY:
    """Return where the rounded tapes meet, on the side of the planned point."""
    try:
        one, two = two_tapes(a, ties[0].mark_m, b, ties[1].mark_m)
    except NoFix:
        return xy
    return one if math.dist(one, xy) <= math.dist(two, xy) else two


def _check(
    xy: XY, covariance: Covariance, others: list[Control], marks: Marks, hands: Handling
) -> tuple[Tie | None, float]:
    """Choose the check tape that would show an error of the point best, and how near it must read (95 in 100)."""
    best: tuple[float, str, Control, float] | None = None
    for c in others:
        ux, uy, own = _ray(xy, c, marks, hands)
        xx, cross, yy = covariance
        along = ux * ux * xx + 2.0 * ux * uy * cross + uy * uy * yy
        rank = (-along / own, c.id, c, 1.96 * math.sqrt(along + own))
        if best is None or rank[:2] < best[:2]:
            best = rank
    return (None, 0.0) if best is None else (_tie(xy, best[2], marks), best[3])


def diagonals_of(
    points: Sequence[Placed],
    marks: Marks,
    longest_m: float,
    controls: Mapping[str, Control] | None = None,
    handling: Handling = HANDLING,
) -> tuple[Diagonal, ...]:
    """Return, for each point, the distance to the farthest other point in reach: it proves both at once.

    How near it must come follows from the tapes of both points; a control stake that both are taped from moves them
    together, so that what isn't known of it hardly touches their distance.
    """
    stakes = controls or {}
    out: dict[tuple[str, str], Diagonal] = {}
    for p in points:
        far = sorted(
            (-math.dist(p.xy, q.xy), q.id, q) for q in points if q.id != p.id and math.dist(p.xy, q.xy) <= longest_m
        )
        if not far:
            continue
        q = far[0][2]
        a, b = sorted((p.id, q.id))
        d = math.dist(p.xy, q.xy)
        within = 1.96 * math.hypot(_apart_sd_m(p, q, stakes, marks, handling), tape_sd_m(d, None, handling), marks.sd_m)
        out[a, b] = Diagonal(a, b, d, marks.rounded(d), within)
    return tuple(out[k] for k in sorted(out))


def _apart_sd_m(p: Placed, q: Placed, stakes: Mapping[str, Control], marks: Marks, hands: Handling) -> float:
    """Return the standard deviation of the distance between two set points [m], by their tapes and control stakes."""
    if not {t.stake for t in (*p.ties, *q.ties)} <= set(stakes):
        return math.hypot(p.ellipse.major_m, q.ellipse.major_m)
    size = math.dist(p.xy, q.xy) or 1.0
    away = ((p.xy[0] - q.xy[0]) / size, (p.xy[1] - q.xy[1]) / size)
    variance, pull = 0.0, dict[str, XY]()
    for point, sign in ((p, 1.0), (q, -1.0)):
        rays = [_unit_from(stakes[t.stake].xy, point.xy) for t in point.ties]
        det = rays[0][0] * rays[1][1] - rays[0][1] * rays[1][0]
        shares = (
            sign * (away[0] * rays[1][1] - away[1] * rays[1][0]) / det,
            sign * (away[1] * rays[0][0] - away[0] * rays[0][1]) / det,
        )
        for tie, ray, share in zip(point.ties, rays, shares, strict=True):
            variance += share**2 * (tape_sd_m(tie.exact_m, None, hands) ** 2 + marks.sd_m**2)
            x, y = pull.get(tie.stake, (0.0, 0.0))
            pull[tie.stake] = (x + share * ray[0], y + share * ray[1])
    for stake, (x, y) in pull.items():
        xx, cross, yy = stakes[stake].covariance
        variance += x * x * xx + 2.0 * x * y * cross + y * y * yy
    return math.sqrt(variance)


def _unit_from(start: XY, end: XY) -> XY:
    d = math.dist(start, end)
    return (end[0] - start[0]) / d, (end[1] - start[1]) / d


def _in_order(points: Sequence[Placed], stakes: Mapping[str, XY]) -> tuple[Placed, ...]:
    """Order the points so that one follows the next nearest, and none comes before the points it is taped from."""
    left, done, out = sorted(points, key=lambda p: p.id), set(stakes), list[Placed]()
    here = min(stakes.values(), default=(0.0, 0.0))
    while left:
        ready = [p for p in left if all(t.stake in done for t in p.ties)] or left
        following = min(
            ready,
            key=lambda p: (
                p.from_points != (out[-1].from_points if out else ()),
                round(math.dist(here, p.xy), 3),
                p.id,
            ),
        )
        out.append(following)
        left.remove(following)
        done.add(following.id)
        here = following.xy
    return tuple(out)


def crosses(a: XY, b: XY, polygon: Polygon) -> bool:
    """Tell whether the line from a to b passes through the inside of ``polygon``; touching an edge is no crossing."""
    cuts = [0.0, 1.0]
    for p, q in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        det = (b[0] - a[0]) * (q[1] - p[1]) - (b[1] - a[1]) * (q[0] - p[0])
        if abs(det) < 1e-12:
            continue
        t = ((p[0] - a[0]) * (q[1] - p[1]) - (p[1] - a[1]) * (q[0] - p[0])) / det
        s = ((p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])) / det
        if -1e-9 <= s <= 1.0 + 1e-9 and 0.0 < t < 1.0:
            cuts.append(t)
    cuts.sort()
    size = math.dist(a, b)
    for t, u in itertools.pairwise(cuts):
        if (u - t) * size > 0.002:
            m = (t + u) / 2.0
            if _inside((a[0] + m * (b[0] - a[0]), a[1] + m * (b[1] - a[1])), polygon):
                return True
    return False


def _inside(p: XY, polygon: Polygon) -> bool:
    """Tell whether ``p`` lies in ``polygon`` and not on its edge."""
    inside = False
    for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        size = math.dist(a, b)
        along, off = offset_of(p, a, b) if size > 1e-9 else (0.0, math.inf)
        if abs(off) < 1e-6 and -1e-6 <= along <= size + 1e-6:
            return False
        if (a[1] > p[1]) != (b[1] > p[1]) and p[0] < a[0] + (p[1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1]):
            inside = not inside
    return inside


def refix(lost: str, adjusted: Adjusted, *, marks: Marks = HALF_CENTIMETRES, longest_m: float = 30.0) -> Placed | None:
    """Return how to set a lost control stake again from the others; None if too few are in reach."""
    place = adjusted.positions.get(lost)
    if place is None:
        raise ValueError(f"stake {lost!r} has no place in the plan; it can't be set again")
    others = [c for c in controls_of(adjusted) if c.id != lost]
    found = set_out([Target(lost, (place.x_m, place.y_m))], others, marks=marks, longest_m=longest_m)
    return found.points[0] if found.points else None
