"""Two ways to go on from a month, side by side: move as little as is worth it, or move all that pays."""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.units import capital
from quincunx.years.real import WORTH_SAYING, Again
from quincunx.years.replan import Move

LITTLE, PAYS = "Move as little as is worth it", "Move what pays"
GIVE_LITTLE, GIVE_PAYS = 0.005, 0.0005
"""Share of the use still to be had that each may give up so that less moves."""


@dataclass(frozen=True)
class Way:
    """One way to go on: its name, and what it moves and gives up in sentences."""

    name: str
    words: str


def two_ways(little: Again, pays: Again) -> tuple[Way, Way] | None:
    """Return both ways told beside each other; None where moving more than ``little`` does would bring nothing."""
    if little.found.starts is None or pays.found.starts is None or little.found.starts == pays.found.starts:
        return None
    more = pays.found.worth - little.found.worth
    share = 100 * more / pays.found.worth if pays.found.worth else 0.0
    if share < WORTH_SAYING:
        return None
    use = f"{share:.1f} in 100 of the use that is still to come"
    return (
        Way(LITTLE, f"{_moves(little)} {_waits(little)} It gives up {use}."),
        Way(PAYS, f"{_moves(pays)} {_waits(pays)} It gives up nothing but the order you know: {use} are gained."),
    )


def nothing_to_gain(little: Again) -> str:
    """Say that there is no second way, where the first one is a plan."""
    return "" if little.found.starts is None else "Moving more than that would bring no more use."


def _moves(again: Again) -> str:
    count = len(again.rows)
    return "Nothing moves." if not count else f"{count} job{'s' * (count != 1)} change{'s' * (count == 1)}."


def _waits(again: Again) -> str:
    """Say which job waits longest, and which are left out."""
    problem, moved = again.today.problem, [m for m in again.found.moves if m.project not in again.today.progress]
    out = [problem[m.project].name for m in moved if m.new is None]
    said = [f"{name} is left out." for name in out[:2]]
    late = [(m.new - m.old, m) for m in moved if m.new is not None and m.old is not None and m.new > m.old]
    if late:
        months, move = max(late, key=lambda pair: (pair[0], pair[1].project))
        said.append(
            f"{capital(problem[move.project].name)} waits longest, {_later(problem.month_words(move.new or 0), months)}."
        )
    else:
        said.append("Nothing waits longer than planned.")
    return " ".join(said)


def _later(when: str, months: int) -> str:
    years, rest = divmod(months, 12)
    parts = [f"{n} {word}{'s' * (n != 1)}" for n, word in ((years, "year"), (rest, "month")) if n]
    return f"{' and '.join(parts)}, until {when}"


def moved_otherwise(little: Again, pays: Again) -> tuple[Move, ...]:
    """Return the moves of the wider way that the other does not make, or makes to another month."""
    known = {(m.project, m.new) for m in little.found.moves}
    return tuple(
        m for m in pays.found.moves if (m.project, m.new) not in known and m.project not in pays.today.progress
    )
