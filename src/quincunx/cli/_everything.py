"""``quincunx order --everything``: can all the jobs be had, and if not, what would let them be had?"""

from __future__ import annotations

import json
from pathlib import Path

from quincunx.cli._files import load, now
from quincunx.cli._progress import progress
from quincunx.cli._say import hand_on, say


def show(file: Path, *, as_json: bool) -> None:
    """Print whether all jobs of the garden in ``file`` can be had within the years, and the ways out."""
    from quincunx.garden import timeline
    from quincunx.years.everything import everything
    from quincunx.years.explained import Writer
    from quincunx.years.from_garden import problem_of
    from quincunx.years.gone_by import only_ahead

    garden = load(file)
    with progress() as tell:
        tell("Looking for what clashes", 0.3)
        found = everything(only_ahead(problem_of(garden, timeline(garden)), now(garden)), money=Writer(garden.style))
    if as_json:
        told = {"possible": found.possible, "sentence": found.sentence, "ways": list(found.ways), "note": found.note}
        hand_on(json.dumps(told, ensure_ascii=False, indent=1))
        return
    say(found.sentence)
    if found.ways:
        say("Any one of these would do:")
    for way in found.ways:
        say(f"  · {way}")
    if found.note:
        say(found.note)
