"""The same sum of the same day for the same job, written down twice: one receipt entered from two phones counts twice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import capital, format_money, listed
from quincunx.units.dates import format_day
from quincunx.works import Entry

SOURCE = "Quincunx: the journal, as it is written down"


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each sum that stands more than once for one job and day; nothing is left out of what is counted."""
    same: dict[tuple[str, str, int], list[Entry]] = defaultdict(list)
    for entry in view.garden.journal:
        if entry.about and entry.sum:
            same[entry.about, entry.day, entry.sum].append(entry)
    names = {j.id: f"“{j.name}”" for j in view.garden.jobs}
    for (about, day, sum_), entries in sorted(same.items()):
        if len(entries) < 2:
            continue
        who = list(dict.fromkeys(e.by for e in entries if e.by))
        by = f", entered by {listed(who)}" if who else ""
        what = names.get(about) or view.called(about)
        money = format_money(sum_, view.garden.style)
        often = "twice" if len(entries) == 2 else f"{len(entries)} times"
        yield Finding(
            f"twice-{about}-{day}-{sum_}", Severity.CARE,
            capital(f"{money} of {format_day(date.fromisoformat(day))} stands {often} for {what}{by}; all of it counts."),
            "If it is one receipt, take the other lines out of the journal (Years, As it went); if they are several, leave them.",
            SOURCE, (about,),
        )  # fmt: skip
