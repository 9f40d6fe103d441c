"""What nobody makes and is there already: it begins as that."""

from __future__ import annotations

from typing import Literal

from quincunx.features._base import Feature
from quincunx.units.fields import YearMonth, field


class Natural(Feature):
    """A feature that is there from the start unless it is said otherwise."""

    there_from: Literal["start"] | YearMonth | None = field(
        "There from",
        "start",
        help="'start' if there already, a month such as March 2027, or empty: by the job that makes it",
        said={"start": "there already", "": "when its job is done"},
    )
