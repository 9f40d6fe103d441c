"""Who lives in the garden, as far as it matters what grows there."""

from __future__ import annotations

from quincunx.units.fields import Doc, field
from quincunx.units.words import listed

EATERS = ("children", "dogs", "cats", "hens")
"""Who may eat what grows."""


class Household(Doc):
    """Who is about: what is poisonous is pointed out for those, and what is made easy for whoever is unsteady."""

    children: bool = field("Children, living here or visiting", False)
    dogs: bool = field("Dogs", False)
    cats: bool = field("Cats", False)
    hens: bool = field("Hens", False)
    unsteady: bool = field(
        "Somebody who walks, climbs or bends with difficulty", False, help="now, or in the years of the plan"
    )

    @property
    def anyone(self) -> bool:
        """Return whether anybody is named who may eat what grows."""
        return bool(self.named())

    def named(self, only: tuple[str, ...] | None = None) -> str:
        """Return who is about in words, *children and hens*, of all or of ``only`` those fields; "" if nobody is."""
        fields = EATERS if only is None else only
        return listed([name for name in fields if getattr(self, name)])
