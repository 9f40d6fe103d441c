"""Something costs more, or less, than was planned: every sum still to come that names it, and its line in the price list."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op
from quincunx.units import Style, capital, format_money, write_plain
from quincunx.units.errors import PlainError
from quincunx.works import Job, Price

LEAST, MOST = 0.1, 10.0
"""A price comes to between a tenth and ten times what it was."""
EVERYTHING = frozenset({"everything", "all", "all of it", "all prices"})
"""Words that name no sum but all of them."""
_ASKED = re.compile(r"(?P<what>.*?)\s*=?\s*(?P<sign>[+-])\s*(?P<share>\d+(?:[.,]\d+)?)\s*(?:%|in 100)\s*")


class DearerError(PlainError, ValueError):
    """What costs more can't be read, or is named nowhere; the message says what was given and what to write."""


@dataclass(frozen=True)
class Line:
    """One sum that becomes another [minor units]: the job it belongs to, the line's words, what the job is called."""

    job: str
    words: str
    was: int
    now: int
    called: str = ""
    theirs: float = 0.0
    """What others pay of it [%]."""

    @property
    def more(self) -> int:
        """Return what it comes to more, below 0 less [minor units]."""
        return self.now - self.was


@dataclass(frozen=True)
class Dearer:
    """What is touched: cost lines of jobs, how many lines of the price list, and the edit that writes it."""

    words: str
    lines: tuple[Line, ...]
    prices: int
    edit: Edit

    @property
    def more(self) -> int:
        """Return what all lines together cost more, whoever pays it, below 0 less [minor units]."""
        return sum(line.more for line in self.lines)

    @property
    def ours(self) -> int:
        """Return how much of that the plan counts: not what others pay of the jobs [minor units]."""
        return round(sum(line.more * (1 - line.theirs / 100) for line in self.lines))

    def sentence(self, style: Style) -> str:
        """Say what is touched and what it comes to."""
        names = "; ".join(f"{x.called}, {x.words} ({format_money(x.was, style, whole=True)})" for x in self.lines)
        more = f"{format_money(abs(self.more), style, whole=True)} {'more' if self.more >= 0 else 'less'}"
        listed = f" Of the price list {self.prices} line{'s' * (self.prices != 1)}." if self.prices else ""
        ours = f", {format_money(abs(self.ours), style, whole=True)} of it yours" if self.ours != self.more else ""
        said = f"{names}: {more} in all{ours}." if self.lines else "No job's costs name it."
        return said + listed


def read_dearer(text: str) -> tuple[tuple[str, ...], float]:
    """Read ``timber, posts +30%`` as the words and the factor (1.3); no words mean everything.

    Raises :class:`DearerError` for anything else.
    """
    found = _ASKED.fullmatch(text.strip())
    if found is None:
        raise DearerError(
            f"“{text}”: prices go up or down by a share. Write what costs more and by how much, such as timber, posts +30%."
        )
    share = float(found["share"].replace(",", ".")) / 100
    factor = round(1 + share if found["sign"] == "+" else 1 - share, 9)  # 1 - 0.9 is a little less than 0.1
    if not LEAST <= factor <= MOST:
        raise DearerError(
            f"“{text}” would make prices {factor:g} times what they were; expected between {LEAST:g} and {MOST:g} times."
        )
    what = tuple(w for part in found["what"].split(",") if (w := part.strip()))
    return () if {w.casefold() for w in what} <= EVERYTHING else what, factor


def dearer(garden: Garden, text: str) -> Dearer:
    """Return what ``timber, posts +30%`` touches: jobs not yet done whose cost lines name one of the words.

    A word is found wherever a word of the line begins with it, whatever its letters' size: *post* finds *Mesh and posts*.
    A word that no line and no price bears is looked for in the names of the jobs, and touches all that such a job costs.
    What was paid of a begun job was paid at the old price: only its rest becomes dearer.
    Raises :class:`DearerError` if nothing is named so.
    """
    what, factor = read_dearer(text)
    done = {e.about for e in garden.journal if e.what == "done"}
    to_come = [j for j in garden.jobs if j.id not in done]
    label = f"{' and '.join(what) or 'Everything'} {_share(factor, garden.style)}"
    lines, ops = list[Line](), list[Op]()
    named = _in_names_only(garden, to_come, what)
    for job in to_come:
        own = () if named and _named(job.name, named) else what
        rest = 1 + (factor - 1) * _unpaid(garden, job)
        if rest != 1 and (found := list(_lines(job, own, rest))):
            lines += found
            ops.append(Op(do="change", part="jobs", id=job.id, value={"costs": _costs(job, own, rest)}))
    prices = [p for p in garden.prices if p.sum and _named(_listed(p), what)]
    ops += [Op(do="change", part="prices", id=p.id, value=_scaled(p, factor)) for p in prices]
    if not ops:
        names = sorted({c.words for j in to_come for c in j.costs})
        raise DearerError(
            f"Nothing still to be paid is called “{', '.join(what)}”. There are: {'; '.join(names[:12]) or 'no costs yet'}. "
            "A job's name does too; +10% alone means everything."
        )
    return Dearer(label, tuple(lines), len(prices), Edit(label=capital(label), ops=tuple(ops)))


def _listed(price: Price) -> str:
    return f"{price.words} {price.supplier} {price.id.replace('-', ' ')}"


def _in_names_only(garden: Garden, to_come: list[Job], what: tuple[str, ...]) -> tuple[str, ...]:
    """Return the words that no cost line and no price bears: names of jobs, if anything."""
    borne = [line.words for job in to_come for line in job.costs if line.sum]
    borne += [_listed(p) for p in garden.prices if p.sum]
    return tuple(word for word in what if not any(_named(text, (word,)) for text in borne))


def _unpaid(garden: Garden, job: Job) -> float:
    """Return which share of a job's costs is still to be paid by the journal, 0 to 1."""
    planned = job.cost
    paid = sum(e.sum or 0 for e in garden.journal if e.about == job.id)
    return min(max(1 - paid / planned, 0.0), 1.0) if planned else 1.0


def _share(factor: float, style: Style) -> str:
    return f"{write_plain(abs(factor - 1) * 100, style)} in 100 {'dearer' if factor >= 1 else 'cheaper'}"


def _named(text: str, what: tuple[str, ...]) -> bool:
    """Tell whether a word of the text begins with one of the words; no words: always."""
    folded = text.casefold()
    return not what or any(re.search(rf"\b{re.escape(w.casefold())}", folded) for w in what)


def _times(sum_: int, factor: float) -> int:
    return math.ceil(round(sum_ * factor, 6))


def _lines(job: Job, what: tuple[str, ...], factor: float) -> Iterator[Line]:
    for line in job.costs:
        if line.sum and _named(line.words, what):
            yield Line(job.id, line.words, line.sum, _times(line.sum, factor), job.name, job.others_pay)


def _costs(job: Job, what: tuple[str, ...], factor: float) -> list[dict[str, Any]]:
    return [
        line.model_dump(mode="json", exclude_defaults=True)
        | (_scaled(line, factor) if _named(line.words, what) else {})
        for line in job.costs
    ]


def _scaled(priced: Any, factor: float) -> dict[str, Any]:
    """Return the sum of a price or a cost line, and its range, times the factor."""
    sums = {"sum": priced.sum, "low": priced.low, "high": priced.high}
    return {name: _times(sum_, factor) for name, sum_ in sums.items() if sum_ is not None}
