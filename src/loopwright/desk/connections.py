"""How the server of the desk starts, stops, and treats who is slow to say what is wanted.

The server itself waits without end for the first lines of a request; here they have a time. It ends at Ctrl-C
and SIGTERM, without a word about itself, after every page was told.
"""

from __future__ import annotations

import asyncio
import contextlib
import signal
import socket
from collections.abc import Callable, Iterator

from .desk_extra import ASGIApp, Config, H11Protocol, Server

MOST = 200  # connections at a time; more are told to come later
PATIENCE = 10.0  # seconds for the first lines of a request
_TOO_SLOW = b'{"error": "The request did not come to an end in time.", "mend": "Send it again."}'


class _Connection(H11Protocol):
    """One connection: closed when the first lines of a request take too long."""

    _waiting: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A browser is there, and has a time to say what it wants."""
        super().connection_made(transport)
        taken: socket.socket = transport.get_extra_info("socket")
        taken.setsockopt(
            socket.IPPROTO_TCP, socket.TCP_NODELAY, 1
        )  # else each answer waits 40 ms for an echo
        self._await_request()

    def data_received(self, data: bytes) -> None:
        """Something came; if it still is no request, the time goes on."""
        super().data_received(data)
        self._await_request()

    def connection_lost(self, exc: Exception | None) -> None:
        """The other side is gone."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _await_request(self) -> None:
        if self.conn.their_state is not self.conn.our_state or str(self.conn.their_state) != "IDLE":
            self._stop_waiting()
        elif self._waiting is None:
            self._waiting = self.loop.call_later(PATIENCE, self._too_slow)

    def _stop_waiting(self) -> None:
        if self._waiting is not None:
            self._waiting.cancel()
            self._waiting = None

    def _too_slow(self) -> None:
        if not self.transport.is_closing():
            head = (
                "HTTP/1.1 408 Request Timeout\r\nconnection: close\r\ncontent-type: application/json\r\n"
                f"content-length: {len(_TOO_SLOW)}\r\n\r\n"
            )
            self.transport.write(head.encode() + _TOO_SLOW)
            self.transport.close()


class _QuietServer(Server):
    """The server, which ends quietly."""

    async def until_stopped(self, listening: socket.socket, closing: Callable[[], None]) -> None:
        """Serves until Ctrl-C or SIGTERM; `closing` is called before connections are waited for."""
        self._closing = closing
        await self.serve(sockets=[listening])

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Ends at these signals, and does not send them on to itself afterwards."""
        before = {sig: signal.signal(sig, self.handle_exit) for sig in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for sig, handler in before.items():
                signal.signal(sig, handler)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Tells every page that it is over, and stops."""
        self._closing()
        await super().shutdown(sockets)


def quiet_server(app: ASGIApp) -> _QuietServer:
    """The server of the desk: it speaks HTTP alone, and says nothing of itself."""
    return _QuietServer(
        Config(
            app,
            http=_Connection,
            ws="none",
            lifespan="off",
            log_config=None,
            log_level="error",
            access_log=False,
            server_header=False,
            date_header=False,
            proxy_headers=False,
            limit_concurrency=MOST,
            timeout_graceful_shutdown=2,
        )
    )
