"""Names and notes with letters that the papers can't show: said where they are typed and where they are printed."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.document import Garden
from quincunx.units import listed
from quincunx.units.letters import not_in_typeface

MOST = 3
"""So many names are told by name."""
REMEDY = (
    "Write them in Latin, Greek or Cyrillic letters if they are to be read on paper; the board shows them as they are."
)


def names_in(garden: Garden) -> Iterator[tuple[str, str]]:
    """Yield the id and the name of all that has one and is written on sheets; the garden's own has no id."""
    yield "", garden.name
    for part in (garden.rooms, garden.spots, garden.features, garden.jobs, garden.intents):
        yield from ((one.id, getattr(one, "name", "") or "") for one in part)
    yield from ((p.id, p.words) for p in garden.prices)
    yield from ((p.id, p.name) for p in garden.plants)
    for job in garden.jobs:
        yield from ((job.id, line.words) for line in job.costs)
    yield from ((entry.about or "", entry.text) for entry in garden.journal)


def unprinted(garden: Garden) -> tuple[str, tuple[str, ...]]:
    """Return one sentence on what the papers can't show of the garden's names, and the ids it is about; "" for nothing."""
    found = [(id_, name, missing) for id_, name in names_in(garden) if (missing := not_in_typeface(name))]
    if not found:
        return "", ()
    names = list(dict.fromkeys(f"“{name}”" for _, name, _ in found))
    more = [f"{len(names) - MOST} more"] if len(names) > MOST else []
    letters = " ".join(dict.fromkeys(c for *_, missing in found for c in missing))
    words = f"{listed([*names[:MOST], *more])} can't be printed as written: on paper an empty box stands for each of {letters}."
    return words, tuple(dict.fromkeys(id_ for id_, *_ in found if id_))
