"""The three answers, and one thing that was looked up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Answer = Literal["within", "beyond", "unknown"]
WORDS: dict[Answer, str] = {
    "within": "within the published table or formula",
    "beyond": "beyond it: have it designed",
    "unknown": "can't tell",
}


@dataclass(frozen=True, slots=True)
class Screened:
    """One thing looked up: what, the answer, how much of the limit is used (1 is all of it), why, and the source."""

    what: str
    answer: Answer
    used: float | None
    because: str
    source: str
    owner: str = ""

    @property
    def words(self) -> str:
        """Return the answer in words."""
        return WORDS[self.answer]
