"""A process that edits a file as fast as it can and says each edit that was acknowledged; it is killed from outside."""

from __future__ import annotations

import sys
from pathlib import Path

from quincunx.garden import change, put
from quincunx.store import Store


def main(path: Path) -> None:
    """Edit ``path`` for ever, printing the revision after each acknowledged edit."""
    with Store.open(path, keep=False) as store:
        count = store.revision
        while True:
            count += 1
            edit = (
                change("features", "gate", {"width": 0.5 + (count % 40) / 100})
                if count % 3
                else put("spots", {"id": f"spot-{count % 50}", "at": [count % 10, 1]})
            )
            saved = store.commit(edit)
            sys.stdout.write(f"{saved.revision}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
