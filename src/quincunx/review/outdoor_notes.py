"""What was entered outdoors, on a phone or a page of its own, turned into one edit of the garden.

Each note has an id made where it was written, so that it is taken once however often it is handed in.
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set as AbstractSet
from dataclasses import dataclass, field as part
from datetime import datetime
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, field_validator

from quincunx.garden import Edit, Garden, GardenError, Op, change, plain
from quincunx.garden.reading import Fault
from quincunx.garden.seen import MOST_PHOTOS
from quincunx.garden.sentences import sentence
from quincunx.review.ground_edits import named_stakes, with_readings, without
from quincunx.review.photo import BadPhoto, bare
from quincunx.survey import Reading, Staff, parse_lines
from quincunx.survey.entry import reader_of, signed
from quincunx.units import parse_length
from quincunx.units.fields import Doc, Length, Slug, field, money
from quincunx.works import Entry
from quincunx.works.prices import Day, PointName

MOST_NOTES = 2000
"""More notes than this in one go are no day's work."""
MOST_PICTURE = 8 * 1024 * 1024
"""The largest picture taken in [bytes]."""
PICTURES = {"data:image/jpeg;base64,": "image/jpeg", "data:image/png;base64,": "image/png"}
_STARTS = {"image/jpeg": b"\xff\xd8\xff", "image/png": b"\x89PNG\r\n\x1a\n"}
Ticks = dict[tuple[str | None, str], dict[str, str]]
"""By job and what was ticked: the entries that say so, each with its phone."""
READING = "reading"
UNREAD = "unread"
TICKED = "ticked"
MEASURED = "measured"
HAS = "has"
"""Somebody takes a step on, or lets it go (``on``): told among people, and no part of the garden (:mod:`together`)."""
HERE = "here"
"""Whose phone it is."""


class Note(Doc):
    """One thing entered outdoors."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(?:-[a-z0-9]+)*$", min_length=8, max_length=60)] = field("Id")
    made: str = field("Moment it was entered", max_length=40)
    day: Day = field("Day it is about")
    phone_day: Day | None = field("Day its phone's clock said, where that was wrong", None)
    by: str = field("Entered by", "", max_length=40)
    phone: str = field("Phone", "", pattern=r"^[a-z0-9]*$", max_length=24)
    what: Literal[
        "ticked", "reading", "unread", "measured", "done", "begun", "spent", "hours", "harvest", "browsed", "died-back", "lost",
        "note", "has", "here",
    ] = field("What it is")  # fmt: skip
    about: Slug | None = field("Job or feature", None)
    points: tuple[PointName, ...] = field("Points", (), max_length=2)
    stakes: dict[str, tuple[float, float]] = field(
        "Stakes it names, and where the plan that was carried had them", {}, unit="m", max_length=20
    )
    on: bool = field("Ticked, not unticked", True)
    saw: bool = field("The plan that was carried had it ticked", True)
    people: int = field("People the step needs", 1, ge=1, le=6)
    nth: int = field("One more than the last word about any step that was known", 0, ge=0, le=10**9)
    instead: bool = field("Counts in place of whatever was read of that length before", False)
    length: str | None = field("Length as typed", None, max_length=40)
    sum: int | None = money("Spent", None)
    hours: float | None = field("Hours", None, ge=0, le=1000)
    amount: float | None = field("How much", None, ge=0, le=1e6)
    unit: str | None = field("Counted in", None, max_length=20)
    text: str = field("In words", "", max_length=2000)
    hour: float | None = field("Hour of the clock at which the picture was taken", None, ge=0, lt=24)
    picture: str | None = field("Picture", None, max_length=MOST_PICTURE * 4 // 3 + 100)

    @field_validator("made")
    @classmethod
    def _a_moment(cls, value: str) -> str:
        if datetime.fromisoformat(value).tzinfo is None:
            raise ValueError("a moment says its time zone, such as 2027-04-03T10:15:00Z")
        return value


@dataclass(frozen=True, slots=True)
class Turned:
    """What notes come to: one ``edit`` (None: nothing new), the ``ids`` it takes, what is wrong with the others.

    ``pictures`` are (id, name, MIME type, bytes).
    """

    edit: Edit | None
    ids: tuple[str, ...]
    wrong: dict[str, str]
    pictures: tuple[tuple[str, str, str, bytes], ...] = ()


@dataclass
class _Making:
    garden: Garden
    ops: list[Op] = part(default_factory=list)
    lines: list[str] = part(default_factory=list)
    unread: set[str] = part(default_factory=set)
    ids: list[str] = part(default_factory=list)
    pictures: list[tuple[str, str, str, bytes]] = part(default_factory=list)
    photos: dict[str, list[Any]] = part(default_factory=dict)


def read_notes(values: Sequence[Any]) -> tuple[list[Note], dict[str, str]]:
    """Return the notes that can be read, by the moment they were entered, and what is wrong with the others by id."""
    good: dict[str, Note] = {}
    wrong: dict[str, str] = {}
    for value in values:
        name = str(value.get("id", ""))[:60] if isinstance(value, Mapping) else ""
        try:
            note = Note.model_validate(value)
        except ValidationError as error:
            first = error.errors()[0]
            where = " ".join(str(p) for p in first["loc"])
            wrong[name] = f"It can't be read: {where}: {sentence(first)}".rstrip(".") + "."
            continue
        good[note.id] = note
    return sorted(good.values(), key=lambda n: (datetime.fromisoformat(n.made), n.id)), wrong


def turned(garden: Garden, notes: Iterable[Note], known: AbstractSet[str] = frozenset()) -> Turned:
    """Return the one edit that takes in ``notes`` but those already ``known``; what can't be stays with its sentence.

    A note about a job or thing that is no longer there is kept in the journal in words, so that nothing is lost.
    """
    made, wrong = _Making(garden), dict[str, str]()
    ticked: Ticks = {}
    for e in garden.journal:
        if e.what == TICKED and e.points:
            ticked.setdefault((e.about, e.points[0]), {})[e.id] = e.phone
    for note in notes:
        if note.id in known:
            continue
        because = _take(made, note, ticked)
        if because:
            wrong[note.id] = because
        else:
            made.ids.append(note.id)
    edit = _edit(made)
    return Turned(edit, tuple(made.ids), wrong, tuple(made.pictures))


def _take(made: _Making, note: Note, ticked: Ticks) -> str:
    """Take one note in; return why it can't be, or nothing."""
    if note.what == TICKED:
        return _tick(made, note, ticked)
    if note.what in _OWN_WAY:
        return _OWN_WAY[note.what](made, note)
    if note.length is not None:
        try:
            parse_length(note.length, made.garden.style)
        except ValueError as error:
            return str(error)
    picture = _picture(made, note)
    if isinstance(picture, Problem):
        return picture.because
    if picture is not None and any(peg.id == note.about for peg in made.garden.pegs):
        return _photo(made, note, picture)
    op = _entry_op(made.garden, note, picture)
    if lacks := Entry.model_validate(op.value).lacks:
        return lacks
    made.ops.append(op)
    return ""


def _photo(made: _Making, note: Note, picture: str) -> str:
    """Put a picture taken from a peg into its book, after those that came with it."""
    name = str(note.about)
    peg = next(p for p in made.garden.pegs if p.id == name)
    taken = made.photos.setdefault(name, [plain(p) for p in peg.photos])
    if len(taken) >= MOST_PHOTOS:
        return f"{peg.name or name} has {MOST_PHOTOS} photos already: take one off on the board."
    taken.append({"picture": picture, "day": note.day, **({} if note.hour is None else {"hour": note.hour})})
    made.ops = [op for op in made.ops if (op.part, op.id) != ("pegs", name)]
    made.ops.append(Op(do="change", part="pegs", id=name, value={"photos": list(taken)}))
    return ""


@dataclass(frozen=True)
class Problem:
    """Why a picture can't be kept."""

    because: str


def _reading(made: _Making, note: Note) -> str:
    found, problems = parse_lines(_line(note, made.garden), made.garden.style, stakes=named_stakes(made.garden))
    if problems or not found:
        return (
            problems[0].because if problems else "There is no reading in it; one is two stakes and a length: A B 12.34."
        )
    made.lines.append(_line(note, made.garden))
    return ""


def _unread(made: _Making, note: Note) -> str:
    """Take back what the same phone read: the last such reading; nothing where it was taken out already."""
    found, problems = parse_lines(note.text, made.garden.style, stakes=named_stakes(made.garden))
    if problems or not found:
        return "There is no reading in it to take back."
    line = _line(note, made.garden)
    if line in made.lines:
        made.lines.reverse()
        made.lines.remove(line)
        made.lines.reverse()
        return ""
    for same in _as_read(made.garden, line):
        made.unread |= set([i for i in same if i not in made.unread][-1:])
    return ""


def still_read(garden: Garden, note: Note) -> bool:
    """Return whether the garden still has what a note takes back, as it was read."""
    found, _ = parse_lines(note.text, garden.style, stakes=named_stakes(garden))
    return bool(found) and all(_as_read(garden, _line(note, garden)))


def _as_read(garden: Garden, line: str) -> list[list[str]]:
    """Return for each reading of a line the ids of those in the garden that say the same, in their order."""
    wanted, _ = parse_lines(line, garden.style, stakes=named_stakes(garden))
    return [[r.id for r in garden.survey.readings if _bare(r) == _bare(one)] for one in wanted]


def _bare(reading: Reading) -> Reading:
    return reading.changed(id="r", instrument=None)


def _line(note: Note, garden: Garden) -> str:
    """Return the lines of a note with who read them, and in a level book of its phone where they name none."""
    return "\n".join(_in_book(signed(line, reader_of(note.by)), note.phone, garden) for line in note.text.splitlines())


def _in_book(line: str, phone: str, garden: Garden) -> str:
    """Return a line, a staff reading in the book of the phone: two who level at once don't tangle each other's."""
    found, _ = parse_lines(line, garden.style, stakes=named_stakes(garden))
    if not (phone and found and isinstance(found[0], Staff) and found[0].book is None):
        return line
    body, mark, note = line.partition("#")
    return f"{body.rstrip()} in book phone-{phone}" + (f"  {mark}{note}" if mark else "")


def _tick(made: _Making, note: Note, ticked: Ticks) -> str:
    """Tick or untick: each phone has its own tick, and takes off another's only where it knew of it."""
    if not note.points:
        return "It doesn't say what was ticked."
    known = ticked.setdefault((note.about, note.points[0]), {})
    if note.on and note.phone not in known.values():
        op = _entry_op(made.garden, note, None)
        made.ops.append(op)
        known[str(op.id)] = note.phone
    elif not note.on:
        off = {i for i, phone in known.items() if note.saw or phone == note.phone}
        for i in off:
            del known[i]
        gone = {*off, *(_same_line(made.garden, note) if note.saw else ())}
        gone -= {str(op.id) for op in made.ops if op.do == "remove"}
        made.ops += [Op(do="remove", part="journal", id=i) for i in sorted(gone)]
    return ""


def _same_line(garden: Garden, note: Note) -> Iterator[str]:
    """Yield the entries of older programs that ticked the same line of a list, known by its words."""
    for e in garden.journal:
        if e.what == TICKED and e.about == note.about and e.points and "/" in e.points[0] and e.text == note.text:
            yield e.id


def _among_people(_made: _Making, note: Note) -> str:
    if not reader_of(note.by):
        return "It doesn't say who: a first name does."
    return "It doesn't say which step of which job." if note.what == HAS and not (note.about and note.points) else ""


_OWN_WAY: Mapping[str, Callable[[_Making, Note], str]] = {
    READING: _reading, UNREAD: _unread, HAS: _among_people, HERE: _among_people,
}  # fmt: skip


def picture_of(address: str) -> tuple[str, bytes] | str:
    """Return the MIME type and bytes of a picture written as a data address, or the sentence why it can't be kept.

    What a camera wrote into it beside the picture (place, moment, names) is taken out.
    """
    start = next((s for s in PICTURES if address.startswith(s)), None)
    if start is None:
        return "The picture is neither a JPEG nor a PNG."
    try:
        data = base64.b64decode(address[len(start) :], validate=True)
    except (ValueError, binascii.Error):
        return "The picture can't be read."
    kind = PICTURES[start]
    if not data.startswith(_STARTS[kind]) or len(data) > MOST_PICTURE:
        return f"The picture can't be read, or is larger than {MOST_PICTURE // 1024 // 1024} MB."
    try:
        return bare(data)
    except BadPhoto as error:
        return str(error)


def _picture(made: _Making, note: Note) -> str | Problem | None:
    if note.picture is None:
        return None
    found = picture_of(note.picture)
    if isinstance(found, str):
        return Problem(found)
    kind, data = found
    name = f"photo-{note.id}"[:60].rstrip("-")
    made.pictures.append((name, f"{note.day} {note.text}"[:80].strip(), kind, data))
    return name


def _entry_op(garden: Garden, note: Note, picture: str | None) -> Op:
    known = {j.id for j in garden.jobs} | {f.id for f in garden.features}
    about, text = note.about, note.text
    if about is not None and about not in known:
        about, text = None, f"{text} (about {note.about}, which is no longer there)".strip()
    taken = {e.id for e in garden.journal}
    name, n = note.id, 2
    while name in taken:
        name, n = f"{note.id[:56]}-{n}", n + 1
    length = None if note.length is None else Length(parse_length(note.length, garden.style), note.length.strip())
    entry = Entry(
        id=name, day=note.day, what=note.what, about=about, sum=note.sum, hours=note.hours,  # type: ignore[arg-type]
        amount=note.amount, unit=note.unit, text=text, points=note.points, length=length, picture=picture,
        by=reader_of(note.by), phone=note.phone, phone_day=note.phone_day,
        instead=note.instead and note.what == MEASURED,
    )  # fmt: skip
    return Op(do="put", part="journal", id=name, value=plain(entry))


def _edit(made: _Making) -> Edit | None:
    ops = list(made.ops)
    survey = without(made.garden.survey, made.unread) if made.unread else made.garden.survey
    readings, problems = with_readings(made.garden.changed(survey=survey), "\n".join(made.lines))
    if problems:  # each was read by itself before: no line is left out unsaid
        raise GardenError([Fault("survey", f"{p.text.strip()}: {p.because}") for p in problems])
    if readings is not None:
        ops = [*readings.ops, *ops]
    elif made.unread:
        fields = {"stakes": list(survey.stakes), "readings": list(survey.readings)}
        ops = [*change("survey", None, fields, "").ops, *ops]
    if not ops:
        return None
    count = len(made.ids)
    return Edit(label=f"From outdoors: {count} note{'s' if count != 1 else ''}", ops=tuple(ops))
