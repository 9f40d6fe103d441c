"""Frames, kits and plants to parts: pieces with what sawing their ends takes, pads and holes, fixings."""

from __future__ import annotations

import math

from quincunx.build._data import frame_row, slug
from quincunx.build.amounts import Line, TakeOff, Tally, Task
from quincunx.build.floors import timber
from quincunx.build.ground_rules import Ground, both
from quincunx.plants.raising import OWN_STOCK
from quincunx.shapes import FrameWork, KitWork, LiftWork, Member, PlantWork

MIX_FT3 = {18.144: 0.30, 27.216: 0.45, 36.287: 0.60}
"""What a bag of dry concrete mix of 40, 60 or 80 lb [kg] makes [ft3] (construction handbook pages, read)."""
FT3_M3 = 0.3048**3
TREES = ("tree",)
RAISED = tuple(OWN_STOCK.values())
WHIPS = ("bare root", "bare root or plug")


def length_of(member: Member) -> float:
    """Return the length a piece is sawn to [m]: from end to end, with what its sloping ends take."""
    return math.dist(member.start, member.end) + member.more_m


def mix_bags(volume_m3: float, bag_kg: float) -> int:
    """Return the bags of dry mix (40, 60 or 80 lb, as kg) for a volume [m3]; KeyError for another bag."""
    nearest = min(MIX_FT3, key=lambda kg: abs(kg - bag_kg))
    if abs(nearest - bag_kg) > 0.1:
        raise KeyError(bag_kg)
    return math.ceil(volume_m3 / (MIX_FT3[nearest] * FT3_M3) - 1e-6)


def hole_concrete_m3(across_m: float, deep_m: float, post_m: float = 0.0) -> float:
    """Return the concrete of a round hole less a square post in it [m3]."""
    return max(math.pi / 4 * across_m**2 - post_m**2, 0.0) * deep_m


def frame_take_off(work: FrameWork, ground: Ground | None = None) -> TakeOff:
    """Return the pieces of a frame, its fixings, and what its posts stand in."""
    tally, deep = Tally(), (ground or Ground()).footing_depth_m
    for m in work.members:
        _member(tally, m)
    below = [m for m in work.members if m.support == "post" and min(m.start[2], m.end[2]) < -0.05]
    sunk = [] if work.on_pads else below
    pads = [] if sunk else work.footings
    volume = (
        sum(hole_concrete_m3(work.hole_m, -min(m.start[2], m.end[2]), min(m.section_m)) * m.count for m in sunk)
        + len(pads) * work.pad_m**2 * deep
    )
    if volume:
        tally.lines.append(
            Line("concrete", "concrete", "m3", volume, volume * 1.05, "builders' merchant", volume * 1.05 * 2400,
                 f"{len(sunk) or len(pads)} {'holes less the posts' if sunk else 'pads'}")
        )  # fmt: skip
    holes = sum(m.count for m in sunk)
    dug = holes * math.pi / 4 * work.hole_m**2 * 0.6 + len(pads) * work.pad_m**2 * deep
    tally.dug_m3 += dug
    tally.tasks += [Task("post-hole", holes), Task("footing", len(pads))]
    if pads:
        tally.lines.append(
            Line(
                "post-base",
                "post bases, galvanised",
                "each",
                len(pads),
                len(pads),
                "builders' merchant",
                len(pads) * 1.5,
            )
        )
        known = ground is not None and ground.frost_known
        why = (
            "to below the frost depth written down" if known else "no frost depth is known, so your local code says it"
        )
        tally.notes.append(f"pads {both(work.pad_m)} square and {both(deep)} deep: {why}")
    _fixings(tally, work)
    tally.notes += work.assumes
    return tally.done()


def _member(tally: Tally, m: Member) -> None:
    row = frame_row(m.material)
    if "run" in row:
        run = length_of(m) * m.count
        tally.lines.append(Line(row["run"], row["words"], "m", run, run * 1.05, row["shop"], run * 0.04))
        tally.tasks.append(Task("hang-mesh", run))
        return
    piece = timber(m.name, length_of(m), m.section_m, m.material, m.count)
    tally.pieces.append(piece)
    small = max(m.section_m) * min(m.section_m) < 0.0035
    tally.tasks += [Task("cut-timber", m.count), Task("board" if small else "frame", m.count)]


def _fixings(tally: Tally, work: FrameWork) -> None:
    for joint in work.joints:
        for what, each in joint.fixings:
            count = each * joint.count
            tally.lines.append(Line(slug(what), what, "each", count, count, "builders' merchant", count * 0.1))
    if not work.joints:
        screws = 4 * sum(m.count for m in work.members if m.support != "post" and "run" not in frame_row(m.material))
        if screws:
            tally.lines.append(
                Line("screw", "outdoor screws", "each", screws, screws, "builders' merchant", screws * 0.01)
            )


def kit_take_off(work: KitWork) -> TakeOff:
    """Return a kit, or a thing bought whole, as one thing to buy, with the hours its weight suggests."""
    tally = Tally()
    if work.what and work.price is None and work.weight_kg is None:
        tally.lines.append(Line(slug(work.what), work.what, "each", 1, 1, "garden supplier"))
        tally.tasks.append(Task("hang-panel", 1))
        return tally.done()
    kg = work.weight_kg or 0.0
    tally.lines.append(
        Line(f"kit-{work.owner}", work.what or "the kit, as its maker states it", "each", 1, 1, "kit maker", kg)
    )
    tally.tasks.append(Task("kit-hour", (kg or 100.0) / 10))
    if work.base:
        tally.notes.append(f"its maker asks for this base: {work.base}; it is not counted here unless it is drawn")
    if work.people is not None and work.people > 1:
        tally.notes.append(f"its maker says {work.people} people put it up")
    if work.weight_kg is None:
        tally.notes.append("the maker states no weight: hours are taken for 100 kg")
    return tally.done()


YOUNG_YEARS = 5.0
"""Plants that were set longer ago than this have a stump and wide roots (our own choice) [years]."""


def lift_take_off(work: LiftWork) -> TakeOff:
    """Return the hours of digging plants out again for an opening: nothing is bought, and what is lifted can be used."""
    many, young = len(work.at), work.years <= YOUNG_YEARS
    what = "1 plant stands" if many == 1 else f"{many} plants stand"
    note = f"{what} in the way of the opening and {'is' if many == 1 else 'are'} dug out for it: the hours are counted here"
    return TakeOff(tasks=(Task("lift-plant" if young else "grub-out", many),), notes=(note,))


def plants_take_off(work: PlantWork) -> TakeOff:
    """Return the plants to buy: as many as there are places, and 5 in 100 more of small bare-rooted ones.

    What is raised at home is not bought; raising it takes time, in a nursery row a job of its own.
    """
    if work.stock in RAISED:
        note = f"{work.count} young plants of {work.plant} are raised at home: begin more than that, some fail"
        raising = (Task("raise-plant", work.count),) if work.stock == OWN_STOCK["own"] else ()
        return TakeOff((), tasks=(*raising, Task("plant-whip", work.count)), notes=(note,))
    small = work.stock in WHIPS and work.count >= 20
    buy = math.ceil(work.count * (1.05 if small else 1.0) - 1e-6)
    norm = "plant-tree" if work.stock in TREES else "plant-whip" if work.stock in WHIPS else "plant-pot"
    how = "5 in 100 over for losses (common practice, no source)" if small else ""
    line = Line(f"plant-{work.plant}", work.plant, "each", work.count, buy, "nursery", 0.0, how)
    return TakeOff((line,), tasks=(Task(norm, work.count),))
