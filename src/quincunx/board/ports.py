"""Where a garden is served: always the same port for a file."""

from __future__ import annotations

import hashlib
from pathlib import Path

FIRST_PORT, PORTS = 21000, 9000
"""Where the usual ports of gardens lie: below those that systems hand out by chance."""


def usual_port(file: Path) -> int:
    """Return the port a garden is served on where it is free, always the same for a file.

    A browser keeps what was entered outdoors for one address, so the address should be found again.
    """
    digest = hashlib.blake2b(str(file.resolve()).encode(), digest_size=4).digest()
    return FIRST_PORT + int.from_bytes(digest, "big") % PORTS
