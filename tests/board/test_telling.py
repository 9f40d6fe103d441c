"""What is told on the board is told in the board's own words."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import quincunx.review
from quincunx.board.telling import how, in_words, on_board
from quincunx.intents import INTENTS, intent_kind
from quincunx.review.verdicts import Known
from quincunx.shapes import State, Verdict
from quincunx.units import Style
from quincunx.works import HOW_KNOWN

HERE = Path(quincunx.review.__file__).parent


def written() -> list[str]:
    """Every text of what is noticed that names a command."""
    out = []
    for file in sorted(HERE.glob("*.py")):
        found = [n.value for n in ast.walk(ast.parse(file.read_text())) if isinstance(n, ast.Constant)]
        out += [v for v in found if isinstance(v, str) and "`quincunx" in v and "``" not in v]
    return out


def test_some_remedies_name_a_command_for_those_who_type():
    assert len(written()) >= 2


@pytest.mark.parametrize("remedy", written())
def test_the_board_names_none_and_loses_nothing_else(remedy):
    told = on_board(remedy)
    assert "`" not in told
    assert "quincunx" not in told
    assert told.count("(") == told.count(")")
    assert "question Age" in told
    assert set(told.split()) <= {w for word in remedy.split() for w in (word, word.rstrip(","))} | {"it.", "made;"}


def test_musts_about_money_and_about_hours_say_how_begun_jobs_are_reckoned_and_no_other_does():
    known = Known(Verdict(2027, State.HOLDS, "It does."), ())
    said = {
        intent_kind(kind)
        for kind in INTENTS
        if HOW_KNOWN in how(known, kind.model_validate({"kind": intent_kind(kind), **kind.example}), Style())
    }
    assert said == {"hours-no-more", "spend-no-more"}


def test_a_remedy_without_a_command_is_told_as_it_is():
    said = "Turn the leaf the other way, or move the gate (or both)."
    assert on_board(said) == said
    assert on_board("The question Age offers it, or `quincunx hours --take`. Or grow less.") == (
        "The question Age offers it. Or grow less."
    )
    assert on_board("Two jobs ready made (or `quincunx prepare`); else strip the turf.") == (
        "Two jobs ready made; else strip the turf."
    )


def test_a_slope_is_told_as_people_say_it():
    assert in_words(1 / 12, "slope", Style()) == "1 in 12"
    assert in_words(0.0, "slope", Style(decimal_mark=",")) == "level"
