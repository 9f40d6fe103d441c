"""The questions of the first ten minutes, asked in the terminal."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from quincunx.units.style import Style

if TYPE_CHECKING:
    from quincunx.features import Feature
    from quincunx.garden import GardenError
    from quincunx.garden.starting import Answers
    from quincunx.site.towns import Town

CURRENCIES = {"metric": "EUR", "feet": "USD"}
GROUPS = ("plants", "shelter", "furnishing", "walls", "ground")
"""What may be the one thing wanted: kinds of these groups."""
PLAIN = frozenset({"money", "hours", "length", "number", "year", "choice"})
"""Before anything is drawn only musts about sums, hours and sizes can be filled in."""

YEAR_IS_OVER = 10
"""From this month on the plan begins with the coming year."""

MOST_TOWNS = 5
MOST_COLUMNS, LEAST_COLUMNS = 110, 40
"""What is said is no wider and no narrower than this, however wide the window."""
ROOM_TO_ANSWER = 16
"""Columns left after a question for its default and what is typed."""

T = TypeVar("T")


class Questions:
    """What has been answered so far; a part that doesn't fit is asked again, the rest is kept."""

    def __init__(self, name: str, today: date, corners: Path | None = None) -> None:
        """Begin with nothing answered; ``name`` is what the garden is called if nothing else is said.

        ``corners`` is a file of the ground's corners, taken in the place of its taped sides.
        """
        self._corners = corners
        self._thing: tuple[type[Feature], int, float, float, tuple[float, float]] | None = None
        self._name = name
        self._style = Style()
        self._given: dict[str, Any] = {"first_year": today.year + (today.month >= YEAR_IS_OVER)}

    def all(self) -> None:
        """Ask the six questions, each in its turn."""
        self._town()
        self._ground()
        self._house()
        self._wanted()
        self._must()
        self._means()

    def again(self, error: GardenError) -> None:
        """Ask again what ``error`` is about: the house or the thing wanted, else the ground."""
        for step in dict.fromkeys(self._step(fault.path.partition(" ")[0]) for fault in error.faults):
            step()

    def _step(self, part: str) -> Callable[[], None]:
        """Return the question that a part of the garden, or a kind of thing, was asked by."""
        from quincunx.features import kind_id, kinds

        if self._thing is not None and part in ("features", kind_id(self._thing[0])):
            return self._wanted
        if part in kinds():
            return self._house
        return self._must if part == "intents" else self._ground

    def answers(self) -> Answers:
        """Return all answers; the thing wanted is put on the ground as it is now known."""
        from quincunx.garden.starting import Answers

        return Answers.model_validate({**self._given, "wanted": self._put()}, context={"style": self._style})

    def _town(self) -> None:
        from quincunx.garden.document import Writing

        self._given["name"] = click.prompt("1. What is the garden called?", default=self._name)
        words = _fitting("   The nearest town (for sun and seasons; Enter: later)")
        town = click.prompt(words, default="", show_default=False)
        hit = _town_meant(town) if town else None
        if hit is not None:
            where = {"latitude_deg": hit.latitude_deg, "longitude_deg": hit.longitude_deg}
            self._given |= {"town": hit.name, "country": hit.country, **where}
            _say(f"   {_where(hit)}")
        elif town:
            self._given["town"] = town
            words = "   Then its latitude, south negative (Enter: later)"
            self._given["latitude_deg"] = _ask(words, _latitude, default="")
        units = click.prompt("   Metres, or feet and inches?", type=click.Choice(["metric", "feet"]), default="metric")
        mark = click.prompt("   Point or comma before decimals?", type=click.Choice([".", ","]), default=".")
        currency = click.prompt("   Currency", default=CURRENCIES[units]).upper()
        self._given["writing"] = {"units": units, "decimal_mark": mark, "currency": currency}
        self._style = Writing.model_validate(self._given["writing"]).style

    def _ground(self) -> None:
        from quincunx.units.angle import parse_bearing

        if self._corners is not None and self._from_file(self._corners):
            return
        self._given.pop("outline", None)
        self._given.pop("datum", None)
        _say(
            "2. The ground. Walk round it with the ground on your left: four sides in order, then the diagonal from"
            " where you began to the third corner. Of three corners the three sides are enough."
        )
        sides = [self._length(f"   Side {i}") for i in (1, 2, 3)]
        fourth = self._length("   Side 4 (Enter: there are only three)", default="")
        self._given |= {"sides": [*sides, *([] if fourth is None else [fourth])], "diagonal": None, "check": None}
        if fourth is None:
            words = "   A check: from the third corner to the middle of side 1 (Enter: not taped)"
            self._given["check"] = self._length(words, default="")
        else:
            self._given["diagonal"] = self._length("   Diagonal")
        words = "   Side 1 runs towards (N, NE, E ... or degrees from north)"
        self._given["first_side_deg"] = _ask(words, lambda text: parse_bearing(text, self._style), default="E")

    def _from_file(self, corners: Path) -> bool:
        """Take the ground's corners from a file and show them; return False where the person would rather tape them."""
        from quincunx.cli._points import corners_of

        found = corners_of(corners, self._given)
        if found is None or not click.confirm("   Does it lie so?", default=True):
            self._corners = None
            return False
        self._given |= found
        return True

    def _house(self) -> None:
        self._given["house"] = None
        if click.confirm("3. Is there a house on it?", default=True):
            self._given["house"] = {
                "side": _side(self._corner_count()),
                "width": self._length("   Its length along that side"),
                "depth": self._length("   Its depth"),
                "along": self._length("   How far along that side it begins", default="1"),
                "set_back": self._length("   How far in from that side", default="1"),
            }

    def _wanted(self) -> None:
        self._thing = None
        kind = _kind_wanted()
        if kind is None:
            return
        _say(f"   {kind.about}")
        _say("   Where might it go? It can move later.")
        side, along = _side(self._corner_count()), self._length("   How far along that side", default="2")
        back = self._length("   How far in from that side", default="2")
        size = (2.0, 2.0)
        if "at" not in kind.model_fields:
            long = self._length("   How long, along the side", default="4")
            size = (long, 0.0 if "line" in kind.model_fields else self._length("   How deep", default="2"))
        self._thing = (kind, side, along, back, size)

    def _put(self) -> dict[str, Any] | None:
        from quincunx.garden.starting import corners, placed_along

        if self._thing is None:
            return None
        ring = self._given.get("outline")
        if ring is None:
            sides, diagonal = self._given["sides"], self._given["diagonal"]
            ring = corners(sides, diagonal, self._given["first_side_deg"], self._style)
        return placed_along(self._thing[0], ring, *self._thing[1:])

    def _must(self) -> None:
        from quincunx.board.must_kinds import must_kind_json
        from quincunx.intents import INTENTS

        self._given["must"] = None
        southern = (self._given.get("latitude_deg") or 0) < 0
        kinds = [must_kind_json(kind, southern=southern) for kind in INTENTS]
        offered = [m for m in kinds if all(b["pick"] in PLAIN for b in _blanks(m))]
        _say("5. One thing it must do, judged in every year; those about ways, rooms and views come with the drawing.")
        for i, must in enumerate(offered, 1):
            _say(f"   {i} {''.join(p if isinstance(p, str) else '...' for p in must['sentence'])}")
        words = "   Which one? (Enter: spend no more than the sum of a year)"
        which = click.prompt(_fitting(words), type=click.IntRange(0, len(offered)), default=0, show_default=False)
        if which:
            must = offered[which - 1]
            fields = {f["name"]: f for f in must["fields"]}
            for blank in _blanks(must):
                self._blank(must, fields[blank["field"]])

    def _blank(self, chosen: Mapping[str, Any], field: Mapping[str, Any]) -> None:
        """Ask for one blank of a must and keep the must with it, and with all its sentence says, in the garden's units."""
        from quincunx.board.typed import read_typed
        from quincunx.garden import Garden

        def read(text: str) -> dict[str, Any]:
            begun = {"kind": chosen["kind"], "id": chosen["kind"], **chosen["fills"]}
            must = {**begun, field["name"]: text, **(self._given["must"] or {})}
            return dict(read_typed(must, Garden.model_fields["intents"].annotation, self._style, "must"))

        self._given["must"] = _ask(f"   {field['words']}", read)

    def _means(self) -> None:
        from quincunx.units import parse_money

        words = "6. What can you spend a year? (Enter: nothing yet)"
        self._given["sum_a_year"] = _ask(words, lambda text: parse_money(text, self._style), default="0")
        hours = click.prompt("   Hours you can give in a month", type=click.FloatRange(0, 400), default=8.0)
        self._given["hours_a_month"] = hours

    def _length(self, question: str, default: str | None = None) -> Any:
        from quincunx.units import parse_length
        from quincunx.units.fields import Length

        def read(text: str) -> Length | None:
            """Return nothing where nothing need be answered and nothing is."""
            if default == "" and not text.strip():
                return None
            return Length(parse_length(text, self._style), typed=text.strip())

        return _ask(question, read, default=default)

    def _corner_count(self) -> int:
        return len(self._given.get("outline") or self._given.get("sides") or range(4))


def _town_meant(text: str) -> Town | None:
    """Return the town that is meant: the only one of that name, else the one chosen among those alike; None if none."""
    from quincunx.site.towns import find_town, fold

    hits = find_town(text, MOST_TOWNS)
    whole = [hit for hit in hits if fold(text.partition(",")[0]) in (fold(hit.name), fold(hit.also))]
    if len(whole) == 1:
        return whole[0]
    if not hits:
        _say("   It is not in the list.")
        return None
    offered = whole or hits
    for i, hit in enumerate(offered, 1):
        _say(f"   {i} {_where(hit)}")
    which = click.prompt(
        "   Which of these? (Enter: none)", type=click.IntRange(0, len(offered)), default=0, show_default=False
    )
    return offered[which - 1] if which else None


def _where(town: Town) -> str:
    return f"{town.label}, latitude {abs(town.latitude_deg):.1f} {'south' if town.latitude_deg < 0 else 'north'}"


def _say(text: str) -> None:
    """Say something no wider than the window, its lines set in as far as the first."""
    click.echo(click.wrap_text(text.strip(), _columns(), _indent(text), "   "))


def _indent(text: str) -> str:
    return text[: len(text) - len(text.lstrip())]


def _columns() -> int:
    return max(min(shutil.get_terminal_size().columns, MOST_COLUMNS), LEAST_COLUMNS)


def _fitting(question: str) -> str:
    """Return a question broken so that it, and a short answer, fit the window."""
    return click.wrap_text(question.strip(), _columns() - ROOM_TO_ANSWER, _indent(question), "   ")


def _ask(question: str, read: Callable[[str], T], default: str | None = None) -> T:
    """Ask until what is typed can be read, saying each time what was expected."""
    from quincunx.units.errors import PlainError

    while True:
        try:
            return read(click.prompt(_fitting(question), default=default, show_default=bool(default)))
        except PlainError as error:
            click.echo(f"   {error}", err=True)


def _latitude(text: str) -> float | None:
    from quincunx.units.angle import parse_latitude

    return parse_latitude(text, Style()) if text.strip() else None


def _side(count: int) -> int:
    """Ask along which of ``count`` sides; of a ground of many corners the first four are offered, as a house says them."""
    last = min(count, 4)
    return int(click.prompt(f"   Along which side (1 to {last})", type=click.IntRange(1, last), default=3))


def _blanks(must: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return [part for part in must["sentence"] if not isinstance(part, str)]


def _kind_wanted() -> type[Feature] | None:
    """Ask for the one thing wanted in a word; None if that is left for later."""
    from quincunx.features import kinds
    from quincunx.site.towns import fold

    offered = sorted((k for k in kinds().values() if k.group in GROUPS), key=lambda k: (GROUPS.index(k.group), k.words))
    words = _fitting("4. One thing wanted, such as tree, hedge, seat, shed (? lists all, Enter: later)")
    while True:
        typed = click.prompt(words, default="", show_default=False).strip()
        if not typed:
            return None
        text = fold(typed).strip()
        hits = [k for k in offered if fold(k.words) == text] or [k for k in offered if text and text in fold(k.words)]
        if len(hits) == 1:
            return hits[0]
        names = ", ".join(k.words for k in (hits or offered))
        _say(f"   {'Which of these: ' if hits else ''}{names}")
