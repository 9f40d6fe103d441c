"""What a roof's slopes give: slabs, gable ends, rafters, covering and their drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import LineString, Point, Polygon

from quincunx.features._plan import outline_figure, xy
from quincunx.features._slopes import FAR_M, TOUCH_M, Slope, ridges
from quincunx.shapes import (
    AreaWork,
    Figure,
    Height,
    Layer,
    Member,
    Monthly,
    PathFigure,
    Slab,
    Solid,
    every_month,
)


def roof_solids(
    owner: str,
    roof: Sequence[Slope],
    eaves_z_m: float,
    thick_m: float,
    *,
    light: Monthly,
    seen: Monthly,
    sheds_to: str | None,
) -> tuple[Solid, ...]:
    """Return one slab a slope; its underside meets the eaves at ``eaves_z_m`` over the site's datum [m].

    ``light`` is the share of sunlight let through and ``seen`` the share of a view it blocks, by month.
    """
    out = []
    for n, slope in enumerate(roof, start=1):
        low, high = slope.rises_m()
        up = thick_m * slope.steep
        base, top = Height(eaves_z_m + low, "site"), Height(eaves_z_m + high + up, "site")
        form = Slab(slope.plane(eaves_z_m, up), thick_m)
        out.append(Solid(owner, f"roof{n}", slope.area, base, top, form, 0.0, False, seen, light, sheds_to))
    return tuple(out)


def fill_solids(
    owner: str,
    walls: Sequence[Polygon],
    roof: Sequence[Slope],
    eaves_z_m: float,
    *,
    light: float = 0.0,
    from_m: float = 0.0,
    part: str = "gable",
) -> tuple[Solid, ...]:
    """Return what closes walls up to the slopes (gable ends, the high side of a single pitch).

    It begins ``from_m`` above the eaves, which lie at ``eaves_z_m`` over the site's datum; ``light`` is let through.
    """
    out = []
    for w, wall in enumerate(walls, start=1):
        for n, slope in enumerate(roof, start=1):
            piece = wall.intersection(slope.area)
            high = slope.rises_m(piece)[1] if isinstance(piece, Polygon) and not piece.is_empty else 0.0
            if not isinstance(piece, Polygon) or high - from_m < 0.02:
                continue
            base, top = Height(eaves_z_m + from_m, "site"), Height(eaves_z_m + high, "site")
            form, through = Slab(slope.plane(eaves_z_m), high - from_m), every_month(light)
            seen = every_month(1.0 - light)
            out.append(Solid(owner, f"{part}{w}-{n}", piece, base, top, form, opacity=seen, transmittance=through))
    return tuple(out)


def roof_members(
    roof: Sequence[Slope],
    eaves_m: float,
    spacing_m: float,
    section_m: tuple[float, float],
    material: str,
    *,
    past_m: float = 0.0,
    past_top_m: float = 0.0,
    top_deep_m: float | None = None,
) -> tuple[Member, ...]:
    """Return rafters at most ``spacing_m`` apart up each slope, and the ridge and hips; heights above the floor [m].

    Lines run along the underside.  Rafters reach ``past_m`` past the plate (and ``past_top_m`` past an upper one) in
    plan; plumb cuts at both ends take the depth times the grade more.  A hip bears half of either slope beside it.
    Ridge and hips are ``top_deep_m`` deep (None: as the rafters) and lie level with the rafters' upper edges.
    """
    top = (section_m[0], section_m[1] if top_deep_m is None else top_deep_m)
    out = [_ridge_or_hip(roof, r, eaves_m, section_m[1], top, material, past_m) for r in ridges(roof)]
    for slope in roof:
        along = [slope.eaves.along_m(p) for p in xy(slope.area.exterior.coords)]
        first, last = min(along) + section_m[0] / 2, max(along) - section_m[0] / 2
        bays = max(math.ceil((last - first) / spacing_m - 1e-9), 1)
        for i in range(bays + 1):
            at = first + (last - first) * i / bays
            line = LineString([slope.eaves.point(at, -FAR_M), slope.eaves.point(at, FAR_M)])
            run = line.intersection(slope.area)
            if isinstance(run, LineString) and run.length > 0.05:
                a, b = sorted(xy(run.coords), key=slope.rise_m)
                ends = (*a, eaves_m + slope.rise_m(a)), (*b, eaves_m + slope.rise_m(b))
                span = max(run.length - past_m - past_top_m, 0.0)
                out.append(
                    Member(
                        "rafter", *ends, section_m, material, carries="roof", strip_m=(last - first) / bays, span_m=span,
                        past_m=min(past_m, run.length), more_m=section_m[1] * slope.grade,
                    )
                )  # fmt: skip
    return tuple(out)


def _ridge_or_hip(
    roof: Sequence[Slope],
    line: tuple[tuple[float, float], tuple[float, float], float, float],
    eaves_m: float,
    rafter_deep_m: float,
    section_m: tuple[float, float],
    material: str,
    past_m: float,
) -> Member:
    a, b, za, zb = line
    plan, up = math.dist(a, b), abs(za - zb)
    sunk = section_m[1] * math.hypot(1.0, up / plan) - rafter_deep_m * roof[0].steep
    ends = (*a, eaves_m + za - sunk), (*b, eaves_m + zb - sunk)
    if up < TOUCH_M:
        return Member("ridge", *ends, section_m, material)
    middle = Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    beside = sum(s.area.area for s in roof if s.area.distance(middle) < TOUCH_M) / 2
    grade = up / plan
    past = past_m * plan * (roof[0].grade / up) if up else past_m
    return Member(
        "hip", *ends, section_m, material, carries="roof", strip_m=beside / plan, span_m=max(plan - past, 0.0), past_m=past,
        more_m=section_m[1] * grade,
    )  # fmt: skip


def roof_work(owner: str, roof: Sequence[Slope], covering: str, thick_m: float) -> tuple[AreaWork, ...]:
    """Return the covering of each slope in its true shape."""
    return tuple(
        AreaWork(owner, s.unfolded(), (Layer(covering, thick_m),), dug=False, up_deg=(s.eaves.out_deg + 180.0) % 360.0)
        for s in roof
    )


def roof_figures(owner: str, eaves: Polygon, roof: Sequence[Slope]) -> tuple[Figure, ...]:
    """Draw the roof's edge dashed, being overhead, and its ridges and hips as fine dashed lines."""
    lines = tuple(PathFigure((a, b), "roof", owner, weight="fine", dash=True) for a, b, _, _ in ridges(roof))
    return (outline_figure(eaves, "roof", owner, "normal", dash=True), *lines)
