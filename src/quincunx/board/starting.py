"""The first ten minutes: towns, plants to choose from, and the new garden."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from quincunx.board.ask import Ask
from quincunx.board.desk import free_path, gardens_folder, typed_path
from quincunx.board.photos import keep_picture
from quincunx.board.replies import Refused
from quincunx.board.session import Session
from quincunx.board.typed import read_typed
from quincunx.garden import Edit, Fault, Garden, GardenError, Op
from quincunx.garden.document import Writing
from quincunx.garden.sentences import sentence
from quincunx.garden.starting import Answers, begin, read_sum
from quincunx.site.towns import find_town
from quincunx.store import StoreError
from quincunx.units import Style

MOST_FOUND = 12


def towns(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/towns``: the towns that ``q`` may mean, likeliest first."""
    return [
        {
            "name": t.name, "region": t.region, "country": t.country, "label": t.label, "latitude_deg": t.latitude_deg,
            "longitude_deg": t.longitude_deg,
        }
        for t in find_town(ask.query.get("q", "")[:80], MOST_FOUND)
    ]  # fmt: skip


def plants(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/plants``: the plants that ``q`` may mean, the garden's own first; all if nothing is asked."""
    from quincunx.plants.finding import find

    session = ask.desk.open_one()
    own = {} if session is None else {p.id: p for p in session.standing().garden.plants}
    found = find(ask.query.get("q", "")[:80], own)
    return {
        "plants": [
            {
                "id": p.id, "name": p.name, "botanical": p.botanical, "form": p.form, "height_m": p.height_m,
                "spread_m": p.spread_m, "own": p.id in own,
            }
            for p in sorted(found.plants, key=lambda p: p.id not in own)
        ],
        "said": list(found.said), "how": list(found.how),
    }  # fmt: skip


def new(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/new``: make the garden of the first ten minutes and open it, with the picture it was ``traced`` from.

    ``untraced`` says why the picture could not be kept; the garden is made without it.
    """
    body = ask.body
    garden = begin(answers(body))
    file = body.get("file")
    path = free_path(gardens_folder(), garden.name) if not file else typed_path(file, new=True)
    session = ask.desk.create(path, garden)
    return {"file": str(session.path), "untraced": _keep_traced(session, body.get("traced"))}


def _keep_traced(session: Session, traced: Any) -> str:
    """Keep the picture the ground was traced from under the sheet, as it lay; return why it can't be, or nothing."""
    if traced is None:
        return ""
    if not isinstance(traced, Mapping) or not isinstance(traced.get("picture"), str):
        return "It is no picture."
    try:
        name = keep_picture(session.store, traced["picture"], "A plan to trace")
        value = {
            "picture": name,
            "wide": traced.get("wide"),
            "high": traced.get("high"),
            "as_traced": {"at": [0, 0], "across": traced.get("across")},
        }
        op = Op(do="put", part="underlay", value=value)
        session.commit(Edit(label="Keep the traced picture under the sheet", ops=(op,)), None)
    except (Refused, GardenError, StoreError) as error:
        return str(getattr(error, "sentence", error))
    return ""


def answers(body: Mapping[str, Any]) -> Answers:
    """Return what was answered, lengths and sums read in the person's writing; :class:`GardenError` names what isn't."""
    try:
        writing = Writing.model_validate(body.get("writing") or {})
    except ValidationError as error:
        raise GardenError([Fault("writing", sentence(e)) for e in error.errors()]) from None
    style = writing.style
    town, ground = _part(body, "town"), _part(body, "ground")
    given = {
        "name": body.get("name") or "My garden",
        "town": town.get("name") or "",
        "country": town.get("country") or None,
        "latitude_deg": town.get("latitude_deg"),
        "longitude_deg": town.get("longitude_deg"),
        "writing": {k: v for k, v in (body.get("writing") or {}).items() if k in Writing.model_fields},
        **{
            k: ground[k]
            for k in ("sides", "diagonal", "check", "first_side_deg", "outline", "datum")
            if ground.get(k) is not None
        },
        **{k: body[k] for k in ("house", "hours_a_month", "first_year", "years") if body.get(k) is not None},
        "wanted": _typed(body.get("wanted"), "features", style),
        "must": _typed(body.get("must"), "intents", style),
        "sum_a_year": _sum(body.get("sum_a_year"), style),
    }
    try:
        return Answers.model_validate(given, context={"style": style})
    except ValidationError as error:
        faults = [Fault(" → ".join(str(p) for p in e["loc"]), sentence(e)) for e in error.errors()[:20]]
        raise GardenError(faults) from None


def _part(body: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    value = body.get(name) or {}
    if not isinstance(value, Mapping):
        raise Refused(422, f"{name} must be an object with named fields.")
    return value


def _typed(value: Any, part: str, style: Style) -> Any:
    if value is None:
        return None
    return read_typed(value, Garden.model_fields[part].annotation, style, part)


def _sum(value: Any, style: Style) -> Any:
    if isinstance(value, str):
        return read_sum(value, style, "sum_a_year") if value.strip() else 0
    return 0 if value is None else value
