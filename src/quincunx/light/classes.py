"""Full sun, part sun, shade: words for hours, whose limits differ from source to source and are data."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True)
class SunClasses:
    """Words for hours of direct sun a day: each holds from its ``limits_h`` up to the one before, sunniest first."""

    id: str
    words: tuple[str, ...]
    limits_h: tuple[float, ...]
    source: str

    def index(self, hours: ArrayLike) -> NDArray[np.int64]:
        """Return the place of each number of hours in ``words``."""
        limits = np.asarray(self.limits_h[::-1])
        at = np.searchsorted(limits, np.asarray(hours, np.float64), side="right") - 1
        return np.asarray(len(limits) - 1 - np.maximum(at, 0), np.int64)

    def word(self, hours: float) -> str:
        """Return the word for so many hours a day."""
        return self.words[int(self.index(hours))]


@cache
def sun_classes() -> dict[str, SunClasses]:
    """Return the sets of classes by id; ``usual`` is the default."""
    text = (files("quincunx.light") / "data" / "sun_classes.json").read_text(encoding="utf-8")
    found = {}
    for name, given in json.loads(text).items():
        words, limits = zip(*given["classes"], strict=True)
        found[name] = SunClasses(name, words, limits, given["source"])
    return found
