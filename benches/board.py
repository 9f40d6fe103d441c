"""Measure the board's server: a hedge's end and a gate dragged on Ropewalk Cottage, answered over HTTP.

``python benches/board.py [--small] [--json]``.  Each drag is a request to the real program, as the page sends it while
the pointer moves; it is fresh when its answer, or the event that follows it, holds every touched must in all years.
Nothing is compared: no library does this.
"""

from __future__ import annotations

import argparse
import http.client
import json
import math
import os
import re
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

from quincunx.demos import demo_garden
from quincunx.store import Store

PATIENCE_S = 600.0
STEP_M = 0.02
BAR_MS = 150.0


class Served:
    """The program serving a garden, and one window that drags in it."""

    def __init__(self, file: Path) -> None:
        """Start the program and take its cookie."""
        command = [sys.executable, "-m", "quincunx", "open", str(file), "--no-show"]
        began = time.perf_counter()
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        found = re.search(r":(\d+)/\?token=(\S+)", self.process.stdout.readline())
        self.port = int(found[1])
        self.con = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        self.con.connect()
        self.con.request("GET", f"/?token={found[2]}")
        reply = self.con.getresponse()
        self.cookie = reply.getheader("set-cookie").split(";")[0]
        reply.read()
        self.ask("GET", "/", read=False)
        self.first_page_s = time.perf_counter() - began
        self.fresh: dict[str, Any] = {}
        self.news = threading.Condition()
        threading.Thread(target=self.listen, daemon=True).start()

    def ask(self, method: str, path: str, body: Any = None, *, read: bool = True) -> Any:
        """Ask for something over the one connection."""
        headers = {"cookie": self.cookie}
        if method == "POST":
            headers |= {
                "content-type": "application/json",
                "x-quincunx": "1",
                "origin": f"http://127.0.0.1:{self.port}",
            }
        self.con.request(method, path, None if body is None else json.dumps(body), headers)
        reply = self.con.getresponse()
        data = reply.read()
        if reply.status != 200:
            raise SystemExit(f"{path}: {reply.status} {data[:300]!r}")
        return json.loads(data) if read else None

    def listen(self) -> None:
        """Take in the verdicts that come by event."""
        con = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        con.request("GET", "/api/events", headers={"cookie": self.cookie})
        reply = con.getresponse()
        while line := reply.readline():
            if line.strip() == b"event: tried":
                with self.news:
                    told = json.loads(reply.readline()[6:])
                    self.fresh[told["window"]] = time.perf_counter()
                    self.news.notify_all()

    def settle(self) -> None:
        """Wait until the garden as it is has been judged."""
        end = time.monotonic() + PATIENCE_S
        while self.ask("GET", "/api/table")["stale"]:
            if time.monotonic() > end:
                raise SystemExit("the garden was never judged")
            time.sleep(0.2)

    def drag(self, body: dict[str, Any]) -> dict[str, float]:
        """Drag once: milliseconds to the answer and to the last fresh verdict, and what the answer held."""
        began = time.perf_counter()
        told = self.ask("POST", "/api/drag", body)
        answered = fresh = time.perf_counter()
        if told["left"]:
            with self.news:
                self.news.wait_for(lambda: body["window"] in self.fresh, PATIENCE_S)
            fresh = self.fresh.pop(body["window"])
        return {"answer_ms": 1000 * (answered - began), "fresh_ms": 1000 * (fresh - began), "left": told["left"]}


def pulls(served: Served, count: int) -> list[dict[str, Any]]:
    """Return the requests of two drags: the end of the longest hedge, and a gate along its wall."""
    garden = served.ask("GET", "/api/garden")
    year = garden["years"][-1]
    scene = served.ask("GET", f"/api/scene?year={year}&month=8")
    hedges = [f for f in scene["features"] if f["id"].endswith("hedge")]
    gates = [f for f in scene["features"] if f["id"].endswith("gate")]
    out = []
    for thing in (max(hedges, key=_long), gates[0]):
        handle = thing["handles"][-1] if thing in hedges else thing["handles"][0]
        x, y = handle["at"]
        for k in range(count):
            to = [round(x - STEP_M * (k + 1), 3), round(y + STEP_M * math.sin(k / 3), 3)]
            body = {"year": year, "month": 8, "id": thing["id"], "handle": handle["id"], "to": to}
            out.append(body | {"window": f"{thing['id']}-{k}"})
    return out


def _long(thing: dict[str, Any]) -> float:
    ends = [h["at"] for h in thing["handles"]]
    return math.dist(ends[0], ends[-1])


def share(values: list[float], part: float) -> float:
    """Return the value below which ``part`` of them lie."""
    return sorted(values)[min(len(values) - 1, math.ceil(part * len(values)) - 1)]


def main() -> None:
    """Measure and say so."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true", help="a few drags only")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["QUINCUNX_DATA"] = folder
        file = Path(folder) / "ropewalk.quincunx"
        Store.create(file, demo_garden("ropewalk")).close()
        served = Served(file)
        try:
            served.settle()
            rows = [served.drag(body) for body in pulls(served, 3 if asked.small else 30)]
        finally:
            served.process.kill()
            served.process.wait()
    fresh, answers = [r["fresh_ms"] for r in rows], [r["answer_ms"] for r in rows]
    print(f"first page {served.first_page_s:.2f} s after start; {len(rows)} drags of a hedge's end and a gate")
    print(f"answered:       median {statistics.median(answers):7.0f} ms, p95 {share(answers, 0.95):7.0f} ms")
    print(
        f"fresh verdicts: median {statistics.median(fresh):7.0f} ms, p95 {share(fresh, 0.95):7.0f} ms (bar {BAR_MS:.0f} ms)"
    )
    if asked.json:
        result = {
            "p95_ms": round(share(fresh, 0.95), 1), "median_ms": round(statistics.median(fresh), 1),
            "answer_p95_ms": round(share(answers, 0.95), 1), "first_page_s": round(served.first_page_s, 3), "drags": len(rows),
        }  # fmt: skip
        print(json.dumps(result))


if __name__ == "__main__":
    main()
