"""The published quantities and screening values that the building engine is held against."""

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[1] / "published" / "hardscape"
FT, IN = 0.3048, 0.0254
YD3 = 0.9144**3


def table(name: str) -> Any:
    return json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
