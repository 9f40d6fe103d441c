"""Who lives in the garden, as far as it matters what grows there."""

from __future__ import annotations

from quincunx.units.fields import Doc, field
from quincunx.units.words import listed


class Household(Doc):
    """Who is about: what is poisonous is pointed out for those."""

    children: bool = field("Children, living here or visiting", False)
    dogs: bool = field("Dogs", False)
    cats: bool = field("Cats", False)
    hens: bool = field("Hens", False)

    @property
    def anyone(self) -> bool:
        """Return whether anybody is named."""
        return bool(self.named())

    def named(self, only: tuple[str, ...] | None = None) -> str:
        """Return who is about in words, *children and hens*, of all or of ``only`` those fields; "" if nobody is."""
        fields = tuple(type(self).model_fields) if only is None else only
        return listed([name for name in fields if getattr(self, name)])
