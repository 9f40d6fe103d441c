"""Take care: what can hurt somebody, job by job in the order of the works, and what stays so afterwards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from quincunx.garden.safety import in_place
from quincunx.sheets._care import DIGGING, Caution, cautions, locates
from quincunx.sheets._hazards import ANYWHERE
from quincunx.sheets._outdoors import begins, dated, made, undated, waiting
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units.dates import format_month
from quincunx.works import Job

ID = "take-care"
WORDS = "Take care: what can hurt, job by job"
NEEDS = "Nothing that is planned, and nothing that stands, asks for more care than usual, as far as the plan can see."
AGAIN = 2
"""What so many jobs ask for is written once, with a letter."""
COVERS = (
    "These are the usual cautions that the plan itself can see: what is dug, lifted, climbed, glazed, planted, filled with"
    " water. Tools, machines, kits and what comes in tins have their makers' own. Heights, loads, footings, electricity"
    " and gas are for your local code and licensed people."
)
LOOK = "Try yourself, as no plan knows it"
"""Over what musts ask that only somebody who is there can answer."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a list has no scale
    """Yield what is asked for again and again, then each job still to do, then what stays; nothing if there is none."""
    yield from pages_for(of, _ahead(of))


def pages_for(of: Set, ahead: Sequence[Job]) -> Iterator[Page]:
    """Yield the page for some jobs; what stands, or comes by other jobs, is told as long as it stands."""
    every = dated(of)
    asked = {job.id: cautions(every, made(every, job), hurts=True) for job in ahead}
    jobs = [job for job in ahead if asked[job.id]]
    stays = _stays(of, {owner for job in ahead for owner in _owners(job)})
    look = [asked for must in of.garden.intents if not must.muted for asked in must.asks(of.words)]
    if not jobs and not stays and not look:
        return
    often = Counter(words for job in jobs for words in {_general(of, c): None for c in asked[job.id]} if words)
    again = [words for words, n in often.items() if n >= AGAIN][: len(LETTERS)]
    blocks: list[Block] = []
    if again:
        rows = [[{"s": LETTERS[i], "bold": True}, words] for i, words in enumerate(again)]
        blocks += [
            {"t": "heading", "s": "Wherever the letter stands"},
            _table(rows, ["", "what to take care of"], [0.3, 9]),
        ]
    if jobs:
        rows = [_row(of, job, asked[job.id], again) for job in jobs]
        blocks += [
            {"t": "heading", "s": "Job by job"},
            _table(rows, ["when", "job", "letters", "and of its own"], [1.5, 2.3, 0.9, 5.3]),
        ]
    if stays:
        blocks += [{"t": "heading", "s": "As long as it stands"}, {"t": "list", "items": stays, "size": 9.5}]
    if look:
        blocks += [{"t": "heading", "s": LOOK}, {"t": "list", "items": list(dict.fromkeys(look)), "size": 9.5}]
    blocks += [{"t": "heading", "s": "In every garden"}, {"t": "list", "items": list(ANYWHERE), "size": 9.5}]
    blocks.append({"t": "small", "s": COVERS})
    yield Page("Take care", tuple(blocks), of.paper.size_mm, "read a job's lines before it begins")


def _ahead(of: Set) -> list[Job]:
    """Return the jobs still to do, those without a month last."""
    return [*waiting(of), *undated(of)]


def _owners(job: Job) -> Iterator[str]:
    return (t.partition("/")[0] for t in job.does)


def _general(of: Set, caution: Caution) -> str:
    """Return what many jobs may share; lines drawn near ask for the same as any digging."""
    return in_place(DIGGING, of.garden) if locates(caution.general) else caution.general


def _stays(of: Set, coming: set[str]) -> list[str]:
    found = (f for f in of.review.findings if f.can_hurt and not set(f.about) & coming and not locates(f.remedy))
    return [f"{f.words} {f.remedy}" for f in found]


def _row(of: Set, job: Job, asked: Sequence[Caution], again: Sequence[str]) -> list[Any]:
    shared = [_general(of, c) for c in asked]
    letters = " ".join(LETTERS[i] for i, words in enumerate(again) if words in shared)
    told = [replace(c, general="" if _general(of, c) in again else _general(of, c)).words for c in asked]
    own = " ".join(words for words in told if words)
    when = "no month yet" if of.courses[job.id].state == "unplanned" else format_month(begins(of, job))
    return [when, {"s": job.name, "bold": True}, {"s": letters, "bold": True}, own]


def _table(rows: list[list[Any]], head: list[str], widths: list[float]) -> Block:
    return {
        "t": "table", "head": head, "rows": rows, "widths": widths, "align": ["left"] * len(head), "size": 9, "inset": 1.5,
    }  # fmt: skip
