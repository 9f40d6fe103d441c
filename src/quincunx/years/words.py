"""How much a thing matters: a plain choice of words, or comparisons two at a time."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

WORTH_WORDS: Mapping[str, int] = {
    "it is only in the way of other things": 0,
    "nice to have": 10,
    "I would use it": 20,
    "I want it": 40,
    "it is what the garden is for": 80,
}
"""Points for each year of use; each word doubles the one before (a choice of our own: no source)."""

COMPARED: Mapping[str, float] = {"the same": 1.0, "rather more": 2.0, "much more": 4.0}
"""How many times as much the first of a pair matters as the second (our own choice: no source)."""


def points(word: str) -> int:
    """Return the points a year behind a worth word.

    >>> points("I want it")
    40
    """
    if word not in WORTH_WORDS:
        choices = "; ".join(WORTH_WORDS)
        raise ValueError(f"{word!r} is not one of the words for how much a thing matters; expected one of: {choices}")
    return WORTH_WORDS[word]


def from_pairs(ids: Sequence[str], pairs: Sequence[tuple[str, str, str]], *, mean: float = 30.0) -> dict[str, int]:
    """Turn comparisons (more, less, word of :data:`COMPARED`) into points a year with the given mean.

    Least squares of the log ratios (the logarithmic least squares of pairwise comparison: Crawford and
    Williams, J. Math. Psychology 29, 1985, 387-405; citation from memory); a thing never compared gets the mean.
    """
    import numpy as np

    at = {name: k for k, name in enumerate(sorted(ids))}
    rows, logs = [], []
    for more, less, word in pairs:
        row = np.zeros(len(at))
        row[at[more]], row[at[less]] = 1.0, -1.0
        rows.append(row)
        logs.append(math.log(COMPARED[word]))
    if not rows:
        return {name: round(mean) for name in at}
    log_worth = np.linalg.lstsq(np.array(rows), np.array(logs), rcond=None)[0]
    scale = mean / float(np.mean(np.exp(log_worth)))
    return {name: max(1, round(scale * math.exp(log_worth[k]))) for name, k in at.items()}
