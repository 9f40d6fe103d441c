"""Answers kept from run to run equal those that judging again would give, whatever lies in the file."""

import json
import os
import pickle
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from quincunx.garden import Garden
from quincunx.review import Verdicts, answers as kept, judge, review
from quincunx.review.answers import MOST, Answers, answers_folder
from quincunx.shapes import State, Verdict
from tests.board.garden import small

ROOT = Path(__file__).parents[2]


@pytest.fixture
def garden() -> Garden:
    return small()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "answers"


def test_a_second_run_judges_nothing_and_says_the_same(folder: Path, garden: Garden) -> None:
    first, second = Verdicts(Answers(folder)), Verdicts(Answers(folder))
    told = review(garden, known=first)
    first.close()
    assert review(garden, known=second) == told
    assert first.cost_s
    assert not second.cost_s


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(which=st.integers(0, 10_000), east=st.sampled_from((-0.6, 0.01, 0.4)), north=st.sampled_from((0.0, 0.3)))
def test_after_a_change_kept_answers_equal_new_ones(
    folder: Path, garden: Garden, which: int, east: float, north: float
) -> None:
    judge(garden, known=Verdicts(Answers(folder)))
    moved = garden.features[which % len(garden.features)]
    then = moved.changed(**moved.moved(east, north, 0.0, (0.0, 0.0)))
    other = garden.model_copy(update={"features": tuple(then if f is moved else f for f in garden.features)})
    assert judge(other, known=Verdicts(Answers(folder))) == judge(other)
    assert judge(garden, known=Verdicts(Answers(folder))) == judge(garden)


RUN = """
import json
from quincunx.review import Verdicts, judge
from tests.board.garden import small
known = Verdicts.of_user()
told = judge(small(), known=known)
known.close()
print(json.dumps([len(known.cost_s), [v.because for m in told for v in m.verdicts]]))
"""


def test_another_process_finds_them(tmp_path: Path) -> None:
    told = []
    for seed in ("1", "2"):
        env = os.environ | {"PYTHONHASHSEED": seed, "QUINCUNX_CACHE": str(tmp_path), "QUINCUNX_ANSWERS": ""}
        done = subprocess.run(
            [sys.executable, "-c", RUN], env=env, cwd=ROOT, capture_output=True, text=True, check=True
        )
        told.append(json.loads(done.stdout))
    assert told[0][0] > 0
    assert told[1][0] == 0
    assert told[0][1] == told[1][1]


def test_another_program_does_not(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one = Answers(folder)
    one.put(("a", "b"), "told")
    assert one.get(("a", "b")) == "told"
    one.close()
    assert Answers(folder).get(("a", "b")) == "told"
    assert Answers(folder).get(("ab", "")) is None
    monkeypatch.setattr(kept, "program_digest", lambda: b"changed since")
    assert Answers(folder).get(("a", "b")) is None


def test_nothing_new_is_not_written(folder: Path) -> None:
    one, other = Answers(folder), Answers(folder)
    one.put(("x",), 1)
    assert other.get(("x",)) is None
    one.write()
    assert other.get(("x",)) == 1


class _Mischief:
    def __reduce__(self) -> tuple[object, tuple[str]]:
        return (os.system, ("exit 7",))


@pytest.mark.parametrize(
    "data",
    [b"", b"no pickle", pickle.dumps(_Mischief()), pickle.dumps(eval), pickle.dumps(Path("x")), pickle.dumps([1])[:-2]],
)
def test_what_is_damaged_or_not_ours_is_no_answer(folder: Path, data: bytes) -> None:
    one = Answers(folder)
    one.put(("x",), Verdict(2027, State.HOLDS, "So."))
    one.close()
    with sqlite3.connect(folder / "answers.sqlite") as file:
        file.execute("UPDATE answers SET value = ?", (data,))
    assert Answers(folder).get(("x",)) is None


def test_a_file_that_is_no_database_is_begun_anew(folder: Path, garden: Garden) -> None:
    folder.mkdir()
    (folder / "answers.sqlite").write_bytes(b"something else entirely" * 400)
    known = Verdicts(Answers(folder))
    told = judge(garden, known=known)
    known.close()
    again = Verdicts(Answers(folder))
    assert judge(garden, known=again) == told
    assert not again.cost_s


def test_without_a_place_to_keep_them_all_is_judged(tmp_path: Path, garden: Garden) -> None:
    (tmp_path / "taken").write_text("a file, no folder", encoding="utf-8")
    known = Verdicts(Answers(tmp_path / "taken"))
    assert judge(garden, known=known) == judge(garden)
    known.close()


def test_of_too_many_the_older_half_goes(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST > 258 * 50  # fifty gardens as full as the demonstrations
    monkeypatch.setattr(kept, "MOST", 10)
    one = Answers(folder)
    for k in range(12):
        one.put((str(k),), k)
        one.write()
    assert one.get(("0",)) is None
    assert one.get(("11",)) == 11


def test_the_user_may_do_without(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("QUINCUNX_ANSWERS", "none")
    assert Answers.of_user() is None
    monkeypatch.setenv("QUINCUNX_ANSWERS", "")
    monkeypatch.setenv("QUINCUNX_CACHE", str(tmp_path))
    assert answers_folder() == tmp_path / "answers"
    assert Answers.of_user() is not None
