"""From tape to plan and from plan to stakes: readings, adjustment, misreadings, north, levels, setting out, as built.

The names below load what they need when they are first used, so that a garden can name its readings without the
engine.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOMES = {
    "accuracy": ("HANDLING", "Handling", "class_tolerance_m", "level_distance_m", "tape_sd_m", "worn_tape_m"),
    "asbuilt": ("BestFit", "Deviation", "Shift", "compare_lengths", "compare_points", "fit_plan_to_built"),
    "curves": (
        "chord_offset_m", "circle_points", "ellipse_by_string", "ellipse_offset_m", "points_along", "post_grid",
        "profile", "radius_m", "square_corner", "versed_sine_m",
    ),
    "earth": ("Earth", "balanced_level_m", "contours", "cut_and_fill"),
    "entry": ("BadLine", "Problem", "names_in", "parse_line", "parse_lines", "stake_id", "write_line"),
    "fixes": (
        "NoFix", "angle_of_cut_deg", "area_m2", "from_offset", "offset_of", "two_directions", "two_tape_sd_m",
        "two_tapes",
    ),
    "levels": ("Book", "RiseNet", "Steps", "adjust_rises", "fall", "levels_of", "reduce_book", "steps_for"),
    "marks": ("EIGHTHS", "HALF_CENTIMETRES", "MILLIMETRES", "SIXTEENTHS", "Marks", "marks_for"),
    "misread": ("Searched", "Suspect", "find_misreadings"),
    "network": ("Adjusted", "Check", "Ellipse", "Position", "adjust"),
    "next_tape": ("NextTape", "next_tapes"),
    "north": (
        "North", "Shadow", "declination_deg", "north_from_compass", "north_from_noon_line", "north_from_shadows",
    ),
    "readings": (
        "Bearing", "Distance", "Instrument", "Offset", "Paced", "Reading", "RightAngle", "Rise", "Seen",
        "SlopeDistance", "Staff", "Stake", "Straight", "Survey", "WallDistance", "points_of",
    ),
    "setout": ("Control", "Diagonal", "Placed", "SetOut", "Target", "Tie", "controls_of", "refix", "set_out"),
    "slips": ("Slip", "slips_of"),
    "traverse": ("Leg", "Traverse", "compass_rule", "walk"),
    "underlay": ("Underlay", "fit_underlay"),
    "_freedom": ("Swing",),
    "_mirror": ("MirrorQuestion",),
}  # fmt: skip
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}

__all__ = sorted(_HOME_OF)  # noqa: PLE0605


def __getattr__(name: str) -> Any:
    """Load a public name from its module."""
    home = _HOME_OF.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """List the public names."""
    return list(__all__)
