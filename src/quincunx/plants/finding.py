"""Plants found by name, need and use, in the words people use; a word misspelt is read as the nearest there is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial

from quincunx.plants.catalogue import Plant, builtin
from quincunx.plants.tables import rows_of

LEAST_LETTERS = 3
"""So many letters of a word of need or use are enough where no name begins so."""
SCREEN_M, SMALL_M, TALL_M, FAST_M = 1.8, 1.2, 8.0, 0.4
ACID_PH, LIME_PH = 6.0, 7.5
BLOOMS = {"winter-bloom": (12, 1, 2), "spring-bloom": (3, 4, 5), "summer-bloom": (6, 7, 8), "autumn-bloom": (9, 10, 11)}
_BEARS_FRUIT = ("tree", "shrub", "climber", "row")
_CLIPPED = ("hedge",)
FORMS = frozenset(("tree", "shrub", "climber", "grass", *_CLIPPED))
"""Habits that are asked for by their own name."""


@dataclass(frozen=True, slots=True)
class Found:
    """Plants that answer to every word, by name; ``said``: what the words were taken for; ``how``: where it is known from."""

    plants: tuple[Plant, ...]
    said: tuple[str, ...] = ()
    how: tuple[str, ...] = ()


def find(text: str, own: Mapping[str, Plant] | None = None) -> Found:
    """Return the plants that answer to every word of ``text``: names, needs and uses in the words of ``words.csv``.

    Case, accents, hyphens and plurals don't matter.  A word that nothing answers to is taken for the nearest there is.
    """
    plants = tuple({**builtin(), **(own or {})}.values())
    words = folded(text).split()
    if (named := next((p for p in plants if folded(p.id) == " ".join(words)), None)) is not None:
        return Found((named,))
    answers = [_answer(word, plants) for word in _asked(words)]
    common = frozenset(p.id for p in plants).intersection(*(a.ids for a in answers))
    begun = " ".join(words)
    found = [p for p in plants if p.id in common]
    found.sort(key=lambda p: (not folded(p.name).startswith(begun), p.name.casefold(), p.id))
    marks = dict.fromkeys(a.mark for a in answers if a.mark)
    return Found(tuple(found), (*_said(answers), *_none_left(answers, common)), tuple(filter(None, map(_how, marks))))


def _asked(words: list[str]) -> list[str]:
    """Return the words that say something; two that are one word of need or use (*deer proof*) are put together."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] + word in _marks():
            joined[-1] += word
        else:
            joined.append(word)
    return [w for w in joined if w not in _idle()] or joined


def search(text: str, own: Mapping[str, Plant] | None = None) -> tuple[Plant, ...]:
    """Return the plants that :func:`find` finds."""
    return find(text, own).plants


@dataclass(frozen=True, slots=True)
class _Answer:
    """What one word found: ids, the mark it stands for, and what it was taken for where it was misspelt."""

    word: str
    ids: frozenset[str]
    mark: str = ""
    taken: tuple[str, ...] = ()


def _answer(word: str, plants: tuple[Plant, ...]) -> _Answer:
    found = _plainly(word, plants)
    if found.ids or found.mark:
        return found
    near = _nearest(word, plants)
    ids = frozenset[str]().union(*(_plainly(w, plants).ids for w in near))
    return _Answer(word, ids, _mark_of(near[0]) if len(near) == 1 else "", near)


def _plainly(word: str, plants: tuple[Plant, ...]) -> _Answer:
    """Return what a word finds as it stands: as a need or use, in names, as the beginning of a need or use."""
    mark, single = _mark_of(word), _single(word)
    named = _having(plants, lambda w: w in (word, single))
    if mark:
        begun = _having(plants, lambda w: w.startswith(word)) if len(word) == LEAST_LETTERS else frozenset()
        return _Answer(word, _marked(mark, plants) | begun | (named if word == single else frozenset()), mark)
    named = _having(plants, lambda w: w.startswith((word, single)))
    if named or len(word) < LEAST_LETTERS:
        return _Answer(word, named)
    begins = {m for w, m in _marks().items() if w.startswith(word)}
    if len(begins) == 1:
        mark = begins.pop()
        return _Answer(word, _marked(mark, plants), mark)
    return _Answer(word, _having(plants, lambda w: word in w))


def _having(plants: tuple[Plant, ...], holds: Callable[[str], bool]) -> frozenset[str]:
    return frozenset(p.id for p in plants if any(holds(w) for w in _name_words(p)))


def _marked(mark: str, plants: tuple[Plant, ...]) -> frozenset[str]:
    return frozenset(p.id for p in plants if mark in marks_of(p))


def _mark_of(word: str) -> str:
    return _marks().get(word) or _marks().get(_single(word), "")


def _single(word: str) -> str:
    """Return a word without its plural: *berries*, *hedges*, *bushes*."""
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    for ending in ("es", "s"):
        if word.endswith(ending) and (word[: -len(ending)] in _marks() or ending == "s") and not word.endswith("ss"):
            return word[: -len(ending)]
    return word


def _nearest(word: str, plants: tuple[Plant, ...]) -> tuple[str, ...]:
    """Return the word or words most like one that nothing answers to: those of the same length first."""
    from difflib import SequenceMatcher, get_close_matches

    there = {*_marks(), *(w for p in plants for w in _name_words(p) if len(w) > LEAST_LETTERS)}
    near = get_close_matches(word, sorted(there), n=6, cutoff=0.74)
    rank = {w: (abs(len(w) - len(word)), -SequenceMatcher(a=w, b=word).ratio()) for w in near}
    return tuple(w for w in near if rank[w] == min(rank.values()))


def _said(answers: list[_Answer]) -> Iterator[str]:
    for one in answers:
        if one.taken:
            near = " or ".join(f"“{w}”" for w in one.taken)
            yield f"Nothing is called “{one.word}”; taken for {near}."
        elif not one.ids:
            yield f"Nothing answers to “{one.word}”, and nothing is spelt like it."
        if one.mark:
            yield f"“{_read(one)}”: {_says()[one.mark]}."


def _none_left(answers: list[_Answer], common: frozenset[str]) -> Iterator[str]:
    if not common and len(answers) > 1 and all(one.ids for one in answers):
        each = ", ".join(f"{len(one.ids)} to “{_read(one)}”" for one in answers)
        yield f"No plant answers to all of that: {each}. Say fewer words."


def _read(one: _Answer) -> str:
    return (one.taken or (one.word,))[0]


def _how(mark: str) -> str:
    """Return where it is known from that plants are good for a use; empty where their own figures tell it."""
    rows = [row for row in rows_of("uses.csv") if row["use"] == mark]
    about = {r["key"]: r["publication"] for r in rows_of("sources.csv")}
    read = [about[r["source"]] for r in rows if r["source"] in about]
    parts = [*dict.fromkeys(read), *(["common practice, no source"] if len(read) < len(rows) else [])]
    return f"“{mark}” known from: {'; '.join(parts)}." if rows else ""


@cache
def folded(text: str) -> str:
    """Return ``text`` in small letters, without accents, hyphens or marks."""
    import unicodedata

    plain = unicodedata.normalize("NFKD", text).casefold()
    return " ".join(
        "".join(c if c.isalnum() else " " for c in plain if not unicodedata.combining(c) and c not in "'’").split()
    )


@cache
def _marks() -> Mapping[str, str]:
    return {word: row["mark"] for row in rows_of("words.csv") if row["mark"] for word in row["words"].split()}


@cache
def _idle() -> frozenset[str]:
    """Return words that say nothing beside others: *hedge for wet ground* is *hedge wet*."""
    return frozenset(next(row["words"] for row in rows_of("words.csv") if not row["mark"]).split())


@cache
def _says() -> Mapping[str, str]:
    return {row["mark"]: row["says"] for row in rows_of("words.csv")}


def _name_words(plant: Plant) -> frozenset[str]:
    return _named(plant.name, plant.botanical, plant.id, plant.crop_what)


@cache
def _named(*texts: str) -> frozenset[str]:
    return frozenset(" ".join(map(folded, texts)).split())


def uses_of(plant_id: str, botanical: str) -> Mapping[str, str]:
    """Return what a plant is good for by ``uses.csv``, with the key of the source; the first that names it counts."""
    found: dict[str, str] = {}
    for row in rows_of("uses.csv"):
        if {plant_id, botanical.partition(" ")[0]} & set(row["of"].split()):
            found.setdefault(row["use"], row["source"])
    return found


def marks_of(plant: Plant) -> frozenset[str]:
    """Return every need and use of a plant, as ``words.csv`` calls them."""
    return (
        _told(plant.id, plant.botanical)
        | (FORMS & {plant.form})
        | {mark for mark, holds in TESTS.items() if holds(plant)}
    )


@cache
def _told(plant_id: str, botanical: str) -> frozenset[str]:
    return frozenset(uses_of(plant_id, botanical))


def _blooms(months: tuple[int, ...], p: Plant) -> bool:
    return bool(set(months) & set(p.bloom_months))


def _vegetable(p: Plant) -> bool:
    return p.edible and p.form == "herb" and p.crop_per == "m" and "herb" not in _told(p.id, p.botanical)


TESTS: Mapping[str, Callable[[Plant], bool]] = {
    "perennial": lambda p: p.form == "herb" and not p.annual and not p.edible,
    "annual": lambda p: p.annual,
    "screen": lambda p: p.woody and p.height_m >= SCREEN_M and (p.form in _CLIPPED or p.evergreen),
    "shade": lambda p: "shade" in p.sun,
    "half-shade": lambda p: "part" in p.sun,
    "sun": lambda p: "full" in p.sun,
    "dry": lambda p: "dry" in p.moisture,
    "moist": lambda p: "moist" in p.moisture,
    "wet": lambda p: "wet" in p.moisture,
    "acid": lambda p: p.ph_span is not None and p.ph_span[1] <= ACID_PH,
    "lime": lambda p: p.ph_span is not None and p.ph_span[1] >= LIME_PH,
    "deer": lambda p: p.deer in ("A", "B"),
    "harmless": lambda p: p.poison == "none",
    "evergreen": lambda p: p.evergreen,
    "edible": lambda p: p.edible,
    "fruit": lambda p: p.edible and p.form in _BEARS_FRUIT,
    "vegetable": _vegetable,
    "cut": lambda p: p.crop_what.startswith("cut"),
    "fast": lambda p: (
        p.woody and max(p.height_m / p.years_to_mature, p.hedge_growth_m if p.form in _CLIPPED else 0) >= FAST_M
    ),
    "small": lambda p: p.height_m <= SMALL_M,
    "tall": lambda p: p.height_m >= TALL_M,
    "self-fertile": lambda p: p.pollination == "self" and p.edible,
    **{mark: partial(_blooms, months) for mark, months in BLOOMS.items()},
}
"""Needs and uses that a plant's own figures tell."""
