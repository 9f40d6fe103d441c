"""A view with something and without it as one picture: an SVG card with its words, to send to somebody; and as a PNG."""

from __future__ import annotations

import re
from html import escape
from importlib import resources

from quincunx.sheets._both import Both, Row
from quincunx.sheets._outlooks import drawn
from quincunx.sheets._set import Set
from quincunx.sight.outlook import Outlook

WIDE_MM, HIGH_MM = 150.0, 100.0
"""One drawing on the card [mm]."""
EDGE_MM, BETWEEN_MM = 10.0, 6.0
CARD_MM = 2 * EDGE_MM + 2 * WIDE_MM + BETWEEN_MM
WORDS_MM = 60.0
"""A drawing's words are sized as if it were so wide [mm]: large enough to be read on a phone."""
LETTER = 0.55
"""Width of a letter over its height in the widest of the letters a browser may write it with, roughly."""
FONT = "'Source Sans 3', Helvetica, Arial, sans-serif"
INK, SOFT, PAPER, SKY = "#1f2b34", "#434f57", "#fdfdfa", "#eaf1f4"
WITHOUT, WITHIN = "Without it", "With it"
FOOT = (
    "Drawn from the plan, not a photo. Plants are in their middle size for that year, the stems of young ones drawn thicker than"
    " they are; dashes are seen through; leaves are only a hint."
)
PIXELS_PER_MM = 6.0


def panel(look: Outlook, of: Set) -> str:
    """Return one drawing as an SVG picture of its own."""
    left, low, right, high = look.bounds
    svg = drawn(look, WORDS_MM, of.garden.style)[0].replace('font-family="Source Sans 3"', f'font-family="{FONT}"')
    sky = f'<rect x="{left:g}" y="0" width="{right - left:g}" height="{high - low:g}" fill="{SKY}"/>'
    return svg.replace("</defs>", f"</defs>{sky}", 1)


def alt(both: Both, row: Row, *, within: bool) -> str:
    """Return what a drawing shows, for those who can't see it."""
    return f"{both.name}: {WITHIN.lower() if within else WITHOUT.lower()}, {row.words}, {both.where}."


def caption(of: Set, both: Both) -> str:
    """Return what is written under the pictures: the garden, where one stands, which way one looks, the day and the hour."""
    return f"{of.garden.name}, {both.where}; {both.when}"


def foot(both: Both) -> str:
    """Return what is written at the foot: how the drawing was made, and what its sun and shadows are worth."""
    if both.lit:
        return f"{FOOT} Sun and shadows are of that day and hour, under a clear sky."
    return f"{FOOT} At that hour the sun is not up, stands too low or behind the skyline: no shadows are drawn."


def missing(of: Set, both: Both) -> str:
    """Return what else is missing where it is left out; nothing if nothing is."""
    also = both.subject.also
    return f"Without it there {'are' if len(also) > 1 else 'is'} no {of.words.both(also)} either." if also else ""


def card(of: Set, both: Both) -> tuple[str, float]:
    """Return the whole card as SVG, in millimetres, and its height [mm]; each drawing is an ``svg`` with a ``data-panel``."""
    y, body = EDGE_MM, list[str]()
    for text, size, weight, colour in (
        (both.name, 11.0, 700, INK),
        (caption(of, both), 7.0, 400, INK),
        *([(missing(of, both), 6.0, 400, SOFT)] if missing(of, both) else []),
    ):
        for line in folded(text, size):
            y += size
            body.append(text_at(EDGE_MM, y, size, line, weight, colour))
        y += size * 0.35
    for row in both.rows:
        for line in folded(row.words, 7.5):
            y += 9.0
            body.append(text_at(EDGE_MM, y, 7.5, line, 700, INK))
        y += 4.0
        for k, (look, words) in enumerate(((row.without, WITHOUT), (row.within, WITHIN))):
            x = EDGE_MM + k * (WIDE_MM + BETWEEN_MM)
            body += [_nested(panel(look, of), x, y), _tag(x, y, words)]
        y += HIGH_MM + 3.0
    for line in folded(foot(both), 5.5):
        y += 7.0
        body.append(text_at(EDGE_MM, y, 5.5, line, 400, SOFT))
    high = y + EDGE_MM
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {CARD_MM:g} {high:g}" width="{CARD_MM:g}mm" height="{high:g}mm"'
        f' font-family="{FONT}"><title>{escape(both.name)}</title>'
        f'<rect width="{CARD_MM:g}" height="{high:g}" fill="{PAPER}"/>{"".join(body)}</svg>'
    ), high


def folded(text: str, size_mm: float) -> list[str]:
    """Return text in lines that fit the card [mm]."""
    most = int((CARD_MM - 2 * EDGE_MM) / (LETTER * size_mm))
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return [line for line in lines if line]


def text_at(x: float, y: float, size: float, words: str, weight: int, colour: str) -> str:
    """Return words at a point of a card, in letters of a size [mm]."""
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" font-weight="{weight}" fill="{colour}">{escape(words)}</text>'
    )


def _tag(x: float, y: float, words: str) -> str:
    wide = 6.0 + LETTER * 6.5 * len(words)
    plate = f'<rect x="{x:g}" y="{y:g}" width="{wide:g}" height="9.5" fill="{INK}"/>'
    return plate + text_at(x + 3.0, y + 6.9, 6.5, words, 600, "#ffffff")


def _nested(svg: str, x: float, y: float) -> str:
    size = f'data-panel="1" x="{x:g}" y="{y:g}" width="{WIDE_MM:g}" height="{HIGH_MM:g}"'
    return re.sub(r'width="[\d.]+mm" height="[\d.]+mm"', size, svg, count=1)


def png(svg: str, high_mm: float) -> bytes:
    """Return a card as a PNG picture; its letters are the package's own."""
    import typst

    source = (
        f"#set page(width: {CARD_MM:g}mm, height: {high_mm:g}mm, margin: 0mm)\n"
        f'#image(bytes(sys.inputs.card), format: "svg", width: {CARD_MM:g}mm, height: {high_mm:g}mm)'
    )
    with resources.as_file(resources.files("quincunx") / "_ui" / "fonts") as folder:
        fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])
        compiler = typst.Compiler(source.encode(), font_paths=fonts, sys_inputs={"card": svg})
        out = compiler.compile(format="png", ppi=PIXELS_PER_MM * 25.4)
    return bytes(out[0] if isinstance(out, list) else out or b"")
