"""Kill a writer at random moments and look at the file afterwards: ``python -m tests.store.killing 2000``."""

from __future__ import annotations

import json
import random
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from quincunx.garden import garden_from
from quincunx.store import Store

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Tally:
    """What came of the kills: edits acknowledged, and what was found afterwards."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    unsound: int = 0
    during_writing: int = 0


def kill_once(path: Path, dice: random.Random, tally: Tally) -> None:
    """Start a writer, kill it after a random while, check that every acknowledged edit is there and the file is sound."""
    with Store.open(path, keep=False) as store:
        before = store.revision
    writer = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "from tests.store.writer import main; from pathlib import Path; import sys; main(Path(sys.argv[1]))",
            str(path),
        ],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
    with writer:
        assert writer.stdout is not None
        first = writer.stdout.readline()
        time.sleep(dice.uniform(0.0, 0.06))
        writer.kill()
        rest = writer.stdout.read()
    said = [int(line) for line in (first + rest).splitlines() if line.strip().isdigit()]
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
