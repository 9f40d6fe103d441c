"""The kinds of things and of musts as data: the page makes its forms and gestures from this and knows no kind itself."""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Len, Lt, MaxLen, MinLen
from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from quincunx.board.ask import Ask
from quincunx.board.replies import encoded
from quincunx.features import KINDS, Feature, kind_id
from quincunx.garden import LISTS, Garden, plain
from quincunx.units import Style, own_units
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Length, Month, Point, Slug, YearMonth
from quincunx.walk.walkers import builtin

PAIR = tuple[float, float]
HIDDEN = frozenset({"kind", "id"})
"""What every document has and no form asks for."""
SINCE = "there_from"
CALLED = "name"
"""What a person calls a thing: asked first of every kind."""
CLOSES = "closed"
"""The field by which a line says that it comes back to its start."""
PROBE = "zz-probe"
"""An id that nothing has, to see which field names a plant or a feature."""
STYLES = (Style(), Style(decimal_mark=","), Style("feet"), Style("feet", ","))
"""How numbers may be written in a garden."""
MOST_CHOICES = 12
"""A list of whole numbers is chosen by touch if it can hold no more than these."""


def kinds(_ask: Ask) -> bytes:
    """Answer ``GET /api/kinds``: every kind of thing with its fields and how it is put in by pointing."""
    return _kinds()


@cache
def _kinds() -> bytes:
    return encoded([kind_json(kind) for kind in KINDS])


OWN_FORM = (
    "writing",
    "site",
    "survey",
    "means",
    "rooms",
    "spots",
    "dimensions",
    "pins",
    "pegs",
    "stills",
    "walkers",
    "trips",
    "plants",
    "prices",
    "norms",
)
"""The parts of a garden that are filled in by a form of their fields, beside its things, jobs and musts."""


SHOWN = {"survey": ("instruments", "declination_deg")}
"""Of a part that is filled in on another screen, only these fields are given here."""
PLACED = ("rooms", "spots", "dimensions", "pins", "pegs")
"""The lists whose entries are named on the sheet: their few fields are all shown."""


FIRST = {"walkers": ("name", "body_width", "headroom", "step_up", "over", "leap", "crawl_gap", "opens")}
"""Of the entries of a list these fields come first: what stops a walker, before all else about it."""


TAKES: Mapping[str, dict[str, str | None]] = {
    "plants": {
        "what": "plants", "words": "Bring in a table of plants (CSV)", "told": None, "begin": "Begin with a plant of the list",
        "help": "The first line names the columns: name, botanical, height_m, spread_m ... Ranges are written 2-3, months"
        " Apr-Oct. A plant called as one of the list stands in its place.",
    },
    "site": {
        "what": "climate", "words": "Bring in the weather (CSV of days, or EPW)", "told": "/api/climate", "begin": None,
        "help": "A table of days has the columns date, tmin, tmax and perhaps rain; an EPW file has the hours of a typical"
        " year. Monthly normals can also be typed, below under the usual weather.",
    },
}  # fmt: skip
"""Parts into which a table can be brought: what it is read as, the words, where what is known is told in sentences."""


def parts(_ask: Ask) -> bytes:
    """Answer ``GET /api/parts``: the fields of what is given (place, money, way of writing), of rooms and of spots."""
    return _parts()


@cache
def _parts() -> bytes:
    out = []
    hints = get_type_hints(Garden, include_extras=True)
    for name in OWN_FORM:
        spec = _field(name, Garden.model_fields[name], hints[name], {})
        many, fields = name in LISTS, [f for f in spec["fields"] if f["name"] in SHOWN.get(name, (f["name"],))]
        if not many or name in PLACED:
            fields = [{**f, "basic": True} for f in fields]
        if name in FIRST:
            fields = [{**f, "basic": f["name"] in FIRST[name]} for f in fields]
        like = LIKE[name]() if name in LIKE else []
        takes = TAKES.get(name)
        out.append({"part": name, "words": spec["words"], "many": many, "fields": fields, "takes": takes, "like": like})
    return encoded(out)


def _walkers() -> list[dict[str, Any]]:
    """Return the walkers of the list as what an own one may begin with; where its figures come from is said once."""
    out = []
    for one in builtin().values():
        begun = {"known": [{"figure": "All that was not changed here", "source": f"Begun with {one.name} of the list"}]}
        out.append({"words": one.name, "value": one.model_dump(mode="json") | begun})
    return out


SEVERAL = "features"
"""The type of a field that names several features."""
LIKE: Mapping[str, Callable[[], list[dict[str, Any]]]] = {"walkers": _walkers}
"""Lists to which an entry can be added that begins as one of these: its words and its fields."""


def kind_json(kind: type[Feature]) -> dict[str, Any]:
    """Return one kind: what it is called, its group, its fields, how it is placed, an example."""
    fields = [f for f in fields_json(kind, kind.example) if f["name"] not in HIDDEN]
    example = example_of(kind)
    named = _named_fields(kind, example)
    for spec in fields:
        spec["basic"] = spec["basic"] or spec["name"] == CALLED
        if spec["name"] in named:
            spec["type"] = SEVERAL if spec["type"] == "list" else named[spec["name"]]
    place = _place(kind, example, fields)
    return {
        "kind": kind_id(kind), "words": kind.words, "about": kind.about, "group": kind.group, "placing": _placing(place),
        "place": place, "fields": fields, "example": {k: v for k, v in kind.example.items() if k != "id"},
    }  # fmt: skip


def example_of(kind: type[Feature]) -> Feature:
    """Return the kind's own example as a feature."""
    return kind.model_validate(dict(kind.example))


def _named_fields(kind: type[Feature], example: Feature) -> dict[str, str]:
    """Return which of the kind's fields name a plant and which features, found by trying."""
    out: dict[str, str] = {}
    for name, info in kind.model_fields.items():
        if name in HIDDEN:
            continue
        try:
            tried = example.changed(**{name: (PROBE,) if get_origin(info.annotation) is tuple else PROBE})
            plants, others = tried.plants_named(), tried.features_named()
        except (ValidationError, ValueError, KeyError):
            continue
        out |= {name: "plant"} if PROBE in plants else {name: "feature"} if PROBE in others else {}
    return out


def _place(kind: type[Feature], example: Feature, fields: list[dict[str, Any]]) -> dict[str, Any]:
    """Return which fields the pointing gesture fills, and what a bearing among them means."""
    of_type = {t: [f["name"] for f in fields if f["type"] == t] for t in ("points", "point", "length")}
    points = next(iter(of_type["points"]), None)
    at = None if points else next(iter(of_type["point"]), None)
    by_hand = _dragged(example) if at else set()
    turn = next((f["name"] for f in fields if f["unit"] == "deg" and f["name"] in by_hand), None)
    sizes = {n: n if n in by_hand and n in of_type["length"] else None for n in ("width", "depth")}
    spec = next((f for f in fields if f["name"] == points), {})
    in_wall = kind.group == "openings" and turn is not None
    return {
        "since": SINCE if kind.model_fields[SINCE].default is None else None, "points": points, "at": at, "turn": turn,
        "turn_is": None if turn is None else "along" if in_wall else "front", **sizes, "in_wall": in_wall,
        "holds": kind.opens, "there": kind.usually_there,
        "least": spec.get("min"), "most": spec.get("max"), "closed": points is not None and (spec.get("min") or 0) >= 3,
        "closes": next((f["name"] for f in fields if f["name"] == CLOSES and f["type"] == "bool"), None),
    }  # fmt: skip


def _placing(place: Mapping[str, Any]) -> str:
    if place["points"]:
        return "outline" if place["closed"] else "line"
    return "turned" if place["turn"] else "point"


def _dragged(example: Feature) -> set[str]:
    """Return the fields that some handle changes."""
    out: set[str] = set()
    for handle in example.handles():
        out |= set(example.dragged(handle.id, (handle.at[0] + 0.1, handle.at[1] + 0.1)))
    return out


def fields_json(model: type[BaseModel], example: Mapping[str, Any] | None = None) -> list[dict[str, Any]]:
    """Return the fields of a document: words, unit, type, choices, bounds, default.

    ``basic`` ones come first in a form: those that must be given and those that the example gives.
    """
    hints = get_type_hints(model, include_extras=True)
    return [_field(name, info, hints[name], example or {}) for name, info in model.model_fields.items()]


def _field(name: str, info: FieldInfo, hint: Any, example: Mapping[str, Any]) -> dict[str, Any]:
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    type_, choices, inner = classify(hint)
    said = extra.get("said")
    if choices and isinstance(said, dict):
        choices = [[value, str(said.get(value, words))] for value, words in choices]
        choices += [["", str(said[""])]] if "" in said else []
    low, high = _bounds(info, hint)
    default = None if info.default is PydanticUndefined else plain(info.default)
    out = {
        "name": name, "words": extra.get("words") or info.title or name, "help": info.description or "",
        "help_in": said_in(info.description or ""), "unit": extra.get("unit"), "type": type_, "choices": choices,
        "default": default, "min": extra.get("min", low), "max": extra.get("max", high), "required": info.is_required(),
        "basic": info.is_required() or name in example, "optional": _takes_none(hint),
        "from": extra.get("from_list"),
    }  # fmt: skip
    if inner is not None:
        out["fields"] = fields_json(inner)
    return out


@cache
def said_in(words: str) -> dict[str, str]:
    """Return words about sizes as they are said in other units or with another mark, by those (``feet.``), where they differ."""
    said = {f"{style.system}{style.decimal_mark}": own_units(words, style) for style in STYLES}
    return {style: text for style, text in said.items() if text != words}


def classify(hint: Any) -> tuple[str, list[list[str]] | None, type[BaseModel] | None]:
    """Return a field's type for the form, its choices, and the document inside it if it holds any."""
    parts = [p for p in _options(hint) if p is not type(None)]
    words = [w for p in parts if get_origin(p) is Literal for w in get_args(p)]
    rest = [p for p in parts if get_origin(p) is not Literal]
    choices = [[str(w), str(w).replace("-", " ")] for w in words] or None
    if not rest:
        return "choice", choices, None
    return *_plain_type(rest[0]), choices or _item_choices(rest[0]), _inner(rest[0])


def _item_choices(hint: Any) -> list[list[str]] | None:
    """Return what a list of plain choices can hold: words, months, or few whole numbers; None for any other type."""
    hint = _bare(hint)
    if get_origin(hint) is not tuple or get_args(hint)[1:] != (...,):
        return None
    item = get_args(hint)[0]
    if item == Month:
        return [[str(n), name] for n, name in enumerate(MONTHS, 1)]
    if get_origin(item) is Literal:
        return [[str(w), str(w).replace("-", " ")] for w in get_args(item)]
    if get_origin(item) is Annotated and get_args(item)[0] is int:
        low, high = _bounds(FieldInfo(), item)
        if low is not None and high is not None and high - low < MOST_CHOICES:
            return [[str(n), str(n)] for n in range(int(low), int(high) + 1)]
    return None


_SIMPLE: tuple[tuple[Any, str], ...] = (
    (Slug, "text"), (YearMonth, "year_month"), (Length, "length"), (Point, "point"), (bool, "bool"), (int, "integer"),
    (float, "number"), (str, "text"),
)  # fmt: skip


def _bare(hint: Any) -> Any:
    return get_args(hint)[0] if get_origin(hint) is Annotated else hint


def _plain_type(hint: Any) -> tuple[str]:
    for known, name in _SIMPLE:
        if hint == known:
            return (name,)
    if get_origin(hint) is Annotated:
        return _plain_type(get_args(hint)[0])
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        if inner == (Point, ...):
            return ("points",)
        if inner[1:] != (...,):
            return ("list",)
        return ("numbers",) if _bare(inner[0]) is float else ("pairs",) if inner[0] == PAIR else ("list",)
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        return ("object",)
    return ("object",) if get_origin(hint) is dict else ("other",)


def _inner(hint: Any) -> type[BaseModel] | None:
    if get_origin(hint) in (Annotated, tuple):
        return _inner(get_args(hint)[0])
    return hint if isinstance(hint, type) and issubclass(hint, BaseModel) else None


def _options(hint: Any) -> tuple[Any, ...]:
    if get_origin(hint) in (Union, types.UnionType):
        return tuple(p for a in get_args(hint) for p in _options(a))
    return (hint,)


def _takes_none(hint: Any) -> bool:
    return type(None) in _options(hint)


def _bounds(info: FieldInfo, hint: Any) -> tuple[float | None, float | None]:
    """Return the least and greatest value, or number of items in a list."""
    low: float | None = None
    high: float | None = None
    notes = [*info.metadata]
    for option in _options(hint):
        if get_origin(option) is Annotated and option not in (Slug, YearMonth):
            notes += [m for a in get_args(option)[1:] for m in (getattr(a, "metadata", None) or [a])]
    for note in notes:
        match note:
            case Ge(ge=v) | Gt(gt=v):
                low = v  # type: ignore[assignment]
            case Le(le=v) | Lt(lt=v):
                high = v  # type: ignore[assignment]
            case MinLen(min_length=v):
                low = v
            case MaxLen(max_length=v):
                high = v
            case Len(min_length=v, max_length=w):
                low, high = v, w
    return low, high
