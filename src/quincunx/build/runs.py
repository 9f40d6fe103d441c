"""Walls, fences, edgings and drains to parts: by the brick, the board, the metre or the hole they lie in.

How many bricks: faces of 215 x 65 mm with 10 mm joints, 59.3 a square metre for each half brick of thickness
(geometry; 60 is the usual trade figure, from memory).  Foundations, rails and wires: common practice, no source.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from typing import Any

from shapely import Point

from quincunx.build._data import line_row, slug
from quincunx.build.amounts import Line, Piece, TakeOff, Tally, Task
from quincunx.build.floors import timber
from quincunx.build.ground_rules import Ground, both
from quincunx.build.plates import how_laid, line_plates
from quincunx.shapes import LineWork

BRICK_M, BLOCK_M, JOINT_M = (0.215, 0.065, 0.1025), (0.44, 0.215, 0.1), 0.01
BRICK_KG, BLOCK_KG = 2.6, 18.0
"""Weight of one (from memory)."""
WALL_WASTE = 0.05
"""Breakage (Griffith, Carpentry, in the Building Trades Pocketbook: 5 in 100)."""
MORTAR_SHARE = 0.22
"""Mortar's share of brickwork with 10 mm joints (geometry: 1 less bricks' own volume)."""
LOW_M = 0.3
"""What is lower than this stands without a foundation of its own [m] (common practice, no source)."""
ON_A_STRIP, STRIP_M = frozenset({"bricks", "blocks", "stones"}), 0.15
"""What is laid on a strip of concrete, and how thick that is [m] (common practice, no source)."""
RAIL_M = (0.038, 0.087)
BAY_M, LEAST_BAY_M = 1.8, 0.2
"""How long rails are where no posts are given, and the least between two posts that takes one [m] (common practice, no source)."""


def run_take_off(work: LineWork, ground: Ground | None = None) -> TakeOff:
    """Return what a run along a line comes to; ``ground`` says how deep the strip under masonry goes."""
    row, tally = line_row(work.material), Tally()
    length = work.course.length
    if length > 0:
        _WAYS.get(str(row["by"]), _run)(tally, work, row, length)
        if stands_on_a_strip(work):
            _foundation(tally, work, length, ground or Ground())
    return tally.done()


def stands_on_a_strip(work: LineWork) -> bool:
    """Return whether a run is a wall that stands on a strip of concrete in the ground."""
    return str(line_row(work.material)["by"]) in ON_A_STRIP and work.height_m >= LOW_M


def bricks_per_m2(thickness_m: float) -> float:
    """Return the bricks in a square metre of wall of a thickness [m], to the nearest half brick."""
    leaves = max(round((thickness_m + JOINT_M) / (BRICK_M[2] + JOINT_M)), 1)
    return leaves / ((BRICK_M[0] + JOINT_M) * (BRICK_M[1] + JOINT_M))


def _foundation(tally: Tally, work: LineWork, length: float, ground: Ground) -> None:
    """Count the strip under a wall, dug as deep as pads are: to the frost, or what the code of the country asks for."""
    wide, deep = work.thickness_m + 0.3, ground.footing_depth_m
    volume = length * wide * STRIP_M
    tally.lines.append(
        Line("concrete", "concrete", "m3", volume, volume * 1.05, "builders' merchant", volume * 1.05 * 2400)
    )
    dug = length * wide * deep
    tally.dug_m3 += dug
    tally.tasks += [Task("dig", dug), Task("pour", volume), Task("barrow", dug)]
    tally.notes.append(
        f"foundation taken as a strip {both(wide)} wide and {both(STRIP_M)} thick, {both(deep)} down ({ground.why_so_deep});"
        f" the {both(deep - STRIP_M)} of wall between it and the ground are not counted; clay, trees near, filled ground and"
        " the wall's height may ask for more: your local code decides"
    )


def _bricks(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    del row
    area = length * work.height_m
    net = math.ceil(area * bricks_per_m2(work.thickness_m) - 1e-6)
    buy = math.ceil(net * (1 + WALL_WASTE) - 1e-6)
    how = "5 in 100 over for breakage"
    tally.lines.append(Line("wall-brick", "bricks", "each", net, buy, "builders' merchant", buy * BRICK_KG, how))
    mortar = area * work.thickness_m * MORTAR_SHARE
    tally.lines.append(Line("mortar", "mortar", "m3", mortar, mortar * 1.1, "builders' merchant", mortar * 1.1 * 2000))
    tally.tasks.append(Task("lay-bricks", net))


def _blocks(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    del row
    leaves = max(round(work.thickness_m / BLOCK_M[2]), 1) if work.thickness_m < 0.3 else 2
    net = math.ceil(length * work.height_m * leaves / ((BLOCK_M[0] + JOINT_M) * (BLOCK_M[1] + JOINT_M)) - 1e-6)
    buy = math.ceil(net * (1 + WALL_WASTE) - 1e-6)
    tally.lines.append(Line("wall-block", "concrete blocks", "each", net, buy, "builders' merchant", buy * BLOCK_KG))
    mortar = length * work.height_m * work.thickness_m * 0.07
    tally.lines.append(Line("mortar", "mortar", "m3", mortar, mortar * 1.1, "builders' merchant", mortar * 1.1 * 2000))
    tally.tasks.append(Task("lay-blocks", net))


def _stones(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    volume = length * work.height_m * work.thickness_m
    tally.lines.append(
        Line("walling-stone", "walling stone", "m3", volume, volume * 1.1, "stone yard", volume * 1.1 * 2000,
             "10 in 100 over for what doesn't fit")
    )  # fmt: skip
    if not row.get("dry"):
        tally.lines.append(
            Line("mortar", "mortar", "m3", volume * 0.2, volume * 0.22, "builders' merchant", volume * 0.22 * 2000)
        )
    tally.tasks.append(Task("lay-stones", volume))
    if row.get("retains"):
        _behind(tally, work, length)


def _behind(tally: Tally, work: LineWork, length: float) -> None:
    """Drain stone and a pipe behind a wall that holds back earth."""
    stone = length * work.height_m * 0.3
    tally.lines += [
        Line("drain-stone", "clean stone", "m3", stone, stone * 1.05, "builders' merchant", stone * 1.05 * 1600),
        Line("drain-pipe", "drain pipe with holes", "m", length, length * 1.05, "builders' merchant", length * 0.5),
        Line("filter-sheet", "filter sheet", "m2", length * (work.height_m + 0.6), length * (work.height_m + 0.6) * 1.1,
             "builders' merchant", length * 0.2),
    ]  # fmt: skip
    tally.tasks += [Task("trench", stone), Task("lay-pipe", length)]


def _poured(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    del row
    volume = length * work.height_m * work.thickness_m
    tally.lines.append(Line("concrete", "concrete", "m3", volume, volume * 1.05, "builders' merchant", volume * 2520))
    tally.tasks.append(Task("pour", volume))


def _fence_boards(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    """Count upright boards (lapped or with gaps) and the rails they hang on, a rail from end to end in each row."""
    wide, thick = row["board_m"]
    boards = math.ceil(length / (wide - row["lap_m"]) - 1e-6)
    item = f"fence-board-{wide * 1000:.0f}x{thick * 1000:.0f}"
    tally.pieces.append(Piece(item, "board", work.height_m, boards, (thick, wide), "fence board", "timber yard", 500.0))
    rails = max(math.ceil(work.height_m / row["rails_every_m"] - 1e-6), 2)
    sides = _sides(work)
    for bay, count in sorted(Counter(_bays(work, sides)).items(), reverse=True):
        tally.pieces.append(timber("rail", bay, RAIL_M, "timber", rails * count))
    nails = boards * rails * 2
    words = "galvanised nails or screws"
    tally.lines.append(Line("galvanised-nail", words, "each", nails, nails, "builders' merchant", nails * 0.005))
    tally.tasks += [Task("board", boards), Task("frame", rails * len(sides))]


def _bays(work: LineWork, sides: list[float]) -> list[float]:
    """Return how far apart the posts are between which rails run [m], to the millimetre; 1.8 m where none are given."""
    if not work.posts:
        counts = [(side, max(math.ceil(side / BAY_M - 1e-6), 1)) for side in sides]
        return [round(side / n, 3) for side, n in counts for _ in range(n)]
    line = work.course
    at = sorted({0.0, line.length, *(round(line.project(Point(p)), 4) for p in work.posts)})
    return [round(b - a, 3) for a, b in pairwise(at) if b - a > LEAST_BAY_M]


def _sides(work: LineWork) -> list[float]:
    return [math.dist(a, b) for a, b in work.sides]


def _mesh(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    high = f"{work.height_m * 100:.0f}"
    tally.lines.append(
        Line(f"{row['item']}-{high}", f"{row['words']}, {high} cm high", "m", length, length * 1.05, "farm supplier",
             length * work.height_m * 1.2, "5 in 100 over for ends and laps")
    )  # fmt: skip
    if row["wires"]:
        run = length * row["wires"]
        tally.lines.append(Line("fence-wire", "straining wire", "m", run, run * 1.05, "farm supplier", run * 0.04))
    if row.get("stakes"):
        tally.lines.append(
            Line("stake", "stakes", "each", row["stakes"], row["stakes"], "farm supplier", row["stakes"] * 2.0)
        )
    tally.tasks.append(Task(row["task"], 1 if row["task"] == "set-guard" else length))


def _wires(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    rows = max(math.ceil(work.height_m / row["every_m"] - 1e-6), 1)
    run = rows * length
    tally.lines.append(
        Line("fence-wire", "fence wire", "m", run, run * 1.05, "farm supplier", run * 0.04, f"{rows} rows")
    )
    tally.tasks.append(Task(row["task"], length))


def _panels(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    del length
    count = sum(math.ceil(side / row["panel_m"] - 1e-6) for side in _sides(work))
    high = f"{work.height_m * 100:.0f}"
    tally.lines.append(
        Line(f"{row['item']}-{high}", f"{row['words']} {row['panel_m']:g} m wide, {high} cm high", "each", count, count,
             "garden supplier", count * 8.0)
    )  # fmt: skip
    tally.tasks.append(Task(row["task"], count))


def _sheet(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    area = length * work.height_m
    if how_laid(row) is not None:
        tally.plates += line_plates(work, _sides(work), row)
        tally.tasks.append(Task(row["task"], area if row["task"] == "glaze" else length))
        return
    kg = area * float(row.get("kg_m2", 0.5))
    tally.lines.append(Line(row["item"], row["words"], "m2", area, area * 1.1, "garden supplier", kg, "10 in 100 over"))
    tally.tasks.append(Task(row["task"], area if row["task"] == "glaze" else length))


def _stacked(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    """Stack boards on edge, course on course, screwed to pegs in the corners and about every 1.2 m.

    Boards an inch thick need a stake about every 4 ft (D. Berle, R. Westerfield, University of Georgia, Raised Garden
    Bed Dimensions).
    """
    wide = row["board_m"][0]
    thick = work.thickness_m if 0.015 <= work.thickness_m <= 0.3 else row["board_m"][1]
    courses = max(math.ceil(work.height_m / wide - 0.05), 1)
    deep = work.height_m / courses
    sides = _sides(work)
    for side in sides:
        pieces = max(math.ceil(side / 4.8 - 1e-6), 1)
        tally.pieces.append(timber("side board", side / pieces, (thick, deep), "timber", pieces * courses))
    corners = len(sides) if work.closed else len(sides) + 1
    between = sum(max(math.ceil(side / 1.2 - 1e-6) - 1, 0) for side in sides)
    tally.pieces.append(timber("peg", work.height_m + 0.3, (0.05, 0.05), "timber", corners + between))
    screws = (corners * 2 + between) * courses * 2
    tally.lines.append(Line("screw", "outdoor screws", "each", screws, screws, "builders' merchant", screws * 0.01))
    tally.tasks += [Task("edge", length * courses), Task("board", corners + between)]
    if row.get("retains"):
        _behind(tally, work, length)


def _run(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    item = str(row.get("item") or slug(work.material))
    tally.lines.append(
        Line(item, str(row.get("words", work.material)), "m", length, length * 1.05, "garden supplier", length * 2.0,
             "5 in 100 over for ends and laps")
    )  # fmt: skip
    if row.get("pegs_m"):
        pegs = math.ceil(length / row["pegs_m"] - 1e-6) + 1
        tally.lines.append(Line("peg", "pegs", "each", pegs, pegs, "garden supplier", pegs * 0.3))
    tally.tasks.append(Task(str(row.get("task", "edge")), length))


def _edge_units(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    unit = row["unit_m"]
    net = math.ceil(length / (unit[0] + row["joint_m"]) - 1e-6)
    item = f"{row['item']}-{unit[0] * 1000:.0f}x{unit[1] * 1000:.0f}"
    buy = math.ceil(net * 1.05 - 1e-6)
    kg = buy * unit[0] * max(work.height_m, unit[1]) * work.thickness_m * 2100
    tally.lines.append(
        Line(item, row["words"], "each", net, buy, "builders' merchant", kg, "5 in 100 over for breakage")
    )
    bed = length * 0.15 * 0.1
    tally.lines.append(Line("concrete", "concrete", "m3", bed, bed * 1.05, "builders' merchant", bed * 2520))
    tally.tasks.append(Task(row["task"], length))


def _drain(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    """Dig a trench, line it, lay a pipe on clean stone and cover it: nothing but a pipe where the run is a pipe."""
    del row
    dug = length * work.thickness_m * work.height_m
    tally.dug_m3 += dug
    pipe = "pipe" in work.material
    if not pipe:
        stone = dug * 0.9
        cloth = length * (2 * work.height_m + 2 * work.thickness_m)
        tally.lines += [
            Line("drain-stone", "clean stone", "m3", stone, stone * 1.05, "builders' merchant", stone * 1.05 * 1600),
            Line("filter-sheet", "filter sheet", "m2", cloth, cloth * 1.1, "builders' merchant", cloth * 0.2),
        ]
    if "soakaway" not in work.material:
        words = "drain pipe" if pipe else "drain pipe with holes"
        tally.lines.append(Line(slug(words), words, "m", length, length * 1.05, "builders' merchant", length * 0.5))
    tally.tasks += [Task("trench", dug), Task("lay-pipe", length)]


def _pipe(tally: Tally, work: LineWork, row: dict[str, Any], length: float) -> None:
    dug = length * max(work.thickness_m, 0.2) * work.height_m
    tally.lines += [
        Line(row["item"], row["words"], "m", length, length * 1.05, "builders' merchant", length * 0.4),
        Line("warning-tape", "warning tape", "m", length, length * 1.05, "builders' merchant", length * 0.01),
    ]
    tally.tasks += [Task("trench", dug), Task("lay-pipe", length)]


_WAYS: dict[str, Callable[[Tally, LineWork, dict[str, Any], float], None]] = {
    "bricks": _bricks, "blocks": _blocks, "stones": _stones, "poured": _poured, "fence-boards": _fence_boards,
    "mesh": _mesh, "wires": _wires, "panels": _panels, "sheet": _sheet, "stacked-boards": _stacked,
    "edge-units": _edge_units, "drain-trench": _drain, "duct-trench": _pipe, "run": _run,
}  # fmt: skip
