"""The libraries of the extra `desk`: the framework and the server of the page.

Loaded here and nowhere else: where they are missing, one sentence says what to install.
"""

from __future__ import annotations

from ..errors import MissingExtra

try:
    from starlette.applications import Starlette
    from starlette.exceptions import HTTPException
    from starlette.requests import ClientDisconnect, Request
    from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse
    from starlette.routing import Route
    from starlette.types import ASGIApp, Message, Receive, Scope, Send
    from uvicorn import Config, Server
    from uvicorn.protocols.http.h11_impl import H11Protocol
except ModuleNotFoundError:
    raise MissingExtra("The desk needs Starlette and uvicorn.", "desk") from None

__all__ = [
    "ASGIApp",
    "ClientDisconnect",
    "Config",
    "H11Protocol",
    "HTMLResponse",
    "HTTPException",
    "JSONResponse",
    "Message",
    "Receive",
    "RedirectResponse",
    "Request",
    "Response",
    "Route",
    "Scope",
    "Send",
    "Server",
    "Starlette",
    "StreamingResponse",
]
