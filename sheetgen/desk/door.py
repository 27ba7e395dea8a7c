"""Who may come in: only a browser of this computer that entered by an address made for it.

    the Host named is ours        a page elsewhere whose own name points to this computer is refused (DNS rebinding)
    a change comes from our page  by the browser's own word (Sec-Fetch-Site, Origin), and by POST alone
    the cookie is known           given for a token that is good once; SameSite=Strict, so that no other page's request
                                  carries it, and HttpOnly

Every answer forbids scripts, frames and requests that are not ours.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections.abc import Awaitable, Callable

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sheetgen.templates import speaking, spoken_texts

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",  # with "no-referrer" a browser sends the origin "null" with our own forms
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
_TOKEN_SECONDS = 600.0  # an address that nobody used by then is worth nothing
SECRET_HEADER = "x-desk-secret"
LANGUAGE_COOKIE = "desk-language"  # the language that a browser has chosen


class Door:
    """The application behind the checks; it answers in the language that the browser has chosen.

    Attributes:
        secret: who knows it may ask for a token: a second start of this program, by the same user
        used: when the desk was last used, by the clock of :func:`time.monotonic`
    """

    def __init__(self, app: ASGIApp, host: str) -> None:
        self.host, self.secret, self.used = host, secrets.token_urlsafe(32), time.monotonic()
        self._app = app
        self._tokens: dict[str, float] = {}
        self._cookies: set[str] = set()
        self._cookie = f"desk-{host.rpartition(':')[2]}"  # a browser keeps the cookies of all ports together

    def token(self) -> str:
        """A token that is good once."""
        made = secrets.token_urlsafe(32)
        self._tokens[made] = time.monotonic() + _TOKEN_SECONDS
        return made

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request, guarded = Request(scope), _guarded(send)
        with speaking(request.cookies.get(LANGUAGE_COOKIE, "")):
            answer = self._answer(request)
            if answer is None:
                self.used = time.monotonic()
            await (answer or self._app)(scope, receive, guarded)

    def _answer(self, request: Request) -> Response | None:
        """What is answered here; None where the request may go on."""
        if request.headers.get("host") != self.host:
            return self._refused("host", 403)
        if request.method not in ("GET", "HEAD", "POST"):
            return self._refused("method", 405)
        path = request.url.path
        if path == "/tokens":
            return self._asked_for_token(request)
        if request.method == "POST" and not self._from_our_page(request.headers):
            return self._refused("origin", 403)
        if path == "/enter":
            return self._entered(request)
        if path.startswith("/assets/") or request.cookies.get(self._cookie) in self._cookies:
            return None
        return self._refused("stranger", 401)

    def _asked_for_token(self, request: Request) -> Response:
        given = request.headers.get(SECRET_HEADER, "")
        if request.method != "POST" or not hmac.compare_digest(given.encode(), self.secret.encode()):
            return self._refused("stranger", 401)
        return PlainTextResponse(self.token())

    def _entered(self, request: Request) -> Response:
        ends = self._tokens.pop(request.query_params.get("token", ""), 0.0)
        if ends < time.monotonic():
            return self._refused("used_token", 401)
        cookie = secrets.token_urlsafe(32)
        self._cookies.add(cookie)
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(self._cookie, cookie, httponly=True, samesite="strict", path="/")
        return answer

    def _from_our_page(self, headers: Headers) -> bool:
        site, origin = headers.get("sec-fetch-site"), headers.get("origin")
        if site is not None and site != "same-origin":
            return False
        if origin is not None:
            return origin == f"http://{self.host}"
        return site is not None

    def _refused(self, why: str, status: int) -> Response:
        return PlainTextResponse(spoken_texts()[f"desk.refused.{why}"], status)


def _guarded(send: Send) -> Callable[[Message], Awaitable[None]]:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return guarded
