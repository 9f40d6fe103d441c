"""Faults in plain words: what was given, what was expected, what to do."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from quincunx.units import Style, capital, format_length


def sentence(error: Mapping[str, Any], style: Style | None = None) -> str:
    """Return one sentence for one error of pydantic's list; bounds of lengths in the person's own ``style``."""
    kind, ctx, given = error["type"], error.get("ctx", {}), _short(error.get("input"))
    if style is not None and kind in _BOUNDS and _is_typed_length(error.get("input")):
        key, word = _BOUNDS[kind]
        return f"It is {_typed(error['input'])}; it must be {word} {format_length(float(ctx[key]), style)}. Change the figure."
    maker = _SENTENCES.get(kind)
    if maker:
        return maker(ctx, given)
    reason = str(error.get("msg", "it can't be read")).removeprefix("Value error, ").rstrip(".")
    return f"{given} doesn't fit: {reason[:1].lower()}{reason[1:]}."


def _short(value: Any) -> str:
    if isinstance(value, str):
        return f'"{value[:40]}…"' if len(value) > 40 else f'"{value}"'
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)[:40]
    return "a list" if isinstance(value, (list, tuple)) else "an object"


def _is_typed_length(value: Any) -> bool:
    """Return whether a value was typed with a unit, so that its bounds can be said in the person's own."""
    return isinstance(value, Mapping) or (isinstance(value, str) and any(c.isalpha() or c in "'\"′″" for c in value))


def _typed(value: Any) -> str:
    return str(value.get("typed") if isinstance(value, Mapping) else value)[:40]


_BOUNDS = {
    "greater_than_equal": ("ge", "at least"),
    "greater_than": ("gt", "more than"),
    "less_than_equal": ("le", "at most"),
    "less_than": ("lt", "less than"),
}


def _bound(kind: str) -> Callable[[Mapping[str, Any], str], str]:
    key, word = _BOUNDS[kind]
    return lambda ctx, given: f"It is {given}; it must be {word} {ctx.get(key)}. Change the figure."


def _value_error(ctx: Mapping[str, Any], given: str) -> str:
    text = str(ctx.get("error", "")).strip()
    return capital(text).rstrip(".") + "." if text else f"{given} can't be read."


_SENTENCES: dict[str, Callable[[Mapping[str, Any], str], str]] = {
    "missing": lambda _c, _g: "It is missing. Give it.",
    "extra_forbidden": lambda _c, _g: "Nothing here is called that. Take it out, or look for a slip in the name.",
    "union_tag_invalid": lambda c, _g: (
        f"There is no kind {str(c.get('tag'))[:40]!r}. `quincunx schema` lists the kinds there are."
    ),
    "union_tag_not_found": lambda _c, _g: 'It doesn\'t say its kind. Give "kind".',
    "literal_error": lambda c, g: f"It is {g}; it must be one of {c.get('expected')}.",
    "greater_than_equal": _bound("greater_than_equal"),
    "greater_than": _bound("greater_than"),
    "less_than_equal": _bound("less_than_equal"),
    "less_than": _bound("less_than"),
    "string_pattern_mismatch": lambda c, g: f"{g} is written in another way than expected{_pattern(c)}.",
    "string_too_long": lambda c, _g: f"It is too long: at most {c.get('max_length')} letters.",
    "too_short": lambda c, _g: f"It has {c.get('actual_length')} entries; at least {c.get('min_length')} are needed.",
    "too_long": lambda c, _g: f"It has {c.get('actual_length')} entries; at most {c.get('max_length')} fit.",
    "tuple_type": lambda _c, g: f"It is {g}; a list is expected.",
    "string_type": lambda _c, g: f"It is {g}; text in quotes is expected.",
    "bool_type": lambda _c, g: f"It is {g}; true or false is expected.",
    "bool_parsing": lambda _c, g: f"It is {g}; true or false is expected.",
    "int_type": lambda _c, g: f"It is {g}; a whole number is expected.",
    "int_parsing": lambda _c, g: f"It is {g}; a whole number is expected.",
    "int_from_float": lambda _c, g: f"It is {g}; a whole number is expected.",
    "float_type": lambda _c, g: f"It is {g}; a number is expected.",
    "float_parsing": lambda _c, g: f"It is {g}; a number is expected.",
    "finite_number": lambda _c, g: f"It is {g}; a plain number is expected.",
    "model_type": lambda _c, g: f"It is {g}; an object with named fields is expected.",
    "model_attributes_type": lambda _c, g: f"It is {g}; an object with named fields is expected.",
    "dict_type": lambda _c, g: f"It is {g}; an object with named fields is expected.",
    "value_error": _value_error,
}

_PATTERNS = {
    r"^[a-z0-9]+(?:-[a-z0-9]+)*$": ": an id has small letters, digits and single hyphens, such as long-hedge",
    r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])$": ": a month is written 2027-03",
    r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])$": ": a day is written 2027-03-14",
    r"^[A-Z]{3}$": ": a currency has three capital letters, such as EUR",
}


def _pattern(ctx: Mapping[str, Any]) -> str:
    return _PATTERNS.get(str(ctx.get("pattern")), "")
