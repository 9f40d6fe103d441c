"""The lengths that began the garden beside what was taped since, in words for the board, the sheets and the command line."""

from __future__ import annotations

from quincunx.garden import Edit, Garden, GardenError, change
from quincunx.garden.reading import Fault
from quincunx.review.ground import Measured
from quincunx.survey import Distance
from quincunx.survey.begun import First, corners_of, moved
from quincunx.survey.words import small
from quincunx.units import Style, UnitsError, counted, format_length, listed, parse_length

MARKS = "'\"\N{PRIME}\N{DOUBLE PRIME}\N{RIGHT SINGLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}"
"""What is written for feet and inches."""


def pair(m: Measured, d: Distance) -> tuple[str, str]:
    """Return how the ends of a length are called: the names on the stakes, or the letters of its corners."""
    return m.names.get(d.start, d.start.upper()), m.names.get(d.end, d.end.upper())


def first_text(f: First, style: Style) -> str:
    """Return the length as it was given, or written in the garden's way."""
    return _text(f.begun, style)


def since_text(f: First, style: Style) -> str:
    """Return what was taped since, or a dash."""
    return "–" if f.since is None else _text(f.since, style)


def _text(d: Distance, style: Style) -> str:
    """Return a length as it was typed, its unit beside it, where that still says the same; else written anew."""
    typed = " ".join((d.length.typed or "").split())
    try:
        same = bool(typed) and abs(parse_length(typed, style) - float(d.length)) < 0.0005
    except UnitsError:
        same = False
    return f"{typed}{_left_unsaid(typed, style)}" if same else format_length(float(d.length), style, kind="tape")


def _left_unsaid(typed: str, style: Style) -> str:
    """Return the unit that was left away after the last number: feet or metres of a bare one, the inches after feet."""
    if not typed[-1].isnumeric():
        return ""
    if not any(c.isalpha() or c in MARKS for c in typed):
        return " m" if style.system == "metric" else " ft"
    return "" if style.system == "metric" else '"'


def state_words(f: First, style: Style) -> str:
    """Return in a few words how a first length stands to what was taped since."""
    if f.since is None:
        return "the others say otherwise" if f.said_m is not None else "not taped again yet"
    apart = abs(f.apart_m or 0.0)
    if apart < (0.0015 if style.system == "metric" else 0.0016):
        return "the same"
    if f.agrees:
        return f"{small(apart, style)} apart: they agree"
    told = f"{small(apart, style)} apart: more than {small(f.allowed_m, style)}"
    return f"{told}, and the others go with the first" if f.later_wrong else told


def to_do(m: Measured, f: First) -> str:
    """Return a sentence or two on a first length that something speaks against, and what to do; else nothing.

    Where it is the later reading that doesn't fit, that is told of the reading.
    """
    if f.agrees or f.later_wrong:
        return ""
    a, b = pair(m, f.begun)
    read = f"{a} to {b} read {first_text(f, m.style)} to begin with"
    if f.since is None:
        said = format_length(f.said_m or 0.0, m.style)
        return f"{read}, but the other lengths say {said}. It is left out; tape {a} to {b} again."
    apart, allowed = small(abs(f.apart_m or 0.0), m.style), small(f.allowed_m, m.style)
    told = f"{read} and {since_text(f, m.style)} since: {apart} apart, where {allowed} is what two such tapes leave."
    return f"{told} {_what_next(f)}"


def _what_next(f: First) -> str:
    if f.said_m is not None:
        return "The other lengths go with the later one, and the first is left out. The boundary was drawn by it: draw it from the stakes."
    return "Tape it a third time and type that too; until then the stakes stand by the later one."


def anew_words(garden: Garden, m: Measured) -> tuple[str, ...]:
    """Return that corners were drawn elsewhere since the first lengths named them, where those count for stakes; else nothing."""
    if not any(f.joined for f in m.firsts):
        return ()
    names = {name for f in m.firsts if f.joined for name in (f.begun.start, f.begun.end)}
    other = moved(corners_of(m.survey.begun, names), [(float(x), float(y)) for x, y in garden.boundary], m.places)
    if not other:
        return ()
    called = listed([m.names.get(letter, letter.upper()) for letter in other])
    are, its = ("is a corner", "stake") if len(other) == 1 else ("are corners", "stakes")
    said = (
        f"The boundary was drawn anew since the garden was begun: {called} {are} elsewhere now. The first lengths count between"
        f" the {its} of that name as long as they fit, though they were taped to the old corners. If the {its} stand"
        " at the new ones, leave the first lengths out."
    )
    return (said,)


def apart_words(m: Measured) -> tuple[str, ...]:
    """Return what to do about each first length that something speaks against, a sentence or two each."""
    others = other_points(m)
    if others:
        return (others,)
    return tuple(words for f in m.firsts if (words := to_do(m, f)))


def other_points(m: Measured) -> str:
    """Return that the stakes seem to be other points than the corners the garden began with; else nothing."""
    twice = [f for f in m.firsts if f.since is not None]
    wrong = [f for f in twice if not f.agrees]
    if any(f.joined for f in m.firsts) or len(twice) < 2 or 2 * len(wrong) <= len(twice):
        return ""
    names = sorted({name for f in twice for name in pair(m, f.begun)})
    return (
        f"{len(wrong)} of {counted(len(twice), 'length')} that began the garden differ from what was taped since between"
        f" {listed(names)}. Are these stakes other points than its corners? Then leave the first"
        " lengths out. If they are the corners, the first ones were misread, and the stakes stand without them: draw the"
        " boundary from the stakes."
    )


def together_words(m: Measured) -> str:
    """Return what is made of the lengths that began the garden, in one sentence; nothing where there are none."""
    if not m.firsts:
        return ""
    used = [f for f in m.firsts if f.joined and f.said_m is None]
    if not used and m.places:
        return ""
    if not used:
        return "Peg and tape its corners by the same letters and type what you read: both are worked out together."
    which = "They are" if len(used) == len(m.firsts) else f"{len(used)} of {len(m.firsts)} are"
    return f"{which} worked out together with what was taped since, and count for less: they are the coarser ones."


def left_words(m: Measured) -> str:
    """Return which of the first lengths were not taped again, once others were; else nothing."""
    left = [f for f in m.firsts if f.since is None]
    if not left or len(left) == len(m.firsts) or other_points(m):
        return ""
    return f"Not taped again yet: {listed([' to '.join(pair(m, f.begun)) for f in left])}."


def leave_out(garden: Garden, ids: set[str], label: str = "") -> Edit | None:
    """Return the edit that leaves some of the lengths that began the garden out; None where none of them is there."""
    begun = garden.survey.begun
    kept = [d for d in begun.lengths if d.id not in ids]
    if len(kept) == len(begun.lengths):
        return None
    words = label or f"Leave out {counted(len(begun.lengths) - len(kept), 'first length')}"
    return change("survey", None, {"begun": begun.changed(lengths=kept)}, words)


def leave_out_said(garden: Garden, said: str) -> Edit:
    """Return the edit that leaves out the first length between two corners, or ``all`` of them; :class:`GardenError` names what there is."""
    lengths = garden.survey.begun.lengths
    ends = set(said.lower().replace(",", " ").replace("-", " ").split())
    ids = {d.id for d in lengths if ends in ({"all"}, {d.start, d.end})}
    edit = leave_out(garden, ids)
    if edit is None:
        known = ", ".join(f"{d.start.upper()} {d.end.upper()}" for d in lengths) or "none is kept"
        raise GardenError([Fault("survey", f"No length that began the garden is called {said!r}. They are: {known}.")])
    return edit
