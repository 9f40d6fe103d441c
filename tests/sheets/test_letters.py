"""A garden with emoji and letters of other lands prints, and says which of them it can't."""

from __future__ import annotations

from quincunx.garden.letters import unprinted
from quincunx.sheets import pdf
from quincunx.sheets._front import front
from tests.sheets.outdoors import SHED, job, plot, said, set_for

ODD = {**SHED, "name": "花壇 🌹"}


def test_the_first_page_and_a_hint_say_which_letters_cannot_be_printed_and_nothing_breaks() -> None:
    of = set_for(plot(ODD, jobs=[job("den")]), noticed=True)
    words = "“花壇 🌹” can't be printed as written: on paper an empty box stands for each of 花 壇 🌹."
    assert words in said(front(of, ()))
    (hint,) = (f for f in of.review.findings if f.id == "letters-not-printed")
    assert hint.words == words
    assert hint.about == ("den",)
    assert pdf(of, ["plan", "construction"])[:5] == b"%PDF-"


def test_plain_names_say_nothing_and_many_odd_ones_are_counted() -> None:
    assert unprinted(plot(SHED)) == ("", ())
    sheds = [{**SHED, "id": f"den-{n}", "name": f"Den {n} 🌿"} for n in range(5)]
    words, about = unprinted(plot(*sheds))
    assert words.startswith("“Den 0 🌿”, “Den 1 🌿”, “Den 2 🌿” and 2 more can't be printed")
    assert len(about) == 5
