"""``quincunx towards``: the jobs, orders, hours and sums behind a thing, or behind the view from a peg."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._called import id_of, pegs, things
from quincunx.cli._files import FILE, load
from quincunx.cli._say import hand_on, say

if TYPE_CHECKING:
    from datetime import date

    from quincunx.garden import Garden
    from quincunx.intents import Words
    from quincunx.scene import Timeline
    from quincunx.years.comes_true import ComesTrue


@click.command("towards")
@click.argument("file", type=FILE)
@click.argument("what", nargs=-1, required=True)
@click.option(
    "--by", metavar="MONTH", help="As it will be in this month, such as 2031-06; else in the plan's last summer."
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the list.")
def command(file: Path, what: tuple[str, ...], by: str | None, as_json: bool) -> None:
    """Say how WHAT comes true in FILE: things by what they are called, musts for what they name, or a peg for all seen from it.

    In the order of time: what to order and do, with what goes if one job is left out; and by when what must have grown by a
    year has to be planted, such as a hedge that hides and nuts that bear.
    """
    from quincunx.garden import timeline
    from quincunx.review.read import words_for
    from quincunx.years.comes_true import comes_true

    garden = load(file)
    through = timeline(garden)
    words, on = words_for(garden, through), _day(through, by)
    found = comes_true(garden, through, _things(garden, through, _ids(garden, what, words), on), on, words)
    if as_json:
        hand_on(json.dumps(_document(found), ensure_ascii=False, indent=1))
    else:
        _say(found, words)


def _day(through: Timeline, by: str | None) -> date:
    from calendar import monthrange
    from datetime import date

    from quincunx.sheets._outlooks import photo_day
    from quincunx.units import parse_month

    if by is None:
        return photo_day(through, through.years[-1])
    year, month = map(int, parse_month(by).split("-"))
    return date(year, month, monthrange(year, month)[1])


def _ids(garden: Garden, what: tuple[str, ...], words: Words) -> list[str]:
    """Return the ids of what is asked about, by its id or by what it is called; a clear refusal of others."""
    musts = {m.id: m.sentence(words).rstrip(".") for m in garden.intents}
    there = things(garden) | pegs(garden) | musts
    also = f"Its pegs are: {', '.join(pegs(garden))}." if garden.pegs else "`quincunx export` lists all by their ids."
    return [id_of(one, there, "thing, no must and no peg", also) for one in what]


def _things(garden: Garden, through: Timeline, ids: list[str], on: date) -> list[str]:
    """Return the ids of the things that are asked about, a peg's view as all that is seen from it."""
    from quincunx.sheets._outlooks import in_view, look_from
    from quincunx.years.comes_true import things_of

    marks, found = {p.id: p for p in garden.pegs}, list[str]()
    for one in ids:
        if one in marks:
            found += in_view(look_from(marks[one], through.at(on)))
        else:
            found += things_of(garden, through, one)
    return found


def _say(found: ComesTrue, words: Words) -> None:
    for line in found.words:
        say(line)
    for step in found.steps:
        took = ", ".join([words.hours(step.hours)] * bool(step.hours) + [words.money(step.money)] * bool(step.money))
        say(f"\n{step.when}: {step.name}{f' ({took})' if took else ''}")
        for early in step.orders:
            say(f"  · {early.words}")
        also = f"; without it there is no {', '.join(words.the(t) for t in step.also)} either" if step.also else ""
        say(f"  {step.because}{also}")
    say()
    for thing in found.things:
        say(f"{'✓' if thing.how == 'there' else '·' if thing.how == 'comes' else '✗'} {thing.words}")


def _document(found: ComesTrue) -> dict[str, object]:
    return {
        "on": found.on.isoformat(), "words": list(found.words), "hours": found.hours, "money": found.money,
        "things": [{"id": t.id, "how": t.how, "job": t.job, "words": t.words} for t in found.things],
        "way": [
            {"job": s.job, "when": s.when, "hours": s.hours, "money": s.money, "because": s.because,
             "orders": [e.words for e in s.orders], "without": list(s.without)}
            for s in found.steps
        ],
        "done": [s.job for s in found.done],
    }  # fmt: skip
