"""Fields of the document: what a value means, its unit, its bounds and the words a person reads.

Every stored thing (site, job, feature, intent) is a :class:`Doc`: a frozen pydantic model that refuses
unknown keys.  Its fields are declared with the helpers below, so that the JSON Schema, the forms on the
board and the reference pages all come from one place.  Inside the document a length is a number of
metres on a millimetre grid; what the person typed is kept beside it (:class:`Length`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from quincunx.units.dates import parse_month
from quincunx.units.length import parse_length
from quincunx.units.style import Style
from quincunx.units.words import one_line

GRID_M = 0.001
"""Typed or dragged lengths and points lie on this grid [m]; derived geometry is never rounded."""


class Doc(BaseModel):
    """Base of everything that is stored: frozen, no unknown keys, defaults checked."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, validate_default=True, ser_json_inf_nan="constants",
        defer_build=True,  # most commands meet a few of the 160 kinds only: each makes its validator when first asked
        protected_namespaces=(),  # looking for them in every field takes a tenth of the time to import
    )  # fmt: skip

    def changed(self, **fields: Any) -> Self:
        """Return a validated copy with some fields replaced."""
        data = {name: getattr(self, name) for name in type(self).model_fields} | fields
        return type(self).model_validate(data)


class Length(float):
    r"""A length [m] on the millimetre grid that remembers the text it was typed as.

    In JSON it is a plain number of metres, or ``{"m": 3.81, "typed": "12' 6\""}``.  A bare string such as
    ``"12' 6\""`` is read with the garden's own units and becomes the second form.
    """

    __slots__ = ("typed",)
    typed: str | None

    def __new__(cls, metres: float, typed: str | None = None) -> Self:
        """Put ``metres`` on the grid; ``typed`` is the person's own writing, if there was any."""
        self = super().__new__(cls, round(float(metres) / GRID_M) * GRID_M if typed is None else float(metres))
        # Dividing by the grid leaves binary dust such as 2.4000000000000004; one decimal rounding removes it.
        if typed is None:
            self = super().__new__(cls, round(float(self), 3))
        self.typed = typed
        return self

    def __getnewargs__(self) -> tuple[float, str | None]:  # type: ignore[override]
        """Let a Length be copied and pickled."""
        return (float(self), self.typed)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read a number, an ``{"m", "typed"}`` object or a typed string; write the first or second form."""
        return core_schema.with_info_plain_validator_function(
            cls._read, serialization=core_schema.plain_serializer_function_ser_schema(cls._write)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Describe the three accepted forms."""
        typed = {
            "type": "object",
            "properties": {"m": {"type": "number"}, "typed": {"type": "string"}},
            "required": ["m", "typed"],
            "additionalProperties": False,
        }
        return {"anyOf": [{"type": "number"}, typed, {"type": "string"}]}

    @classmethod
    def _read(cls, value: Any, info: core_schema.ValidationInfo) -> Length:
        if isinstance(value, Length):
            return value
        if isinstance(value, bool) or value is None:
            raise ValueError(f'expected a length in metres, or text such as "3.4 m"; got {value!r}')
        if isinstance(value, (int, float)):
            return cls(_sane(value))
        if isinstance(value, str):
            style = (info.context or {}).get("style") or Style()
            return cls(_sane(parse_length(value, style)), typed=value.strip())
        if isinstance(value, dict) and set(value) == {"m", "typed"} and isinstance(value["m"], (int, float)):
            return cls(_sane(value["m"]), typed=str(value["typed"]))
        raise ValueError(f'expected a length in metres, or text such as "3.4 m"; got {str(value)[:60]!r}')

    @staticmethod
    def _write(value: Any) -> float | dict[str, Any]:
        typed = getattr(value, "typed", None)
        return float(value) if typed is None else {"m": float(value), "typed": typed}


def _sane(metres: float) -> float:
    value = float(metres)
    if not -1e5 <= value <= 1e5:  # also catches NaN
        raise ValueError(f"a length must lie between -100 km and 100 km; got {value!r} m")
    return value


Point = tuple[Length, Length]
"""(x east, y north) from the datum stake [m]."""

Slug = Annotated[str, Field(pattern=r"^[a-z0-9]+(?:-[a-z0-9]+)*$", max_length=60)]
"""A readable identifier: small letters, digits and single hyphens."""


Name = Annotated[str, BeforeValidator(one_line)]
"""What a person calls something: one line."""


def _month(value: Any) -> Any:
    """Read a month as a person types it (``March 2027``, ``3/2027``); what isn't text is left for pydantic to refuse."""
    return parse_month(value) if isinstance(value, str) else value


YearMonth = Annotated[str, BeforeValidator(_month), Field(pattern=r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])$")]
"""A calendar month, kept as ``2027-03``; ``March 2027`` is read too."""


Month = Annotated[int, Field(ge=1, le=12)]
"""A month of any year, 1 to 12."""


def _extra(words: str, unit: str | None, **more: Any) -> dict[str, Any]:
    extra: dict[str, Any] = {"words": words, **more}
    if unit:
        extra["unit"] = unit
    return extra


def field(
    words: str,
    default: Any = ...,
    *,
    unit: str | None = None,
    help: str = "",
    from_list: str | None = None,
    said: Mapping[str, str] | None = None,
    **bounds: Any,
) -> Any:
    """Declare a field with the ``words`` a person reads, its ``unit`` and its bounds (``ge``, ``le``, ...).

    ``from_list`` names the list beside it whose entries' ids are what it can hold; ``said`` puts a choice in other
    words than its own, under ``""`` what an empty field means.
    """
    more = {"from_list": from_list, "said": dict(said) if said else None}
    extra = _extra(words, unit, **{name: value for name, value in more.items() if value is not None})
    return Field(default, title=words, description=help or None, json_schema_extra=extra, **bounds)


def length(words: str, default: Any = ..., *, ge: float | None = None, le: float | None = None, help: str = "") -> Any:
    """Declare a length field [m] with bounds [m]; use with the type :class:`Length` (or ``Length | None``)."""
    extra = _extra(words, "m", min=ge, max=le)
    return Field(default, title=words, description=help or None, ge=ge, le=le, json_schema_extra=extra)


def degrees(words: str, default: Any = ..., *, ge: float = 0.0, lt: float = 360.0, help: str = "") -> Any:
    """Declare a bearing or angle [deg], clockwise from true north."""
    return Field(default, title=words, description=help or None, ge=ge, lt=lt, json_schema_extra=_extra(words, "deg"))


def money(words: str, default: Any = ..., *, ge: int | None = 0, help: str = "") -> Any:
    """Declare a sum of money in integer minor units of the garden's currency."""
    return Field(default, title=words, description=help or None, ge=ge, json_schema_extra=_extra(words, "money"))


def hours(words: str, default: Any = ..., *, ge: float = 0.0, help: str = "") -> Any:
    """Declare a number of hours of work [h]."""
    return Field(default, title=words, description=help or None, ge=ge, json_schema_extra=_extra(words, "h"))
