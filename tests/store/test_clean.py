"""Photos of an older program are cleaned in the file itself: what the camera wrote is gone from its bytes too."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from quincunx.garden import garden_from, garden_text
from quincunx.review.photo import bare_or_none, cleaned_words
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
        assert store.whole()
    assert OWNER.encode() not in path.read_bytes(), "nor where it stood in the file"


def test_what_is_kept_from_now_on_is_not_looked_at_again(tmp_path: Path) -> None:
    with Store.open(older(tmp_path / "g.quincunx", june=a_picture(told=True))) as store:
        store.put_picture("july", "July", "image/jpeg", a_picture())
        assert store.unclean() == ["june"]
        store.put_picture("june", "June", "image/jpeg", a_picture())
        assert store.unclean() == []
        assert store.clean(bare_or_none) == 0


def test_it_is_said_how_many() -> None:
    assert "a photo that was kept by an older program" in cleaned_words(1)
    assert "12 photos that were kept" in cleaned_words(12)
