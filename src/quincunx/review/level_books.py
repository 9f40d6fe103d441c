"""The level books of a garden: one for each who levelled and each time, how it proves itself, and how it closes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from quincunx.survey import Book, RiseNet, Staff, Survey, reduce_book
from quincunx.survey.levels import allowed_closing_m, books_in, rise_again
from quincunx.survey.words import close, slip
from quincunx.units import Style, format_length, own_units

ALLOWED = "5 mm times the root of the number of set-ups"
"""What a round of levels may be out by when it closes (:func:`allowed_closing_m`), in words."""
MOST_SLIPS = 2
"""So many slips that would explain how far off a book closes are named."""


@dataclass(frozen=True, slots=True)
class LevelBook:
    """A level book: what it is called (nothing where there is only one), its lines, what comes of them, or why nothing does."""

    name: str
    staffs: tuple[Staff, ...]
    book: Book | None
    fault: str = ""

    @property
    def allowed_m(self) -> float:
        """Return how far off it may close [m]."""
        return allowed_closing_m(sum(s.sight == "fore" for s in self.staffs))

    @property
    def closes(self) -> bool | None:
        """Return whether it closes on a known height as well as it should; None where it ends on none."""
        if self.book is None or self.book.closing_m is None:
            return None
        return abs(self.book.closing_m) <= self.allowed_m


def level_books(survey: Survey, levels: RiseNet | None) -> tuple[LevelBook, ...]:
    """Reduce each level book of a survey, closed on its first stake, or from one whose level is known to another."""
    if levels is None:
        return ()
    found = books_in(survey)
    return tuple(_reduced(survey, levels, name or "", staffs) for name, staffs in found.items())


def _reduced(survey: Survey, levels: RiseNet, name: str, staffs: Sequence[Staff]) -> LevelBook:
    first, last = staffs[0].stake, staffs[-1].stake
    known = {s.id: float(s.level) for s in survey.stakes if s.level is not None}
    start = known.get(first, levels.levels.get(first, 0.0))
    # A first height that was worked out from this very book would make it close whatever it reads.
    end = start if last == first else known.get(last) if first in known else None
    try:
        return LevelBook(name, tuple(staffs), reduce_book(staffs, start, end))
    except ValueError as error:
        return LevelBook(name, tuple(staffs), None, str(error))


def called(b: LevelBook) -> str:
    """Return what a book is called in a sentence: by whoever read it where that says it, else by its name."""
    readers = {s.by for s in b.staffs}
    who = next(iter(readers)) if len(readers) == 1 else ""
    return f"The level book that {who} read" if who else f"The level book {b.name}" if b.name else "The level book"


def faults(books: Sequence[LevelBook]) -> list[str]:
    """Return one sentence for each book that can't be worked out."""
    return [f"{called(b)} can't be worked out: {b.fault}." for b in books if b.fault]


def book_words(b: LevelBook, names: Mapping[str, str], style: Style, *, headed: bool = False) -> list[str]:
    """Return in sentences how a level book proves itself, by how much it closes, and what to read again if that is too much.

    ``headed`` puts before them which of several books it is.
    """
    if b.book is None:
        return faults([b])
    sums = [format_length(d, style, kind="tape") for d in b.book.differences_m]
    said = "They are." if b.book.agrees else "They are not: look through the sums."
    same = f"Back less fore, rises less falls, and last less first height must be the same: {', '.join(sums)}. {said}"
    head = [f"{called(b)}:"] if headed else []
    if b.book.closing_m is None:
        return [
            *head,
            same,
            "End the book on its first stake, or begin and end it on two whose heights are known: that proves its readings.",
        ]
    return [*head, same, *_closing(b, b.book.closing_m, names, style)]


def _closing(b: LevelBook, closing_m: float, names: Mapping[str, str], style: Style) -> list[str]:
    off, allowed = close(max(abs(closing_m), 0.001), style), close(b.allowed_m, style)
    if b.closes:
        on = "on the known height exactly;" if abs(closing_m) < 0.0005 else f"within {off} of the known height, where"
        spread = "" if abs(closing_m) < 0.0005 else "; that is spread over its set-ups"
        return [f"The book ends {on} {allowed} is allowed ({own_units(ALLOWED, style)}){spread}."]
    again = "Read it again from the last set-up backwards, until two readings differ."
    words = f"The book ends {off} {'above' if closing_m > 0 else 'below'} the known height, where {allowed} is allowed ({own_units(ALLOWED, style)})."
    likely = [
        f"The {s.sight} sight on {names.get(s.stake, s.stake)}: {slip(found, s.reading.typed or '', names, style)}"
        for s, found in rise_again(b.staffs, closing_m, b.allowed_m, style)[:MOST_SLIPS]
    ]
    return [
        words,
        *(likely or []),
        f"{'Read that first. ' if likely else ''}{again} Until it closes its heights are doubtful.",
    ]
