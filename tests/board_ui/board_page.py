"""The words and hands of someone at the board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page


@dataclass
class BoardPage:
    """A page with the board on it."""

    page: Page

    @property
    def sheet(self) -> Locator:
        """The big drawing."""
        return self.page.get_by_role("application")

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Where a place of the ground [m] lies in the window [px]."""
        box = self.sheet.bounding_box()
        assert box is not None
        scale, mx, my = (float(self.sheet.get_attribute(f"data-{n}") or "nan") for n in ("scale", "x", "y"))
        return box["x"] + box["width"] / 2 + (x_m - mx) * scale, box["y"] + box["height"] / 2 - (y_m - my) * scale

    def click(self, x_m: float, y_m: float, **more: Any) -> None:
        """Point at a place and press."""
        self.page.mouse.move(*self.at(x_m, y_m))
        self.page.mouse.click(*self.at(x_m, y_m), **more)

    def point(self, x_m: float, y_m: float) -> None:
        """Move the pointer to a place."""
        self.page.mouse.move(*self.at(x_m, y_m), steps=3)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Press at one place, let go at another."""
        self.point(*start)
        self.page.mouse.down()
        self.page.mouse.move(*self.at(*end), steps=6)
        self.page.mouse.up()

    def button(self, name: str, **more: Any) -> Locator:
        """A button by what it says."""
        return self.page.get_by_role("button", name=name, **more)

    def put_in(self, kind: str) -> None:
        """Begin to put in a kind, by its name."""
        self.button("Put in…").click()
        self.page.get_by_label("Find by its name").fill(kind)
        self.page.keyboard.press("Enter")

    def keys(self, *keys: str) -> None:
        """Press keys one after another."""
        for key in keys:
            self.page.keyboard.press(key)

    def gesture(self, name: str) -> None:
        """Wait until that gesture runs."""
        self.page.locator(f'[role=application][data-gesture="{name}"]').wait_for()

    def stored(self, feature: str) -> dict[str, Any] | None:
        """The document of a feature as the stand-in keeps it, or None."""
        found: dict[str, Any] | None = self.page.evaluate(
            "id => window.mockServer.garden.features.find(f => f.id === id) ?? null", feature
        )
        return found

    def wait_stored(self, feature: str) -> dict[str, Any]:
        """Wait for a feature to be kept and return its document."""
        self.page.wait_for_function("id => window.mockServer.garden.features.some(f => f.id === id)", arg=feature)
        found = self.stored(feature)
        assert found is not None
        return found

    def things(self) -> int:
        """How many things the sheet shows."""
        return int(self.sheet.get_attribute("data-things") or 0)

    def wait_things(self, count: int) -> None:
        """Wait until the sheet shows so many things: what was kept is drawn a moment later."""
        self.page.locator(f'[role=application][data-things="{count}"]').wait_for()

    def mark(self, year: int, words: str) -> Locator:
        """A mark of the table by its year and what it says."""
        return self.page.get_by_role("button", name=f"{year}: {words}")
