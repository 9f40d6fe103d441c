"""The real program: its address, its refusals over a real socket, two windows at once, and being killed."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import re
import select
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator

import pytest

from quincunx.store import Store
from tests.board.test_guard import TRICKS


class Program:
    """The program serving a file, and a browser window that has its cookie."""

    def __init__(self, *args: str) -> None:
        """Start it and exchange its token."""
        command = [sys.executable, "-m", "quincunx", *args]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.said = self.process.stdout.readline()
        found = re.fullmatch(r"Quincunx is at http://127\.0\.0\.1:(\d+)/\?token=(\S+)\n", self.said)
        assert found, (self.said, self.process.stderr and self.process.stderr.read())
        self.port, self.token = int(found[1]), found[2]
        status, headers, _ = self.send("GET", f"/?token={self.token}", cookie=False)
        assert status == 303
        self.cookie = headers["set-cookie"].split(";")[0]

    def send(
        self, method: str, path: str, body: bytes | None = None, *, cookie: bool = True, **headers: str
    ) -> tuple[int, dict[str, str], bytes]:
        """One request over its own connection: (status, headers, body)."""
        con = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        given = {k.replace("_", "-"): v for k, v in headers.items()}
        if cookie:
            given["cookie"] = self.cookie
        try:
            con.request(method, path, body, given)
            reply = con.getresponse()
            return reply.status, {k.lower(): v for k, v in reply.getheaders()}, reply.read()
        finally:
            con.close()

    def get(self, path: str):
        """Ask for something; its JSON."""
        status, _, data = self.send("GET", path)
        assert status == 200, data
        return json.loads(data)

    def post(self, path: str, body) -> tuple[int, dict]:
        """Send something; the status and its JSON."""
        ours = {"content_type": "application/json", "x_quincunx": "1", "origin": f"http://127.0.0.1:{self.port}"}
        status, _, data = self.send("POST", path, json.dumps(body).encode(), cookie=True, **ours)
        return status, json.loads(data)

    def edit(self, base: int, part: str, thing: str, **fields) -> tuple[int, dict]:
        """Change some fields of one thing."""
        ops = [{"do": "change", "part": part, "id": thing, "value": fields}]
        return self.post("/api/edit", {"base": base, "edit": {"label": f"Change {thing}", "ops": ops}})

    def stop(self) -> str:
        """Press Ctrl-C; what it says."""
        self.process.send_signal(signal.SIGINT)
        _, err = self.process.communicate(timeout=60)
        return err


@contextlib.contextmanager
def program(*args: str) -> Iterator[Program]:
    running = Program(*args)
    try:
        yield running
    finally:
        running.process.kill()
        running.process.communicate()


@pytest.fixture
def served(file) -> Iterator[Program]:
    with program("open", str(file), "--no-show") as running:
        yield running


def test_it_serves_this_machine_only_and_stops_at_ctrl_c(served):
    status, headers, _ = served.send("GET", "/")
    assert status in (200, 503)
    assert "server" not in headers
    assert served.get("/api/state")["garden"]["name"] == "Small green"
    for address in _own_addresses():
        with contextlib.suppress(OSError), socket.create_connection((address, served.port), timeout=2):
            pytest.fail(f"it answers on {address}")
    assert "All is saved" in served.stop()
    assert served.process.returncode == 0


def _own_addresses() -> set[str]:
    """This machine's addresses but for the loopback."""
    found = {str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    return {a for a in found if not a.startswith("127.")}


def test_refusals_over_a_real_socket(served):
    assert served.send("GET", "/api/state", cookie=False)[0] == 403
    assert served.send("GET", f"/?token={served.token}", cookie=False)[0] == 403, "used once"
    assert served.send("GET", "/api/state", host="evil.example")[0] == 403
    assert (
        served.send(
            "POST", "/api/undo", b"{}", content_type="application/json", x_quincunx="1", origin="http://evil.example"
        )[0]
        == 403
    )
    assert served.send("GET", "/api/events", cookie=False)[0] == 403
    for path in (*TRICKS, "/fonts/../index.html", "/assets/../../cli/__init__.py", "/../../../etc/passwd"):
        status, _, body = served.send("GET", path.replace("\x00", "%00"))
        assert status in (400, 404), path
        assert b"root:" not in body


def raw(port: int, head: str, chunks: Iterator[bytes]) -> tuple[bytes, int]:
    """Send a request by hand, as much of its body as is taken; (what came back, bytes sent)."""
    sent = 0
    with socket.create_connection(("127.0.0.1", port), timeout=30) as con:
        con.sendall(head.encode())
        try:
            for chunk in chunks:
                if select.select([con], [], [], 0)[0]:
                    break
                con.sendall(chunk)
                sent += len(chunk)
        except OSError:
            pass
        con.settimeout(30)
        got = b""
        with contextlib.suppress(OSError):
            while piece := con.recv(65536):
                got += piece
                if b"\r\n\r\n" in got:
                    break
    return got, sent


def head_of(served: Program, path: str, more: str) -> str:
    return (
        f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\nOrigin: http://127.0.0.1:{served.port}\r\n"
        f"X-Quincunx: 1\r\nContent-Type: application/json\r\nCookie: {served.cookie}\r\n{more}\r\n\r\n"
    )


def test_100_mb_are_refused_early_declared_or_chunked(served):
    size = 100 * 1024 * 1024
    block = b" " * 65536

    def plain() -> Iterator[bytes]:
        yield from (block for _ in range(size // len(block)))

    def chunked() -> Iterator[bytes]:
        yield from (b"10000\r\n" + block + b"\r\n" for _ in range(size // len(block)))

    for path in ("/api/edit", "/api/import"):
        got, sent = raw(served.port, head_of(served, path, f"Content-Length: {size}"), plain())
        assert sent < size / 2
        assert not got or b" 413 " in got.split(b"\r\n")[0]
        got, sent = raw(served.port, head_of(served, path, "Transfer-Encoding: chunked"), chunked())
        assert sent < size * 0.6
        assert not got or b" 413 " in got.split(b"\r\n")[0]
    assert served.get("/api/garden")["revision"] == 0


def test_a_windows_stream_tells_of_another_windows_edit(served):
    con = http.client.HTTPConnection("127.0.0.1", served.port, timeout=60)
    con.request("GET", "/api/events", headers={"cookie": served.cookie})
    stream = con.getresponse()
    assert stream.getheader("content-type", "").startswith("text/event-stream")
    served.edit(0, "features", "gate", width=1.1)
    seen: dict[str, dict] = {}
    while not ("table" in seen and seen.get("revision", {}).get("revision") == 1):
        line = stream.readline().decode().strip()
        if line.startswith("event: "):
            seen[line.removeprefix("event: ")] = json.loads(stream.readline().decode().removeprefix("data: "))
    assert seen["revision"] == {"revision": 1, "head": "main", "day": os.environ["QUINCUNX_TODAY"]}
    served.stop()
    assert stream.read() is not None, "the stream ends with the program"
    con.close()


def test_an_edit_by_another_program_is_told_and_shown(served, file):
    from quincunx.garden import change

    assert served.get("/api/garden")["revision"] == 0
    with Store.open(file, keep=False) as other:
        other.commit(change("features", "gate", {"width": 1.3}))
    assert served.get("/api/garden")["revision"] == 1
    assert served.edit(0, "features", "wall", height=2.0)[1] == {"revision": 2, "merged": True, "ids": []}


def test_two_windows_at_once_lose_no_edit_that_was_acknowledged(served, file):
    """Each window changes things of its own and one that both fight for; every 200 must be in the file's history."""
    done: dict[str, list[int]] = {"one": [], "two": []}

    def play(window: str) -> None:
        for i in range(15):
            base = served.get("/api/garden")["revision"]
            name = "gate" if i % 5 == 4 else ("wall" if window == "one" else "hedge")
            field = {"gate": "width", "wall": "height", "hedge": "clip_height"}[name]
            status, said = served.edit(
                base, "features", name, **{field: round(1 + i / 100 + (window == "two") / 1000, 3)}
            )
            assert status in (200, 409), said
            if status == 200:
                done[window].append(said["revision"])

    threads = [threading.Thread(target=play, args=(w,)) for w in done]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    saved = done["one"] + done["two"]
    assert len(saved) == len(set(saved))
    assert len(saved) >= 24
    history = served.get("/api/history?most=500")
    assert {row["id"] for row in history} == set(saved)
    served.stop()
    with Store.open(file, keep=False) as store:
        assert store.revision == max(saved)
        assert store.whole()


def test_killed_at_any_moment_what_was_acknowledged_is_in_the_file(file):
    with program("open", str(file), "--no-show") as running:
        acknowledged: list[int] = []
        enough = threading.Event()

        def write() -> None:
            base = 0
            with contextlib.suppress(OSError, http.client.HTTPException):
                for i in range(10_000):
                    _, said = running.edit(base, "features", "gate", width=round(0.5 + i / 10_000, 4))
                    base = said["revision"]
                    acknowledged.append(base)
                    if len(acknowledged) >= 12:
                        enough.set()

        writer = threading.Thread(target=write)
        writer.start()
        assert enough.wait(60)
        os.kill(running.process.pid, signal.SIGKILL)
        writer.join()
    with Store.open(file, keep=False) as store:
        assert store.whole()
        assert store.revision in (acknowledged[-1], acknowledged[-1] + 1)
        assert len(store.history(20_000)) >= len(acknowledged)
        gate = next(f for f in store.garden().features if f.id == "gate").model_dump()
        assert float(gate["width"]) == pytest.approx(0.5 + (store.revision - 1) / 10_000, abs=6e-4)
    with program("open", str(file), "--no-show") as again:
        assert again.post("/api/undo", {})[0] == 200, "undo goes on where it was"


def test_a_port_that_is_taken_and_a_file_that_is_not_there_are_said(served, tmp_path):
    def run(*args: str) -> tuple[int, str]:
        done = subprocess.run(
            [sys.executable, "-m", "quincunx", "open", *args, "--no-show"],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        return done.returncode, done.stderr

    code, said = run(str(served.process.args[4]), "--port", str(served.port))
    assert (code, "taken" in said) == (2, True)
    code, said = run(str(tmp_path / "nothing.quincunx"))
    assert (code, "There is no file" in said) == (2, True)


def test_the_start_page_comes_without_a_garden():
    with program() as running:
        assert running.get("/api/state")["garden"] is None
        assert "All is saved" in running.stop()


def test_the_file_is_plain_sqlite_while_it_is_served(served, file):
    served.edit(0, "features", "gate", width=1.1)
    with contextlib.closing(sqlite3.connect(file)) as con:
        assert con.execute("SELECT count(*) FROM history").fetchone() == (1,)
    assert [p.name for p in file.parent.glob("*.quincunx-*")] == []
