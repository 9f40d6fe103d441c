"""A page of Chromium that nothing looks on at: driven through the browser's own pipe, in its open debugging protocol.

A test runner listens to all that a page sends and receives, and the page pays for it; what is timed here is driven by
pointer and keys alone.  The protocol is Chromium's own (Chrome DevTools Protocol: domains Target, Page, Runtime, Input).
"""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import select
import subprocess
import tempfile
import time
from collections.abc import Iterator
from typing import Any

FLAGS = [
    "--headless=new", "--remote-debugging-pipe", "--no-sandbox", "--disable-gpu", "--force-color-profile=srgb",
    "--no-first-run", "--no-default-browser-check", "--disable-extensions", "--disable-background-networking",
    "--mute-audio", "--hide-scrollbars",
]  # fmt: skip
"""Frames are painted by the processor, as where there is no graphics card."""
READS, WRITES = 3, 4
"""The file descriptors on which Chromium reads what it is told and writes what it answers."""
LOOK_S, OPEN_S = 0.1, 60.0
"""How often is looked whether something has come true, and how long is waited for it, or for any answer [s]."""
KEYS = {"Escape": 27, "ArrowLeft": 37, "ArrowRight": 39}


class Page:
    """One page: what is told to it is answered before the next is told."""

    def __init__(self, told: int, answers: int) -> None:
        """Speak through two open pipes' ends; ``open_page`` makes them."""
        self._told, self._answers = told, answers
        self._rest = b""
        self._number = 0
        self._held = False
        self._session: dict[str, str] = {}
        target = self.do("Target.createTarget", url="about:blank")["targetId"]
        self._session = {"sessionId": self.do("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]}

    def do(self, method: str, **parts: object) -> dict[str, Any]:
        """Tell the browser one thing and return its answer; stop the run with its sentence if it refuses."""
        self._number += 1
        words = {"id": self._number, "method": method, "params": parts, **self._session}
        os.write(self._told, json.dumps(words).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise SystemExit(f"the browser refused {method}: {answer['error'].get('message')}")
                return dict(answer["result"])

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            if not select.select([self._answers], [], [], OPEN_S)[0]:
                raise SystemExit(f"the browser has not answered for {OPEN_S:.0f} s")
            more = os.read(self._answers, 1 << 20)
            if not more:
                raise SystemExit("the browser ended before it answered")
            self._rest += more
        one, _, self._rest = self._rest.partition(b"\0")
        return dict(json.loads(one))

    def show(self, address: str, width: int, height: int, first: str) -> None:
        """Open an address in a window of so many pixels, running the script ``first`` before the page's own."""
        self.do("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.do("Page.enable")
        self.do("Page.addScriptToEvaluateOnNewDocument", source=first)
        self.do("Page.navigate", url=address)
        self.do("Page.disable")

    def cookie(self, address: str, name: str, value: str) -> None:
        """Set a cookie for an address."""
        self.do("Network.setCookie", name=name, value=value, url=address)

    def ask(self, script: str) -> Any:
        """Return what a script gives, waiting for it if it is a promise; nothing is asked of the page meanwhile."""
        told = self.do("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in told:
            raise SystemExit(f"on the page: {told['exceptionDetails'].get('text')} in {script}")
        return told["result"].get("value")

    def wait(self, script: str, seconds: float = OPEN_S) -> bool:
        """Look now and then whether a script is true; return whether it became so in time."""
        end = time.monotonic() + seconds
        while not self.ask(script):
            if time.monotonic() > end:
                return False
            time.sleep(LOOK_S)
        return True

    def move(self, x: float, y: float) -> None:
        """Move the pointer [px]."""
        self.do("Input.dispatchMouseEvent", type="mouseMoved", x=x, y=y, buttons=int(self._held))

    def press(self, x: float, y: float) -> None:
        """Press the pointer's first button [px]."""
        self._held = True
        self.do("Input.dispatchMouseEvent", type="mousePressed", x=x, y=y, button="left", buttons=1, clickCount=1)

    def release(self, x: float, y: float) -> None:
        """Let the pointer's first button go [px]."""
        self._held = False
        self.do("Input.dispatchMouseEvent", type="mouseReleased", x=x, y=y, button="left", buttons=0, clickCount=1)

    def wheel(self, x: float, y: float, by: float) -> None:
        """Turn the pointer's wheel [px]."""
        self.do("Input.dispatchMouseEvent", type="mouseWheel", x=x, y=y, deltaX=0, deltaY=by)

    def key(self, name: str) -> None:
        """Press a key and let it go."""
        for kind in ("keyDown", "keyUp"):
            self.do("Input.dispatchKeyEvent", type=kind, key=name, code=name, windowsVirtualKeyCode=KEYS[name])


@contextlib.contextmanager
def open_page(program: str) -> Iterator[Page]:
    """Start Chromium with one page; it is ended afterwards, whatever happens."""
    ends = [_high(end) for pair in (os.pipe(), os.pipe()) for end in pair]
    read, told, answers, write = ends

    def laid() -> None:
        os.dup2(read, READS)
        os.dup2(write, WRITES)

    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        running = subprocess.Popen(
            [program, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
            preexec_fn=laid,  # noqa: PLW1509 (it only lays two descriptors; no thread of ours runs yet)
            close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(read)
        os.close(write)
        try:
            yield Page(told, answers)
        finally:
            running.kill()
            running.wait()
            os.close(told)
            os.close(answers)


def _high(end: int) -> int:
    """Return the same end under a number that the child's own two don't take."""
    high = fcntl.fcntl(end, fcntl.F_DUPFD_CLOEXEC, WRITES + 6)
    os.close(end)
    return high
