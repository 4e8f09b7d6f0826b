"""The service on a port of this machine."""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread
from typing import Any

from flask import Flask
from waitress import wasyncore
from waitress.server import create_server


@contextmanager
def served(app: Flask) -> Iterator[str]:
    """Serve an application on any free port, and give its address."""
    sockets: dict[int, Any] = {}
    server = create_server(app, map=sockets, host="127.0.0.1", port=0, threads=2)
    thread = Thread(target=server.run)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}"
    finally:
        # Only the thread that waits on the sockets may close them.
        server.trigger.pull_trigger(lambda: wasyncore.close_all(sockets))
        thread.join()
        server.task_dispatcher.shutdown()
