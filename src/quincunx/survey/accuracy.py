"""How good a reading is, by what it was taken with; and the corrections of a tape.

Tape tolerances are published (see :func:`class_tolerance_m`); what hands, knots and eyes add is
*common practice, no source*, gathered in :class:`Handling` so that one place holds it.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from quincunx.survey.readings import Instrument

_PRIMES = str.maketrans("′’″”", "''\"\"")
CLASSES_MM = {"I": (0.1, 0.1, 0.1), "II": (0.3, 0.2, 0.2), "III": (0.6, 0.4, 0.3)}
"""a, b and c of the tape classes [mm], length rounded up to whole metres; EU 2014/32/EU annex X, UK SI 2016/1153."""

REFERENCE_C = 20.0
"""Temperature at which a metric tape is true [deg C]; same source."""

STEEL_PER_C = 11.5e-6
"""Expansion of a steel tape [1/deg C]; from memory."""

SURE = 2.0
"""Nineteen times in twenty two readings agree within so many standard deviations (normal distribution)."""


@dataclass(frozen=True, slots=True)
class Handling:
    """What the hands and eyes of one careful person add, as standard deviations (common practice, no source)."""

    read_m: float = 0.004
    per_metre: float = 0.0003
    laser_m: float = 0.003
    eye_square_deg: float = 1.5
    set_square_deg: float = 0.3
    sight_line_m: float = 0.01
    pace_share: float = 0.03
    compass_deg: float = 1.0
    half_degree_deg: float = 0.5
    minute_deg: float = 0.03
    second_deg: float = 0.01
    needle_deg: float = 0.25
    staff_m: float = 0.002
    water_level_m: float = 0.003
    line_level_per_m: float = 0.003
    a_frame_per_m: float = 0.004


HANDLING = Handling()


def class_tolerance_m(tape_class: str, length_m: float, *, from_end_face: bool = False) -> float:
    """Return the largest error allowed to a tape of class I, II or III over ``length_m`` [m].

    The tolerance is a + b L with L rounded *up* to a whole metre; c is added when the interval starts at an
    end face.  References: Directive 2014/32/EU annex X (MI-008) chapter 1; UK SI 2016/1153 schedule 1I.
    """
    if tape_class not in CLASSES_MM:
        raise ValueError(f"a tape class is I, II or III; got {tape_class!r}")
    a, b, c = CLASSES_MM[tape_class]
    whole = math.ceil(round(abs(length_m), 9))
    return (a + b * whole + (c if from_end_face else 0.0)) / 1000.0


def tape_sd_m(length_m: float, tool: Instrument | None = None, handling: Handling = HANDLING) -> float:
    """Return the standard deviation [m] of a taped distance of ``length_m`` [m].

    The class tolerance is taken as the half width of an even spread (divided by root three); a tape of no
    known class counts as twice class III.  The hands are added in quadrature.
    """
    if tool is not None and tool.kind == "laser":
        return handling.laser_m
    tape_class = tool.tape_class if tool is not None else None
    tolerance = class_tolerance_m(tape_class or "III", length_m) * (1.0 if tape_class else 2.0)
    hands = handling.read_m + handling.per_metre * abs(length_m)
    return math.hypot(tolerance / math.sqrt(3.0), hands)


def begun_sd_m(length_m: float, step_m: float = 0.0) -> float:
    """Return the standard deviation [m] of a length that began a garden, written in steps of ``step_m`` [m].

    Nobody says then what it was taped with, nor over what: it counts as half as good as a tape (our own choice, no
    source).  What rounding leaves is an even spread over the step, divided by root twelve, added in quadrature.
    """
    return math.hypot(2.0 * tape_sd_m(length_m), step_m / math.sqrt(12.0))


def paced_sd_m(length_m: float, handling: Handling = HANDLING) -> float:
    """Return the standard deviation [m] of a paced distance of ``length_m`` [m]."""
    return max(0.3, handling.pace_share * length_m)


def rise_sd_m(length_m: float, kind: str | None = None, handling: Handling = HANDLING) -> float:
    """Return the standard deviation [m] of a difference in level over ``length_m`` [m] by an instrument kind."""
    if kind == "line_level":
        return max(0.005, handling.line_level_per_m * length_m)
    if kind == "a_frame":
        return max(0.005, handling.a_frame_per_m * length_m)
    if kind == "staff":
        return handling.staff_m * math.sqrt(2.0)
    return handling.water_level_m * math.sqrt(2.0)


def bearing_step_deg(typed: str) -> float:
    """Return how finely a bearing is written [deg]: 1 for 134 deg, 1/60 for N12°31'E, 1/3600 for 248°05'35".

    Minutes that are quarters of a degree count as such, for so a compass is read; nothing written counts as 1.
    """
    typed = typed.translate(_PRIMES)
    if '"' in typed:
        return 1.0 / 3600.0
    minutes = re.search(r"(\d+)\s*'", typed)
    if minutes:
        return 0.25 if int(minutes[1]) % 15 == 0 else 1.0 / 60.0
    places = re.search(r"\d[.,](\d+)", typed)
    if not places:
        return 1.0
    return 0.5 if places[1] in ("0", "5") else 10.0 ** -len(places[1])


def bearing_sd_deg(
    typed: str, kind: str | None = None, *, magnetic: bool = True, handling: Handling = HANDLING
) -> float:
    """Return the standard deviation [deg] of a bearing by how finely it is written and the instrument's ``kind``.

    A compass in the hand is never better than half a degree; whatever goes by a needle is no better than the needle,
    which wanders through the day and is drawn by iron (``needle_deg``).
    """
    step = bearing_step_deg(typed)
    by_step = ((0.9, handling.compass_deg), (0.05, handling.half_degree_deg), (0.005, handling.minute_deg))
    sd = next((sd for least, sd in by_step if step > least), handling.second_deg)
    if kind == "compass":
        return max(sd, handling.half_degree_deg)
    return max(sd, handling.needle_deg) if magnetic and kind != "theodolite" else sd


def worn_tape_m(read_m: float, marked_m: float, true_m: float) -> float:
    """Return the true distance [m] read as ``read_m`` on a tape marked ``marked_m`` that is truly ``true_m`` long."""
    if marked_m <= 0 or true_m <= 0:
        raise ValueError(f"a tape's lengths must be above zero; got {marked_m} m marked, {true_m} m true")
    return read_m * true_m / marked_m


def warmth_correction_m(
    read_m: float, tape_c: float, reference_c: float = REFERENCE_C, per_c: float = STEEL_PER_C
) -> float:
    """Return what to add [m] to a reading of a tape at ``tape_c`` [deg C]; ``per_c`` is its expansion [1/deg C]."""
    return per_c * read_m * (tape_c - reference_c)


def warmth_matters(length_m: float, tape_c: float, sd_m: float) -> bool:
    """Tell whether a steel tape's warmth changes a reading by more than a third of its standard deviation."""
    return abs(warmth_correction_m(length_m, tape_c)) > sd_m / 3.0


def sag_correction_m(span_m: float, weight_per_m: float, pull: float, spans: int = 1) -> float:
    """Return what to add [m] for sag: minus w^2 L^3 / (24 P^2) for each unsupported span.

    ``weight_per_m`` and ``pull`` share one unit of force.  Reference: university taping slides (see tests).
    """
    if pull <= 0:
        raise ValueError(f"the pull on a tape must be above zero; got {pull}")
    return -spans * weight_per_m**2 * span_m**3 / (24.0 * pull**2)


def pull_correction_m(length_m: float, pull: float, reference_pull: float, area: float, modulus: float) -> float:
    """Return what to add [m] when the pull differs from the tape's own: (P - P0) L / (A E), consistent units."""
    return (pull - reference_pull) * length_m / (area * modulus)


def level_distance_m(slope_m: float, fall_m: float) -> float:
    """Return the level distance [m] of a tape ``slope_m`` laid down a ``fall_m`` [m]."""
    if abs(fall_m) >= slope_m:
        raise ValueError(f"a tape of {slope_m:g} m can't fall {abs(fall_m):g} m; the fall must be less than the tape")
    return math.sqrt(slope_m**2 - fall_m**2)


def slope_parts_m(slope_m: float, slope_deg: float) -> tuple[float, float]:
    """Return the level distance and the rise [m] of a tape ``slope_m`` at an angle ``slope_deg`` to the level."""
    angle = math.radians(slope_deg)
    return slope_m * math.cos(angle), slope_m * math.sin(angle)
