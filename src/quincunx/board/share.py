"""Sharing on the home network: off until it is asked for, behind a pass phrase, for some hours, one garden only."""

from __future__ import annotations

import contextlib
import ipaddress
import logging
import math
import socket
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Thread, Timer
from typing import TYPE_CHECKING, Any

from quincunx.board.ask import Ask
from quincunx.board.ports import usual_port
from quincunx.board.replies import Refused
from quincunx.board.share_door import Door, new_phrase

if TYPE_CHECKING:
    import uvicorn

    from quincunx.board.desk import Desk
    from quincunx.board.session import Session

HOURS = (1, 3, 8)
"""For how long it can be turned on [h]."""
ABOVE = 9000
"""The port of what is shared lies so far above the garden's usual one."""
NOWHERE = "192.0.2.1"
"""An address for documents only (RFC 5737): the way there shows this machine's own address; nothing is sent."""
OPENS = (
    "Phones on this network that are told a pass phrase see the plan, this year's jobs with their pictures, who has which step,"
    " what was done on a day,"
    " and the stakes of this garden, and can hand in what they enter. They can't change anything else, and reach no other garden or file."
    " There are two phrases: with the one for whoever helps no price is sent to the phone at all."
    " It isn't encrypted: use it on a network at home whose users you know."
)
"""What is said before it is turned on."""


def home_address() -> str | None:
    """Return this machine's address on a private network; None if it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((NOWHERE, 9))
            found = str(probe.getsockname()[0])
        except OSError:
            return None
    address = ipaddress.ip_address(found)
    return found if address.is_private and not address.is_loopback and not address.is_unspecified else None


class Sharing:
    """One time of sharing: a server of its own on one address of this machine, until it ends."""

    def __init__(self, desk: Desk, session: Session, hours: float, address: str) -> None:
        """Listen at ``address`` for ``hours`` [h]; OSError if that can't be."""
        import uvicorn

        from quincunx.board.share_app import make_share_app

        self.desk, self.session = desk, session
        self.door = Door(new_phrase(), hours * 3600.0, to_help=new_phrase())
        self.until = datetime.now(UTC) + timedelta(hours=hours)
        self._socket = _listen(address, session.path)
        self.host = f"{address}:{self._socket.getsockname()[1]}"
        config = uvicorn.Config(
            make_share_app(desk, session, self.door, self.host), log_level="error", access_log=False,
            server_header=False, proxy_headers=False, ws="none", timeout_graceful_shutdown=1, lifespan="off",
        )  # fmt: skip
        self._server: uvicorn.Server = uvicorn.Server(config)
        self._thread = Thread(target=self._run, name="sharing", daemon=True)
        self._clock = Timer(hours * 3600.0, self.end)
        self._clock.daemon = True
        self._thread.start()
        self._clock.start()

    def _run(self) -> None:
        try:
            self._server.run(sockets=[self._socket])
        except Exception:  # what is shared must never take the board down
            logging.getLogger("quincunx.board").exception("sharing failed")
        finally:
            self._socket.close()

    @property
    def on(self) -> bool:
        """Return whether phones are let in still; a door that is shut ends all."""
        if self.door.left_s <= 0.0:
            self.end()
            return False
        return self._thread.is_alive()

    @property
    def address(self) -> str:
        """Return what is typed into the phone, or read from the square code."""
        return f"http://{self.host}/"

    def end(self) -> None:
        """Stop listening; keys given out are worth nothing from now on."""
        self.door.shut = True
        self._clock.cancel()
        self._server.should_exit = True


def usual_share_port(file: Path) -> int:
    """Return the port on which a garden is shared where it is free: a phone finds what it kept at the same address."""
    return usual_port(file) + ABOVE


def _listen(address: str, file: Path) -> socket.socket:
    for port in (usual_share_port(file), 0):
        door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind((address, port))
        except OSError:
            door.close()
            continue
        door.listen(32)
        return door
    raise OSError(98, "No port could be had on this network address", address)


def state(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/outdoors/sharing``: whether it is on, where, the pass phrase, until when, what it opens."""
    return _state(ask.desk)


def _state(desk: Desk) -> dict[str, Any]:
    sharing = desk.sharing if isinstance(desk.sharing, Sharing) else None
    told: dict[str, Any] = {"on": False, "opens": OPENS, "hours": list(HOURS), "ended": ""}
    if sharing is None:
        return told
    if not sharing.on:
        wrong = sharing.door.wrong
        ended = f"It ended by itself after {wrong} wrong pass phrases." if wrong >= 5 else "It has ended."
        return {**told, "ended": ended}
    return {
        **told, "on": True, "address": sharing.address, "phrase": sharing.door.phrase,
        "to_help": sharing.door.to_help, "phones": sharing.door.phones, "with_prices": sharing.door.with_prices,
        "until": sharing.until.isoformat(timespec="seconds"), "left_min": math.ceil(sharing.door.left_s / 60),
        "wrong": sharing.door.wrong, "code": _code(sharing.address),
    }  # fmt: skip


def _code(address: str) -> str:
    import segno

    return str(segno.make(address, error="m").svg_data_uri(border=2, scale=4))


def begin(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/outdoors/sharing``: share the open garden for ``hours`` on the home network."""
    hours, session = ask.body.get("hours"), ask.session
    if hours not in HOURS:
        raise Refused(422, f"For how many hours: {', '.join(str(h) for h in HOURS)}?")
    address = home_address()
    if address is None:
        raise Refused(409, "This machine is on no home network, or its address there can't be found.")
    share(ask.desk, session, float(hours), address)
    return _state(ask.desk)


def share(desk: Desk, session: Session, hours: float, address: str) -> Sharing:
    """Begin to share in place of what is shared; return it."""
    with contextlib.suppress(AttributeError):
        if desk.sharing is not None:
            desk.sharing.end()
    try:
        sharing = desk.sharing = Sharing(desk, session, hours, address)
    except OSError as error:
        raise Refused(409, f"It can't be shared at {address}: {error.strerror}.") from None
    return sharing


def take_prices(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/outdoors/sharing/prices``: no phone is shown prices any more, before it enters a new phrase."""
    if not isinstance(ask.desk.sharing, Sharing) or not ask.desk.sharing.on:
        raise Refused(409, "Nothing is shared now, so no phone is sent prices.")
    ask.desk.sharing.door.take_prices()
    return _state(ask.desk)


def end(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/outdoors/sharing/end``."""
    if ask.desk.sharing is not None:
        ask.desk.sharing.end()
        ask.desk.sharing = None
    return _state(ask.desk)
