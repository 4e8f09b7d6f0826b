"""The server for one machine without a proxy: it reads each request whole before it acts on it."""

import signal
import time
from collections.abc import Callable
from typing import Any, NoReturn

from flask import Flask

from wortwright.warming import warm_meanwhile

_DRAIN_S = 10.0


class CannotListenError(RuntimeError):
    """Nothing can listen on this address: it is taken, or none of this machine's."""

    def __init__(self, host: str, port: int, cause: Exception) -> None:
        why = str(getattr(cause, "strerror", None) or cause).rstrip(".").lower()
        super().__init__(f"Nothing can listen on {host}, port {port}: {why}.")


def listen(app: Flask, host: str, port: int, sockets: dict[int, Any] | None = None) -> Any:
    """Make a server that listens and does not answer yet.

    Raises
    ------
    CannotListenError
        If the address is taken, or none of this machine's.
    """
    from waitress import create_server, wasyncore

    made = {} if sockets is None else sockets
    try:
        return create_server(app, map=made, host=host, port=port, ident=None)
    except (OSError, ValueError) as error:
        wasyncore.close_all(made)
        raise CannotListenError(host, port, error) from error


def serve(app: Flask, host: str, port: int, tell: Callable[[], None]) -> None:
    """Serve until told to stop by Ctrl-C or SIGTERM; what is being answered then is finished.

    Requests that wait for a free thread at that moment are dropped unanswered, so that whoever
    sent them sends them again. ``tell`` is called once it listens.
    """
    from waitress import wasyncore

    warm_meanwhile()
    sockets: dict[int, Any] = {}
    server = listen(app, host, port, sockets)
    tell()
    signal.signal(signal.SIGTERM, _leave)
    try:
        # What the server's own run() does, but that leaves without sending the last answers.
        wasyncore.loop(timeout=server.adj.asyncore_loop_timeout, map=sockets, use_poll=True)
    except (SystemExit, KeyboardInterrupt):
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        server.task_dispatcher.shutdown(timeout=_DRAIN_S)
        _send_the_last_answers(sockets)
    finally:
        wasyncore.close_all(sockets)


def _leave(*_: object) -> NoReturn:
    raise SystemExit(0)


def _send_the_last_answers(sockets: dict[int, Any]) -> None:
    from waitress import wasyncore

    deadline = time.monotonic() + _DRAIN_S
    for listening in [one for one in sockets.values() if one.accepting]:
        listening.del_channel(sockets)
        listening.socket.close()
    while time.monotonic() < deadline and any(
        getattr(one, "total_outbufs_len", 0) for one in sockets.values()
    ):
        wasyncore.poll2(0.1, sockets)
