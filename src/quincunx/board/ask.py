"""What a route is asked; :mod:`quincunx.board.replies` says what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from quincunx.board.replies import Refused, json_of, number, point, text, whole

if TYPE_CHECKING:
    from quincunx.board.desk import Desk
    from quincunx.board.session import Session


@dataclass(frozen=True)
class Ask:
    """One request: who keeps the garden, the query, the parts of the path and the JSON body."""

    desk: Desk
    query: Mapping[str, str] = field(default_factory=dict)
    path: Mapping[str, Any] = field(default_factory=dict)
    raw: bytes = b""

    @property
    def session(self) -> Session:
        """Return the open garden; :class:`Refused` if none is open."""
        return self.desk.session

    @property
    def body(self) -> dict[str, Any]:
        """Return the JSON object that was sent; :class:`Refused` if it is none."""
        value = json_of(self.raw or b"{}")
        if not isinstance(value, dict):
            raise Refused(422, "An object with named fields is expected.")
        return value

    def number(self, name: str, default: float | None = None) -> float:
        """Return a number of the query; :class:`Refused` if it is missing or none."""
        text = self.query.get(name)
        if text is None and default is not None:
            return default
        return number(text, name)

    def whole(self, name: str, default: int | None = None) -> int:
        """Return a whole number of the query; :class:`Refused` if it is missing or none."""
        return whole(self.query.get(name, default), name)


__all__ = ["Ask", "Refused", "number", "point", "text"]
