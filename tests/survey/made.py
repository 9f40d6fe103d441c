"""Small made-up surveys for the tests."""

from __future__ import annotations

import importlib.util
import math
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

from quincunx.survey import Distance, Stake, Survey
from quincunx.units.fields import Length

Truth = dict[str, tuple[float, float]]
SQUARE: Truth = {"a": (0.0, 0.0), "b": (0.0, 12.0), "c": (8.0, 13.0), "d": (9.0, -1.0)}


def nets() -> ModuleType:
    """Load the seeded generator that the benchmark uses, too."""
    name = "survey_nets"
    if name not in sys.modules:
        path = Path(__file__).parents[2] / "benches" / f"{name}.py"
        spec = importlib.util.spec_from_file_location(name, path)
        assert spec is not None
        assert spec.loader is not None
        sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


def tapes(truth: Truth, pairs: str, decimals: int = 3, sd: float | None = 0.005) -> list[Any]:
    """Tape the ``pairs`` (words of two letters) without error, written with so many decimals."""
    out: list[Any] = []
    for pair in pairs.split():
        d = math.dist(truth[pair[0]], truth[pair[1]])
        out.append(
            Distance(
                id=pair,
                start=pair[0],
                end=pair[1],
                length=Length(round(d, decimals), f"{d:.{decimals}f}"),
                accuracy=None if sd is None else Length(sd),
            )
        )
    return out


def survey(truth: Truth, readings: list[Any], **more: Any) -> Survey:
    """Gather readings; the datum is the first stake."""
    stakes = tuple(Stake(id=s, name=s.upper()) for s in sorted(truth))
    return Survey(stakes=stakes, readings=tuple(readings), **({"datum": min(truth)} | more))
