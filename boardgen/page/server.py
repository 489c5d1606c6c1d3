"""The page's server: a few routes over a room; it listens on the loopback address alone."""

from __future__ import annotations

import base64
import hashlib
import json
import mimetypes
import re
import secrets
import socket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

import msgspec
import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from boardgen.model.problem import InputError
from boardgen.page.asked import ASKED, Asked
from boardgen.page.desk import PLAN_VIEWS, VIEWS, Desk
from boardgen.page.guard import POLICY, Guard
from boardgen.page.render import FOLDER, drawing, fill
from boardgen.page.room import Room
from boardgen.spec.template import told_templates

MOST_CONNECTIONS = 64
"""More at once are answered 503."""
_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)
_STATIC = {"page.css": "text/css", "page.js": "text/javascript"}


class Server(uvicorn.Server):
    """One that says when it listens."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Listens."""
        await super().startup(sockets)
        self._ready()


def listening(port: int) -> socket.socket:
    """A socket on the loopback address, on any free port for 0. Raises OSError where the port is taken."""
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind(("127.0.0.1", port))
    except (OSError, OverflowError):
        made.close()
        raise
    return made


def server(room: Room, bound: socket.socket, ready: Callable[[str], None]) -> Server:
    """A server that `ready` is told the first address of, which holds the token; its `run` serves until it is ended."""
    port = bound.getsockname()[1]
    token = secrets.token_urlsafe(32)
    settings = uvicorn.Config(
        Guard(application(room), token, port),
        log_level="critical",
        access_log=False,
        server_header=False,
        limit_concurrency=MOST_CONNECTIONS,
        h11_max_incomplete_event_size=16 * 1024,
        timeout_keep_alive=5,
        timeout_graceful_shutdown=1,
        http="h11",
        ws="none",
    )
    return Server(settings, lambda: ready(f"http://127.0.0.1:{port}/?token={token}"))


def application(room: Room) -> Starlette:
    """The routes, without their guard."""

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        room.enter()
        try:
            yield
        finally:
            room.leave()

    async def page(_: Request) -> Response:
        return HTMLResponse(_page(room.desk) if room.desk else _start(room))

    async def events(_: Request) -> Response:
        lines = (f"data: {json.dumps(news)}\n\n" async for news in room.news())
        return StreamingResponse(lines, media_type="text/event-stream")

    async def asked(request: Request) -> Response:
        kind = ASKED.get(request.path_params["what"])
        if kind is None:
            raise HTTPException(404)
        return _answer(room, kind, await request.body())

    async def archive(_: Request) -> Response:
        desk = _desk(room)
        headers = {"content-disposition": f'attachment; filename="{desk.file.path.stem}.zip"'}
        return Response(desk.archive(), media_type="application/zip", headers=headers)

    async def written(request: Request) -> Response:
        name = request.path_params["name"]
        return _file(name, _desk(room).read_written(name), framed="'none'")

    async def book(request: Request) -> Response:
        name = request.path_params["name"]
        return _file(name, _desk(room).read_page(name), framed="'self'")

    routes = [
        Route("/", page),
        Route("/events", events),
        Route("/ask/{what}", asked, methods=["POST"]),
        Route("/static/{name}", _static),
        Route("/board.zip", archive),
        Route("/written/{name:path}", written),
        Route("/book/{name}", book),
    ]
    refusals = {InputError: _not_there, HTTPException: _not_there, Exception: _our_fault}
    return Starlette(routes=routes, lifespan=life, exception_handlers=refusals)


def _desk(room: Room) -> Desk:
    if room.desk is None:
        raise HTTPException(404)
    return room.desk


def _page(desk: Desk) -> str:
    state, views = desk.state(), desk.views()
    pieces = {name: drawing(html) for name, html in state["pieces"].items()}
    wanted = PLAN_VIEWS if desk.plan else VIEWS
    shown = {name: drawing(views[name]["html"] if name in views else "") for name in wanted}
    values = {"file": desk.file, "now": state["now"], "form": desk.form(), "pieces": pieces, "views": shown}
    return fill("plan.html" if desk.plan else "page.html", **values)


def _start(room: Room) -> str:
    return fill("start.html", files=room.files, templates=told_templates(), folder=room.folder.resolve().name)


def _answer(room: Room, kind: type[Asked], body: bytes) -> Response:
    """Does what is asked and tells the number of the state after it; where it is refused why, and all of the state.

    What has changed every window is told by the events.
    """
    code, refused = 200, {}
    try:
        msgspec.json.decode(body, type=kind).done(room)
    except msgspec.DecodeError as error:
        code, refused = 400, {"refused": f"this is not what the page sends: {error}"}
    except InputError as error:
        words = " ".join(f"{p.place.key}: {p.sentence}.".removeprefix(": ") for p in error.problems)
        code, refused = 409, {"refused": words}
    state = room.desk.state(-1 if refused else room.desk.made) if room.desk else {}
    return JSONResponse({**state, **refused}, code)


async def _static(request: Request) -> Response:
    name = request.path_params["name"]
    if name not in _STATIC:
        raise HTTPException(404)
    return Response((FOLDER / name).read_bytes(), media_type=_STATIC[name])


async def _not_there(_: Request, error: Exception) -> Response:
    code = error.status_code if isinstance(error, HTTPException) else 404
    words = "Only what the page uses is answered." if isinstance(error, HTTPException) else str(error)
    return PlainTextResponse(words, code)


async def _our_fault(_: Request, error: Exception) -> Response:
    return PlainTextResponse(f"A fault of boardgen: {type(error).__name__}. Please report it.", 500)


def _file(name: str, content: bytes, framed: str) -> Response:
    """What a build makes, under a policy of its own; `framed` says which pages may show it within them."""
    kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
    policy = _policy_of(content, kind, framed)
    return Response(content, media_type=kind, headers={"content-security-policy": policy})


def _policy_of(content: bytes, kind: str, framed: str) -> str:
    """A written page has its style and its one script in it; no other script runs there, and nothing is asked for."""
    if kind not in ("text/html", "image/svg+xml"):
        return POLICY
    digests = (base64.b64encode(hashlib.sha256(script).digest()).decode() for script in _SCRIPT.findall(content))
    scripts = " ".join(f"'sha256-{digest}'" for digest in digests) or "'none'"
    return (
        f"default-src 'none'; script-src {scripts}; style-src 'unsafe-inline'; img-src 'self' data:; font-src data:; "
        f"frame-ancestors {framed}; base-uri 'none'; form-action 'none'"
    )
