"""A job's lists to tick off outdoors: to buy, the parts as counted, to saw, to plant, to do; and what is ticked already."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set as AbstractSet
from typing import Any

from quincunx.build.hands import hands
from quincunx.build.hours import Labour
from quincunx.build.prices import CutList
from quincunx.build.sheet_lists import SheetList
from quincunx.sheets import Set
from quincunx.sheets._bring import POSTS, WAYS, about_long, bring, deep_words, labour_of, norms_of, usual, work_lines
from quincunx.sheets._building import amount, first_words, to_saw, too_long
from quincunx.sheets._outdoors import Planned, whole
from quincunx.sheets._sheet_cuts import plates_words
from quincunx.sheets._two import raising
from quincunx.sheets.saturday import bought, planted
from quincunx.sheets.shopping import together
from quincunx.units import format_length, format_money, section_words
from quincunx.works import Entry

Line = tuple[str, str]
"""What a line is, whatever it costs, and as it is written."""

CARE: dict[str, tuple[str, ...]] = {
    "saw": ("saw", "treated"),
    "plant": ("dig",),
    "do": ("dig", "high", "glass", "saw", "cement", "dust", "engine", "treated", "lift"),
    "raise": ("dig", "cement", "lift", "high", "glass"),
}
"""What a line of each list may be dangerous by (keys of ``sheets._care.care_at``).

What is to do stands in the person's own words, in any language: nothing is read out of them, so that a task may be whatever
the job asks care for.
"""


def lists_json(of: Set, plan: Planned, *, money: bool = True) -> list[dict[str, Any]]:
    """Return the job's lists, without ``money`` no prices on them.

    A line's id goes by what it is, so that a tick finds it again whatever comes before it, and whatever it costs.
    """
    parts, saw = _counted(of, plan, money=money)
    steps = raising(of, plan)
    lists: list[tuple[str, str, list[Line]]] = [
        ("buy", "To buy or arrange", bought(of, plan.job, money=money)),
        (
            "parts",
            "The same in parts, as counted on the plan" if plan.job.costs else "Parts, as counted on the plan",
            parts,
        ),
        ("saw", "To saw", saw),
        ("plant", "To plant", planted(of, plan)),
        ("raise", "To put up, in this order", [(what, words) for what, words, _ in steps]),
        ("do", "To do", [(task, task) for task in plan.job.tasks]),
    ]
    two = {words: why for _, words, why in steps if why}
    labour = labour_of(of, plan)
    told: list[dict[str, Any]] = [
        {
            "id": name, "words": words, "long": _long(of, name, labour),
            "items": [_told(name, i, labour) for i in _items(name, lines, two if name == "raise" else {})],
        }
        for name, words, lines in lists
        if lines
    ]  # fmt: skip
    return [*told, *_worked(of, plan, {one["id"] for one in told}, labour)]


def _worked(of: Set, plan: Planned, there: AbstractSet[str], labour: Sequence[Labour]) -> Iterator[dict[str, Any]]:
    """Yield the work as a list where nobody wrote down what is to do: each sort of work with how it is done."""
    without = {n for name in ("saw", "plant", "raise") if name in there for n in norms_of(name)}
    lines = [] if plan.job.tasks else work_lines(of, labour, without)
    if lines:
        deep = deep_words(of, plan)
        items = _items("work", [(norm, words) for norm, words, _ in lines], {})
        yield {
            "id": "work", "words": "The work, in this order", "long": about_long(of, sum(x.hours for *_, x in lines)),
            "items": [
                {
                    **item, "care": list(h.care), "how": [h.how, *(deep if norm == POSTS else ())], "bring": list(h.bring),
                    "long": about_long(of, x.hours),
                }
                for item, (norm, _, x) in zip(items, lines, strict=True)
                for h in (hands()[norm],)
            ],
        }  # fmt: skip


def _told(name: str, item: dict[str, Any], labour: Sequence[Labour]) -> dict[str, Any]:
    """Return a line with how it is done and what to bring for it."""
    planted = [hands()[x.norm].how for x in labour if x.norm in norms_of(name)] if name == "plant" else []
    own = norms_of(name) if name in ("saw", "plant", "raise") else None
    tools = [] if name in ("buy", "parts") else bring(labour, own) or usual(name)
    return {**item, "how": [*dict.fromkeys(planted), *WAYS.get(name, ())], "bring": tools, "long": ""}


def _long(of: Set, name: str, labour: Sequence[Labour]) -> str:
    """Return about how long all of a list takes; what a person wrote as tasks takes what the job does, which stands at its head."""
    return about_long(of, sum(x.hours for x in labour if x.norm in norms_of(name)))


def ticked(entries: Sequence[Entry], lists: Sequence[dict[str, Any]]) -> list[str]:
    """Return the ids of what is ticked: points, and lines of the lists; an older tick of a line is known by its words."""
    keys = {e.points[0] for e in entries if e.what == "ticked" and e.points}
    said = {e.text for e in entries if e.what == "ticked" and e.points and "/" in e.points[0]}
    return sorted(keys | {i["id"] for one in lists for i in one["items"] if i["words"] in said})


def _items(name: str, lines: Iterable[Line], two: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    seen: dict[str, int] = {}
    for what, words in lines:
        seen[what] = nth = seen.get(what, 0) + 1
        digest = hashlib.blake2b(f"{what}\n{nth}".encode(), digest_size=5).hexdigest()
        yield {"id": f"{name}/{digest}", "words": words, "care": list(CARE.get(name, ())), "two": two.get(words, "")}


def _counted(of: Set, plan: Planned, *, money: bool) -> tuple[list[Line], list[Line]]:
    """Return the parts and the sawing as worked out; nothing while a place of the job is held open still."""
    costed = next((c for c in of.costed if c.job.id == plan.job.id), None)
    if costed is None or costed.options:
        return [], []
    parts = []
    for b in together(costed.reckoned.bill):
        what = f"{b.words}: {whole(amount(of, b))}"
        sum_ = "" if not (b.sum and money) else f", {format_money(b.sum, of.garden.style)}"
        parts.append((what, f"{what}{' (found or given)' if b.found else sum_}"))
    saw = [line for cut in costed.reckoned.cuts for line in _sawn(of, cut)]
    saw += [line for sheet in costed.reckoned.sheets for line in _plates(of, sheet)]
    return parts, [(line, line) for line in saw]


def _sawn(of: Set, cut: CutList) -> Iterator[str]:
    """Yield a line for each way in which boards of an item are sawn, what is left over of earlier jobs first."""
    style, boards = of.garden.style, dict[str, int]()
    called = f"{cut.words} {whole(section_words(cut.pieces[0].section_m, style))}"
    yield from first_words(cut, style)
    kept = [(f"kept, {whole(to_saw(r.left.length_m, style))}", r.cuts, r.count) for r in cut.before]
    for long, cuts, count in [*kept, *((whole(format_length(b.length_m, style)), b.cuts, b.count) for b in cut.boards)]:
        words = f"of {long}, {called}, {{each}}into {_pieces(of, cut, cuts)}"
        boards[words] = boards.get(words, 0) + count
    yield from (f"{n} {words.format(each='each ' if n > 1 else '')}" for words, n in boards.items())
    yield from (too_long(p, style) for p in cut.misfits)


def _pieces(of: Set, cut: CutList, cuts: Sequence[tuple[int, int]]) -> str:
    """Write what one board is sawn into; pieces of one name and length together, whatever they are for."""
    found: dict[str, int] = {}
    for i, n in cuts:
        words = f"{cut.pieces[i].name} of {whole(to_saw(cut.pieces[i].length_m, of.garden.style))}"
        found[words] = found.get(words, 0) + n
    return ", ".join(f"{n} {words}" for words, n in found.items())


def _plates(of: Set, sheet: SheetList) -> Iterator[str]:
    how = "ordered cut to size" if sheet.ordered else "cut from sheets, as the page drawn for it shows"
    yield f"{sheet.words}, {how}: {plates_words(sheet, of.garden.style)}"
