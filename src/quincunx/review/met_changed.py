"""What a note from outdoors met in the garden that had changed meanwhile: said with it, and the note is kept all the same."""

from __future__ import annotations

import math
from collections.abc import Iterable

from quincunx.garden import Garden
from quincunx.review.ground import measure
from quincunx.review.ground_edits import named_stakes
from quincunx.review.outdoor_notes import HAS, READING, UNREAD, Note, still_read
from quincunx.shapes import XY
from quincunx.survey import parse_lines, points_of, stake_id
from quincunx.units import format_length

MOVED_M = 0.5
"""A stake whose place is worked out anew moves by less than this [m]; by more it was set elsewhere (our own choice, no source)."""


def met_changed(garden: Garden, notes: Iterable[Note]) -> dict[str, str]:
    """Return by note what changed in the ``garden`` since the plan was carried by which it was made, with what to do."""
    here = {s.id for s in garden.survey.stakes}
    things = {j.id for j in garden.jobs} | {f.id for f in garden.features} | {p.id for p in garden.pegs}
    out: dict[str, str] = {}
    notes = list(notes)
    read = {(n.text, n.phone) for n in notes if n.what == READING}
    for note in notes:
        carried = {stake_id(name): at for name, at in note.stakes.items()}
        stakes = [s for s in _stakes(garden, note) if s in carried]
        words = [_moved(garden, s, carried[s]) if s in here else _gone(s, note) for s in stakes]
        if note.what == UNREAD and (note.text, note.phone) not in read and not still_read(garden, note):
            words.append(
                "It was changed or taken out at the board meanwhile: nothing more was taken out. Look at it under Ground."
            )
        if note.about is not None and note.about not in things:
            gone = "What it is about was taken out of the plan meanwhile"
            words.append(f"{gone}." if note.what == HAS else f"{gone}; it is kept in the journal, in words.")
        if said := " ".join(w for w in words if w):
            out[note.id] = said
    return out


def _stakes(garden: Garden, note: Note) -> list[str]:
    if note.what != READING:
        return [stake_id(p) for p in note.points] if note.what == "measured" else []
    found, _ = parse_lines(note.text, garden.style, stakes=named_stakes(garden))
    return list(dict.fromkeys(p for r in found for p in points_of(r)))


def _gone(stake: str, note: Note) -> str:
    name = stake.upper()
    if note.what == READING:
        return (
            f"Stake {name} was taken out at the board meanwhile. The reading is kept, and {name} is among the stakes again:"
            " take the reading out under Ground if the stake is not wanted."
        )
    return (
        f"Stake {name} was taken out at the board meanwhile. The length is kept in the journal, but proves nothing now."
    )


def _moved(garden: Garden, stake: str, at: XY) -> str:
    position = measure(garden).searched.adjusted.positions.get(stake)
    if position is None:
        return ""
    off = math.dist(at, (position.x_m, position.y_m))
    if off <= max(MOVED_M, 2.0 * position.sure_m):
        return ""
    far = format_length(off, garden.style)
    return (
        f"Stake {stake.upper()} stands {far} from where this phone had it. If it is another stake of that name now, take"
        " the reading out under Ground."
    )
