"""``quincunx order --safe``: how likely the plan is to hold, and a plan as safe as is asked, in words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from quincunx.cli._files import load
from quincunx.cli._months import keep_edit, month_of
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say


def show(file: Path, tenths: float, *, keep: bool, as_json: bool) -> None:
    """Print how safe the plan in ``file`` is, and the plan whose money holds in ``tenths`` chances in 10."""
    from quincunx.garden import timeline
    from quincunx.units import own_marks, own_shares
    from quincunx.years.explained import Writer, written
    from quincunx.years.faults import require_sense
    from quincunx.years.from_garden import edit_of, problem_of
    from quincunx.years.replan import moves
    from quincunx.years.safe import how_safe, safer

    garden = load(file)
    problem = problem_of(garden, timeline(garden))
    require_sense(problem, Writer(garden.style))
    starts = written(garden, problem)
    with progress() as tell:
        tell("Drawing worlds", 0.1)
        told = how_safe(garden, problem, starts)
        tell("Planning with something put by", 0.4)
        found = safer(garden, problem, starts, tenths / 10)
    plan = dict(found.points[-1].starts) if found.points else None
    changes = [] if plan is None else [m.sentence for m in moves(problem, starts, plan)]
    if as_json:
        document: dict[str, Any] = {
            "in_words": told.words, "years": [{"year": y.year, "money": y.money.value, "hours": y.hours.value} for y in told.years],
            "safer": found.words, "reached": found.reached, "how": list(told.how),
            "jobs": None if plan is None else [{"id": p.id, "start": month_of(problem, plan.get(p.id))} for p in problem.projects],
        }  # fmt: skip
        hand_on(json.dumps(document, ensure_ascii=False, indent=1))
    else:
        say(told.words)
        for year in told.years:
            say(f"  {year.year}  {year.words}")
        say(own_shares(found.words, garden.style))
        for words in changes:
            say(f"  · {words}")
        for words in told.how:
            say(own_marks(words, garden.style), err=True)
    if keep and plan is not None:
        keep_edit(file, edit_of(garden, problem, plan, "Plan with something put by"))
