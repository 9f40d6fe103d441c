"""Tables taken in at the board: own plants and the place's weather, looked at first with all their faults.

The answer holds the edit, which the page makes on the revision it shows; nothing is changed by looking.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused
from quincunx.board.standing import Standing
from quincunx.garden import Edit, plain, put
from quincunx.garden.safety import whose_codes
from quincunx.plants.catalogue import Plant, find_plant
from quincunx.site.climate import Climate
from quincunx.site.seasons import told
from quincunx.units import format_length, own_marks
from quincunx.units.dates import MONTHS

MOST_TEXT = 8_000_000
"""Letters of a table taken in at once: thirty years of days, or a year of hours."""
MOST_SHOWN = 60
NORMALS: tuple[tuple[str, str, str, float, float], ...] = (
    ("t_min_c", "lowest, °C", "lowest, °F", 1.8, 32), ("t_max_c", "highest, °C", "highest, °F", 1.8, 32),
    ("rain_mm", "rain, mm", "rain, in", 1 / 25.4, 0), ("rain_days", "rainy days", "rainy days", 1, 0),
    ("sunshine_h", "sun, h", "sun, h", 1, 0), ("wind_m_s", "wind, m/s", "wind, mph", 1 / 0.44704, 0),
    ("wind_from_deg", "wind from, °", "wind from, °", 1, 0), ("rh_percent", "humidity, %", "humidity, %", 1, 0),
)  # fmt: skip
"""A field of the climate, its words in metric gardens and in those in feet, and what makes the one figure the other."""
Answer = dict[str, Any]


def look(ask: Ask) -> Answer:
    """Answer ``POST /api/take-in``: what a table of ``what`` holds (``plants``, ``climate``), and the edit that takes it in."""
    body = ask.body
    what, text, name = body.get("what"), body.get("text"), body.get("name") or "a table"
    if what not in READERS:
        raise Refused(422, f"what is one of {', '.join(READERS)}.")
    if not isinstance(text, str) or not text.strip() or len(text) > MOST_TEXT or "\0" in text:
        raise Refused(422, "Bring a table as plain text (CSV), or paste its lines.")
    return READERS[what](ask.session.standing(), text, str(name)[:120])


def _plants(at: Standing, text: str, name: str) -> Answer:
    from quincunx.plants.table_in import read_plants

    read = read_plants(text)
    faults = [f"Line {f.line}{', ' + f.column if f.column else ''}: {f.sentence}" for f in read.faults]
    if read.unknown:
        faults.append(f"Columns that mean nothing here: {', '.join(read.unknown)}.")
    ops = tuple(op for plant in read.plants for op in put("plants", plant).ops)
    rows = [_row(at, plant) for plant in read.plants[:MOST_SHOWN]]
    more = f", the first {MOST_SHOWN} shown" if len(read.plants) > MOST_SHOWN else ""
    said = [f"{len(read.plants)} {'plant' if len(read.plants) == 1 else 'plants'} can be read{more}."]
    edit = Edit(label=f"Own plants from {name}"[:200], ops=ops) if ops else None
    return _answer(said, ("plant", "botanical name", "high × wide", "in place of"), rows, faults, edit)


def _row(at: Standing, plant: Plant) -> tuple[str, ...]:
    style = at.garden.style
    own = next((p for p in at.garden.plants if p.id == plant.id), None)
    listed = find_plant(plant.id)
    instead = f"your {own.name}" if own is not None else f"the list's {listed.name}" if listed is not None else ""
    size = f"{format_length(plant.height_m, style)} × {format_length(plant.spread_m, style)}"
    return (plant.name, plant.botanical, size, instead)


def _climate(at: Standing, text: str, name: str) -> Answer:
    from quincunx.garden.taking import climate_edit
    from quincunx.site.weather_in import read_weather

    place = at.garden.site.place
    feet = at.garden.style.system == "feet"
    read = read_weather(text, southern=place is not None and place.latitude_deg < 0, feet=feet)
    rows = [
        (foot if feet else metric, *(own_marks(_short(v * per + zero if feet else v), at.garden.style) for v in values))
        for key, metric, foot, per, zero in NORMALS
        if isinstance(values := read.climate.get(key), list)
    ]
    edit = climate_edit(at.garden, read, name) if read.climate else None
    return _answer(list(read.says), ("", *(m[:3] for m in MONTHS)), rows, list(read.faults), edit)


def _short(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.1f}"


READERS: dict[str, Callable[[Standing, str, str], Answer]] = {"plants": _plants, "climate": _climate}


def _answer(
    said: list[str], head: tuple[str, ...], rows: list[tuple[str, ...]], faults: list[str], edit: Edit | None
) -> Answer:
    return {"said": said, "head": head, "rows": rows, "faults": faults, "edit": None if edit is None else plain(edit)}


def climate(ask: Ask) -> Answer:
    """Answer ``GET /api/climate``: what is known of the place's climate, and whose codes are named there, as sentences."""
    at = ask.session.standing()
    place, known = at.garden.site.place, at.garden.site.climate
    southern = place is not None and place.latitude_deg < 0
    said = list(told(known, southern=southern, feet=at.garden.style.system == "feet"))
    if known == Climate():
        said = ["Nothing is known of the climate yet: seasons of planting, frosts and watering can't be told."]
    return {"said": [*said, whose_codes(at.garden)], "source": known.source}


def own_plant(ask: Ask) -> Answer:
    """Answer ``GET /api/own-plant?of=ID``: the edit that makes a plant of the list the person's own, to be changed."""
    of = ask.query.get("of", "")[:80]
    plant = find_plant(of)
    if plant is None:
        raise Refused(404, "That plant is not in the list.")
    own = plant.model_copy(update={"source": "own, begun from the list", "read_fields": ()})
    return {"edit": plain(put("plants", own, f"Make {plant.name} my own, to change"))}
