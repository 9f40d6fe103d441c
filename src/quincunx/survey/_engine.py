"""The engine's public names in one place; loading this loads NumPy."""

from __future__ import annotations

from quincunx.survey._freedom import (
    Swing,
)
from quincunx.survey._mirror import (
    MirrorQuestion,
)
from quincunx.survey.accuracy import (
    HANDLING,
    Handling,
    class_tolerance_m,
    level_distance_m,
    tape_sd_m,
    worn_tape_m,
)
from quincunx.survey.asbuilt import (
    BestFit,
    Deviation,
    Shift,
    compare_lengths,
    compare_points,
    fit_plan_to_built,
)
from quincunx.survey.curves import (
    chord_offset_m,
    circle_points,
    ellipse_by_string,
    ellipse_offset_m,
    points_along,
    post_grid,
    profile,
    radius_m,
    square_corner,
    versed_sine_m,
)
from quincunx.survey.earth import (
    Earth,
    balanced_level_m,
    contours,
    cut_and_fill,
)
from quincunx.survey.fixes import (
    NoFix,
    angle_of_cut_deg,
    area_m2,
    from_offset,
    offset_of,
    two_directions,
    two_tape_sd_m,
    two_tapes,
)
from quincunx.survey.levels import (
    Book,
    RiseNet,
    Steps,
    adjust_rises,
    fall,
    levels_of,
    reduce_book,
    steps_for,
)
from quincunx.survey.marks import (
    EIGHTHS,
    HALF_CENTIMETRES,
    MILLIMETRES,
    SIXTEENTHS,
    Marks,
    marks_for,
)
from quincunx.survey.misread import (
    Searched,
    Suspect,
    find_misreadings,
)
from quincunx.survey.network import (
    Adjusted,
    Check,
    Ellipse,
    Position,
    adjust,
)
from quincunx.survey.next_tape import (
    NextTape,
    next_tapes,
)
from quincunx.survey.north import (
    North,
    Shadow,
    declination_deg,
    north_from_compass,
    north_from_noon_line,
    north_from_shadows,
)
from quincunx.survey.setout import (
    Control,
    Diagonal,
    Placed,
    SetOut,
    Target,
    Tie,
    controls_of,
    refix,
    set_out,
)
from quincunx.survey.slips import (
    Slip,
    slips_of,
)
from quincunx.survey.traverse import (
    Leg,
    Traverse,
    compass_rule,
    walk,
)
from quincunx.survey.underlay import (
    Underlay,
    fit_underlay,
)

__all__ = [
    "EIGHTHS",
    "HALF_CENTIMETRES",
    "HANDLING",
    "MILLIMETRES",
    "SIXTEENTHS",
    "Adjusted",
    "BestFit",
    "Book",
    "Check",
    "Control",
    "Deviation",
    "Diagonal",
    "Earth",
    "Ellipse",
    "Handling",
    "Leg",
    "Marks",
    "MirrorQuestion",
    "NextTape",
    "NoFix",
    "North",
    "Placed",
    "Position",
    "RiseNet",
    "Searched",
    "SetOut",
    "Shadow",
    "Shift",
    "Slip",
    "Steps",
    "Suspect",
    "Swing",
    "Target",
    "Tie",
    "Traverse",
    "Underlay",
    "adjust",
    "adjust_rises",
    "angle_of_cut_deg",
    "area_m2",
    "balanced_level_m",
    "chord_offset_m",
    "circle_points",
    "class_tolerance_m",
    "compare_lengths",
    "compare_points",
    "compass_rule",
    "contours",
    "controls_of",
    "cut_and_fill",
    "declination_deg",
    "ellipse_by_string",
    "ellipse_offset_m",
    "fall",
    "find_misreadings",
    "fit_plan_to_built",
    "fit_underlay",
    "from_offset",
    "level_distance_m",
    "levels_of",
    "marks_for",
    "next_tapes",
    "north_from_compass",
    "north_from_noon_line",
    "north_from_shadows",
    "offset_of",
    "points_along",
    "post_grid",
    "profile",
    "radius_m",
    "reduce_book",
    "refix",
    "set_out",
    "slips_of",
    "square_corner",
    "steps_for",
    "tape_sd_m",
    "two_directions",
    "two_tape_sd_m",
    "two_tapes",
    "versed_sine_m",
    "walk",
    "worn_tape_m",
]
