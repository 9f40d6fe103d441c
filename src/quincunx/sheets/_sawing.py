"""Structures reckoned one after the other within their job, so that found things and off-cuts are there only once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quincunx.build.carried import after
from quincunx.build.reckon import Reckoned, reckon
from quincunx.garden.costing import pace_of, rules_of
from quincunx.shapes import Work
from quincunx.sheets._set import Set
from quincunx.works import Job


class Sawing:
    """What is at hand in each job while its structures are told one after the other."""

    def __init__(self, of: Set) -> None:
        """Begin with what is at hand when each job begins."""
        self.rules = rules_of(of.garden, pace_of(of.garden, of.timeline))
        self.at = {c.job.id: c.before for c in of.costed}

    def reckon(self, job: Job, works: Sequence[Work], *, chosen: bool = True) -> Reckoned:
        """Return what ``works`` of ``job`` come to; what is not ``chosen`` yet uses up nothing."""
        at = self.at[job.id]
        found = reckon(works, replace(self.rules, prices=at.prices, left=at.left))
        if chosen:
            self.at[job.id] = after(at, found, job.name, hired=self.rules.hired)
        return found
