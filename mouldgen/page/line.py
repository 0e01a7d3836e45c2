"""A line from a browser: what is never spoken on it, or never read from it, is cut.

A browser that is there speaks at once and reads what it is told.  A line that does neither would
keep its place for ever, and so many of them would keep everyone else out.
"""

from __future__ import annotations

from asyncio import BaseTransport, TimerHandle

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from mouldgen.page.guard import HEADERS, refused_body

HEAD_S = 15.0  # until the head of a request is there, as for its body
READ_S = 20.0  # until what was told is read, as far as it does not fit into the line


class Line(H11Protocol):
    """The server's protocol for one line, with an end to all waiting for the other side."""

    _unheard: TimerHandle | None = None
    _unread: TimerHandle | None = None

    def connection_made(self, transport: BaseTransport) -> None:
        """As of the protocol."""
        super().connection_made(transport)  # type: ignore[arg-type]
        self._unheard = self.loop.call_later(HEAD_S, self.transport.abort)

    def data_received(self, data: bytes) -> None:
        """As of the protocol."""
        super().data_received(data)
        if self._in_work():
            _off(self._unheard)
            self._unheard = None
        elif self._unheard is None and not self.transport.is_closing():
            self._unheard = self.loop.call_later(HEAD_S, self.transport.abort)

    def pause_writing(self) -> None:
        """As of the protocol."""
        super().pause_writing()
        if self._unread is None:
            self._unread = self.loop.call_later(READ_S, self.transport.abort)

    def resume_writing(self) -> None:
        """As of the protocol."""
        super().resume_writing()
        _off(self._unread)
        self._unread = None

    def timeout_keep_alive_handler(self) -> None:
        """As of the protocol; what is still unread then may not hold the line either."""
        super().timeout_keep_alive_handler()
        self.loop.call_later(READ_S, self.transport.abort)

    def connection_lost(self, exc: Exception | None) -> None:
        """As of the protocol."""
        super().connection_lost(exc)
        _off(self._unheard)
        _off(self._unread)

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002
        """Tell in the page's own form what no application ever saw.

        msg : in the protocol's words.
        """
        if self._in_work():  # its request broke off in the middle: nobody waits for the answer
            self.cycle.disconnected = True
            self.cycle.message_event.set()
        if self.conn.our_state in {h11.IDLE, h11.SEND_RESPONSE}:  # else it is being answered
            for event in _refusal("this is no request"):
                self.transport.write(self.conn.send(event) or b"")
        self.transport.close()

    def _in_work(self) -> bool:
        begun = self.cycle is not None  # though it says that it always is
        return begun and not self.cycle.response_complete


def _off(timer: TimerHandle | None) -> None:
    if timer is not None:
        timer.cancel()


def _refusal(what: str) -> tuple[h11.Event, ...]:
    body = refused_body(what)
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
        *HEADERS,
    ]
    head = h11.Response(status_code=400, headers=headers, reason=b"Bad Request")
    return head, h11.Data(data=body), h11.EndOfMessage()
