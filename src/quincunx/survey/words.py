"""Plain sentences about a survey, for the board and the sheets.  No term of the trade that needs explaining."""

from __future__ import annotations

import math
from collections.abc import Mapping

from quincunx.survey._freedom import Swing
from quincunx.survey._mirror import MirrorQuestion
from quincunx.survey.accuracy import REFERENCE_C, bearing_step_deg, tape_sd_m, warmth_correction_m, warmth_matters
from quincunx.survey.asbuilt import Deviation
from quincunx.survey.level_slips import LevelSuspect
from quincunx.survey.misread import Suspect
from quincunx.survey.network import Position
from quincunx.survey.next_tape import NextTape
from quincunx.survey.north import North
from quincunx.survey.readings import Bearing, Instrument, Reading, points_of
from quincunx.survey.setout import Diagonal, Placed
from quincunx.survey.slips import Kind, Slip
from quincunx.units.length import format_length
from quincunx.units.style import Style

MINUTE_DEG = 1.0 / 60.0
TENTH_DEG = 0.1
METRE_FROM_M = 0.995
"""From here on centimetres are no longer what people count in [m]."""
Names = Mapping[str, str]
"""Stake ids to the names written on the stakes."""

_SLIPS = {
    "swapped": "swapped digits?",
    "miscounted": "miscounted by one?",
    "feet_for_metres": "feet taken for metres, or the other way?",
    "inches_as_tenths": "inches written as tenths of a foot?",
    "zero_end": "the tape's zero not at its end?",
    "look_alike": "a digit that looks like another?",
    "wrong_stake": "the wrong stake?",
}


def slip_kind(kind: Kind) -> str:
    """Return in a few words what slip of pen, eye or tape that is."""
    return _SLIPS[kind].removesuffix("?")


def name_of(stake: str, names: Names) -> str:
    """Return the name on a stake, or its id."""
    return names.get(stake, stake)


def small(metres: float, style: Style) -> str:
    """Write a small distance [m] as people say it: centimetres, or inches."""
    if style.system == "feet":
        return format_length(metres, style, precision=8 if metres < 0.05 else 2)
    if metres >= METRE_FROM_M:
        return format_length(metres, style)
    return f"{max(1, round(metres * 1000))} mm" if metres < 0.0095 else f"{max(1, round(metres * 100))} cm"


def close(metres: float, style: Style) -> str:
    """Write how far something is out [m], to the millimetre below ten centimetres: what a builder mends by."""
    if style.system == "metric" and metres < 0.0995:
        return f"{max(1, round(metres * 1000))} mm"
    return small(metres, style)


def sure(position: Position, style: Style) -> str:
    """Return "sure to within 4 cm"."""
    return f"sure to within {small(max(position.sure_m, 0.001), style)}"


def swing(s: Swing, names: Names) -> str:
    """Return what to tape so that a stake stops moving."""
    stake = name_of(s.stake, names)
    if s.untied:
        if not s.tapes:
            return f"stake {stake} isn't tied to anything yet: tape it to two others"
        return f"stake {stake} isn't tied to anything yet: tape {stake} to " + " and to ".join(
            name_of(b, names) for _, b in s.tapes
        )
    return f"stake {stake} can still swing: tape {stake} to " + " or ".join(name_of(b, names) for _, b in s.tapes)


def mirror(q: MirrorQuestion, names: Names) -> str:
    """Return the mirror question."""
    start, end, point = (name_of(s, names) for s in (q.start, q.end, q.point))
    return f"Stand at {start} and look at {end}: is {point} on your left or on your right?"


def reading(r: Reading, names: Names) -> str:
    """Return how a reading is called in a sentence: its stakes joined by a dash."""
    return "\N{EN DASH}".join(name_of(p, names) for p in points_of(r))


def suspect(s: Suspect, readings: Mapping[str, Reading], names: Names, style: Style) -> str:
    """Return what is wrong with a reading that doesn't fit, and what to do."""
    r = readings[s.reading]
    if isinstance(r, Bearing):
        text = _bearing(s, r, names)
    elif r.type == "right_angle":
        text = f"{reading(r, names)} doesn't fit the other readings: take it again."
    else:
        said = format_length(abs(s.likely), style, kind="tape") + _hand(s)
        who = f" ({r.by})" if r.by else ""
        text = f"{reading(r, names)} reads {_read(r, s, style)}{who}, but the others say {said}: tape it again."
        if s.slips:
            text += " " + slip(s.slips[0], _read(r, s, style), names, style)
    if s.together:
        others = " or ".join(reading(readings[i], names) for i in s.together)
        text += f" It could also be {others}."
        if s.decide:
            a, b = (name_of(p, names) for p in s.decide)
            text += f" Tape {a} to {b}: that would tell."
    return text


def _bearing(s: Suspect, r: Bearing, names: Names) -> str:
    """Return what is wrong with a bearing: what it reads, what the others say in its own count, the slip it may be."""
    likely = (r.bearing_deg + math.degrees(s.likely - s.value)) % 360.0
    step = bearing_step_deg(r.typed)
    read = turn(r.bearing_deg, step)
    text = f"{reading(r, names)} reads {read}, but the others say {turn(likely, max(step, TENTH_DEG))}: take it again."
    return text + bearing_slip(r.bearing_deg, likely, math.degrees(s.sd))


def turn(degrees: float, step_deg: float) -> str:
    """Write a direction to whole degrees, tenths, minutes or seconds, as finely as ``step_deg``."""
    if step_deg > MINUTE_DEG * 1.5:
        text = f"{round(degrees, 0 if step_deg >= 1.0 else 1) % 360.0:.{0 if step_deg >= 1.0 else 1}f}"
        return f"{text}°"
    if step_deg >= MINUTE_DEG:
        minutes = round(degrees * 60.0) % 21_600
        return f"{minutes // 60}°{minutes % 60:02d}'"
    seconds = round(degrees * 3600.0) % 1_296_000
    return f"{seconds // 3600}°{seconds // 60 % 60:02d}'{seconds % 60:02d}\""


def angle(degrees: float) -> str:
    """Write a small angle [deg] as people say it: degrees, minutes or seconds."""
    if degrees >= TENTH_DEG / 2:
        return f"{max(degrees, TENTH_DEG):.1f}°"
    if degrees >= MINUTE_DEG:
        return f"{degrees * 60.0:.0f}' of a degree"
    return f'{max(1, round(degrees * 3600.0))}" of a degree'


def bearing_meant(r: Bearing, s: Suspect) -> float | None:
    """Return the bearing [deg] that was likely meant: its whole degrees with two digits the other way round."""
    likely = (r.bearing_deg + math.degrees(s.likely - s.value)) % 360.0
    if bearing_step_deg(r.typed) < 1.0 or "Swapped" not in bearing_slip(r.bearing_deg, likely, math.degrees(s.sd)):
        return None
    return min(_swapped(r.bearing_deg), key=lambda d: abs((d - likely + 180.0) % 360.0 - 180.0))


def _swapped(degrees: float) -> list[float]:
    """Return whole degrees with two neighbouring digits the other way round."""
    digits = f"{degrees:.0f}"
    made = [digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :] for i in range(len(digits) - 1)]
    return [float(d) for d in made if d != digits and float(d) < 360.0]


def bearing_slip(read_deg: float, likely_deg: float, sd_deg: float) -> str:
    """Return the usual slip by which a bearing could come to be read so, as a question; nothing where none fits.

    The slips are common practice, no source.
    """
    room = max(3.0 * sd_deg, 1.0)

    def fits(degrees: float) -> bool:
        return abs((degrees - likely_deg + 180.0) % 360.0 - 180.0) <= room

    if fits(read_deg + 180.0):
        return " Read from the other end, or by the other end of the needle?"
    if any(fits(d) for d in _swapped(read_deg)):
        return " Swapped digits?"
    if any(fits(read_deg + ten) for ten in (10.0, -10.0, 20.0, -20.0, 100.0, -100.0)):
        return " Tens of degrees miscounted?"
    return " Counted the other way round?" if fits(-read_deg) else ""


def _hand(s: Suspect) -> str:
    """Return on which hand the others say it is, where that is the other one."""
    if s.part != "offset" or s.likely * s.value >= 0.0:
        return ""
    return " on the " + ("right" if s.likely > 0.0 else "left")


def _read(r: Reading, s: Suspect, style: Style) -> str:
    lengths = {"along": getattr(r, "along", None), "offset": getattr(r, "offset", None)}
    written = lengths.get(s.part) if s.part else getattr(r, "length", None)
    return (written.typed if written is not None else None) or format_length(abs(s.value), style, kind="tape")


def slip(s: Slip, read: str, names: Names, style: Style) -> str:
    """Return "swapped digits? 12.43 would fit as 12.34"."""
    if s.kind == "wrong_stake" and s.stake is not None:
        return f"The wrong stake? {read} would fit {name_of(s.stake, names)}."
    meant = s.text or format_length(s.value_m, style, kind="tape")
    question = _SLIPS[s.kind]
    return f"{question[0].upper()}{question[1:]} {read} would fit as {meant}."


def worth_taping(n: NextTape, style: Style) -> bool:
    """Return whether what a further tape brings shows in the words that tell it."""
    return close(n.after_m, style) != close(n.before_m, style)


def next_tape(n: NextTape, names: Names, style: Style) -> str:
    """Return what to measure next and what it brings."""
    a, b, s = (name_of(p, names) for p in (n.start, n.end, n.stake))
    after, before = small(n.after_m, style), small(n.before_m, style)
    if after == before:
        after, before = (close(m, style) for m in (n.after_m, n.before_m))
    gain = f"{s} would be sure to within {after} instead of {before}"
    return f"Next, tape {a} to {b} (about {format_length(n.length_m, style)}): {gain}."


def north(n: North) -> str:
    """Return how sure the north is."""
    if n.sd_deg is None:
        return "North rests on one reading: take another, an hour or more later."
    if not n.agree:
        return "The readings for north differ by more than 2 degrees: take them again."
    return f"North is sure to within {max(2.0 * n.sd_deg, 0.1):.1f} degrees."


def placed(p: Placed, names: Names, style: Style) -> str:
    """Return how to set one point: two tapes, the hand, the check."""
    la, lb = (format_length(t.mark_m, style, kind="tape") for t in p.ties)
    na, nb = (name_of(t.stake, names) for t in p.ties)
    text = f"{name_of(p.id, names)}: {la} from {na}, {lb} from {nb}, on the {p.side} as you look from {na} to {nb}."
    if p.check is not None:
        text += (
            f" Check: {format_length(p.check.mark_m, style, kind='tape')} from {name_of(p.check.stake, names)},"
            f" to within {small(p.check_within_m, style)}."
        )
    return text


def diagonal(d: Diagonal, names: Names, style: Style) -> str:
    """Return a check between two points that were set out."""
    a, b = name_of(d.start, names), name_of(d.end, names)
    return f"{a} to {b} must read {format_length(d.mark_m, style, kind='tape')}, to within {small(d.within_m, style)}."


def as_planned(off_m: float, style: Style) -> bool:
    """Return whether a length is off by less than its tape can be read [m]: half a millimetre, a sixteenth of an inch."""
    return abs(off_m) < (0.0254 / 16 + 1e-6 if style.system == "feet" else 0.0005)


def deviation(d: Deviation, names: Names, style: Style) -> str:
    """Return how a length came out."""
    a, b = name_of(d.start, names), name_of(d.end, names)
    off = close(abs(d.off_m), style)
    if as_planned(d.off_m, style):
        return f"{a} to {b} is as planned."
    hand = "long" if d.off_m > 0 else "short"
    end = {
        "within": "that is within what is allowed",
        "outside": f"more than the {close(d.tolerance_m, style)} allowed",
        "unsure": f"about the {close(d.tolerance_m, style)} allowed: tape it once more",
    }[d.state]
    return f"{a} to {b} is {off} too {hand}: {end}."


def level_suspect(s: LevelSuspect, readings: Mapping[str, Reading], names: Names, style: Style) -> str:
    """Return which difference in level doesn't fit, and what it probably was."""
    a, b = name_of(s.start, names), name_of(s.end, names)
    read, said = (_rises(m, style) for m in (s.value_m, s.likely_m))
    text = f"{a} to {b} {read}, but the others say it {said}: read it again."
    if s.upside_down:
        text += " A rise written as a fall, or the other way?"
    elif s.slips:
        text += f" {_SLIPS[s.slips[0].kind].capitalize()} {_rises(s.slips[0].value_m, style).capitalize()} would fit."
    if s.together:
        others = " or ".join(reading(readings[i], names) for i in s.together)
        text += f" It could also be {others}."
    return text


def _rises(metres: float, style: Style) -> str:
    return f"{'rises' if metres >= 0 else 'falls'} {format_length(abs(metres), style, kind='tape')}"


def warm_tape(tool: Instrument, longest_m: float, style: Style) -> str:
    """Return what was put right for a steel tape's warmth, where that is more than its hands leave; else nothing."""
    if not tool.steel or tool.warmth is None or not warmth_matters(longest_m, tool.warmth, tape_sd_m(longest_m, tool)):
        return ""
    off = close(abs(warmth_correction_m(longest_m, tool.warmth)), style)
    hand = "cold" if tool.warmth < REFERENCE_C else "warm"
    far = format_length(longest_m, style)
    return f"{tool.name} was {hand} ({tool.warmth:g} °C; it is true at {REFERENCE_C:g}): {off} in {far}. Its readings are put right for that."
