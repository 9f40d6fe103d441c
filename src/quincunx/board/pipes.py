"""Messages between the board and the processes beside it: one after the other, each with its length before it.

Both ends are this program, and a pipe that only they hold lies between them, so that pickled objects are what they say.
"""

from __future__ import annotations

import pickle
import struct
from typing import IO, Any

_LENGTH = struct.Struct("<Q")


def send(pipe: IO[bytes], message: tuple[Any, ...]) -> None:
    """Write one message; OSError or ValueError if the other end is gone."""
    data = pickle.dumps(message, protocol=5)
    pipe.write(_LENGTH.pack(len(data)))
    pipe.write(data)
    pipe.flush()


def receive(pipe: IO[bytes]) -> tuple[Any, ...] | None:
    """Return the next message; None if there will be none any more."""
    try:
        head = _exactly(pipe, _LENGTH.size)
        data = None if head is None else _exactly(pipe, _LENGTH.unpack(head)[0])
    except (OSError, ValueError):
        return None
    return None if data is None else pickle.loads(data)  # noqa: S301 - written by this program's other end


def _exactly(pipe: IO[bytes], count: int) -> bytes | None:
    data = bytearray()
    while len(data) < count:
        more = pipe.read(count - len(data))
        if not more:
            return None
        data += more
    return bytes(data)
