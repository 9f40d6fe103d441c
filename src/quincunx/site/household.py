"""Who lives in the garden, as far as it matters what grows there."""

from __future__ import annotations

from quincunx.units.fields import Doc, field


class Household(Doc):
    """Who is about: what is poisonous is pointed out for those."""

    children: bool = field("Children, living here or visiting", False)
    dogs: bool = field("Dogs", False)
    cats: bool = field("Cats", False)
    hens: bool = field("Hens", False)

    @property
    def anyone(self) -> bool:
        """Return whether anybody is named."""
        return self.children or self.dogs or self.cats or self.hens
