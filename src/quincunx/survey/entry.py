"""Quick entry for a muddy hand: one reading a line, and back again.

The notation (``#`` starts a note; ``[id]`` or ``by water level`` names the instrument; names of stakes are letters, digits and dots, a letter
first; stakes that are there already may be called otherwise)::

    A B 12.34                 tape from A to B; also A-B 12' 4 3/8"
    A>B x 3.2 L 1.15 tree     along A to B 3.2, then 1.15 left (L) or right (R) stands the tree
    A B C square              the corner at B is square
    A B C straight            A, B and C stand in one line
    A B 34 paces              paced
    A>B 134.5 deg             compass bearing, looking from A at B; "deg true" if already from true north; also N12°30'E
    A>B 134.5 deg 12.34       bearing and tape: one leg of a way walked by compass; also "34 paces"
    A B 12.34 falls 0.45      tape laid along a slope, whose ends differ by 0.45 in level
    A B rises 0.12            B is 0.12 higher than A; "falls" where it is lower
    A B rises 0.12 by water level   what it was taken with: tape, laser, staff, line level, water level, A-frame, compass,
                              theodolite
    A wall C-D 4.5            from A square to the wall C-D
    A>B wall C-D 4.5          from A in the line towards B to the wall C-D
    A>B sees C left           from A looking at B, C is on the left
    back A 1.425              staff readings of a level book: back, between, fore
    A B C: 12.3; 9.1; 8.0     a triangle: A-B, B-C and C-A
    back A 1.425 in book two  of several level books the one called so
    A B 12.34 read by Ada     who read it
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from quincunx.survey.readings import (
    Bearing,
    Distance,
    Offset,
    Paced,
    Reading,
    RightAngle,
    Rise,
    Seen,
    SlopeDistance,
    Staff,
    Straight,
    WallDistance,
)
from quincunx.units import read_number
from quincunx.units.angle import parse_bearing
from quincunx.units.errors import PlainError
from quincunx.units.fields import Length
from quincunx.units.length import format_length, parse_length
from quincunx.units.style import Style

_NAME = r"[A-Za-z][A-Za-z0-9.]*"
_BEARING = r"""(?P<d>\d+(?:[.,]\d+)?\s*(?:deg|°)(?:\d+'(?:[\d.,]+")?)?|[NS]\s*\d[^EW]*?[EW])(?P<true>\s+true)?"""
_READER = r"[^\W\d_](?:[\w .'\u2019-]{0,22}[\w.])?"
_SIDES = {"l": "left", "r": "right", "left": "left", "right": "right"}

LEAST_M = 0.001
"""What is no longer than this is nothing [m]."""
KINDS_OF_TOOL = ("tape", "laser", "compass", "theodolite", "staff", "line_level", "water_level", "a_frame", "square")
"""Instruments that a line may name in words, after *by*."""
_TOOLS = {re.sub("_", "[ -]", kind): re.sub("_", "-", kind) for kind in KINDS_OF_TOOL}


class BadLine(PlainError, ValueError):
    """A line that is no reading, with what was expected."""


@dataclass(frozen=True, slots=True)
class Problem:
    """A line that couldn't be read: its number from 1, its text and what is wrong with it."""

    line: int
    text: str
    because: str


def stake_id(name: str) -> str:
    """Return the id of a stake from its written name: small letters, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def parse_line(text: str, style: Style, id: str = "r1", stakes: Iterable[str] = ()) -> Reading:
    """Read one reading in the notation of this module; ``id`` becomes its id (a triangle is refused here).

    ``stakes`` are as for :func:`parse_lines`.

    Raises :class:`BadLine` with one sentence that says what was given and what is expected.
    """
    found = _parse(text, style, id, _odd(stakes))
    if len(found) != 1:
        raise BadLine(f"{text.strip()!r} holds {len(found)} readings; one was expected")
    return found[0]


def parse_lines(
    text: str, style: Style, first: int = 1, stakes: Iterable[str] = ()
) -> tuple[tuple[Reading, ...], tuple[Problem, ...]]:
    """Read many lines; return the readings, ids counted ``r1``, ``r2``, ... from ``first``, and the bad lines.

    ``stakes`` are names and ids of stakes there are: those that would be no names here (3, P-2, gate post) are known then.
    """
    odd = _odd(stakes)
    readings: list[Reading] = []
    problems: list[Problem] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.split("#")[0].strip():
            continue
        try:
            readings += _parse(line, style, f"r{first + len(readings)}", odd)
        except ValueError as error:
            problems.append(Problem(number, line, str(error)))
    return tuple(readings), tuple(problems)


def names_in(lines: Iterable[Reading]) -> tuple[str, ...]:
    """Return the ids of all stakes named, sorted."""
    from quincunx.survey.readings import points_of

    return tuple(sorted({p for reading in lines for p in points_of(reading)}))


def _parse(text: str, style: Style, id: str, odd: tuple[str, ...] = ()) -> list[Reading]:
    body, _, note = text.partition("#")
    more: dict[str, Any] = {"note": note.strip()} if note.strip() else {}
    body = _without_tail(body.strip(), more)
    reader = re.search(rf"\s+read\s+by\s+({_READER})$", body, re.IGNORECASE)
    if reader:
        more["by"], body = reader[1], _without_tail(body[: reader.start()], more)
    name, forms = _forms(odd)
    for pattern, make in forms:
        match = pattern.fullmatch(body)
        if match:
            groups = match.groupdict()
            if "names" in groups:
                groups["names"] = "\n".join(re.findall(name, groups["names"], re.IGNORECASE))
            try:
                return make(groups, style, id, more)
            except ValidationError as error:
                raise BadLine(_beyond(text.strip(), error, style)) from None
    raise BadLine(f"{text.strip()!r} is no reading; expected two stakes and a length, such as A B 12.34")


def _without_tail(body: str, more: dict[str, Any]) -> str:
    """Return a line without what it was read with and its level book, in either order."""
    return _without_book(_without_tool(_without_book(body, more), more), more)


def _without_book(body: str, more: dict[str, Any]) -> str:
    """Return a staff reading without the words that say in which level book it is; that goes to ``more``."""
    book = re.fullmatch(r"((?:back|between|fore)\s.+?)\s+in\s+book\s+([A-Za-z0-9-]+)", body, re.IGNORECASE)
    if book is None or "book" in more:
        return body
    more["book"] = stake_id(book[2])
    return book[1]


def _without_tool(body: str, more: dict[str, Any]) -> str:
    """Return a line without the words that say what it was read with; that goes to ``more``."""
    tool = re.search(r"\[([a-z0-9-]+)\]\s*$", body)
    if tool:
        more["instrument"], body = tool[1], body[: tool.start()].rstrip()
    for words, named in _TOOLS.items():
        by = re.search(rf"(?<!read)\s+by\s+(?:an?\s+)?{words}$", body, re.IGNORECASE)
        if by:
            more["instrument"], body = named, body[: by.start()]
    return body


def reader_of(name: str) -> str:
    """Return a name as a reading can carry it: its first 24 letters, without what means something in a line."""
    plain = re.sub(r"[^\w .'\u2019-]+", " ", unicodedata.normalize("NFC", name)).replace("_", " ")
    plain = re.sub(r"^[^a-zA-Z\u00c0-\uffff]+", "", " ".join(plain.split()))[:24].rstrip(" '\u2019-")
    return plain if re.fullmatch(_READER, plain) else ""


def signed(line: str, by: str) -> str:
    """Return a line of one reading with who read it, unless it says so already."""
    body, mark, note = line.partition("#")
    if not by or not body.strip() or re.search(rf"\sread\s+by\s+{_READER}\s*$", body, re.IGNORECASE):
        return line
    return f"{body.rstrip()} read by {by}" + (f"  {mark}{note}" if mark else "")


_BOUNDS = {"ge": "no less than", "gt": "more than", "le": "no more than", "lt": "less than"}


def _beyond(text: str, error: ValidationError, style: Style) -> str:
    """Say which bound a number of a line is beyond."""
    first = error.errors(include_url=False)[0]
    told = next(((k, float(v)) for k, v in first.get("ctx", {}).items() if k in _BOUNDS), None)
    if told is None:
        return f"{text!r} is no reading; expected two stakes and a length, such as A B 12.34"
    bound, value = told
    if bound in ("ge", "gt") and value <= LEAST_M:
        return f"{text!r} holds a number too small to be measured; expected {'more than' if value or bound == 'gt' else 'no less than'} 0"
    size = format_length(value, style) if isinstance(first["input"], Length) else f"{value:g}"
    return f"{text!r} holds a number out of bounds; expected {_BOUNDS[bound]} {size}"


def _length(text: str, style: Style) -> Length:
    text = text.strip()
    try:
        return Length(parse_length(text, style), text)
    except ValueError as error:
        raise BadLine(str(error)) from None


def _ends(g: dict[str, str]) -> tuple[str, str]:
    a, b = stake_id(g["a"]), stake_id(g["b"])
    if a == b:
        raise BadLine(f"both ends of the reading are {g['a']!r}; name two different stakes")
    return a, b


def _each_once(*names: str) -> tuple[str, ...]:
    """Return the ids of stakes; one named twice says nothing of the ground."""
    ids = tuple(stake_id(name) for name in names)
    for i, name in enumerate(names):
        if ids[i] in ids[:i]:
            raise BadLine(f"the reading names {name!r} twice; name each stake once")
    return ids


def _distance(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    return [Distance(id=id, start=a, end=b, length=_length(g["d"], style), **more)]


def _slope(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    length, fall = _length(g["d"], style), _length(g["f"], style)
    if abs(float(fall)) >= float(length):
        raise BadLine(f"a tape of {length.typed} can't fall {fall.typed}; the fall must be less than the tape")
    return [SlopeDistance(id=id, start=a, end=b, length=length, fall=fall, **more)]


def _rise(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    height = _length(g["d"], style)
    if g["word"].lower() == "falls":
        height = Length(-float(height), f"-{height.typed}")
    return [Rise(id=id, start=a, end=b, rise=height, **more)]


def _counted(text: str, style: Style) -> float:
    try:
        return float(read_number(text, style, "paces"))
    except ValueError as error:
        raise BadLine(str(error)) from None


def _paces(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    return [Paced(id=id, start=a, end=b, paces=_counted(g["d"], style), **more)]


def _bearing(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    try:
        degrees = parse_bearing(g["d"], style)
    except ValueError as error:
        raise BadLine(str(error)) from None
    north: Any = "true" if g["true"] else "magnetic"
    return [Bearing(id=id, start=a, end=b, bearing_deg=degrees, typed=" ".join(g["d"].split()), north=north, **more)]


def _leg(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b = _ends(g)
    with_tape = {
        k: v for k, v in more.items() if (k, v) not in (("instrument", "compass"), ("instrument", "theodolite"))
    }
    paces = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s+paces?", g["l"].strip(), re.IGNORECASE)
    if paces:
        counted = Paced(id=_next(id, 1), start=a, end=b, paces=_counted(paces[1], style), **with_tape)
        return [*_bearing(g, style, id, more), counted]
    tape = [Distance(id=_next(id, 1), start=a, end=b, length=_length(g["l"], style), **with_tape)]
    return [*_bearing(g, style, id, more), *tape]


def _offset(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b, c = _each_once(g["a"], g["b"], g["c"])
    side: Any = _SIDES[g["side"].lower()]
    along, off = _length(g["d"], style), _length(g["off"], style)
    return [Offset(id=id, start=a, end=b, along=along, side=side, offset=off, point=c, **more)]


def _square(g: dict[str, str], _style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b, c = _each_once(g["a"], g["b"], g["c"])
    return [RightAngle(id=id, start=a, corner=b, end=c, **more)]


def _straight(g: dict[str, str], _style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    names = _each_once(*g["names"].split("\n"))
    if len(names) < 3:
        raise BadLine(f"a straight line needs three or more stakes; got {len(names)}")
    return [Straight(id=id, through=names, **more)]


def _wall(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    start, c, e, *ahead = _each_once(*(n for n in (g["a"], g["c"], g["e"], g["b"]) if n))
    toward = ahead[0] if ahead else None
    return [WallDistance(id=id, start=start, toward=toward, wall=(c, e), length=_length(g["d"], style), **more)]


def _seen(g: dict[str, str], _style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b, c = _each_once(g["a"], g["b"], g["c"])
    side: Any = _SIDES[g["side"].lower()]
    return [Seen(id=id, start=a, end=b, point=c, side=side, **more)]


def _staff(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    sight: Any = g["word"].lower()
    return [Staff(id=id, sight=sight, stake=stake_id(g["a"]), reading=_length(g["d"], style), **more)]


def _next(id: str, more: int) -> str:
    """Return the id that comes ``more`` after ``id``: r7 and 2 give r9."""
    head = re.fullmatch(r"(.*?)(\d+)", id)
    return f"{head[1]}{int(head[2]) + more}" if head else f"{id}-{more + 1}"


def _triangle(g: dict[str, str], style: Style, id: str, more: dict[str, Any]) -> list[Reading]:
    a, b, c = _each_once(g["a"], g["b"], g["c"])
    lengths = [part for part in g["d"].split(";") if part.strip()]
    if len(lengths) != 3:
        raise BadLine(f"a triangle has three lengths, parted by ';' in the order A-B, B-C, C-A; got {len(lengths)}")
    ids = [_next(id, k) for k in range(3)]
    pairs = ((a, b), (b, c), (c, a))
    return [
        Distance(id=i, start=p, end=q, length=_length(d, style), **more)
        for i, (p, q), d in zip(ids, pairs, lengths, strict=True)
    ]


Make = Callable[[dict[str, str], Style, str, dict[str, Any]], list[Reading]]


@lru_cache(maxsize=8)
def _forms(known: tuple[str, ...]) -> tuple[str, tuple[tuple[re.Pattern[str], Make], ...]]:
    """Return the pattern of a stake's name and the forms of a line, where also the names ``known`` may stand."""
    listed = [re.sub(r"\\?\s+", r"\\s+", re.escape(name)) for name in sorted(known, key=lambda k: (-len(k), k))]
    name = "(?:" + "|".join([*(rf"{one}(?![\w.])" for one in listed), _NAME]) + ")"
    pair = rf"(?P<a>{name})\s*(?:[->]|\s)\s*(?P<b>{name})"
    three = rf"{pair}\s*(?:[->]|\s)\s*(?P<c>{name})"
    forms: tuple[tuple[str, Make], ...] = (
        (rf"{three}\s*:\s*(?P<d>.+)", _triangle),
        (rf"(?P<word>back|between|fore)\s+(?P<a>{name})\s+(?P<d>[\d.].*)", _staff),
        (rf"{pair}\s+x\s+(?P<d>.+?)\s+(?P<side>left|right|l|r)\s+(?P<off>.+?)\s+(?P<c>{name})", _offset),
        (rf"{three}\s+square", _square),
        (rf"(?P<names>{name}(?:[\s>-]+{name})+)\s+straight", _straight),
        (rf"{pair}\s+sees\s+(?P<c>{name})\s+(?:on the\s+)?(?P<side>left|right|l|r)", _seen),
        (
            rf"(?P<a>{name})(?:\s*>\s*(?P<b>{name}))?\s+wall\s+(?P<c>{name})\s*[-\s]\s*(?P<e>{name})\s+(?P<d>[\d.,].*)",
            _wall,
        ),
        (rf"{pair}\s+(?P<d>\d+(?:[.,]\d+)?)\s+paces?", _paces),
        (rf"{pair}\s+{_BEARING}", _bearing),
        (rf"{pair}\s+{_BEARING}\s+(?P<l>[\d.,].*)", _leg),
        (rf"{pair}\s+(?P<word>rises|falls)\s+(?P<d>.+)", _rise),
        (rf"{pair}\s+(?P<d>[\d.,].*?)\s+falls\s+(?P<f>.+)", _slope),
        (rf"{pair}\s+(?P<d>[\d.,].*)", _distance),
    )
    return name, tuple((re.compile(pattern, re.IGNORECASE), make) for pattern, make in forms)


def _odd(stakes: Iterable[str]) -> tuple[str, ...]:
    """Return the names and ids of stakes that are no names of this notation by themselves: 3, P-2, gate post."""
    return tuple(sorted({n for n in stakes if stake_id(n) and not re.fullmatch(_NAME, n)}))


def write_line(reading: Reading, style: Style) -> str:
    """Write a reading in the notation of this module; :func:`parse_line` reads it back the same."""
    tail = f" [{reading.instrument}]" if reading.instrument else ""
    who = reader_of(reading.by)
    tail += f" read by {who}" if who else ""
    return _written(reading, style) + tail + (f"  # {reading.note}" if reading.note else "")


def _turn(degrees: float) -> str:
    """Write a bearing: to the thousandth of a degree if it is no finer, else to the second."""
    if abs(degrees - round(degrees, 3)) < 1e-9:
        return f"{round(degrees, 3):g} deg"
    seconds = round(degrees * 3600) % (360 * 3600)
    return f"{seconds // 3600}°{seconds // 60 % 60:02d}'{seconds % 60:02d}\""


def _text(length: Length, style: Style) -> str:
    return length.typed or format_length(float(length), style, kind="tape")


def _written(r: Reading, style: Style) -> str:  # noqa: PLR0911 - one return a kind of reading
    match r:
        case Distance():
            return f"{r.start} {r.end} {_text(r.length, style)}"
        case SlopeDistance():
            return f"{r.start} {r.end} {_text(r.length, style)} falls {_text(r.fall, style)}"
        case Paced():
            return f"{r.start} {r.end} {r.paces:g} paces"
        case Offset():
            hand = "L" if r.side == "left" else "R"
            return f"{r.start}>{r.end} x {_text(r.along, style)} {hand} {_text(r.offset, style)} {r.point}"
        case RightAngle():
            return f"{r.start} {r.corner} {r.end} square"
        case Straight():
            return f"{' '.join(r.through)} straight"
        case WallDistance():
            head = r.start if r.toward is None else f"{r.start}>{r.toward}"
            return f"{head} wall {r.wall[0]}-{r.wall[1]} {_text(r.length, style)}"
        case Bearing():
            return f"{r.start}>{r.end} {r.typed or _turn(r.bearing_deg)}{' true' if r.north == 'true' else ''}"
        case Seen():
            return f"{r.start}>{r.end} sees {r.point} {r.side}"
        case Rise():
            text = _text(r.rise, style)
            return f"{r.start} {r.end} " + (f"falls {text[1:]}" if text.startswith("-") else f"rises {text}")
        case Staff():
            return f"{r.sight} {r.stake} {_text(r.reading, style)}" + (f" in book {r.book}" if r.book else "")
