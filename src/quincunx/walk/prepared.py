"""Walking in a scene that has been looked at before with few things otherwise: only what differs is worked out.

The answers equal those worked out from nothing; asking :func:`walk_of` for an updated scene gives them, whoever asks.
"""

from __future__ import annotations

from dataclasses import dataclass

from quincunx.scene import Scene
from quincunx.walk.barriers import Gates
from quincunx.walk.reach import Walk, walk_of
from quincunx.walk.rooms import Rooms, rooms_of
from quincunx.walk.walkers import Walker


@dataclass(frozen=True, eq=False)
class Prepared:
    """A scene ready for walking."""

    scene: Scene

    def walk(self, walker: Walker, gates: Gates = "usable", *, polite: bool = False) -> Walk:
        """Return how ``walker`` walks there."""
        return walk_of(self.scene, walker, gates, polite=polite)

    def rooms(self, walker: Walker | None = None) -> Rooms:
        """Return the rooms for a walker, a person unless another is given."""
        return rooms_of(self.scene, walker)


def prepare(scene: Scene) -> Prepared:
    """Return a scene ready for walking; nothing is worked out before it is asked for."""
    return Prepared(scene)


def update(prepared: Prepared, scene: Scene) -> Prepared:
    """Return ``scene``, in which few things differ from what was ``prepared``, ready for walking."""
    return Prepared(scene.changed_from(prepared.scene))
