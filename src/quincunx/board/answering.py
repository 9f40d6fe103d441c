"""From the name of a function to its answer: each module is loaded when it is first asked."""

from __future__ import annotations

import importlib
import logging
import sqlite3
from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.replies import answer, refusal


def answered(name: str, ask: Ask) -> Response:
    """Return the answer of the function ``module:function``, or its refusal."""
    module, _, function = name.partition(":")
    try:
        found: Any = getattr(importlib.import_module(f"quincunx.board.{module}"), function)(ask)
        return answer(found)
    except sqlite3.ProgrammingError:
        return answer({"error": "The garden was closed meanwhile. Open it again.", "faults": []}, 409)
    except Exception as error:
        said = refusal(error)
        if said is not None:
            return said
        logging.getLogger("quincunx.board").exception("%s failed", name)
        sentence = "That went wrong inside the program. Nothing you saved is lost; what it says in the terminal helps to mend it."
        return answer({"error": sentence, "faults": []}, 500)
