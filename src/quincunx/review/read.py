"""What verdicts go by beside the scenes: digests of the parts of a garden, equal while those parts stay as they are."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from quincunx.garden import Garden, plain
from quincunx.grow.near import minded
from quincunx.intents import Intent, Words
from quincunx.scene import Timeline
from quincunx.scene._kept import Kept
from quincunx.shapes import content_key


def words_for(garden: Garden, through: Timeline) -> Words:
    """Return the person's names and way of writing."""
    return Words.of(through, garden.style, {w.id: w for w in garden.walkers})


def digest(part: object) -> str:
    """Return a digest of a part of a garden, worked out once: of what is tried out most parts are the same objects."""
    return _DIGESTS.get((part,), None, lambda: content_key(_written(part)))


def _written(part: object) -> object:
    return [plain(p) for p in part] if isinstance(part, tuple) else plain(part)


_DIGESTS: Kept[str] = Kept(16_384)


class Read:
    """A garden stood up, and the digests of its parts that kinds of musts read."""

    garden: Garden
    timeline: Timeline
    head: str

    @property
    def lasting(self) -> bool:
        """Return whether this is a garden as it is on file, and not something tried out for a moment."""
        return bool(self.head)

    @cached_property
    def _due(self) -> dict[int, tuple[Intent, int | None]]:
        return {}

    def due(self, must: Intent) -> int | None:
        """Return the first year in which a must is due here, worked out once; None if it never is."""
        known = self._due.get(id(must))
        if known is None:  # the must is held, so that its identity stays its own
            known = self._due[id(must)] = (must, must.due_from(self.timeline))
        return known[1]

    @cached_property
    def words(self) -> Words:
        """Return the person's names and way of writing."""
        return words_for(self.garden, self.timeline)

    @cached_property
    def common(self) -> str:
        """Return a digest of what every verdict depends on: the way of writing, walkers, the site, the years of the plan."""
        garden, years = self.garden, self.timeline.years
        return content_key((digest(garden.writing), digest(garden.walkers), digest(garden.site), tuple(years)))

    @cached_property
    def going(self) -> str:
        """Return a digest of how the jobs go: what is left of begun ones goes by the day on which the garden is read."""
        rows = sorted(self.timeline.courses.items())
        return content_key(
            [(job, c.state, c.first, c.last, sorted(c.hours.items()), sorted(c.cost.items())) for job, c in rows]
        )

    @cached_property
    def ledger(self) -> str:
        """Return a digest of money and hours through the years."""
        return content_key((self.timeline.money(), plain(self.garden.means), self.going))

    @cached_property
    def whole(self) -> str:
        """Return a digest of the whole document."""
        return content_key((plain(self.garden), self.going))

    @cached_property
    def works(self) -> str:
        """Return a digest of what musts about the works go by: the jobs, what they make, what was done, how it lies."""
        garden = self.garden
        makes = {name.partition("/")[0] for job in garden.jobs for name in job.does}
        made = [digest(f) for f in garden.features if f.id in makes]
        return content_key(
            (made, self.going, *map(digest, (garden.jobs, garden.plants, garden.journal, garden.levels)))
        )

    @cached_property
    def planted(self) -> str:
        """Return a digest of what musts about plants go by: plantings and when they stand, the site, the journal."""
        garden, line = self.garden, self.timeline
        growing = [
            (digest(f), str(line.span(f.id)), line.made_by(f.id)) for f in garden.features if f.plants_named()
        ]  # made_by: what befell a planting of a begun job counts from a month that its span doesn't tell
        cautions = [(i, c, digest(line.feature(i))) for i, c in minded(line.frame)]
        rest = map(digest, (garden.plants, garden.journal, garden.site, garden.levels))
        return content_key((growing, cautions, *rest))


@dataclass(frozen=True)
class JustRead(Read):
    """A garden stood up to be judged once."""

    garden: Garden
    timeline: Timeline
    head: str = ""

    @property
    def lasting(self) -> bool:
        """Return that its answers are worth keeping."""
        return True
