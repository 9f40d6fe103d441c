"""The board's colours can be read in the sun and in the evening: contrast by WCAG 2.2.

Relative luminance and contrast ratio as W3C, Web Content Accessibility Guidelines 2.2 (2023), defines them; 7 to 1 for
text is its success criterion 1.4.6 (level AAA), 3 to 1 for what is drawn its 1.4.11 (level AA).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

THEME = Path(__file__).parents[2] / "ui" / "src" / "theme" / "theme.css"
WRITTEN = ("ink", "soft", "chosen", "signal", "care")
"""What text is written in."""
GROUNDS = ("paper", "leaf", "sheet")
WASHES = ("chosen-wash", "signal-wash", "care-wash")
ROLES = (
    "lawn", "bed", "room", "way", "water", "below", "held", "built", "grown", "wall", "roof", "evidence", "datum", "note",
    "measure", "pin",
)  # fmt: skip
TEXT, TEXT_ON_WASH, DRAWN = 7.0, 6.0, 3.0


def themes() -> dict[str, dict[str, str]]:
    text = THEME.read_text(encoding="utf-8")
    light, evening = text.split(":root[data-theme='evening']")
    found = [dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})\b", part)) for part in (light, evening)]
    return {"light": found[0], "evening": found[0] | found[1]}


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_ratio_is_the_published_one():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    # W3C, Understanding success criterion 1.4.3: #767676 on white is 4.54 to 1 (from memory).
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", ["light", "evening"])
@pytest.mark.parametrize("name", WRITTEN)
def test_text_is_readable_in_the_sun(theme, name):
    colours = themes()[theme]
    found = {ground: contrast(colours[name], colours[ground]) for ground in GROUNDS}
    assert min(found.values()) >= TEXT, found
    washed = {ground: contrast(colours[name], colours[ground]) for ground in WASHES}
    assert min(washed.values()) >= TEXT_ON_WASH, washed


@pytest.mark.parametrize("theme", ["light", "evening"])
@pytest.mark.parametrize("role", ROLES)
def test_what_is_written_and_drawn_on_the_sheet_is_readable(theme, role):
    colours = themes()[theme]
    assert contrast(colours[f"word-{role}"], colours["sheet"]) >= TEXT
    assert contrast(colours[f"line-{role}"], colours["sheet"]) >= DRAWN
    if f"wash-{role}" in colours:
        assert contrast(colours[f"line-{role}"], colours[f"wash-{role}"]) >= DRAWN


@pytest.mark.parametrize("theme", ["light", "evening"])
def test_buttons_and_fields_are_seen(theme):
    colours = themes()[theme]
    assert contrast(colours["on-chosen"], colours["chosen"]) >= TEXT
    for ground in GROUNDS:
        assert contrast(colours["faint"], colours[ground]) >= DRAWN, "the edge of a field"
