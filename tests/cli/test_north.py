"""``quincunx measure --north``: what the sights say, kept only where they agree."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from quincunx.cli._measure import command
from quincunx.demos import demo_garden
from quincunx.store import Store


def test_sights_that_agree_are_kept_and_others_are_not(tmp_path: Path) -> None:
    file = tmp_path / "kettle.quincunx"
    Store.create(file, demo_garden("kettle-hill")).close()
    good = ["--north", "A>D compass 14 2027-05-01", "--north", "A>B compass 104 2027-05-01"]
    done = CliRunner().invoke(command, [str(file), *good, "--set-north"])
    assert done.exit_code == 0, done.output
    assert "Both sights lie within" in done.output
    with Store.open(file, keep=False) as store:
        place = store.garden().site.place
    assert place is not None
    assert place.north_offset_deg != 0
    bad = CliRunner().invoke(command, [str(file), *good, "--north", "A>B noon 2027-05-01", "--set-north"])
    assert bad.exit_code == 1
    assert "don't agree, so nothing was stored" in bad.output
