"""Figures as SVG, true to scale: a viewBox in metres, a size in millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from html import escape

from quincunx.shapes import XY, AreaFigure, DimensionFigure, Figure, PathFigure, Pattern, Role, TextFigure, Weight
from quincunx.sheets.ink import INK, INKS, LINE_MM, ORDER, ROOMS, SHADES, TEXT_MM, Ink
from quincunx.units import Style, format_length

Bounds = tuple[float, float, float, float]
"""(west, south, east, north) [m]."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a drawing is made: ``scale`` (100 for 1:100), the person's ``style``, and whether it carries words and patterns."""

    scale: float
    style: Style = field(default_factory=Style)
    words: bool = True
    patterns: bool = True
    thin: float = 1.0
    """Share of their usual width that lines are drawn with (small drawings want finer ones)."""

    def metres(self, paper_mm: float) -> float:
        """Return a length on paper [mm] as metres on the ground."""
        return paper_mm * self.scale / 1000.0


def draw(figures: Iterable[Figure], bounds: Bounds, look: Look, extra: str = "", over: str = "") -> str:
    """Return an SVG of ``figures`` inside ``bounds`` [m]; 1 m on the ground is ``1000 / scale`` mm on paper.

    ``extra`` is SVG put on top, in the same flipped metres, and ``over`` SVG put over all but the words.
    """
    west, south, east, north = bounds
    width, height = east - west, north - south
    pen = _Pen(north, look)
    ordered = in_order(figures)
    first = next((i for i, f in enumerate(ordered) if isinstance(f, TextFigure)), len(ordered))
    body = [*(pen.figure(f) for f in ordered[:first]), over, *(pen.figure(f) for f in ordered[first:])]
    defs = "".join(_pattern(name, role, look) for name, role in sorted(pen.used)) if look.patterns else ""
    size = f'width="{1000 * width / look.scale:.3f}mm" height="{1000 * height / look.scale:.3f}mm"'
    box = f'viewBox="{_n(west)} 0 {_n(width)} {_n(height)}"'
    font = 'font-family="Source Sans 3" '
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {box} {size} {font}stroke-linejoin="round" stroke-linecap="round">'
        f"<defs>{defs}</defs>{''.join(body)}{extra}</svg>"
    )


def inner(figures: Iterable[Figure], bounds: Bounds, look: Look) -> str:
    """Return figures as they stand inside such an SVG, in the order given; patterns are left out."""
    pen = _Pen(bounds[3], replace(look, patterns=False))
    return "".join(pen.figure(f) for f in figures)


def in_order(figures: Iterable[Figure]) -> list[Figure]:
    """Return figures from the ground up: by role, areas before lines before words, else as given."""
    rank = {role: i for i, role in enumerate(ORDER)}
    kind = {AreaFigure: 0, PathFigure: 1, DimensionFigure: 2, TextFigure: 3}
    return sorted(figures, key=lambda f: (isinstance(f, TextFigure), rank[f.role], kind[type(f)]))


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class _Pen:
    """Draws figures with north up: y on the sheet is ``north - y``."""

    def __init__(self, north: float, look: Look) -> None:
        """Remember the top edge [m] and the look."""
        self.north, self.look = north, look
        self.used: set[tuple[Pattern, Role]] = set()

    def figure(self, figure: Figure) -> str:
        """Return one figure as SVG."""
        ink = INKS[figure.role]
        if isinstance(figure, AreaFigure):
            return self._area(figure, ink)
        if isinstance(figure, PathFigure):
            return self._path(figure, ink)
        if not self.look.words:
            return ""
        return self._text(figure) if isinstance(figure, TextFigure) else self._dimension(figure, ink)

    def _d(self, points: Sequence[XY], *, closed: bool) -> str:
        return "M" + "L".join(f"{_n(x)} {_n(self.north - y)}" for x, y in points) + ("Z" if closed else "")

    def _stroke(self, ink: Ink, weight: Weight, *, dash: bool = False) -> str:
        wide = self.look.thin * self.look.metres(LINE_MM[weight])
        broken = f' stroke-dasharray="{_n(self.look.metres(1.6))} {_n(self.look.metres(1.1))}"' if dash else ""
        return f'stroke="{ink.line}" stroke-width="{wide:.5f}"{broken}'

    def _area(self, f: AreaFigure, ink: Ink) -> str:
        d = "".join(self._d(ring, closed=True) for ring in f.rings)
        stroke = self._stroke(ink, f.weight) if f.outline else 'stroke="none"'
        shades = ROOMS if f.role == "room" else SHADES
        wash = ink.wash or "none" if f.shade is None else shades[f.shade]
        base = f'<path d="{d}" fill="{wash}" fill-rule="evenodd" {stroke}/>'
        if f.pattern == "plain" or not self.look.patterns:
            return base
        self.used.add((f.pattern, f.role))
        return base + f'<path d="{d}" fill="url(#{f.pattern}-{f.role})" fill-rule="evenodd" stroke="none"/>'

    def _path(self, f: PathFigure, ink: Ink) -> str:
        line = (
            f'<path d="{self._d(f.points, closed=f.closed)}" fill="none" {self._stroke(ink, f.weight, dash=f.dash)}/>'
        )
        return line + (self._arrow(f.points, ink) if f.arrow else "")

    def _arrow(self, points: Sequence[XY], ink: Ink) -> str:
        (ax, ay), (bx, by) = points[-2], points[-1]
        run = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 or 1.0
        ux, uy, size = (bx - ax) / run, (by - ay) / run, self.look.metres(2.2)
        left = (bx - ux * size - uy * size * 0.35, by - uy * size + ux * size * 0.35)
        right = (bx - ux * size + uy * size * 0.35, by - uy * size - ux * size * 0.35)
        return f'<path d="{self._d((left, (bx, by), right), closed=True)}" fill="{ink.line}" stroke="none"/>'

    def _text(self, f: TextFigure) -> str:
        """Return words in ink whatever they belong to: a black-and-white printer breaks coloured letters into dots."""
        x, y = f.at
        turn = f' transform="rotate({_n(-f.rotate_deg)} {_n(x)} {_n(self.north - y)})"' if f.rotate_deg else ""
        size = self.look.metres(TEXT_MM[f.size])
        halo = f'stroke="#ffffff" stroke-width="{_n(size * 0.22)}" stroke-opacity="0.85" paint-order="stroke"'
        at = f'x="{_n(x)}" y="{_n(self.north - y + size * 0.35)}"'
        return f'<text {at} font-size="{_n(size)}" text-anchor="{f.anchor}" fill="{INK}" {halo}{turn}>{escape(f.words(self.look.style))}</text>'

    def _dimension(self, f: DimensionFigure, ink: Ink) -> str:
        (ax, ay), (bx, by) = f.start, f.end
        run = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
        if run < 1e-9:
            return ""
        nx, ny = -(by - ay) / run, (bx - ax) / run
        a, b = (ax + nx * f.offset_m, ay + ny * f.offset_m), (bx + nx * f.offset_m, by + ny * f.offset_m)
        tick, stroke = self.look.metres(1.0), self._stroke(ink, "fine")
        arm = ((nx - ny) * tick, (ny + nx) * tick)
        ends = "".join(self._tick(p, arm, ink) for p in (a, b))
        angle = _upright(bx - ax, by - ay)
        words = format_length(f.value_m, self.look.style)
        mid = ((a[0] + b[0]) / 2 + nx * tick * 1.4, (a[1] + b[1]) / 2 + ny * tick * 1.4)
        text = self._text(TextFigure(mid, words, f.role, f.owner, "small", angle))
        return f'<path d="{self._d((a, b), closed=False)}" fill="none" {stroke}/>{ends}{text}'

    def _tick(self, at: XY, arm: XY, ink: Ink) -> str:
        line = ((at[0] - arm[0], at[1] - arm[1]), (at[0] + arm[0], at[1] + arm[1]))
        return f'<path d="{self._d(line, closed=False)}" {self._stroke(ink, "normal")}/>'


def _upright(dx: float, dy: float) -> float:
    """Return the angle of a line [deg, anticlockwise] turned so that words on it are not upside down."""
    import math

    angle = math.degrees(math.atan2(dy, dx))
    return angle - 180 if angle > 90 else angle + 180 if angle <= -90 else angle


def _pattern(name: Pattern, role: Role, look: Look) -> str:
    """Return our own tile for a pattern, its size fixed on paper."""
    step = look.metres(_STEP_MM[name])
    stroke = f'fill="none" stroke="{INKS[role].line}" stroke-width="{look.metres(0.11):.5f}" stroke-opacity="0.55"'
    marks = "".join(f'<path d="{_tile(d, step)}" {stroke}/>' for d in _TILES[name])
    return f'<pattern id="{name}-{role}" width="{_n(step)}" height="{_n(step)}" patternUnits="userSpaceOnUse">{marks}</pattern>'


_STEP_MM: dict[Pattern, float] = {
    "hatch": 1.5,
    "cross": 2.0,
    "dots": 2.4,
    "waves": 3.4,
    "boards": 1.8,
    "bricks": 3.2,
    "tufts": 4.2,
    "stones": 4.6,
    "flags": 2.6,
}
_TILES: dict[Pattern, tuple[str, ...]] = {
    "hatch": ("M0 1L1 0",),
    "cross": ("M0 1L1 0", "M0 0L1 1"),
    "dots": ("M.2 .25L.24 .25", "M.7 .75L.74 .75"),
    "waves": ("M0 .5L.25 .4L.5 .5L.75 .6L1 .5",),
    "boards": ("M0 .5L1 .5",),
    "bricks": ("M0 .25L1 .25", "M0 .75L1 .75", "M.5 .25L.5 .75", "M0 0L0 .25", "M0 .75L0 1"),
    "tufts": (
        "M.2 .35L.28 .2",
        "M.28 .35L.28 .18",
        "M.36 .35L.28 .2",
        "M.7 .85L.78 .7",
        "M.78 .85L.78 .68",
        "M.86 .85L.78 .7",
    ),
    "stones": (
        "M.1 .1L.55 .06L.6 .5L.08 .46Z",
        "M.68 .12L.95 .16L.92 .6L.66 .52Z",
        "M.12 .58L.5 .6L.46 .94L.1 .9Z",
        "M.58 .66L.94 .72L.9 .95L.54 .92Z",
    ),
    "flags": ("M0 .5L1 .5", "M.5 0L.5 1"),
}


def _tile(d: str, step: float) -> str:
    """Return a unit tile's path scaled to ``step`` metres."""
    import re

    return re.sub(r"-?\d*\.?\d+", lambda m: _n(float(m[0]) * step), d)
