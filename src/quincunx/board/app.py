"""The routes.  Each is loaded when first asked for, so that the first page comes before the engines."""

from __future__ import annotations

import importlib
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp

from quincunx.board.answering import answered
from quincunx.board.ask import Ask
from quincunx.board.desk import Desk
from quincunx.board.guard import Guard, Keys, TooLarge, limit_of, too_large
from quincunx.board.replies import answer, encoded
from quincunx.board.static import build, page

ROUTES: tuple[tuple[str, str, str], ...] = (
    ("GET", "/api/state", "files:state"),
    ("POST", "/api/open", "files:open_file"),
    ("POST", "/api/close", "files:close"),
    ("POST", "/api/save-as", "files:save_as"),
    ("POST", "/api/import", "files:import_text"),
    ("GET", "/api/export", "files:export"),
    ("GET", "/api/copies", "files:copies"),
    ("POST", "/api/copies/restore", "files:restore"),
    ("GET", "/api/towns", "starting:towns"),
    ("POST", "/api/new", "starting:new"),
    ("GET", "/api/kinds", "describe:kinds"),
    ("GET", "/api/parts", "describe:parts"),
    ("GET", "/api/musts/kinds", "must_kinds:must_kinds"),
    ("GET", "/api/walkers", "must_kinds:walkers"),
    ("GET", "/api/plants", "starting:plants"),
    ("POST", "/api/take-in", "taking_in:look"),
    ("GET", "/api/climate", "taking_in:climate"),
    ("GET", "/api/own-plant", "taking_in:own_plant"),
    ("GET", "/api/garden", "edits:garden"),
    ("POST", "/api/edit", "edits:edit"),
    ("POST", "/api/undo", "edits:undo"),
    ("POST", "/api/redo", "edits:redo"),
    ("GET", "/api/history", "edits:history"),
    ("GET", "/api/versions", "edits:versions"),
    ("POST", "/api/versions", "edits:name_version"),
    ("POST", "/api/versions/return", "edits:return_to"),
    ("POST", "/api/heads", "edits:new_head"),
    ("POST", "/api/heads/switch", "edits:switch_head"),
    ("GET", "/api/beside", "beside:beside"),
    ("POST", "/api/beside/take", "beside:take"),
    ("POST", "/api/beside/shortlist", "beside:from_shortlist"),
    ("GET", "/api/scene", "scenes:scene"),
    ("GET", "/api/table", "table:table_bytes"),
    ("GET", "/api/evidence", "table:evidence"),
    ("GET", "/api/months", "table:months"),
    ("GET", "/api/years", "planner:years"),
    ("POST", "/api/years/try", "planner:tried"),
    ("POST", "/api/years/find", "finding:find"),
    ("POST", "/api/years/stop", "finding:stop"),
    ("GET", "/api/years/found", "finding:found"),
    ("POST", "/api/years/take", "finding:take"),
    ("GET", "/api/years/why", "reasons:why_there"),
    ("GET", "/api/years/earlier", "reasons:year_earlier"),
    ("GET", "/api/years/way-in", "reasons:way_in"),
    ("GET", "/api/years/all-wishes", "reasons:all_wishes"),
    ("POST", "/api/years/what-if", "asides:what_if"),
    ("GET", "/api/years/safe", "asides:how_safe"),
    ("GET", "/api/years/soon", "asides:soon"),
    ("GET", "/api/years/towards", "towards:towards"),
    ("GET", "/api/years/without", "towards:without"),
    ("POST", "/api/years/again", "going_on:plan_again"),
    ("POST", "/api/years/otherwise", "going_on:otherwise"),
    ("GET", "/api/years/matters", "asides:matters"),
    ("POST", "/api/years/dearer", "asides:dearer"),
    ("GET", "/api/costs", "costing:costs"),
    ("GET", "/api/weighed", "weighing:weighed_up"),
    ("GET", "/api/upkeep", "weighing:upkeep"),
    ("GET", "/api/as-job", "costing:job_of"),
    ("GET", "/api/take-out", "taking_out:taking_out"),
    ("POST", "/api/drag", "tries:drag"),
    ("POST", "/api/expect", "tries:expect"),
    ("POST", "/api/preview", "tries:preview"),
    ("POST", "/api/hands/{name}", "hands:hand"),
    ("GET", "/api/pictures", "photos:pictures"),
    ("POST", "/api/pictures", "photos:put"),
    ("GET", "/api/pictures/{name}", "photos:picture"),
    ("GET", "/api/questions", "question:questions"),
    ("GET", "/api/question", "question:question"),
    ("GET", "/api/question/at", "question:value_at"),
    ("GET", "/api/ground", "ground:ground"),
    ("GET", "/api/ground/stakes", "ground:stakes"),
    ("POST", "/api/ground/stop", "ground:stop_search"),
    ("POST", "/api/ground/on", "ground:go_on"),
    ("POST", "/api/ground/readings", "ground:add_readings"),
    ("POST", "/api/ground/seen", "ground:answer_seen"),
    ("POST", "/api/ground/take", "ground:take_length"),
    ("POST", "/api/ground/take-out", "ground:take_out"),
    ("POST", "/api/ground/lay", "ground:lay"),
    ("POST", "/api/ground/first-out", "ground:leave_first_out"),
    ("POST", "/api/ground/with", "ground:set_instrument"),
    ("POST", "/api/ground/boundary", "ground:draw_boundary"),
    ("POST", "/api/ground/draw", "ground:draw"),
    ("POST", "/api/ground/heights", "ground:take_heights"),
    ("POST", "/api/ground/level", "ground:level"),
    ("POST", "/api/ground/needle", "ground:count_from_true"),
    ("POST", "/api/ground/north", "north:north"),
    ("POST", "/api/points", "points:points"),
    ("GET", "/api/underlay", "underlay:underlay"),
    ("GET", "/api/outdoors/pack", "outdoors:pack"),
    ("GET", "/api/outdoors/pack-to-help", "outdoors:pack_to_help"),
    ("GET", "/api/outdoors/jobs", "outdoors:jobs"),
    ("GET", "/api/outdoors/twice", "outdoors:twice"),
    ("GET", "/api/outdoors/together", "outdoors:together"),
    ("GET", "/api/outdoors/day/{day}", "day_done:day"),
    ("POST", "/api/outdoors/notes", "outdoors:notes"),
    ("GET", "/api/outdoors/page/{name}", "one_page:page"),
    ("GET", "/api/outdoors/page-to-help/{name}", "one_page:page_to_help"),
    ("GET", "/api/outdoors/views/{name}", "with_without:views"),
    ("GET", "/api/outdoors/views/{name}/{at}/{when}", "with_without:views"),
    ("GET", "/api/outdoors/views/{name}/{at}", "with_without:views"),
    ("GET", "/api/outdoors/built", "as_built:jobs_built"),
    ("GET", "/api/outdoors/built/{name}", "as_built:would_change"),
    ("POST", "/api/outdoors/built", "as_built:draw_as_built"),
    ("GET", "/api/outdoors/sharing", "share:state"),
    ("POST", "/api/outdoors/sharing", "share:begin"),
    ("POST", "/api/outdoors/sharing/end", "share:end"),
    ("POST", "/api/outdoors/sharing/prices", "share:take_prices"),
    ("GET", "/api/foot/garden.glb", "on_foot:model"),
    ("GET", "/api/foot/garden.geojson", "on_foot:mapped"),
    ("GET", "/api/foot/ground", "on_foot:ground"),
    ("GET", "/api/foot/told", "on_foot:told"),
    ("POST", "/api/foot/stills", "same_spot:keep_still"),
    ("GET", "/api/pegs", "same_spot:pegs"),
    ("GET", "/api/pegs/look", "same_spot:look"),
    ("GET", "/api/papers", "papers:papers"),
    ("GET", "/api/papers/empty", "papers:unfilled_ones"),
    ("POST", "/api/papers", "papers:bound"),
    ("GET", "/api/papers/file/{name}", "papers:bound_file"),
    ("GET", "/api/papers/sets", "papers:sets"),
    ("GET", "/api/papers/sets/{name}", "papers:small_set"),
    ("GET", "/api/papers/photos", "papers:photos"),
    ("POST", "/api/papers/given", "papers:give"),
    ("GET", "/api/year-page", "year_page:state"),
    ("POST", "/api/year-page", "year_page:make"),
    ("POST", "/api/year-page/wanted", "year_page:wanted"),
    ("GET", "/api/year-page/page", "year_page:page"),
    ("GET", "/api/papers/plan.pdf", "papers:plan"),
    ("GET", "/api/papers/preview/{name}", "papers:preview"),
    ("GET", "/api/papers/bill.xlsx", "papers:bill"),
    ("GET", "/api/papers/asked.xlsx", "papers:asked"),
    ("GET", "/api/papers/works.dxf", "papers:works"),
)
"""Method, path, and the module and function that answers."""

WARM = ("files", "edits", "scenes", "table", "tries", "describe", "must_kinds", "question", "starting", "on_foot")


def make_app(desk: Desk, keys: Keys) -> ASGIApp:
    """Return the whole server for one desk, behind the guard."""
    routes = [Route(path, _route(desk, name), methods=[method]) for method, path, name in ROUTES]
    routes += [Route("/api/events", _events(desk)), Route("/api/{rest:path}", _nothing, methods=["GET", "POST"])]
    routes += [Route("/", _first_page(desk)), Route("/{name:path}", page)]

    @asynccontextmanager
    async def life(_app: Starlette) -> AsyncIterator[None]:
        yield
        desk.close()

    return Guard(Starlette(routes=routes, lifespan=life), keys)


def warm_up(desk: Desk) -> None:
    """Load the engines and the garden the program was started with, so that the first touch finds them ready."""
    desk.open_one()
    for name in WARM:
        importlib.import_module(f"quincunx.board.{name}")
    answered("describe:kinds", Ask(desk))
    importlib.import_module("quincunx.board.compiling").begin_all()
    for one in importlib.import_module("quincunx.board.question").QUESTIONS:
        if hasattr(one, "ready"):
            one.ready()  # waits for kernels that are not compiled yet


def _route(desk: Desk, name: str) -> Callable[[Request], Awaitable[Response]]:
    async def handle(request: Request) -> Response:
        try:
            raw = await request.body()
        except ClientDisconnect:
            return Response(status_code=400)
        except TooLarge:
            return too_large(limit_of(request.url.path))
        ask = Ask(desk, dict(request.query_params), request.path_params, raw)
        return await run_in_threadpool(answered, name, ask)

    return handle


def _first_page(desk: Desk) -> Callable[[Request], Response]:
    def handle(request: Request) -> Response:
        desk.shown.set()
        return page(request)

    return handle


def _events(desk: Desk) -> Callable[[Request], Awaitable[Response]]:
    async def handle(_request: Request) -> Response:
        return StreamingResponse(desk.hub.stream(await run_in_threadpool(_first, desk)), media_type="text/event-stream")

    return handle


def _first(desk: Desk) -> bytes:
    page_now = b"event: build\ndata: " + encoded({"script": build()}) + b"\n\n"
    session = desk.open_one()
    if session is None:
        return page_now
    from quincunx.board.clock import today  # the engines it loads are there once a garden is open

    store = session.store
    day = today(store.garden().site.place).isoformat()
    now = encoded({"revision": store.revision, "head": store.head, "day": day})
    return page_now + b"event: revision\ndata: " + now + b"\n\n"


def _nothing(_request: Request) -> Response:
    return answer({"error": "There is nothing here.", "faults": []}, 404)
