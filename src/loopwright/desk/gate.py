"""The door of the desk: who may come in, how much may be brought, and what every answer forbids a browser.

Only the browser that spent the one-time key has the cookie. A page from elsewhere cannot come in by another
name for this machine (Host), cannot send (Origin), cannot frame or read what is here. What a body brings is
counted, and a sender that dawdles is sent away.
"""

from __future__ import annotations

import asyncio
import hmac
import secrets
from urllib.parse import parse_qs

from .desk_extra import (
    ASGIApp,
    HTMLResponse,
    JSONResponse,
    Message,
    Receive,
    RedirectResponse,
    Request,
    Response,
    Scope,
    Send,
)
from .refusals import Refusal

MOST_BODY = 4_000_000  # bytes: a problem file of the greatest length, in JSON
MOST_THROWN_AWAY = 32_000_000  # bytes read of a body that is refused, so that the sender hears why
PATIENCE = 10.0  # seconds for a whole body
HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "cache-control": "no-store",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


class Gate:
    """Stands before the whole desk. `address` is its only name, such as http://127.0.0.1:4000."""

    def __init__(self, app: ASGIApp, address: str, start: str = "/") -> None:
        self.app, self.address, self.start = app, address, start
        self.cookie = f"desk-{address.rpartition(':')[2]}"  # browsers share cookies between ports
        self.key = secrets.token_urlsafe(24)
        self._pass = secrets.token_urlsafe(32)

    @property
    def way_in(self) -> str:
        """The address with the key, good for one visit."""
        return f"{self.address}/?key={self.key}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Lets a request in, or says why not."""
        if scope["type"] != "http":
            return
        request = Request(scope)
        body = _Body(receive)

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                names = {name for name, _ in message["headers"]}
                added = [(k.encode(), v.encode()) for k, v in HEADERS.items() if k.encode() not in names]
                message["headers"] = [*message["headers"], *added]
            await send(message)

        try:
            answer = self._checked(request)
        except Refusal as refusal:
            answer = as_response(request, refusal)
        if answer is None:
            await self.app(scope, body.receive, guarded)
        else:
            await body.throw_away()
            await answer(scope, receive, guarded)

    def _checked(self, request: Request) -> Response | None:
        """None for who may come in; the way on for who brings the key; raises Refusal for all others."""
        if request.headers.getlist("host") != [self.address.removeprefix("http://")]:
            raise Refusal(421, "The desk answers to its own address only.", f"Its address is {self.address}.")
        origins = request.headers.getlist("origin")
        if origins not in ([], [self.address]) or (not origins and request.method not in ("GET", "HEAD")):
            raise Refusal(403, _FROM_ELSEWHERE, f"Open {self.address} itself.")
        entering = request.url.path == "/" and "key" in request.query_params
        if not entering and request.headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            raise Refusal(403, _FROM_ELSEWHERE, f"Open {self.address} itself.")
        kind = request.headers.get("content-type", "").split(";")[0].strip()
        if request.method == "POST" and kind != "application/json":
            raise Refusal(415, "The desk takes JSON.", "Say so: content-type: application/json.")
        if entering:
            return self._let_in(request)
        if not hmac.compare_digest(request.cookies.get(self.cookie, "").encode(), self._pass.encode()):
            raise Refusal(403, "The desk does not know this browser.", _HOW_IN)
        return None

    def _let_in(self, request: Request) -> Response:
        given = parse_qs(request.url.query).get("key", [""])[0]
        if (
            request.method != "GET"
            or not self.key
            or not hmac.compare_digest(given.encode(), self.key.encode())
        ):
            raise Refusal(403, "This key is spent, or it was never one.", _HOW_IN)
        self.key = ""
        answer = RedirectResponse(self.start, status_code=303)
        answer.set_cookie(self.cookie, self._pass, httponly=True, samesite="strict", path="/")
        return answer


_FROM_ELSEWHERE = "This came from another page, which has no business here."
_HOW_IN = "Stop the desk with Ctrl-C in its terminal and start it again: its new address lets you in once."


class _Body:
    """What a request brings: counted, and given up when it does not come."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._size, self._more = receive, 0, True
        self._end = asyncio.get_running_loop().time() + PATIENCE

    async def receive(self) -> Message:
        """The next part. Raises Refusal 413 when there is too much, 408 when it takes too long."""
        if not self._more:  # the body is here; what may still come is that the other side is gone
            return await self._receive()
        message = await self._part()
        if self._size > MOST_BODY:
            await self.throw_away()
            raise Refusal(
                413, f"That is more than {MOST_BODY // 1_000_000} MB.", "A problem file is shorter."
            )
        return message

    async def throw_away(self) -> None:
        """Reads what still comes, within bounds: a sender that is cut off does not hear the answer."""
        try:
            while self._more and self._size < MOST_THROWN_AWAY:
                await self._part()
        except Refusal:
            return

    async def _part(self) -> Message:
        try:
            async with asyncio.timeout_at(self._end):
                message = await self._receive()
        except TimeoutError:
            self._more = False
            raise Refusal(408, "What you sent did not come to an end in time.", "Send it again.") from None
        self._size += len(message.get("body", b""))
        self._more = bool(message.get("more_body", False))
        return message


def as_response(request: Request, refusal: Refusal) -> Response:
    """A refusal as a page for a person who came by an address, as JSON for everybody else."""
    close = {"connection": "close"} if refusal.status in (403, 408, 413, 421) else {}
    if request.headers.get("sec-fetch-mode") == "navigate" or "text/html" in request.headers.get(
        "accept", ""
    ):
        return HTMLResponse(refusal.as_page(), status_code=refusal.status, headers=close)
    return JSONResponse(refusal.as_json(), status_code=refusal.status, headers=close)
