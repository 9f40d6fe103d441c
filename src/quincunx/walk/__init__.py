"""Feet: who can get where on a date, by which way, how wide, and where it leaks."""

from quincunx.walk.barriers import Barrier, barriers
from quincunx.walk.crossings import Crossing, crossings
from quincunx.walk.distances import Distances, distance_table, distances
from quincunx.walk.graph import RoomGraph, room_graph
from quincunx.walk.ground import FreeGround, free_ground
from quincunx.walk.places import OUTSIDE, Place, place_of
from quincunx.walk.prepared import Prepared, prepare, update
from quincunx.walk.reach import Walk, left_open, walk_of
from quincunx.walk.rooms import Leak, Rooms, leaks, rooms_of
from quincunx.walk.walkers import Walker, find_walker
from quincunx.walk.ways import Way, way_between
from quincunx.walk.widths import Narrowest, Widths

__all__ = [
    "OUTSIDE",
    "Barrier",
    "Crossing",
    "Distances",
    "FreeGround",
    "Leak",
    "Narrowest",
    "Place",
    "Prepared",
    "RoomGraph",
    "Rooms",
    "Walk",
    "Walker",
    "Way",
    "Widths",
    "barriers",
    "crossings",
    "distance_table",
    "distances",
    "find_walker",
    "free_ground",
    "leaks",
    "left_open",
    "place_of",
    "prepare",
    "room_graph",
    "rooms_of",
    "update",
    "walk_of",
    "way_between",
]
