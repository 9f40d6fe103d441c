"""Starting: bind this machine only, say the address, open the browser, stop at Ctrl-C."""

from __future__ import annotations

import contextlib
import logging
import os
import socket
import sys
import webbrowser
from pathlib import Path
from threading import Thread, enumerate as enumerate_threads

import uvicorn

from quincunx.board.desk import Desk
from quincunx.board.guard import Keys
from quincunx.board.ports import usual_port

LOOPBACK = "127.0.0.1"
GRACE_S = 2
"""How long open requests may take to end when the program stops [s]."""
TURN_S = 0.0005
"""So soon a thread that computes gives way to one that answers or passes something on: what these do is short [s]."""
FIRST_PAGE_S = 1.0
"""The engines are loaded once the first page is out, or after this time [s]."""
WORKERS = frozenset({"warm-up", "judge", "trier", "finder"})


class Server(uvicorn.Server):
    """Ends the windows' event streams before it waits for open requests."""

    def __init__(self, config: uvicorn.Config, desk: Desk) -> None:
        """Serve as ``config`` says."""
        super().__init__(config)
        self._desk = desk

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End the streams, then the server."""
        self._desk.hub.close()
        await super().shutdown(sockets)


def run(file: Path | None, *, port: int = 0, show: bool = True) -> None:
    """Serve the board for ``file`` until Ctrl-C; the address goes to stdout, trouble to stderr."""
    from quincunx.board.app import make_app

    if file is not None:
        from quincunx.store.connect import look

        look(file)
    door = bind(port) if port or file is None else bind_usual(file)
    desk, keys = Desk(file), Keys(door.getsockname()[1])
    app = make_app(desk, keys)
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, proxy_headers=False, ws="none",
        timeout_graceful_shutdown=GRACE_S, timeout_keep_alive=75, lifespan="on",
    )  # fmt: skip
    server = Server(config, desk)
    address = f"http://{LOOPBACK}:{keys.port}/?token={keys.token}"
    print(f"Quincunx is at {address}", flush=True)  # noqa: T201 - the person opens it
    print("Everything you do is saved at once. Ctrl-C stops it.", flush=True)  # noqa: T201
    warming = Thread(target=_warm, args=(desk,), name="warm-up", daemon=True)
    warming.start()
    if show:
        Thread(target=webbrowser.open, args=(address,), name="browser", daemon=True).start()
    sys.setswitchinterval(TURN_S)
    with contextlib.suppress(KeyboardInterrupt):
        server.run(sockets=[door])
    desk.close()
    print("Stopped. All is saved.", file=sys.stderr, flush=True)  # noqa: T201
    _leave(warming)


def _leave(*workers: Thread) -> None:
    """Return once nothing computes any more; end at once if something goes on (the file is closed by then)."""
    for worker in workers:
        worker.join(GRACE_S)
    if any(t.is_alive() and t.name in WORKERS for t in enumerate_threads()):
        os._exit(0)


def bind_usual(file: Path) -> socket.socket:
    """Return a socket on a garden's usual port, or on any other if that is taken."""
    try:
        return bind(usual_port(file))
    except OSError:
        return bind(0)


def bind(port: int) -> socket.socket:
    """Return a socket bound to this machine only; OSError with one sentence if the port is taken."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((LOOPBACK, port))
    except OSError as error:
        door.close()
        raise OSError(
            error.errno, "It is taken by another program, or not allowed; choose another with --port", f"port {port}"
        ) from None
    door.listen(128)
    return door


def _warm(desk: Desk) -> None:
    from quincunx.board.app import warm_up

    desk.shown.wait(FIRST_PAGE_S)
    try:
        warm_up(desk)
    except Exception:  # what fails here fails again, with its sentence, when it is asked for
        logging.getLogger("quincunx.board").debug("warm-up failed", exc_info=True)
    if desk.trouble:
        print(desk.trouble, file=sys.stderr)  # noqa: T201 - said on the start page too
