"""Whoever chooses larger text in the browser gets it on every screen, with the page set for fewer words a line."""

from __future__ import annotations

import re
from pathlib import Path

UI = Path(__file__).resolve().parents[2] / "ui" / "src"
SHEETS = sorted([*UI.rglob("*.svelte"), *UI.rglob("*.css")])
SIZE = re.compile(r"(?<!-)\bfont-size:\s*[^;]*?\d(?:px|pt)")
PICTURE = re.compile(r"^\s*(?:\.\w+ )?(?:text|\.now) \{")
"""Words within a picture: they are scaled with it."""
WIDTH = re.compile(r"(?:min|max)-(?:width|height):\s*[\d.]+px\)|(?:matchMedia|MediaQuery)\([^)]*\dpx")


def test_no_words_have_a_size_of_their_own() -> None:
    found = [
        f"{path.relative_to(UI)}: {line.strip()[:90]}"
        for path in SHEETS
        for line in path.read_text(encoding="utf-8").splitlines()
        if SIZE.search(line) and not PICTURE.match(line)
    ]
    assert found == [], "say it in rem: px ignores the size people choose for text in their browser"


def test_how_a_page_is_set_hangs_on_how_many_words_fit_across_it() -> None:
    found = [
        f"{path.relative_to(UI)}: {line.strip()[:90]}"
        for path in [*SHEETS, *sorted(UI.rglob("*.ts"))]
        if "outdoors" not in path.relative_to(UI).parts
        for line in path.read_text(encoding="utf-8").splitlines()
        if WIDTH.search(line)
    ]
    assert found == [], "say it in em: a window is as narrow as its text is large"
