"""Words as a sentence wants them."""

from __future__ import annotations

from quincunx.units import capital, counted, listed


def test_names_in_a_sentence():
    assert [listed(["oak", "ash", "elm"][:n]) for n in range(4)] == ["", "oak", "oak and ash", "oak, ash and elm"]


def test_a_number_agrees_with_its_word():
    assert [counted(n, "must") for n in (0, 1, 2)] == ["0 musts", "1 must", "2 musts"]
    assert [counted(n, "thing has", "things have") for n in (1, 3)] == ["1 thing has", "3 things have"]


def test_a_sentence_begins_with_a_large_letter():
    assert [capital(text) for text in ("", "a", "the Hedge")] == ["", "A", "The Hedge"]
