"""Planting planned for a month in which it isn't done, and what is past its best within the plan."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units.dates import MONTHS, format_month, month_from_index

WINDOW_SOURCE = "planting seasons by the site's mean temperatures or frosts; common practice, no source"

UNSURE_SOURCE = (
    "bare roots go in early in spring where winters are hard: Iowa State University Extension and Outreach, When should"
    " bare-root trees be planted?, 2023; a latitude doesn't tell how hard they are"
)


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each planting out of season, and one for each that wants renewing."""
    yield from _seasons(view)
    yield from _unsure(view)
    yield from _old(view)


def _seasons(view: View) -> Iterator[Finding]:
    """Yield what is planted out of season, told once for all of one month and one way of planting."""
    from quincunx.grow.windows import OutOfSeason, out_of_season

    groups: dict[tuple[int, str, bool], list[OutOfSeason]] = {}
    for one in out_of_season(view.timeline):
        groups.setdefault((one.month, one.window.words, one.by_job), []).append(one)
    for (month, how, by_job), those in groups.items():
        first, owners = those[0], tuple(one.owner for one in those)
        said = ", ".join(MONTHS[m - 1] for m in first.window.months)
        planned = format_month(month_from_index(month))
        more = f" So is it with {view.words.both(owners[1:])}." if owners[1:] else ""
        yield Finding(
            f"season-{first.owner}", Severity.CARE,
            f"{view.called(first.owner)} ({first.plant.name}) is to be planted in {planned}; {how}.{more}",
            f"{'Move its job to' if by_job else 'Plant it in'} one of {said}.", WINDOW_SOURCE, owners, None, month // 12,
        )  # fmt: skip


def _unsure(view: View) -> Iterator[Finding]:
    """Yield one finding for all that goes in bare-rooted in winter where nobody has said how cold the winters are."""
    from quincunx.grow.windows import unsure

    owners = unsure(view.timeline)
    if not owners:
        return
    yield Finding(
        "winter-unknown", Severity.HINT,
        f"{view.called(owners[0])}{' and others are' if owners[1:] else ' is'} planted bare-rooted in the dormant months, but how cold"
        " the winters are here is not known: where the ground freezes for weeks that is done only in spring, as soon as the"
        " soil works.",
        "Give the place its usual temperatures by month; until then ask a neighbour whether the ground is open in"
        f" {'July' if view.timeline.southern else 'January'}.",
        UNSURE_SOURCE, owners,
    )  # fmt: skip


def _old(view: View) -> Iterator[Finding]:
    from quincunx.grow.plantings import plantings

    seen: set[str] = set()
    for year in view.timeline.years:
        for one in plantings(view.timeline, year):
            life = one.plant.life_years
            if (
                life is None
                or not one.plant.edible
                or one.owner in seen
                or one.years_at(one.on.month)[1] < sum(life) / 2
            ):
                continue
            seen.add(one.owner)
            yield Finding(
                f"renew-{one.owner}", Severity.HINT,
                f"{view.called(one.owner)} ({one.plant.name}) is past its best by {year}: it is worth renewing after"
                f" {life[0]:g} to {life[1]:g} years.",
                "Plant its successor a year or two before, in fresh ground: runners, cuttings and divisions cost nothing.",
                f"years until it is worth renewing: {one.plant.known('life_years')}", (one.owner,),
                one.standing.at[0], year,
            )  # fmt: skip
