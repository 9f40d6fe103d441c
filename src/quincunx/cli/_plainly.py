"""Write marks and quotes plainly where the stream's own alphabet lacks them: old terminals, files on some systems."""

from __future__ import annotations

import codecs
import io
import sys
import unicodedata

PLAIN = {
    "✓": "+", "✗": "x", "‼": "!!", "·": ".", "“": '"', "”": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "−": "-",
    "…": "...", "→": "->", "←": "<-", "↑": "^", "↓": "v", "×": "x", "÷": "/", "≤": "<=", "≥": ">=", "€": "EUR ",
    "£": "GBP ", "°": " deg", "²": "2", "³": "3", "½": "1/2", "¼": "1/4", "¾": "3/4", "│": "|", "─": "-",
}  # fmt: skip
"""What stands for a sign that can't be written."""


def plain(text: str) -> str:
    """Return text in letters that every alphabet has; an accent is left out, what has no likeness is a question mark."""
    return "".join(PLAIN.get(sign) or _bare(sign) for sign in text)


def _bare(sign: str) -> str:
    return unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode() or "?"


def write_plainly() -> None:
    """Let what is said on a stream that can't write a sign stand in plain letters; it ended the command before."""
    codecs.register_error("quincunx-plain", _instead)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and not stream.encoding.lower().startswith("utf"):
            stream.reconfigure(errors="quincunx-plain")


def _instead(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end
