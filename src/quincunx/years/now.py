"""What to do this month and next, what to order by when, and what is left for a wet weekend."""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.years.problem import Problem, Project, Starts


@dataclass(frozen=True)
class Task:
    """One thing to do: ``kind`` is start, go on, order or pay; ``minutes`` of own work, ``money`` due that month."""

    month: int
    kind: str
    project: str
    minutes: int
    money: int
    wet_ok: bool
    sentence: str


def now(problem: Problem, starts: Starts, *, today: int = 0, months: int = 2) -> list[Task]:
    """List what to do from ``today`` on, in the order to do it.

    Within a month: what is to be ordered (nothing else waits so long), then what goes on, then what starts, the
    job that most others wait for first; bills of work that is over come last.
    """
    tasks = []
    for month in range(today, min(today + months, problem.months)):
        for project in problem.projects:
            if project.id in starts and not project.done:
                tasks += _tasks(problem, project, starts[project.id], month, today)
    waiting = {p.id: sum(any(n.project == p.id for n in q.needs) for q in problem.projects) for p in problem.projects}
    rank = {"order": 0, "go on": 1, "start": 2, "pay": 3}
    return sorted(tasks, key=lambda t: (t.month, rank[t.kind], -waiting[t.project], t.project))


def _tasks(problem: Problem, p: Project, start: int, month: int, today: int) -> list[Task]:
    due = sum(amount for when, amount in problem.bills(p, start) if when == month)
    u = month - start
    minutes = p.minutes[u] if 0 <= u < len(p.minutes) else 0
    when = problem.month_words(month)
    found = []
    order_by = start - p.order_ahead_months
    if p.order_ahead_months and start >= today and (order_by == month or (month == today and order_by < today)):
        late = " (late already)" if order_by < today else ""
        words = f"Order for {p.name} by the end of {when}{late}: it starts in {problem.month_words(start)}."
        found.append(Task(month, "order", p.id, 0, 0, True, words))
    if u == 0:
        found.append(Task(month, "start", p.id, minutes, due, p.wet_ok, f"{when}: start {p.name}{_hours(minutes)}."))
    elif 0 < u < p.duration_months:
        left = p.duration_months - u
        words = f"{when}: go on with {p.name}{_hours(minutes)}; {left} month{'s' * (left > 1)} to go."
        found.append(Task(month, "go on", p.id, minutes, due, p.wet_ok, words))
    elif due:
        found.append(Task(month, "pay", p.id, 0, due, True, f"{when}: pay what is due for {p.name}."))
    return found


def _hours(minutes: int) -> str:
    hours = round(minutes / 60)
    return f" ({hours} hour{'s' * (hours != 1)})" if minutes else ""


def wet(tasks: list[Task]) -> list[Task]:
    """Return what of it can be done on a wet weekend."""
    return [task for task in tasks if task.wet_ok]
