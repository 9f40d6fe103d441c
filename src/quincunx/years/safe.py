"""How safe a plan is, in words: the chance that each year stays in its money and hours, and safer plans.

A job's own guesses (*at least*, *at most* on its cost lines) are used where they are written; for the rest the spreads
of :class:`~quincunx.years.risk.Chances` are taken, which are guesses too and say so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from quincunx.garden import Garden
from quincunx.works import Job
from quincunx.years.checker import check
from quincunx.years.problem import Problem, Starts
from quincunx.years.risk import Chance, Chances, Margin, Risk, ThreePoint, margins, simulate

WORLDS = 4000
SURE, HARDLY = 0.985, 0.015
LOW, HIGH = 0.9, 1.4
"""Spread of a cost line for which none is written: the share of what was planned (a guess, no source)."""


@dataclass(frozen=True)
class YearSafe:
    """One year: chances that its money and, over the year, its hours are enough, and both in words."""

    year: int
    money: Chance
    hours: Chance
    words: str


@dataclass(frozen=True)
class Safe:
    """How safe a plan is: by year, over all years, and the guesses it goes by."""

    years: tuple[YearSafe, ...]
    all_money: Chance
    own_guesses: int
    risk: Risk

    @property
    def words(self) -> str:
        """Say how likely the money holds through all the years."""
        return f"That the money is enough in every year: {chance_words(self.all_money.value)}."

    @property
    def how(self) -> tuple[str, ...]:
        """Say how it was come by, with its error."""
        own = f"{self.own_guesses} job{'s' * (self.own_guesses != 1)} with guesses of your own (at least, at most)"
        error = 100 * max(y.money.error for y in self.years) if self.years else 0.0
        drawn = (
            f"The plan was carried out to the letter in {self.all_money.worlds:,} drawn worlds, always the same ones; the chances are "
            f"right to within about {max(1.0, 2 * error):.0f} in 100 for these guesses."
        )
        spreads = (
            f"Costs: {own}; for the others 10 in 100 less to 40 in 100 more than planned. Hours: a fifth less to four fifths more. "
            "Weather leaves six to ten tenths of the hours. One planting in twelve that takes years is lost and bought again. "
            "These spreads are guesses, no source: write your own on the jobs."
        )
        return (drawn, spreads)


def chance_words(chance: float) -> str:
    """Write a chance as people say it: ``0.84`` is *8 chances in 10*."""
    if chance >= SURE:
        return "as good as sure"
    if chance <= HARDLY:
        return "hardly ever"
    tenths = round(10 * chance)
    if tenths in (0, 10):
        return f"{round(100 * chance)} chances in 100"
    return f"{tenths} chance{'s' * (tenths != 1)} in 10"


def chances_of(garden: Garden, problem: Problem) -> tuple[Chances, int]:
    """Return what may differ, and for how many jobs the person wrote guesses of their own."""
    usual, own = Chances.usual(problem), dict[str, ThreePoint]()
    for job in garden.jobs:
        spread = _spread(job)
        if spread is not None and job.id in usual.cost:
            own[job.id] = spread
    return replace(usual, cost={**usual.cost, **own}), len(own)


def _spread(job: Job) -> ThreePoint | None:
    if not job.cost or not any(line.low is not None or line.high is not None for line in job.costs):
        return None
    low = sum(min(line.sum, line.low) if line.low is not None else LOW * line.sum for line in job.costs)
    high = sum(max(line.sum, line.high) if line.high is not None else HIGH * line.sum for line in job.costs)
    return ThreePoint(low / job.whole_cost, 1.0, high / job.whole_cost)


def how_safe(garden: Garden, problem: Problem, starts: Starts, *, worlds: int = WORLDS) -> Safe:
    """Tell how likely a plan is to stay in its money and hours, year by year (seeded: the same garden, the same words)."""
    chances, own = chances_of(garden, problem)
    risk = simulate(problem, starts, chances, worlds=worlds)
    years = tuple(
        YearSafe(year, risk.money[year], risk.year_hours[year], _year_words(risk.money[year], risk.year_hours[year]))
        for year, _, _ in problem.years()
    )
    return Safe(years, risk.all_money, own, risk)


def _year_words(money: Chance, hours: Chance) -> str:
    return f"money enough: {chance_words(money.value)}; time enough over the year: {chance_words(hours.value)}"


@dataclass(frozen=True)
class Safer:
    """Plans with something put by on every cost, the safest last; ``reached`` if that is as safe as was asked."""

    points: tuple[Margin, ...]
    wanted: float
    now: int
    already: Chance | None = None

    @property
    def reached(self) -> bool:
        """Return whether the last plan holds as often as was asked."""
        return self.already is not None or (bool(self.points) and self.points[-1].holds.value >= self.wanted)

    @property
    def words(self) -> str:
        """Say what the safer plan costs in use."""
        if self.already is not None:
            return f"The plan as it is written is as safe as that already: {chance_words(self.already.value)} that the money is enough in every year."
        if not self.points:
            return "There is no plan that keeps every must, even with nothing put by."
        last = self.points[-1]
        asked = chance_words(self.wanted)
        by = f"with {100 * last.margin:.0f} in 100 put by on every cost" if last.margin else "with nothing put by"
        share = (last.worth - self.now) / self.now if self.now else 0.0
        use = (
            f"{100 * abs(share):.1f} in 100 {'less' if share < 0 else 'more'} use"
            if abs(share) >= 0.0005
            else "as much use"
        )
        if self.reached:
            sure = last.holds.value >= SURE
            often = ", as good as surely" if sure else f" in {chance_words(last.holds.value)}"
            return f"Planned {by}, the money is enough in every year{often}; it gives {use}."
        best = chance_words(last.holds.value)
        return f"No plan was found in which the money is enough in {asked}. The safest, {by}, comes to {best} and gives {use}."


def safer(garden: Garden, problem: Problem, starts: Starts, wanted: float, *, effort: float = 0.5) -> Safer:
    """Plan with more and more put by until the money holds in ``wanted`` (0.8) of the worlds."""
    chances, _ = chances_of(garden, problem)
    written = simulate(problem, starts, chances, worlds=WORLDS).all_money
    if check(problem, starts).sound and written.value >= wanted:
        return Safer((), wanted, problem.worth(starts), written)
    found = margins(problem, chances, wanted=wanted, start_from=starts, seconds=20.0, effort=effort, worlds=WORLDS)
    return Safer(tuple(found), wanted, problem.worth(starts))
