"""Two alternatives of one garden side by side: what differs in words, and the edit that takes a part over."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from quincunx.garden import LISTS, WHOLES, Edit, Garden, Op, plain
from quincunx.review.two_values import two_values
from quincunx.units import Style
from quincunx.units.fields import Doc

What = Literal["only here", "only there", "differs"]
QUIET = ("id", "kind")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing or part that differs: its list (or whole part), id ("" for a whole), name, and how, in words.

    ``values`` has both values of each of the ``fields`` (here, there), empty where they can't be told shortly.
    """

    part: str
    id: str
    name: str
    what: What
    fields: tuple[str, ...] = ()
    values: tuple[tuple[str, str], ...] = ()


def differences(here: Garden, there: Garden) -> tuple[Difference, ...]:
    """Return what differs between two gardens, whole parts first, then list by list in the order of their things."""
    called = {d.id: _called(d) for g in (there, here) for part in LISTS for d in getattr(g, part)}
    called |= {
        id_: words
        for g in (there, here)
        for f in g.features
        if (place := f.held_place()) is not None
        for id_, words, _ in place.shortlist
        if id_ not in called
    }
    telling = _Telling(here.style, called)
    return (*_wholes(here, there, telling), *(d for part in LISTS for d in _listed(part, here, there, telling)))


@dataclass(frozen=True, slots=True)
class _Telling:
    """How values are told: as the person writes them, and ids by their names."""

    style: Style
    called: Mapping[str, str]


def _wholes(here: Garden, there: Garden, telling: _Telling) -> Iterable[Difference]:
    for part in WHOLES:
        mine, theirs = getattr(here, part), getattr(there, part)
        if plain(mine) != plain(theirs):
            words = _words_of(Garden, part)
            told = (
                _changed(mine, theirs, telling) if isinstance(mine, Doc) else _changed(here, there, telling, only=part)
            )
            yield Difference(part, "", words, "differs", *told)


def _listed(part: str, here: Garden, there: Garden, telling: _Telling) -> Iterable[Difference]:
    mine, theirs = ({d.id: d for d in getattr(g, part)} for g in (here, there))
    for name in [*mine, *(i for i in theirs if i not in mine)]:
        one, other = mine.get(name), theirs.get(name)
        if one is None:
            yield Difference(part, name, _called(other), "only there")
        elif other is None:
            yield Difference(part, name, _called(one), "only here")
        elif plain(one) != plain(other):
            yield Difference(part, name, _called(one), "differs", *_changed(one, other, telling))


def _called(doc: Any) -> str:
    for name in ("called", "name", "words"):
        said = getattr(doc, name, "")
        if isinstance(said, str) and said:
            return said
    return str(doc.id).replace("-", " ")


def _changed(
    one: Doc, other: Doc, telling: _Telling, *, only: str = ""
) -> tuple[tuple[str, ...], tuple[tuple[str, str], ...]]:
    """Return the words of the fields in which two documents differ, and both values of each."""
    mine, theirs = dict(one), dict(other)
    if type(one) is not type(other):
        return ("what it is",), (("", ""),)
    names = [n for n in type(one).model_fields if n not in QUIET and mine.get(n) != theirs.get(n)]
    if only:
        names = [only]
    return (
        tuple(_words_of(type(one), n) for n in names),
        tuple(two_values(one, other, n, telling.style, telling.called) for n in names),
    )


def _words_of(model: type[Doc], name: str) -> str:
    info = model.model_fields[name]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    words = str(extra.get("words") or info.title or name.replace("_", " "))
    return words[:1].lower() + words[1:]


def take_over(here: Garden, there: Garden, wanted: Sequence[tuple[str, str]], label: str) -> Edit:
    """Return the edit that makes the ``wanted`` (part, id) here what they are there; empty if they are the same.

    What only stands here is taken out; a job or a must that comes along may name things that stay behind, which the
    garden's own checks then say.
    """
    ops: list[Op] = []
    differ = {(d.part, d.id): d for d in differences(here, there)}
    for part, name in wanted:
        found = differ.get((part, name))
        if found is None:
            continue
        if not name:
            ops.append(Op(do="put", part=part, value=plain(getattr(there, part))))
        elif found.what == "only here":
            ops.append(Op(do="remove", part=part, id=name))
        else:
            other = next(d for d in getattr(there, part) if d.id == name)
            ops.append(Op(do="put", part=part, id=name, value=plain(other)))
    return Edit(label=label, ops=tuple(ops))
