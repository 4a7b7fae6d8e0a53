"""Who may speak to the desk: whoever has the link, from the desk's own pages, in bounded bodies.

The desk listens on loopback, but every user and every web page on the machine can reach that. So each request must
name the desk as its host (a foreign name that leads to loopback does not), carry the secret of this start as a
cookie, and, where it writes, come from a page of the desk.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 4_000_000
READS = ("GET", "HEAD")
KEY = "key"

HEADERS = {
    "content-security-policy":
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    # Not `no-referrer`: with it a browser sends no origin along with a form, which every write is asked for.
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}

NO_KEY = ("This is a desk of Layshaft, and the link to it is not complete. Open the link that `layshaft open` printed, "
          "or start it again.")
NOT_HERE = "This desk answers to its own address only. Open the link that `layshaft open` printed."
FOREIGN = "Only the pages of the desk may change something. Nothing was changed."
TOO_MUCH = "More than {:.0f} MB was sent; the desk takes no more at once. Nothing was changed."
MOST_THROWN_AWAY = 1_000_000_000
"""Bytes of a body that is too long which are let in and dropped: a browser reads no answer before it has sent all."""


@dataclass
class Guard:
    """Stands before the whole application. `hosts` are the names the desk answers to, each with its port."""

    app: ASGIApp
    hosts: tuple[str, ...]
    longer: Mapping[str, int] = field(default_factory=dict)
    """Paths to which a longer body may be sent, and how long."""

    secret: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    @property
    def cookie(self) -> str:
        """Cookies know no port: the name does, so that two desks do not log each other out."""
        return f"layshaft_desk_{self.hosts[0].rpartition(':')[2]}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may pass; every answer carries the headers of the desk."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if refusal is None and scope["method"] not in READS:
            most = self.longer.get(scope["path"], MOST_BYTES)
            body = await _bounded(receive, most)
            refusal = _says(413, TOO_MUCH.format(most / 1e6)) if body is None else None
            receive = _again(body or b"", receive)
        await (refusal or self.app)(scope, receive, _with_headers(send))

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.get("host", "") not in self.hosts:
            return _says(421, NOT_HERE)
        query = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        given = next((value for name, value in query if name == KEY), None)
        if scope["method"] in READS and given is not None and self._is_secret(given):
            return self._let_in(scope, [pair for pair in query if pair[0] != KEY])
        if not self._is_secret(_cookie(headers, self.cookie)):
            return _says(403, NO_KEY)
        if scope["method"] not in READS and not self._own(headers):
            return _says(403, FOREIGN)
        return None

    def _is_secret(self, text: str) -> bool:
        return hmac.compare_digest(text.encode("utf-8"), self.secret.encode("utf-8"))

    def _let_in(self, scope: Scope, rest: list[tuple[str, str]]) -> Response:
        """The secret becomes a cookie and leaves the address."""
        path = "/" + scope["path"].lstrip("/\\")
        answer = RedirectResponse(f"{path}?{urlencode(rest)}" if rest else path, 303)
        answer.set_cookie(self.cookie, self.secret, httponly=True, samesite="strict", path="/")
        return answer

    def _own(self, headers: Headers) -> bool:
        """Whether a write comes from a page of this desk: by origin, and by what the browser says of the site."""
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        if site is not None and site != "same-origin":
            return False
        if origin is not None:
            return origin == f"http://{headers['host']}"
        return site is not None


def _cookie(headers: Headers, name: str) -> str:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(name)
    except CookieError:
        return ""
    return found.value if found is not None else ""


def _says(status: int, sentence: str) -> Response:
    return PlainTextResponse(sentence + "\n", status)


async def _bounded(receive: Receive, most: int) -> bytes | None:
    """The body, counted while it comes in, whatever its head says; None where it is too long: nothing of it is kept."""
    chunks: list[bytes] = []
    size = 0
    while size <= MOST_THROWN_AWAY:
        message = await receive()
        if message["type"] != "http.request":
            break
        chunk = message.get("body", b"")
        size += len(chunk)
        if size > most:
            chunks.clear()
        else:
            chunks.append(chunk)
        if not message.get("more_body", False):
            break
    return b"".join(chunks) if size <= most else None


def _again(body: bytes, receive: Receive) -> Receive:
    """A body that was read already, handed on; after it whatever else comes."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def handed() -> Message:
        return waiting.pop() if waiting else await receive()

    return handed


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            own: dict[str, Any] = {name.decode("latin-1"): value for name, value in message.get("headers", [])}
            extra = [(n.encode(), v.encode()) for n, v in HEADERS.items() if n not in own]
            message = {**message, "headers": [*message.get("headers", []), *extra]}
        await send(message)

    return sent
