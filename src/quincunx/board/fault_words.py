"""Where a fault of the garden lies, in the words the person reads on the board instead of the document's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from pydantic import BaseModel

from quincunx.board.typed import model_for
from quincunx.garden import Garden, GardenError
from quincunx.units import capital


@contextmanager
def in_words(garden: Garden, called: Mapping[str, str]) -> Iterator[None]:
    """Say in the person's words what is wrong with a changed ``garden``; ``called`` names things by id."""
    try:
        yield
    except GardenError as error:
        first, more = error.faults[0], len(error.faults) - 1
        where = place(first.path, garden, called)
        words = f"{where}: {first.sentence}" if where else first.sentence
        raise GardenError(error.faults, f"{words} (And {more} more.)" if more else words) from None


def place(path: str, garden: Garden, called: Mapping[str, str]) -> str:
    """Return where ``path`` (``jobs → lay-path → start``) leads: “Lay the path, planned to start”."""
    steps = path.split(" → ") if path else []
    here: Any = garden if steps and steps[0] in Garden.model_fields else garden.features
    said: list[str] = []
    for step in steps:
        if isinstance(here, BaseModel) or (isinstance(here, type) and issubclass(here, BaseModel)):
            info = (here if isinstance(here, type) else type(here)).model_fields.get(step)
            said.append((info and info.title) or step.replace("_", " "))
            value = None if isinstance(here, type) else getattr(here, step, None)
            here = value if isinstance(value, (tuple, BaseModel)) else info and model_for(info.annotation)
        elif isinstance(here, tuple):
            here = next((one for one in here if getattr(one, "id", None) == step), None)
            said[-1:] = [called.get(step) or getattr(here, "name", None) or step.replace("-", " ")]
        else:
            said.append(step.replace("_", " ").replace("-", " "))
    return capital(", ".join([*said[:1], *(word[:1].lower() + word[1:] for word in said[1:])]))
