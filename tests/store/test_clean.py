"""Photos of an older program are cleaned in the file itself: what the camera wrote is gone from its bytes too."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from quincunx.cli._files import saving
from quincunx.garden import garden_from, garden_text, put
from quincunx.review.photo import bare_or_none, cleaned_words, unread_words
from quincunx.store import Store
from tests.photos import OWNER, a_picture

GARDEN = garden_from({"format": "quincunx/1", "name": "Small", "boundary": [[0, 0], [10, 0], [10, 8], [0, 8]]})


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


def older(path: Path, **pictures: bytes) -> Path:
    """A file in which an older program has kept pictures as they came."""
    with Store.create(path, GARDEN) as store:
        for name, data in pictures.items():
            store.put_picture(name, f"About {name}", "image/jpeg", data, "gate")
    con = sqlite3.connect(path)
    con.execute("DELETE FROM setting WHERE name LIKE 'bare/%'")
    con.commit()
    con.close()
    return path


def test_what_the_camera_wrote_is_gone_and_nothing_else(tmp_path: Path) -> None:
    told, plain, odd = a_picture((300, 200), told=True), a_picture((30, 20)), b"no picture at all"
    path = older(tmp_path / "g.quincunx", told=told, plain=plain, odd=odd)
    assert OWNER.encode() in path.read_bytes()
    with Store.open(path) as store:
        before = (store.revision, garden_text(store.garden()), store.pictures(), store.history())
        assert store.unclean() == ["odd", "plain", "told"]
        assert store.clean(bare_or_none) == 1
        assert (store.revision, garden_text(store.garden()), store.pictures(), store.history()) == before
        assert store.picture("plain") == ("image/jpeg", plain)
        assert store.picture("odd") == ("image/jpeg", odd), "what can't be read stays as it was"
        kept = store.picture("told")
        assert kept is not None
        assert kept[0] == "image/jpeg"
        assert OWNER.encode() not in kept[1]
        assert store.unclean() == []
        assert store.unread() == ["odd"], "it is not called clean"
        assert store.whole()
    assert OWNER.encode() not in path.read_bytes(), "nor where it stood in the file"


def test_what_is_kept_from_now_on_is_not_looked_at_again(tmp_path: Path) -> None:
    with Store.open(older(tmp_path / "g.quincunx", june=a_picture(told=True))) as store:
        store.put_picture("july", "July", "image/jpeg", a_picture())
        assert store.unclean() == ["june"]
        store.put_picture("june", "June", "image/jpeg", a_picture())
        assert store.unclean() == []
        assert store.clean(bare_or_none) == 0


def test_one_that_could_not_be_read_is_clean_once_it_is_put_anew(tmp_path: Path) -> None:
    with Store.open(older(tmp_path / "g.quincunx", odd=b"no picture at all")) as store:
        assert store.clean(bare_or_none) == 0
        assert store.unread() == ["odd"]
        store.put_picture("odd", "Odd", "image/jpeg", a_picture((40, 30)))
        assert store.unread() == []


def test_a_command_that_saves_cleans_too_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = older(tmp_path / "g.quincunx", told=a_picture((300, 200), told=True), odd=b"no picture at all")
    with saving(path) as store:
        store.commit(put("spots", {"id": "seat", "at": [1, 1]}))
    said = capsys.readouterr().err
    assert "Taken out of a photo" in said
    assert "can’t be read" in said
    assert OWNER.encode() not in path.read_bytes()
    with saving(path):
        pass
    assert capsys.readouterr().err == "", "once is enough"


def test_what_was_saved_is_saved_where_the_photos_can_not_be_cleaned_yet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = older(tmp_path / "g.quincunx", told=a_picture((300, 200), told=True))

    def busy(*_: object) -> int:
        raise sqlite3.OperationalError("database is locked")

    with monkeypatch.context() as patch:
        patch.setattr(Store, "clean", busy)
        with saving(path) as store:
            store.commit(put("spots", {"id": "seat", "at": [1, 1]}))
    assert capsys.readouterr().err == ""
    with saving(path) as store:
        assert [s.id for s in store.garden().spots] == ["seat"]
    assert "Taken out of a photo" in capsys.readouterr().err, "when it is next saved"


def test_what_can_not_be_read_is_said() -> None:
    assert "A photo in the file can’t be read" in unread_words(1)
    assert "it stays as it is, and is never printed" in unread_words(1)
    assert "3 photos in the file can’t be read" in unread_words(3)
    assert "they stay as they are, and are never printed" in unread_words(3)


def test_it_is_said_how_many() -> None:
    assert "a photo that was kept by an older program" in cleaned_words(1)
    assert "12 photos that were kept" in cleaned_words(12)
