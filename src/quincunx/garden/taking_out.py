"""Take things out of a garden together with all that names them, so that what is left is whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op
from quincunx.garden.plain import plain
from quincunx.units.fields import Doc


@dataclass(frozen=True)
class TakenOut:
    """The edit, and what goes besides what was asked for: ids of things, jobs and musts."""

    edit: Edit
    features: tuple[str, ...]
    jobs: tuple[str, ...]
    musts: tuple[str, ...]


def take_out(garden: Garden, ids: Sequence[str]) -> TakenOut | None:
    """Return how to take out the features ``ids``; None if none of them is there.

    What can't be without them goes too: a guard, a climber, a job that makes nothing else, a must that is about
    them, a daily walk to them.  What only mentions them among others goes on without.
    """
    gone = {f.id for f in garden.features} & set(ids)
    if not gone:
        return None
    asked = tuple(f.id for f in garden.features if f.id in gone)
    changed = _features(garden, gone)
    jobs, ops_jobs = _jobs(garden, gone)
    musts, ops_musts = _list_of(garden.intents, "intents", gone, lambda m: m.things())
    _, ops_trips = _list_of(garden.trips, "trips", gone, lambda t: (t.start, t.end))
    ops = (
        *ops_musts,
        *ops_trips,
        *_journal(garden, gone | set(jobs)),
        *ops_jobs,
        *changed,
        *(Op(do="remove", part="features", id=f.id) for f in garden.features if f.id in gone),
    )
    called = {f.id: f.called for f in garden.features}
    label = f"Take out {called[asked[0]]}" if len(asked) == 1 else f"Take out {len(asked)} things"
    more = tuple(f.id for f in garden.features if f.id in gone and f.id not in asked)
    return TakenOut(Edit(label=label, ops=ops), more, jobs, musts)


def _features(garden: Garden, gone: set[str]) -> list[Op]:
    """Return the changes of what names something ``gone``; what can't be without it is added to ``gone``."""
    changes: dict[str, Op] = {}
    again = True
    while again:
        again = False
        for f in garden.features:
            if f.id in gone or not gone & set(f.features_named()):
                continue
            less = _without(f, gone)
            if less is None:
                gone.add(f.id)
                again = True
            else:
                changes[f.id] = Op(do="change", part="features", id=f.id, value=less)
    return [op for i, op in changes.items() if i not in gone]


def _jobs(garden: Garden, gone: set[str]) -> tuple[tuple[str, ...], list[Op]]:
    """Return the jobs that make nothing any more, and the changes of all jobs."""
    values: dict[str, dict[str, Any]] = {}
    idle: set[str] = set()
    for job in garden.jobs:
        does = tuple(t for t in job.does if t.partition("/")[0] not in gone)
        away = tuple(t for t in job.takes_away if t not in gone)
        if does != job.does or away != job.takes_away:
            values[job.id] = {"does": list(does), "takes_away": list(away)}
            if not does and not away:
                idle.add(job.id)
        if job.comes_from in gone:
            values.setdefault(job.id, {})["comes_from"] = None
    for job in garden.jobs:
        after = [plain(a) for a in job.after if a.job not in idle]
        with_ = [j for j in job.enjoyed_with if j not in idle]
        if len(after) < len(job.after):
            values.setdefault(job.id, {})["after"] = after
        if len(with_) < len(job.enjoyed_with):
            values.setdefault(job.id, {})["enjoyed_with"] = with_
    ops = [Op(do="change", part="jobs", id=i, value=v) for i, v in values.items() if i not in idle]
    removed = [Op(do="remove", part="jobs", id=j.id) for j in garden.jobs if j.id in idle]
    return tuple(j.id for j in garden.jobs if j.id in idle), [*ops, *removed]


def _journal(garden: Garden, gone: set[str]) -> list[Op]:
    """Return the entries that were about something gone: they are kept, and say what they say."""
    return [
        Op(do="change", part="journal", id=e.id, value={"about": None})
        for e in garden.journal
        if e.about and e.about.partition("/")[0] in gone
    ]


def _list_of(
    items: Iterable[Any], part: str, gone: set[str], names: Callable[[Any], Iterable[str]]
) -> tuple[tuple[str, ...], list[Op]]:
    """Return which of a list's items are about something gone, and the removals and changes."""
    lost, ops = [], []
    for item in items:
        if not gone & set(names(item)):
            continue
        less = _without(item, gone)
        if less is None:
            lost.append(item.id)
            ops.append(Op(do="remove", part=part, id=item.id))
        else:
            ops.append(Op(do="change", part=part, id=item.id, value=less))
    return tuple(lost), ops


def _without(doc: Doc, gone: set[str]) -> dict[str, Any] | None:
    """Return the fields of ``doc`` that no longer name what is gone; None if it can't be without."""
    value: Mapping[str, Any] = plain(doc)
    less: dict[str, Any] = {}
    for name, held in value.items():
        if name == "id":
            continue
        if isinstance(held, str) and held in gone:
            if type(doc).model_fields[name].is_required():
                return None
            less[name] = None
        elif isinstance(held, list) and any(isinstance(v, str) and v in gone for v in held):
            less[name] = [v for v in held if not (isinstance(v, str) and v in gone)]
            if not less[name]:
                return None
    if not less:
        return None
    try:
        doc.changed(**less)
    except ValidationError:
        return None
    return less
