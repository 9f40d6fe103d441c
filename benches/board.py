"""Measure the board: a hedge's end and a gate dragged on Ropewalk Cottage, in a real browser and over HTTP.

``python benches/board.py [--small] [--json]``.  In the browser (Chromium, painted by the processor) the time runs from
the pointer's move until fresh verdicts of every touched must in all years are drawn; frames are counted while the
pointer moves on without waiting.  Over HTTP each drag is the request the page sends; it is fresh when its answer, or
the event that follows it, holds them all.  The first pull of each thing is told apart: on it the rest of the garden is
looked at without the thing.  With 2,000 features strewn over the garden it is told how long the drawing takes, how long
an answer to a pull, and how even the frames are while the sheet is slid and zoomed; their judging is not waited for.
Each figure is printed when it is known.  Nothing is compared: no library does this.
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
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from _board_browser import in_browser, looked_at

from quincunx.demos import demo_garden
from quincunx.garden import Garden, read_garden
from quincunx.store import Store

SMALL = Path(__file__).parent.parent / "docs" / "gardens" / "washing-green.json"
"""The garden of the tour, with a hedge and a gate: what a small run drags in."""

PATIENCE_S = 120.0
PULLS = 10
MANY = 2000
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
                    if not told["left"]:
                        self.fresh[told["window"]] = time.perf_counter()
                        self.news.notify_all()

    def settle(self) -> None:
        """Wait until the garden as it is has been judged."""
        end = time.monotonic() + PATIENCE_S
        while self.ask("GET", "/api/table")["stale"]:
            if time.monotonic() > end:
                raise SystemExit("the garden was never judged")
            time.sleep(0.2)

    def drag(self, body: dict[str, Any], *, wait: bool = True) -> dict[str, float]:
        """Drag once: milliseconds to the answer and to the last fresh verdict, and what the answer held."""
        began = time.perf_counter()
        told = self.ask("POST", "/api/drag", body)
        answered = fresh = time.perf_counter()
        if told["left"] and wait:
            with self.news:
                if not self.news.wait_for(lambda: body["window"] in self.fresh, PATIENCE_S):
                    raise SystemExit(f"{body['id']} was not judged within {PATIENCE_S:.0f} s")
            fresh = self.fresh.pop(body["window"])
        return {"answer_ms": 1000 * (answered - began), "fresh_ms": 1000 * (fresh - began), "left": told["left"]}


def things(served: Served) -> tuple[int, list[dict[str, Any]]]:
    """Return the plan's last year, and what is dragged: the end of the longest hedge, and a gate along its wall."""
    year = served.ask("GET", "/api/garden")["years"][-1]
    scene = served.ask("GET", f"/api/scene?year={year}&month=8")
    hedge = max((f for f in scene["features"] if f["id"].endswith("hedge")), key=_long)
    gate = next(f for f in scene["features"] if f["id"].endswith("gate"))
    out = []
    for thing, k, ahead in ((hedge, -1, -1), (gate, 0, 1)):  # the gate stands near the western end of its wall
        ends, handle = [h["at"] for h in thing["handles"]], thing["handles"][k]
        middle = [(ends[0][c] + ends[-1][c]) / 2 for c in (0, 1)]
        out.append({"id": thing["id"], "handle": handle["id"], "at": handle["at"], "middle": middle, "ahead": ahead})
    return year, out


def pulls(year: int, thing: dict[str, Any], count: int) -> list[dict[str, Any]]:
    """Return the requests of one drag, the first pull first."""
    out = []
    x, y = thing["at"]
    for k in range(count + 1):
        to = [round(x - STEP_M * (k + 1), 3), round(y + STEP_M * math.sin(k / 3), 3)]
        body = {"year": year, "month": 8, "id": thing["id"], "handle": thing["handle"], "to": to}
        out.append(body | {"window": f"{thing['id']}-{k}"})
    return out


def full(garden: Garden, count: int) -> Garden:
    """Return the garden with copies of its smallest things strewn over it, ``count`` features in all."""
    made = list(garden.features)
    seeds = [f for f in made if len(f.handles()) == 1]
    k = 0
    while len(made) < count:
        one = seeds[k % len(seeds)]
        fields = one.moved(0.37 * (k % 41) - 7.0, 0.31 * (k % 53) - 8.0, 0.0, (0.0, 0.0))
        made.append(one.changed(id=f"{one.id[:30]}-copy-{k}", **fields))
        k += 1
    return garden.model_copy(update={"features": tuple(made)})


def _long(thing: dict[str, Any]) -> float:
    ends = [h["at"] for h in thing["handles"]]
    return math.dist(ends[0], ends[-1])


def share(values: list[float], part: float) -> float:
    """Return the value below which ``part`` of them lie."""
    return sorted(values)[min(len(values) - 1, math.ceil(part * len(values)) - 1)]


def main() -> None:
    """Measure and say so."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true", help="a few drags only, in a small garden")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    asked = parser.parse_args()
    count = 1 if asked.small else PULLS
    http, browser = measured(read_garden(SMALL.read_bytes()) if asked.small else demo_garden("ropewalk"), count)
    rows = [r for own in http["rows"] for r in own[1:]]
    fresh, answers, firsts = (
        [r["fresh_ms"] for r in rows], [r["answer_ms"] for r in rows], [own[0]["fresh_ms"] for own in http["rows"]],
    )  # fmt: skip
    print(f"first page {http['first_page_s']:.2f} s after start; {len(rows)} drags of a hedge's end and a gate")
    tell("over HTTP, answered", answers)
    tell(f"over HTTP, all fresh (bar {BAR_MS:.0f} ms)", fresh)
    print(f"over HTTP, first pull of each: {', '.join(f'{v:.0f}' for v in firsts)} ms")
    result: dict[str, Any] = {
        "p95_ms": round(share(fresh, 0.95), 1), "median_ms": round(statistics.median(fresh), 1), "frame_p95_ms": None,
        "answer_p95_ms": round(share(answers, 0.95), 1), "first_page_s": round(http["first_page_s"], 3), "drags": len(rows),
        "browser": None,
    }  # fmt: skip
    if isinstance(browser, str):
        print(browser)
        result["browser"] = browser
    else:
        result |= told(browser, http_p95_ms=result["p95_ms"])
    if not asked.small:
        result |= many(full(demo_garden("ropewalk"), MANY))
    if asked.json:
        print(json.dumps(result))


def told(browser: dict[str, Any], http_p95_ms: float) -> dict[str, Any]:
    """Say what was measured in the browser and return it."""
    tell(f"in the browser, pointer to verdicts drawn (bar {BAR_MS:.0f} ms)", browser["fresh_ms"])
    tell("in the browser, pointer to the first fresh verdict drawn", browser["soonest_ms"])
    tell("in the browser, between frames (bar 33 ms)", browser["frame_ms"])
    print(f"in the browser, first pull of each: {', '.join(f'{v:.0f}' for v in browser['first_ms'])} ms")
    return {
        "p95_ms": round(share(browser["fresh_ms"], 0.95), 1), "frame_p95_ms": round(share(browser["frame_ms"], 0.95), 1),
        "median_ms": round(statistics.median(browser["fresh_ms"]), 1), "http_p95_ms": http_p95_ms,
        "soonest_p95_ms": round(share(browser["soonest_ms"], 0.95), 1),
        "first_pull_ms": [round(v, 1) for v in browser["first_ms"]], "browser": "chromium",
    }  # fmt: skip


def tell(what: str, values: list[float]) -> None:
    """Say a row of milliseconds."""
    say(f"{what}: median {statistics.median(values):.0f} ms, p95 {share(values, 0.95):.0f} ms, of {len(values)}")


@contextmanager
def serving(garden: Garden) -> Iterator[Served]:
    """Serve a garden from a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["QUINCUNX_DATA"] = folder
        file = Path(folder) / "garden.quincunx"
        Store.create(file, garden).close()
        served = Served(file)
        try:
            yield served
        finally:
            served.process.kill()
            served.process.wait()


def measured(garden: Garden, count: int) -> tuple[dict[str, Any], dict[str, Any] | str]:
    """Serve a garden and drag in it ``count`` times each thing: over HTTP, then in the browser."""
    with serving(garden) as served:
        began = time.perf_counter()
        served.settle()
        say(f"first page {served.first_page_s:.2f} s after start, all judged {time.perf_counter() - began:.1f} s later")
        year, dragged = things(served)
        rows = []
        for thing in dragged:
            own = [served.drag(body) for body in pulls(year, thing, count)]
            rows.append(own)
            tell(f"over HTTP, {thing['id']}, all fresh", [r["fresh_ms"] for r in own[1:]])
        browser = in_browser(address(served), served.cookie, dragged, year, count, say)
    return {"rows": rows, "first_page_s": served.first_page_s}, browser


def many(garden: Garden) -> dict[str, Any]:
    """Serve a garden of very many things; return how long what a person does there takes."""
    with serving(garden) as served:
        began = time.perf_counter()
        year, dragged = things(served)
        scene_s = time.perf_counter() - began
        say(f"with {len(garden.features)} features, all drawn by the program in {scene_s:.2f} s")
        answers = [served.drag(body, wait=False)["answer_ms"] for body in pulls(year, dragged[0], 4)]
        tell("with 2,000 features, a pull answered", answers)
        page = looked_at(address(served), served.cookie, say)
    if isinstance(page, str):
        say(page)
        return {"many_answer_p95_ms": round(share(answers, 0.95), 1)}
    tell("with 2,000 features, between frames while sliding and zooming", page["frame_ms"])
    return {
        "many_answer_p95_ms": round(share(answers, 0.95), 1), "many_shown_s": round(page["shown_s"], 2),
        "many_frame_p95_ms": round(share(page["frame_ms"], 0.95), 1), "many_scene_s": round(scene_s, 2),
    }  # fmt: skip


def address(served: Served) -> str:
    """Return where the program's page is."""
    return f"http://127.0.0.1:{served.port}/"


def say(words: str) -> None:
    """Print at once."""
    print(words, flush=True)


if __name__ == "__main__":
    main()
