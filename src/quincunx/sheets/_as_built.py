"""As built: what was taped between the points of a job, held against the plan, and the plan moved to it if wished.

Where only some lengths were taped again, a point is taken to stand as it was set, within what setting leaves; the
taped lengths then say where it stands likeliest.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from pydantic import ValidationError

from quincunx.features import Feature
from quincunx.garden import Edit, Op, plain
from quincunx.shapes import XY
from quincunx.sheets._marks import marks_of
from quincunx.sheets._outdoors import Planned, compass, ready_on
from quincunx.sheets._set import Set
from quincunx.survey import (
    Deviation,
    Distance,
    Seen,
    Shift,
    Stake,
    Survey,
    compare_lengths,
    compare_points,
    find_misreadings,
    fit_plan_to_built,
    points_of,
    tape_sd_m,
)
from quincunx.survey.twice import Taking, Twice, held_together, twice_words
from quincunx.survey.words import close, deviation, suspect
from quincunx.units import Style
from quincunx.units.fields import Length
from quincunx.works import Entry

DRAWN = "as-built"
"""What a note of the journal carries that says the plan was drawn as it was built."""
TOLERANCE_M = 0.02
"""What a point may be off at least before it matters [m]; more where setting it is no surer (common practice, no source)."""
SETTING_M = 0.02
"""How far a point that was set may stand off its tapes, as a standard deviation [m] (common practice, no source)."""
NEAR_M = 0.02
GAIN_M = 0.002
"""Nothing is moved for less than this [m]."""
SHAPELESS_M = 0.25
"""What was taped makes no shape that a thing could have if its points would still lie this far off it [m]."""
ENOUGH_TAPES = 3
"""From so many tapes a point's place is known as well as it ever will be: two place it, one more proves them."""
STIFF_M = 0.005
"""A thing is moved as it is, unless changing its shape fits better by more than this [m]."""


@dataclass(frozen=True)
class Built:
    """What came out: lengths and points against the plan, what doesn't fit, and the features moved to it.

    ``drawn`` if the plan was drawn as built since the last tape: what still differs is then the shape.
    """

    plan: Planned
    lengths: tuple[Deviation, ...]
    shifts: tuple[Shift, ...]
    doubtful: tuple[str, ...]
    places: Mapping[str, XY]
    moved: tuple[Feature, ...]
    remains_m: float
    drawn: bool = False

    @property
    def out(self) -> tuple[Shift, ...]:
        """Return the points that came out otherwise than they may."""
        return tuple(s for s in self.shifts if s.state == "outside")


Takings = Mapping[tuple[str, str], Sequence[Entry]]
"""What was taped between two points or stakes: the last taking of each phone, in the order they came."""


def taped(plan: Planned, journal: tuple[Entry, ...]) -> Takings:
    """Return what was taped between points or stakes of a job: of each pair the last taking of each phone.

    Whoever tapes again has a better reading; what somebody else read of the same pair is a second one, and both count, but
    for what was read before somebody set it right.
    """
    known = set(plan.marks) | set(plan.base.at)
    out: dict[tuple[str, str], dict[str, Entry]] = {}
    for e in sorted(journal, key=lambda e: e.day):
        if e.what == "measured" and e.about == plan.job.id and e.length is not None and len(e.points) == 2:
            a, b = sorted(e.points)
            if {a, b} <= known and a != b:
                of_pair = out.setdefault((a, b), {})
                if e.instead:
                    of_pair.clear()
                of_pair.pop(e.phone, None)
                of_pair[e.phone] = e
    return {pair: tuple(by.values()) for pair, by in out.items()}


def apart_words(plan: Planned, journal: tuple[Entry, ...], style: Style) -> list[str]:
    """Return one sentence for each pair of a job that two phones taped and that comes out too far apart."""
    return [twice_words(t, _called(plan), style) for t in _twice(taped(plan, journal)) if not t.agrees]


def _twice(lengths: Takings) -> list[Twice]:
    """Return the pairs that two phones or more taped, with how far they are apart."""
    return [held_together(a, b, [_taking(e) for e in found]) for (a, b), found in lengths.items() if len(found) > 1]


def _taking(e: Entry) -> Taking:
    length = Length(0.0) if e.length is None else e.length
    return Taking(e.id, float(length), tape_sd_m(float(length)), length.typed or "", e.by)


def as_built(of: Set, plan: Planned) -> Built | None:
    """Return how a job came out; None where nothing of it was taped again."""
    lengths = taped(plan, of.garden.journal)
    if not lengths:
        return None
    planned_at = plan.base.at | {i: m.at for i, m in plan.marks.items()}
    found = find_misreadings(_survey(plan, lengths, planned_at), of.garden.style)
    places = {i: (p.x_m, p.y_m) for i, p in found.adjusted.positions.items() if i in plan.marks}
    shifts = tuple(
        compare_points({i: plan.marks[i].at}, found.adjusted, tolerance_m(plan, i))[0]
        for i in plan.numbers
        if i in places and any(i in pair for pair in lengths)
    )
    names = plan.names | {_key(plan, i): n for i, n in plan.base.names.items()}
    readings = {r.id: r for r in _survey(plan, lengths, planned_at).readings}
    apart = [t for t in _twice(lengths) if not t.agrees]
    told = [{_key(plan, t.start), _key(plan, t.end)} for t in apart]
    suspects = [
        s for s in found.suspects if s.reading.startswith("t") and set(points_of(readings[s.reading])) not in told
    ]
    doubtful = (
        *(twice_words(t, _called(plan), of.garden.style) for t in apart),
        *(suspect(s, readings, names, of.garden.style) for s in suspects),
    )
    measured = [(a, b, float(e.length or 0.0)) for (a, b), found_of in lengths.items() for e in found_of]
    off = {p: pq for p, pq in places.items() if any(s.point == p and s.state == "outside" for s in shifts)}
    drawn = _drawn(plan, of.garden.journal)
    moved, remains = _moved(of, plan, places) if off and not doubtful and not drawn else ((), 0.0)
    if remains > SHAPELESS_M:
        moved = ()
    against = compare_lengths(planned_at, measured, TOLERANCE_M)
    return Built(plan, against, shifts, doubtful, places, moved, remains, drawn)


def _drawn(plan: Planned, journal: tuple[Entry, ...]) -> bool:
    """Return whether the plan was drawn as built after the last tape of the job."""
    own = [e for e in journal if e.about == plan.job.id and (e.what == "measured" or e.points == (DRAWN,))]
    return bool(own) and own[-1].points == (DRAWN,)


def tolerance_m(plan: Planned, point: str) -> float:
    """Return how far a point of a job may stand off before it matters [m]."""
    sure = next((p.sure_m for p in plan.found.points if p.id == point), TOLERANCE_M)
    return max(TOLERANCE_M, sure / 2)


def _called(plan: Planned) -> dict[str, str]:
    """Return what points and stakes are called where two of them are named in a row."""
    return {i: plan.names.get(i, i) for i in (*plan.marks, *plan.base.at)}


def _survey(plan: Planned, lengths: Takings, at: Mapping[str, XY]) -> Survey:
    """Return the stakes held, the points as they were set, and what was taped since."""
    # Of a point taped once only, the check as it was set counts too: else one misread tape would be as likely as two ties.
    once = {i for i in plan.numbers if sum(i in pair for pair in lengths) < 2}
    ties = {
        tuple(sorted((p.id, t.stake))): t.mark_m
        for p in plan.found.points
        for t in (*p.ties, *([p.check] if p.check is not None and p.id in once else []))
    }
    used = {i for pair in (*lengths, *ties) for i in pair}
    held = [
        Stake(id=_key(plan, i), name=plan.names[i], held=True, x=Length(at[i][0]), y=Length(at[i][1]))
        for i in sorted(used & set(plan.base.at))
    ]
    points = [
        Stake(id=i, name=plan.names[i], x=Length(at[i][0]), y=Length(at[i][1]))
        for i in sorted(used & set(plan.numbers))
    ]
    known = used & (set(plan.base.at) | set(plan.numbers))
    set_as = [
        Distance(id=f"s{n}", start=_key(plan, a), end=_key(plan, b), length=Length(m), accuracy=Length(SETTING_M))
        for n, ((a, b), m) in enumerate(sorted(ties.items()))
        if (a, b) not in lengths and {a, b} <= known
    ]
    singles = [(a, b, e.length) for (a, b), found in sorted(lengths.items()) for e in found if e.length is not None]
    since = [
        Distance(
            id=f"t{n}",
            start=_key(plan, a),
            end=_key(plan, b),
            length=m,
            accuracy=Length(max(0.001, tape_sd_m(float(m)))),
        )
        for n, (a, b, m) in enumerate(singles)
        if {a, b} <= known and float(m) > 0.001
    ]
    hands = [
        Seen(id=f"h{n}", start=_key(plan, p.ties[0].stake), end=_key(plan, p.ties[1].stake), point=p.id, side=p.side)  # type: ignore[arg-type]
        for n, p in enumerate(plan.found.points)
        if {p.id, p.ties[0].stake, p.ties[1].stake} <= known
    ]
    return Survey(stakes=(*held, *points), readings=(*set_as, *since, *hands))


def _key(plan: Planned, name: str) -> str:
    """Return an id for a stake or point: corners taken from the drawing are called by capital letters."""
    return f"stake-{name.lower()}" if name in plan.base.at else name


def _moved(of: Set, plan: Planned, places: Mapping[str, XY]) -> tuple[tuple[Feature, ...], float]:
    """Return the job's features moved to where they were built, and how far their points then still lie off [m]."""
    out, worst = list[Feature](), 0.0
    for owner in plan.stood:
        feature = next((f for f in of.garden.features if f.id == owner), None)
        want = {i: places[i] for i, m in plan.marks.items() if m.owner == owner and i in places}
        if feature is None or not want or all(math.dist(plan.marks[i].at, p) < STIFF_M for i, p in want.items()):
            continue
        tries = [t for t in (_stiff(plan, feature, want), _by_handles(plan, feature, want)) if t is not None]
        rated = sorted(
            ((_remains(of, plan, f, want) + n * STIFF_M, n, f) for n, f in enumerate(tries)), key=lambda t: t[:2]
        )
        if rated and rated[0][0] < max(math.dist(plan.marks[i].at, p) for i, p in want.items()) - GAIN_M:
            out.append(rated[0][2])
            worst = max(worst, _remains(of, plan, rated[0][2], want))
    return tuple(out), worst


def _stiff(plan: Planned, feature: Feature, want: Mapping[str, XY]) -> Feature | None:
    """Return the feature turned and shifted as one piece; with one point only shifted."""
    at = {i: plan.marks[i].at for i in want}
    about = (sum(p[0] for p in at.values()) / len(at), sum(p[1] for p in at.values()) / len(at))
    if len(want) < 2:
        (i,) = want
        dx, dy, turn = want[i][0] - at[i][0], want[i][1] - at[i][1], 0.0
    else:
        fit = fit_plan_to_built(at, want)
        dx, dy, turn = *fit.shift_m, fit.turn_deg
    try:
        return feature.changed(**feature.moved(dx, dy, turn, about))
    except (ValidationError, NotImplementedError, KeyError):
        return None


def _by_handles(plan: Planned, feature: Feature, want: Mapping[str, XY]) -> Feature | None:
    """Return the feature with each handle that lies on a point of the plan dragged to where that was built."""
    pulls = [
        (h.id, p) for i, p in want.items() for h in feature.handles() if math.dist(h.at, plan.marks[i].at) < NEAR_M
    ]
    found = feature
    try:
        for handle, to in pulls:
            found = found.changed(**found.dragged(handle, to))
    except (ValidationError, NotImplementedError, KeyError):
        return None
    return found if pulls else None


def _remains(of: Set, plan: Planned, feature: Feature, want: Mapping[str, XY]) -> float:
    """Return how far the points of a moved feature lie at most from where they were built [m]."""
    stood = of.timeline.with_features([feature]).stood(feature, ready_on(of, plan.job))
    marks = [m.at for m in marks_of(feature.id, "", stood, feature)]
    return max((min((math.dist(p, m) for m in marks), default=math.inf) for p in want.values()), default=math.inf)


def built_edit(of: Set, built: Built) -> Edit:
    """Return the one edit that moves the plan to what was built, and notes in the journal that it was."""
    job, journal = built.plan.job, of.garden.journal
    day = max(e.day for e in journal if e.what == "measured" and e.about == job.id)
    taken = {e.id for e in journal}
    name = next(f"{DRAWN}-{n}" for n in count(1) if f"{DRAWN}-{n}" not in taken)
    note = Entry(
        id=name, day=day, what="note", about=job.id, text="The plan is drawn as it was built.", points=(DRAWN,)
    )
    ops = tuple(Op(do="put", part="features", id=f.id, value=plain(f)) for f in built.moved)
    told = Op(do="put", part="journal", id=name, value=plain(note))
    return Edit(label=f"Draw as built: {job.name}", ops=(*ops, told))


def matters(s: Shift) -> bool:
    """Return whether a point is out, or so far off that another tape is worth it."""
    return s.state == "outside" or (s.state == "unsure" and s.off_m > s.tolerance_m / 2)


def built_words(of: Set, built: Built) -> list[str]:
    """Return how the job came out: each length, each point that is off, what doesn't fit, what would move."""
    names, style = built.plan.names, of.garden.style
    if built.drawn:
        return _left_words(of, built)
    words = [deviation(d, names, style) for d in built.lengths]
    for s in built.shifts:
        side = compass((s.east_m, s.north_m), (0.0, 0.0))
        if not matters(s):
            continue
        end = (
            f"more than the {close(s.tolerance_m, style)} allowed" if s.state == "outside" else "about what is allowed"
        )
        words.append(f"Point {names[s.point]} stands about {close(s.off_m, style)} to the {side}: {end}.")
    words += built.doubtful
    if built.doubtful:
        words.append("Tape those once more before the plan is moved to them.")
    elif not any(matters(s) for s in built.shifts):
        words.append("All points lie where they may; the plan can stay as it is.")
    elif not built.out:
        words += _open_words(of, built)
    elif built.remains_m > SHAPELESS_M:
        words.append(
            "What was taped makes no shape that this could have: tape its points again before the plan is moved."
        )
    elif not built.moved:
        words.append("The plan lies as near to what was taped as its shape allows: nothing of it would move.")
    return words


def _left_words(of: Set, built: Built) -> list[str]:
    """Return what still differs when the plan was drawn as built: the shape, and nothing that more tapes would tell."""
    words = [deviation(d, built.plan.names, of.garden.style) for d in built.lengths if d.state == "outside"]
    most = max((s.off_m for s in built.shifts), default=0.0)
    if not words and most <= NEAR_M:
        return ["The plan is drawn as it was built."]
    near = close(max(most, 0.001), of.garden.style)
    return [
        "The plan is drawn as it was built, as near as its shape allows: its points stand within " + near + ".",
        *words,
    ]


def _open_words(of: Set, built: Built) -> list[str]:
    """Return what to do about points that may be off by what is allowed, and may not."""
    tapes = taped(built.plan, of.garden.journal)
    near = [s.point for s in built.shifts if matters(s)]
    thin = [p for p in near if sum(len(found) for pair, found in tapes.items() if p in pair) < ENOUGH_TAPES]
    if thin:
        words = " and ".join(built.plan.names[p] for p in thin)
        one = f"one more, from a stake to point {words}, would tell"
        many = f"one more to each of points {words}, from a stake, would tell"
        return [f"Tapes alone leave it open whether a point is off: {one if len(thin) == 1 else many}."]
    words = " and ".join(built.plan.names[p] for p in near)
    who = f"Point {words} was" if len(near) == 1 else f"Points {words} were"
    return [f"{who} taped often enough and may stay: no further tape tells more, and the plan can stay as it is."]


def moves_words(of: Set, built: Built) -> list[str]:
    """Return what would move if the plan were drawn as built, and what stays."""
    if not built.moved:
        return []
    names = [of.words.name(f.id) for f in built.moved]
    rest = f" It then lies within {close(max(built.remains_m, 0.001), of.garden.style)} of what was taped."
    return [f"Moves: {', '.join(names)}.{rest}", "Everything else stays where it is drawn."]
