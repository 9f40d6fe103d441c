"""``replan`` tells both ways to go on, and which one is shown."""

from __future__ import annotations

import importlib
from typing import Any

import pytest

from quincunx.units import Style
from quincunx.years.two_ways import Way

WAYS = (Way("Move as little as is worth it", "1 job changes."), Way("Move what pays", "4 jobs change."))


@pytest.mark.parametrize(
    ("ways", "wider", "said"),
    [
        (WAYS, False, "Move as little as is worth it (shown above): 1 job changes.\nMove what pays (ask with --wider): 4 jobs change.\n"),
        (WAYS, True, "Move as little as is worth it (ask without --wider): 1 job changes.\nMove what pays (shown above): 4 jobs change.\n"),
        (None, True, "Moving more than that would bring no more use.\n"),
        (None, False, ""),
    ],
)  # fmt: skip
def test_each_way_says_how_to_see_it(ways: Any, wider: bool, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    importlib.import_module("quincunx.cli._replan")._ways(ways, Style(), wider=wider)
    assert capsys.readouterr().out == said
