"""What the papers' typeface holds, as written down, against the typeface itself."""

from __future__ import annotations

import json
from pathlib import Path

from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

import quincunx
from quincunx.units.letters import not_in_typeface

PACKAGE = Path(quincunx.__file__).parent


def test_the_letters_written_down_are_those_of_every_cut_of_the_typeface() -> None:
    cuts = [set(TTFont(path).getBestCmap()) for path in sorted((PACKAGE / "_ui" / "fonts").glob("*.ttf"))]
    assert len(cuts) == 5
    runs = json.loads((PACKAGE / "units" / "data" / "letters.json").read_text(encoding="utf-8"))["runs"]
    assert {x for a, b in runs for x in range(a, b + 1)} == set.intersection(*cuts)


def test_what_cannot_be_shown_is_named_once_and_all_else_is_left() -> None:
    assert not_in_typeface("Rose corner 🌹, 花壇 🌹") == ("🌹", "花", "壇")
    assert not_in_typeface("Åse's bänk, Łódź, Ωμέγα, Сад, 1½ m², “long walk” – ✓") == ()
    assert not_in_typeface("e\u0301 with a loose accent, \u200bno\u00a0break") == ()
