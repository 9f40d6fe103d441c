"""Words as a sentence wants them."""

from __future__ import annotations

from quincunx.units import capital, listed


def test_names_in_a_sentence():
    assert [listed(["oak", "ash", "elm"][:n]) for n in range(4)] == ["", "oak", "oak and ash", "oak, ash and elm"]


def test_a_sentence_begins_with_a_large_letter():
    assert [capital(text) for text in ("", "a", "the Hedge")] == ["", "A", "The Hedge"]
