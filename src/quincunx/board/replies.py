"""What a route answers, and how what it is given is read; every refusal is one clear sentence."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from starlette.responses import Response


class Refused(Exception):
    """The request can't be done: an HTTP ``status`` and one sentence, and more to say beside it."""

    def __init__(self, status: int, sentence: str, **more: Any) -> None:
        """Hold the status, the sentence and further parts of the answer."""
        super().__init__(sentence)
        self.status, self.sentence, self.more = status, sentence, more


def json_of(raw: bytes) -> Any:
    """Return the JSON value of ``raw``; :class:`Refused` if it is no JSON, says a field twice or holds NaN."""
    try:
        return json.loads(raw, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise Refused(400, "What was sent is not JSON.") from error


def _no_constant(word: str) -> Any:
    raise ValueError(word)


def text(body: Mapping[str, Any], name: str, most: int = 200) -> str:
    """Return a piece of text that must be there, without spaces round it; :class:`Refused` if it isn't."""
    value = body.get(name)
    if not isinstance(value, str) or not value.strip():
        raise Refused(422, f"{name} is missing. Give it.")
    if len(value) > most or "\0" in value:
        raise Refused(422, f"{name} is too long or holds a character that can't be used. At most {most} letters.")
    return value.strip()


def number(value: Any, name: str) -> float:
    """Return ``value`` as a plain number; :class:`Refused` if it is none."""
    try:
        found = float(value) if not isinstance(value, bool) else math.nan
    except (TypeError, ValueError):
        found = math.nan
    if not math.isfinite(found):
        raise Refused(422, f"{name} must be a number.")
    return found


def whole(value: Any, name: str) -> int:
    """Return ``value`` as a whole number; :class:`Refused` if it is none."""
    found = number(value, name)
    if found != int(found):
        raise Refused(422, f"{name} must be a whole number.")
    return int(found)


def point(value: Any, name: str) -> tuple[float, float]:
    """Return ``value`` as (x, y) [m]; :class:`Refused` if it is no pair of numbers."""
    if not isinstance(value, (list, tuple)) or len(value) != 2:
        raise Refused(422, f"{name} must be a point: two numbers in metres.")
    x, y = number(value[0], name), number(value[1], name)
    if max(abs(x), abs(y)) > 1e5:
        raise Refused(422, f"{name} lies more than 100 km away.")
    return (x, y)


def encoded(value: Any) -> bytes:
    """Return ``value`` as JSON bytes."""
    from pydantic_core import to_json

    return to_json(value, inf_nan_mode="null")


def answer(value: Any, status: int = 200) -> Response:
    """Return a JSON answer; bytes are taken as JSON already, a Response as it is."""
    if isinstance(value, Response):
        return value
    content = value if isinstance(value, bytes) else encoded(value)
    return Response(content, status, media_type="application/json")


def refusal(error: Exception) -> Response | None:
    """Return the answer to an error that speaks to the person; None for any other."""
    if isinstance(error, Refused):
        return answer({"error": error.sentence, "faults": [], **error.more}, error.status)
    return _of_the_garden(error)


def _of_the_garden(error: Exception) -> Response | None:
    from quincunx.garden import GardenError
    from quincunx.store import Conflict
    from quincunx.units.errors import PlainError

    if isinstance(error, GardenError):
        faults = [asdict(f) for f in error.faults]
        return answer({"error": str(error), "faults": faults}, 422)
    if isinstance(error, Conflict):
        return answer({"error": str(error), "theirs": list(error.theirs), "faults": []}, 409)
    if isinstance(error, PlainError):
        return answer({"error": str(error), "faults": []}, 422)
    if isinstance(error, OSError):
        where = f"{error.filename}: " if error.filename else ""
        return answer({"error": f"{where}{error.strerror or error}.", "faults": []}, 422)
    return None
