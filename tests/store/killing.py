"""Kill a writer at random moments and look at the file afterwards: ``python -m tests.store.killing 2000``.

Forks, so that a kill costs milliseconds: for systems that can (Linux, macOS).
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from quincunx.garden import garden_from
from quincunx.store import Store
from tests.store.writer import main as write_for_ever


@dataclass
class Tally:
    """What came of the kills: edits acknowledged, and what was found afterwards."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    unsound: int = 0
    during_writing: int = 0


def kill_once(path: Path, dice: random.Random, tally: Tally) -> None:
    """Fork a writer, kill it after a random while, check that every acknowledged edit is there and the file is sound."""
    with Store.open(path, keep=False) as store:
        before = store.revision
    ear, mouth = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(ear)
        os.dup2(mouth, 1)
        try:
            write_for_ever(path)
        finally:
            os._exit(1)
    os.close(mouth)
    with os.fdopen(ear, encoding="ascii") as said_by:
        first = said_by.readline()
        time.sleep(dice.uniform(0.0, 0.06))
        os.kill(child, signal.SIGKILL)
        rest = said_by.read()
    os.waitpid(child, 0)
    said = [int(line) for line in (first + rest).split("\n")[:-1] if line.isdigit()]
    last = max(said, default=before)
    tally.during_writing += path.with_name(path.name + "-journal").exists()
    with Store.open(path, keep=False) as store:
        tally.lost += store.revision < last
        tally.unsound += not store.whole()
        tally.acknowledged += last - before
    tally.kills += 1


def kill_many(count: int, folder: Path, seed: int = 1) -> Tally:
    """Kill ``count`` writers on one growing file."""
    path, dice, tally = folder / "g.quincunx", random.Random(seed), Tally()
    data = {
        "format": "quincunx/1",
        "features": [
            {"kind": "wall", "id": "wall", "line": [[0, 0], [9, 0]], "there_from": "start"},
            {"kind": "gate", "id": "gate", "at": [5, 0], "there_from": "start"},
        ],
    }
    Store.create(path, garden_from(data)).close()
    for _ in range(count):
        kill_once(path, dice, tally)
    return tally


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        print(json.dumps(kill_many(int(sys.argv[1]) if len(sys.argv) > 1 else 50, Path(scratch)).__dict__))
