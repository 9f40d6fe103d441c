"""A thing found by its id or by what the person calls it; near ones where nothing is called so."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from quincunx.units.errors import PlainError

MOST_NAMED = 8
"""No more things than this are named where nothing answers."""
LIKE = 0.75
"""How alike two spellings must be to be called near (our own choice; the measure is that of ``difflib``)."""


LEAST_LETTERS = 4
"""Shorter words of a name are too common to tell it by."""
MOST_WORDS = 7
"""More words than this are a sentence and no name."""


class CalledError(PlainError, LookupError):
    """Nothing answers to the name, or more than one thing does."""


def called(word: str, there: Mapping[str, str], what: str = "thing", else_: str = "") -> str:
    """Return the id of what ``word`` names: an id, or the name of just one of ``there`` (names by id).

    Capitals and a leading article don't matter.  :class:`CalledError` where nothing or more than one thing is called
    so, which names near ones; ``else_`` is said where none is near, else all that are there are named.
    """
    if word in there:
        return word
    found = [id_ for id_, name in there.items() if _bare(word) in (_bare(name), _bare(id_))]
    if len(found) == 1:
        return found[0]
    if found:
        raise CalledError(f"More than one {what} is called {word!r}. Name it by its id: {', '.join(found)}.")
    near = _near(word, there)
    if near:
        raise CalledError(f"There is no {what} {word!r} in this garden. Near to it: {_named(near, there)}.")
    rest = else_ or f"There are: {_named(tuple(there), there) or 'none'}."
    raise CalledError(f"There is no {what} {word!r} in this garden. {rest}")


def _near(word: str, there: Mapping[str, str]) -> tuple[str, ...]:
    """Return the ids of those spelt like ``word``, wholly or in one of their words, or of which it is a part."""
    bare = _bare(word)
    spelt: dict[str, list[str]] = {}
    for id_, name in there.items():
        for text in _texts(id_, name):
            spelt.setdefault(text, []).append(id_)
    like = get_close_matches(bare, sorted(spelt), n=2 * MOST_NAMED, cutoff=LIKE)
    found = {id_ for text in like for id_ in spelt[text]}
    part = {
        id_ for text, ids in spelt.items() if bare and bare in text and len(text.split()) <= MOST_WORDS for id_ in ids
    }
    return tuple(id_ for id_ in there if id_ in found | part)


def _texts(id_: str, name: str) -> set[str]:
    """Return what a thing may be known by: its id, its name, and the longer words of both; of a sentence no words."""
    whole = {_bare(id_), _bare(name)}
    return whole | {w for t in whole if len(t.split()) <= MOST_WORDS for w in t.split() if len(w) >= LEAST_LETTERS}


def _named(ids: tuple[str, ...], there: Mapping[str, str]) -> str:
    said = [id_ if there[id_] in ("", id_) else f"{there[id_]} ({id_})" for id_ in ids[:MOST_NAMED]]
    more = [f"{len(ids) - MOST_NAMED} more"] if len(ids) > MOST_NAMED else []
    return ", ".join([*said, *more])


def _bare(text: str) -> str:
    words = text.replace("-", " ").casefold().split()
    return " ".join(words[1:] if len(words) > 1 and words[0] in ("the", "a", "an") else words)
