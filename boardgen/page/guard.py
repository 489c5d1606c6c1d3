"""What stands before every answer of the page's server, and refuses whoever is not its own page.

Another site may name 127.0.0.1 by a name of its own (the Host is checked), have a browser send requests (Origin and
Sec-Fetch-Site are checked, the cookie is SameSite=Strict, only JSON is taken), or frame the page (frame-ancestors).
Another user of the machine lacks the token. Source: Fetch Metadata Request Headers (W3C), RFC 6265bis, CSP Level 3.
"""

from __future__ import annotations

import asyncio
import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 64 * 1024
BODY_SECONDS = 5.0
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


class Guard:
    """Lets through what comes from the page itself."""

    def __init__(self, app: ASGIApp, token: str, port: int) -> None:
        """The token stands in the first address; a cookie that only this server knows takes its place."""
        self._app, self._token = app, token
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        # cookies of one address are shared by all its ports
        self._cookie, self._secret = f"boardgen-{port}", secrets.token_urlsafe(32)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers itself where it refuses."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        answer = self._refused(scope)
        body = b""
        if answer is None and scope["method"] == "POST":
            found = await self._body(receive)
            answer, body = (found, b"") if isinstance(found, Response) else (None, found)
        if answer is not None:
            await answer(scope, receive, with_headers)
            return
        await self._app(scope, _given(body, receive) if scope["method"] == "POST" else receive, with_headers)

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.get("host") not in self._hosts:
            return PlainTextResponse("This address is not the page's: open the one that boardgen page printed.", 421)
        if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return PlainTextResponse("Only the page itself may ask.", 403)
        if scope["method"] == "GET" and scope["path"] == "/" and scope["query_string"]:
            return self._entered(scope["query_string"])
        if not secrets.compare_digest(self._given(headers), self._secret):
            return PlainTextResponse("Open the address that boardgen page printed: it holds the key to this page.", 403)
        if scope["method"] == "POST":
            return self._refused_post(headers)
        return None

    def _entered(self, query: bytes) -> Response:
        given = parse_qs(query.decode("latin-1")).get("token", [""])[0]
        if not secrets.compare_digest(given.encode(), self._token.encode()):
            return PlainTextResponse("This is not the token that boardgen page printed.", 403)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(self._cookie, self._secret, httponly=True, samesite="strict", path="/")
        return answer

    def _given(self, headers: Headers) -> str:
        try:
            held = SimpleCookie(headers.get("cookie", "")).get(self._cookie)
        except CookieError:
            return ""
        return held.value if held and held.value.isascii() else ""

    def _refused_post(self, headers: Headers) -> Response | None:
        if headers.get("origin") != f"http://{headers['host']}":
            return PlainTextResponse("Only the page itself may change anything.", 403)
        if headers.get("content-type") != "application/json":
            return PlainTextResponse("Only application/json is taken.", 415)
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST_BODY:
            return PlainTextResponse(f"At most {LARGEST_BODY} bytes are taken.", 413)
        return None

    @staticmethod
    async def _body(receive: Receive) -> bytes | Response:
        """The whole body, or why it is not taken."""
        body = bytearray()
        try:
            async with asyncio.timeout(BODY_SECONDS):
                while True:
                    message = await receive()
                    body += message.get("body", b"")
                    if len(body) > LARGEST_BODY:
                        return PlainTextResponse(f"At most {LARGEST_BODY} bytes are taken.", 413)
                    if message["type"] == "http.disconnect" or not message.get("more_body"):
                        return bytes(body)
        except TimeoutError:
            return PlainTextResponse("The request took too long.", 408)


def _given(body: bytes, receive: Receive) -> Receive:
    """What the application receives: the body at once, then what the connection brings."""
    left = [{"type": "http.request", "body": body, "more_body": False}]

    async def received() -> Message:
        return left.pop() if left else await receive()

    return received
