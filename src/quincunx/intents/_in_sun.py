"""What the musts about the sun at one place share: the place, the months, and when nothing that shades it differs."""

from __future__ import annotations

from quincunx.intents._base import Intent, Words
from quincunx.intents._lighting import same_sun
from quincunx.scene import Timeline
from quincunx.shapes import Verdict
from quincunx.units.fields import Slug, field


class InSun(Intent):
    """A must about the sun at one place in some months."""

    place: Slug = field("Where")

    def months(self) -> tuple[int, ...]:
        """Return the months it is asked for, 1 to 12."""
        raise NotImplementedError(f"{type(self).__name__} doesn't say its months")

    def things(self) -> tuple[str, ...]:
        """Return the place."""
        return (self.place,)

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether nothing that differs may shade the place."""
        del words
        return same_sun(was, now, verdict.year, self.place, self.months())
