"""The whole document; its edits; the garden through time."""

from quincunx.garden.document import FORMAT, LISTS, WHOLES, Garden, Levels, RoomDoc, Site, SpotDoc, Writing
from quincunx.garden.edits import Edit, Op, apply, change, free_id, put, remove
from quincunx.garden.plain import garden_text, plain
from quincunx.garden.reading import Fault, GardenError, garden_from, read_garden
from quincunx.garden.through_time import timeline

__all__ = [
    "FORMAT",
    "LISTS",
    "WHOLES",
    "Edit",
    "Fault",
    "Garden",
    "GardenError",
    "Levels",
    "Op",
    "RoomDoc",
    "Site",
    "SpotDoc",
    "Writing",
    "apply",
    "change",
    "free_id",
    "garden_from",
    "garden_text",
    "plain",
    "put",
    "read_garden",
    "remove",
    "timeline",
]
