"""The tables of a ``.quincunx`` file, their version, and the way from older versions."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping

APPLICATION_ID = 0x51554E58
"""The mark of a Quincunx file in SQLite's header: ``QUNX``."""

VERSION = 1
"""The version of the tables this program writes."""

TABLES: tuple[str, ...] = (
    (
        "CREATE TABLE history (id INTEGER PRIMARY KEY, parent INTEGER NOT NULL, label TEXT NOT NULL, forward TEXT NOT NULL,"
        " inverse TEXT NOT NULL, made_at TEXT NOT NULL, made_by TEXT NOT NULL) STRICT"
    ),
    "CREATE TABLE head (name TEXT PRIMARY KEY, at INTEGER NOT NULL, redo TEXT NOT NULL, garden TEXT NOT NULL) STRICT",
    "CREATE TABLE version (name TEXT PRIMARY KEY, at INTEGER NOT NULL, garden TEXT NOT NULL, made_at TEXT NOT NULL) STRICT",
    (
        "CREATE TABLE picture (id TEXT PRIMARY KEY, name TEXT NOT NULL, kind TEXT NOT NULL, about TEXT NOT NULL,"
        " made_at TEXT NOT NULL, bytes BLOB NOT NULL) STRICT"
    ),
    "CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT",
)

Migration = Callable[[sqlite3.Connection], None]

MIGRATIONS: Mapping[int, Migration] = {}
"""``MIGRATIONS[n]`` turns tables of version n into version n + 1; none has been needed yet."""


def create_tables(con: sqlite3.Connection) -> None:
    """Make an empty file's tables and mark it as ours."""
    con.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    for statement in TABLES:
        con.execute(statement)
    con.execute(f"PRAGMA user_version = {VERSION}")


def foreign_parts(con: sqlite3.Connection) -> list[str]:
    """Return the names of tables, views, triggers and indexes that differ from what this program makes."""
    ours = {_name(s): s for s in TABLES}
    found = con.execute("SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_autoindex_%'").fetchall()
    odd = [str(name) for kind, name, sql in found if kind != "table" or ours.get(name) != sql]
    missing = [name for name in ours if name not in {n for _, n, _ in found}]
    return sorted(odd + missing)


def _name(statement: str) -> str:
    return statement.split()[2]
