"""``quincunx give``: the page is written, what it holds is said first, and older photos are cleaned in the garden's file."""

from __future__ import annotations

from pathlib import Path

import pytest
from click import Choice, Option
from click.testing import CliRunner

from quincunx.cli._give import command
from quincunx.garden import garden_text
from quincunx.sheets._truth import CHOICES, PEGS
from quincunx.store import Store
from tests.board.garden import small
from tests.photos import OWNER, a_picture
from tests.sheets.outdoors import SHED, plot
from tests.store.test_clean import older


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("QUINCUNX_ANSWERS", "none")


def said(*words: object) -> str:
    done = CliRunner().invoke(command, [str(w) for w in words], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def test_the_help_tells_the_photos_that_a_page_may_hold() -> None:
    """The words are written twice, so that help costs no drawing: here they are held together."""
    (photos,) = (p for p in command.params if p.name == "photos")
    assert isinstance(photos, Option)
    assert isinstance(photos.type, Choice)
    assert (list(photos.type.choices), photos.default) == (list(CHOICES), PEGS)
    assert photos.help is not None
    assert photos.help.endswith("; ".join(f"{k}: {words}" for k, words in CHOICES.items()) + ".")


def test_older_photos_are_cleaned_when_the_garden_is_given_and_not_when_only_told(tmp_path: Path) -> None:
    path, out = older(tmp_path / "g.quincunx", june=a_picture(told=True)), tmp_path / "g.html"
    assert "in one file." in " ".join(said(path, "--out", out, "--pictures", 0, "--tell").split())
    assert not out.exists()
    assert OWNER.encode() in path.read_bytes()
    words = " ".join(said(path, "--out", out, "--pictures", 0).split())
    assert "Taken out of a photo that was kept by an older program" in words
    assert out.read_bytes().startswith(b"<!doctype html>")
    assert OWNER.encode() not in path.read_bytes()
    assert "Taken out" not in said(path, "--out", out, "--pictures", 0)
    with Store.open(path, keep=False) as store:
        assert [name for name, *_ in store.pictures()] == ["june"]


def test_json_has_no_photos_and_a_page_all_the_same(tmp_path: Path) -> None:
    path = tmp_path / "g.json"
    path.write_text(garden_text(plot(SHED)), encoding="utf-8")
    assert "no photos" in " ".join(said(path, "--pictures", 0, "--photos", "all").split())
    assert (tmp_path / "g.html").exists()


DONE = [{"id": "d1", "day": "2027-11-12", "what": "done", "about": "plant-hedge"}]


def test_the_page_of_the_year_is_made_when_due_and_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "green.quincunx"
    Store.create(file, small(journal=DONE)).close()
    (tmp_path / "green-2027.html").write_text("made by hand")

    def on(day: str) -> str:
        monkeypatch.setenv("QUINCUNX_TODAY", day)
        return " ".join(said(file, "--when-due", "--pictures", 0).split())

    never = "No page is due. That of a year in which something was done is due from the first of November."
    assert on("2027-10-31") == never
    assert "green-2027-2.html" in on("2027-11-20")
    page = (tmp_path / "green-2027-2.html").read_text("utf-8")
    assert "What was done in 2027</h2><ul><li>Plant the hedge</li></ul>" in page
    assert (tmp_path / "green-2027.html").read_text() == "made by hand"
    (tmp_path / "green-2027-2.html").unlink()
    assert on("2027-12-01") == "The page of 2027 was made already: green-2027-2.html", "once, whatever became of it"
    assert sorted(p.name for p in tmp_path.glob("*.html")) == ["green-2027.html"]


@pytest.mark.parametrize("other", [("--tell",), ("--year", 2027), ("--out", "page.html")])
def test_when_due_takes_no_option_that_means_something_else(tmp_path: Path, other: tuple[object, ...]) -> None:
    file = tmp_path / "green.quincunx"
    Store.create(file, small(journal=DONE)).close()
    found = CliRunner().invoke(command, [str(file), "--when-due", *map(str, other)])
    assert found.exit_code == 2
    assert "--when-due takes no" in found.output
    assert [p.name for p in tmp_path.iterdir()] == ["green.quincunx"]
