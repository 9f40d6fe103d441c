"""``quincunx order --what-if``: two plans side by side, in words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quincunx.cli._files import load, now as present
from quincunx.cli._months import month_of
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say, terminal

if TYPE_CHECKING:
    from quincunx.review.changed import MustChange
    from quincunx.years.compared import Compared


def show(file: Path, asked: str, seconds: float, *, as_json: bool) -> None:
    """Print what a question such as ``money=+20%`` would change in the garden in ``file``."""
    from quincunx.garden import timeline
    from quincunx.review import Verdicts, judge
    from quincunx.review.changed import musts_changed
    from quincunx.years.compared import compared
    from quincunx.years.explained import written

    garden = load(file)
    with progress() as tell:
        tell("Finding both plans", 0.1)
        found = compared(garden, timeline(garden), asked, seconds=seconds, today=present(garden))
        now, then = found.gardens(garden)
        tell("Judging both", 0.7)
        known = Verdicts.of_user()
        musts = musts_changed(judge(now, known=known), judge(then, known=known)) if then is not None else ()
        known.close()
    if as_json:
        hand_on(json.dumps(document(found, musts), ensure_ascii=False, indent=1))
        return
    other = found.now.starts != written(garden, found.problem)
    say(found.words)
    if other and found.then is not None:
        say("The months written now are not the best; “as it is” is the best that was found for them.")
    if found.then is not None:
        _side_by_side(found, musts)


def document(found: Compared, musts: tuple[MustChange, ...]) -> dict[str, Any]:
    """Return both plans as JSON values."""
    return {
        "what_if": found.asked.words, "in_words": found.words, "share": round(found.share, 6), "possible": found.then is not None,
        "jobs": [
            {"id": p.id, "name": p.name, "now": month_of(found.problem, (found.now.starts or {}).get(p.id)),
             "then": month_of(found.asked.problem, (found.then or {}).get(p.id))}
            for p in found.problem.projects
        ],
        "use_by_year": [{"year": y, "now": round(a, 3), "then": round(b, 3)} for y, (a, b) in found.curve.items()],
        "musts": [{"id": m.id, "text": m.text, "years": [[y, a.value, b.value] for y, a, b in m.years]} for m in musts],
    }  # fmt: skip


def _side_by_side(found: Compared, musts: tuple[MustChange, ...]) -> None:
    from rich.table import Table

    console, now, then = terminal(), found.now.starts or {}, found.then or {}
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    table.add_column("What", ratio=3)
    for name in ("As it is", "What if"):
        table.add_column(name, no_wrap=True)
    table.add_column("", ratio=1)
    for p in sorted(found.problem.projects, key=lambda p: (now.get(p.id, 10**6), p.id)):
        one, two = now.get(p.id), then.get(p.id)
        months = [found.problem.month_words(t) if t is not None else "left out" for t in (one, two)]
        table.add_row(p.name, months[0], "·" if one == two else months[1], _moved(one, two))
    console.print(table)
    console.print(
        "\nUse there is in each year (10 for a thing nice to have, 80 for what the garden is for)", style="bold"
    )
    curve = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    curve.add_column("")
    for year in found.curve:
        curve.add_column(str(year), justify="right")
    for name, k in (("as it is", 0), ("what if", 1)):
        curve.add_row(name, *(f"{pair[k]:.0f}" for pair in found.curve.values()))
    console.print(curve)
    print_musts(musts)


def print_musts(musts: tuple[MustChange, ...]) -> None:
    """Print the musts whose answers change, in one line each with the reason."""
    from rich.text import Text

    console = terminal()
    if not musts:
        console.print("\nWhat the garden must do is answered as before, in every year.")
        return
    console.print("\nWhat the garden must do, where the answer changes", style="bold")
    for must in musts:
        console.print(Text(f"{'✗' if must.breaks else '·'} {must.sentence} {must.because}"))


def _moved(one: int | None, two: int | None) -> str:
    if one is None or two is None or one == two:
        return ""
    months = abs(two - one)
    return f"{months} month{'s' * (months > 1)} {'later' if two > one else 'earlier'}"
