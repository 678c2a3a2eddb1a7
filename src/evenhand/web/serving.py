"""Serve an opened workbench, on this computer alone or to the local network, and show it in the browser."""

from __future__ import annotations

import gc
import socket
import threading
import webbrowser
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import uvicorn

from evenhand.desk.bench.lander import landing_aside
from evenhand.errors import BadRecord
from evenhand.web.certificate import Certificate
from evenhand.web.first import Front
from evenhand.web.neighbours import owner_only
from evenhand.web.served import Site

if TYPE_CHECKING:
    from fastapi import FastAPI

PORT = 8517
LOOPBACK = "127.0.0.1"
ANYBODY = "0.0.0.0"  # noqa: S104  (only where the user opened the workbench to the network)
TRIES = 20  # ports that are tried when nobody named one


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """An address that is listened on; `certificate` makes it HTTPS."""

    listener: socket.socket
    port: int
    certificate: Certificate | None = None

    @property
    def url(self) -> str:
        """Where this computer finds it."""
        return self.url_at(LOOPBACK)

    def url_at(self, name: str) -> str:
        """Where it is found under a name or address."""
        return f"{'https' if self.certificate else 'http'}://{name}:{self.port}/"


def listen(port: int | None = None, *, address: str = LOOPBACK) -> Opened:
    """Takes a port: the one that is named, or the first free one from the usual on.

    Raises BadRecord where the named port, or every one that was tried, is taken.
    """
    tried = [port] if port is not None else list(range(PORT, PORT + TRIES))
    for number in tried:
        taken = _listener(address, number)
        if taken is not None:
            return Opened(listener=taken, port=taken.getsockname()[1])
    raise BadRecord(
        f"port {tried[0]} is in use" if port is not None else f"ports {tried[0]} to {tried[-1]} are in use",
        where=address,
        todo="close what uses it, or name another with --port",
    )


def _listener(address: str, port: int) -> socket.socket | None:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((address, port))
        listener.listen(128)
    except OSError:
        listener.close()
        return None
    return listener


def serve(
    site: Site, opened: Opened, *, ready: Callable[[str], None], stop: threading.Event | None = None
) -> None:
    """Answers until somebody stops it; `ready` is told the address once it is answered there.

    With `stop` it ends once that is set, and may run in a thread of its own.
    """
    front = Front(replace(site, ours=owner_only(opened.port)), load, warm)
    made = opened.certificate
    config = uvicorn.Config(
        front,
        log_level="warning",
        timeout_graceful_shutdown=2,
        server_header=False,
        date_header=True,
        proxy_headers=False,  # who asks is who is connected: a header must not say otherwise
        ssl_keyfile=None if made is None else str(made.key),
        ssl_certfile=None if made is None else str(made.certificate),
    )
    server = _Telling(config, ready=lambda: ready(opened.url), stop=stop or threading.Event())
    server.front = front
    with closing(opened.listener), landing_aside(site.wb.path):
        server.run(sockets=[opened.listener])


def load(site: Site) -> FastAPI:
    """The whole site: its modules are many, and are loaded behind the first page.

    They stay, so no later search for garbage need look at them: it would keep a page waiting.
    """
    from evenhand.web.app import make_app

    app = make_app(site)
    gc.freeze()
    return app


def warm(site: Site, going: Callable[[], bool]) -> None:
    """Gets ready what the first visits ask for."""
    from evenhand.desk.warming import work_out
    from evenhand.web.showing import templates

    for name in templates().list_templates(extensions=["html"]):
        templates().get_template(name)
    work_out(site.wb, going=going)


class _Telling(uvicorn.Server):
    """A server that says when it answers, that an event can stop, and that ends open streams first."""

    front: Front

    def __init__(self, config: uvicorn.Config, *, ready: Callable[[], None], stop: threading.Event) -> None:
        super().__init__(config)
        self._ready = ready
        self._stop = stop

    async def on_tick(self, counter: int) -> bool:
        """Asked ten times a second whether to end."""
        ending = await super().on_tick(counter) or self._stop.is_set()
        if ending:
            await self.front.end()
        return ending

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """As uvicorn does, and then it is told."""
        await super().startup(sockets=sockets)
        self._ready()


def show_in_browser(url: str) -> None:
    """Opens the default browser, without waiting for it."""
    threading.Thread(target=webbrowser.open, args=(url,), daemon=True).start()
