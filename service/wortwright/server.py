"""The server for one machine without a proxy: it reads each request whole before it acts on it."""

import signal
import time
from typing import Any, NoReturn

from flask import Flask

from wortwright.warming import warm_meanwhile

_DRAIN_S = 10.0


def serve(app: Flask, host: str, port: int) -> None:
    """Serve until told to stop by Ctrl-C or SIGTERM; what is being answered then is finished.

    Requests that wait for a free thread at that moment are dropped unanswered, so that whoever
    sent them sends them again.
    """
    from waitress import create_server, wasyncore

    warm_meanwhile()
    sockets: dict[int, Any] = {}
    server = create_server(app, map=sockets, host=host, port=port, ident=None)
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
