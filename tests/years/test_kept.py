"""Answers kept with the garden."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from quincunx.store import Store, store as store_module
from quincunx.years.explained import explain
from quincunx.years.kept import best_known, keep_order, kept_order, key, solver
from quincunx.years.order import order
from tests.board.garden import small
from tests.years.gardens import tiny


class Pocket:
    """Keeps answers in a dictionary."""

    def __init__(self) -> None:
        self.texts: dict[str, str] = {}

    def kept(self, name: str) -> str | None:
        return self.texts.get(name)

    def keep(self, name: str, text: str) -> None:
        self.texts[name] = text


def test_an_answer_comes_back_the_same() -> None:
    where, problem = Pocket(), tiny(3)
    found = order(problem, smoothing=False)
    keep_order(where, problem, found)
    assert kept_order(where, problem) == found
    assert found.solver == solver()


def test_another_problem_has_another_name() -> None:
    problem = tiny(3)
    first = problem.projects[0]
    others = [
        problem.changed({first.id: replace(first, worth=first.worth + 1)}),
        problem.changed(large_per_year=problem.large_per_year + 1),
        problem.changed(free_minutes=(1, *problem.free_minutes[1:])),
    ]
    names = {key("order", p) for p in (problem, *others)} | {key("why", problem), key("why", problem, {"a": 1})}
    assert len(names) == 6
    assert key("order", tiny(3)) == key("order", problem)


def test_only_a_better_or_surer_answer_takes_its_place() -> None:
    where, problem = Pocket(), tiny(3)
    found = order(problem, smoothing=False)
    less = replace(found, worth=found.worth - 1, proven=False)
    keep_order(where, problem, less)
    keep_order(where, problem, found)
    keep_order(where, problem, less)
    assert kept_order(where, problem) == found


def test_what_cannot_be_read_counts_as_not_kept() -> None:
    where, problem = Pocket(), tiny(3)
    for text in ("", "no", "[]", '{"worth": 1}'):
        where.keep(key("order", problem), text)
        assert kept_order(where, problem) is None
    assert kept_order(None, problem) is None


def test_a_file_keeps_answers_without_an_edit(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    monkeypatch.setattr(store_module, "MOST_ANSWERS", 3)
    path = tmp_path / "a.quincunx"
    with Store.create(path, small()) as store:
        for n in range(5):
            store.keep(f"n{n}", f"text {n}")
        store.keep("n2", "again")
        assert store.revision == 0
        assert store.history() == []
    with Store.open(path, keep=False) as store:
        assert [store.kept(f"n{n}") for n in range(5)] == [None, None, "again", "text 3", "text 4"]
        assert store.whole()


def test_an_explanation_comes_back_the_same_and_is_not_worked_out_again(monkeypatch) -> None:
    where, problem = Pocket(), tiny(5)
    found = order(problem, smoothing=False)
    assert found.starts is not None
    told = explain(problem, found.starts, keep=where)
    monkeypatch.setattr("quincunx.years.explained._explain", None)
    again = explain(problem, found.starts, keep=where)
    assert again == told
    assert [again.cost(p.id) for p in problem.projects] == [told.cost(p.id) for p in problem.projects]


def test_an_order_found_before_is_what_the_explanation_goes_by() -> None:
    where, problem = Pocket(), tiny(5)
    found = order(problem, smoothing=False)
    assert found.starts is not None
    keep_order(where, problem, found)
    told = explain(problem, found.starts, keep=where)
    assert told.found is not None
    assert told.found.starts == found.starts
    anew = explain(problem, found.starts)
    assert (told.held, told.earlier, told.ways, told.behind) == (anew.held, anew.earlier, anew.ways, anew.behind)


def test_a_better_plan_by_hand_is_not_held_against_a_worse_answer() -> None:
    where, problem = Pocket(), tiny(5)
    found = order(problem, smoothing=False)
    assert found.starts is not None
    keep_order(where, problem, replace(found, starts={}, worth=0, proven=False))
    assert best_known(where, problem, found.starts) is None
    known = best_known(where, problem, {})
    assert known is not None
    assert known.worth == 0
