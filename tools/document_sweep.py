"""Try many made-up documents, valid and broken: ``python tools/document_sweep.py 20000``."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from hypothesis import HealthCheck, given, settings

from quincunx.garden import timeline
from tests.garden.documents import broken, valid
from tests.garden.test_documents import try_one


def main(count: int) -> None:
    """Try ``count`` documents, a third of them meant to be valid; any traceback ends the run."""
    read = {"valid": 0, "broken": 0}
    tried = {"valid": 0, "broken": 0}

    def one(kind: str, data: object) -> None:
        tried[kind] += 1
        garden = try_one(json.loads(json.dumps(data)))
        if garden is not None:
            read[kind] += 1
            through = timeline(garden)
            assert through.at(through.leaf_date(through.years[0])).key

    rules = {"database": None, "deadline": None, "suppress_health_check": list(HealthCheck)}
    start = time.perf_counter()
    settings(max_examples=count // 3, **rules)(given(valid())(lambda data: one("valid", data)))()
    settings(max_examples=count - count // 3, **rules)(given(broken())(lambda data: one("broken", data)))()
    print(json.dumps({"tried": tried, "read": read, "seconds": round(time.perf_counter() - start, 1)}))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
