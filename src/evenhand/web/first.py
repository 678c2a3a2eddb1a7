"""What answers while the site is still loading: its first page, how pages look, and the turn of all others.

Loading every page takes some seconds of one core, the first page and what it needs less than one. So the
first page is answered first, the rest is loaded behind it, and whoever asks for more meanwhile waits.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from functools import partial
from importlib.resources import files
from typing import Any, TypeAlias

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import Receive, Scope, Send

from evenhand.desk.bench.admitting import known_by
from evenhand.desk.pages.away import done_with
from evenhand.desk.pages.home import home_page
from evenhand.errors import EvenhandError
from evenhand.web.guard import Guard
from evenhand.web.pulse import keep_count
from evenhand.web.served import Site
from evenhand.web.showing import show
from evenhand.web.work import works_of

HEAD_START_S = 0.5  # that the first page has before the rest is loaded behind it, where nobody asks for more
STATIC = files("evenhand.web") / "static"
FONTS = files("evenhand.publish") / "fonts"


Load: TypeAlias = Callable[[Site], Any]
Warm: TypeAlias = Callable[[Site, Callable[[], bool]], None]


def first_page(request: Request, site: Site) -> HTMLResponse:
    """The studies, each with what stands and what is next."""
    study = request.query_params.get("done", "")
    done, work = (done_with(site.wb, study), works_of(request).of(f"back {study}")) if study else (None, None)
    return show(request, "home.html", page=home_page(site.wb), done=done, work=work)


def as_they_lie() -> list[BaseRoute]:
    """How pages look: files that are sent as they are."""
    ours = StaticFiles(directory=str(STATIC), packages=[("evenhand.publish", "looks")])
    return [
        Mount("/static", ours, name="static"),
        Mount("/fonts", StaticFiles(directory=str(FONTS)), name="fonts"),
    ]


class Front:
    """The site from its first moment on: `load` makes the whole of it, slowly, in a thread.

    `loaded` gives the whole application once it is there and open. `warm` then does what can be done for the
    first visits, as long as what it is given says so.
    """

    def __init__(self, site: Site, load: Load, warm: Warm) -> None:
        self._site = site
        self._load = load
        self._warm = warm
        early = Starlette(routes=[Route("/", self._home), *as_they_lie()])
        early.state.site = site
        self._first = Guard(early, hosts=site.hosts, known=partial(known_by, site.wb), ours=site.ours)
        self._wanted = asyncio.Event()
        self._whole: asyncio.Future[Any] | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request, or the news that the site opens or closes."""
        if scope["type"] == "lifespan":
            await Starlette(lifespan=self._while_open)(scope, receive, send)
            return
        answer = self._first if self._answers(scope) else await self.loaded()
        await answer(scope, receive, send)
        self._wanted.set()

    async def _home(self, request: Request) -> Any:
        """The first page; what keeps it from being shown is told by the whole site."""
        try:
            await run_in_threadpool(keep_count, request)
            return await run_in_threadpool(first_page, request, self._site)
        except EvenhandError:
            return await self.loaded()

    def _answers(self, scope: Scope) -> bool:
        """Whether this is answered before the rest is there."""
        ready = self._whole is not None and self._whole.done()
        path = scope["path"]
        plain = scope["type"] == "http" and scope["method"] == "GET"
        return plain and not ready and (path == "/" or path.startswith(("/static/", "/fonts/")))

    async def end(self) -> None:
        """Lets open streams come to their end."""
        if self._whole is not None and self._whole.done() and not self._whole.cancelled():
            await self._whole.result().state.pulse.end()

    async def loaded(self) -> Any:
        """The whole application; who asks for it waits until it is there."""
        self._wanted.set()
        assert self._whole is not None
        return await asyncio.shield(self._whole)

    @asynccontextmanager
    async def _while_open(self, _: Starlette) -> AsyncIterator[None]:
        self._whole = asyncio.get_running_loop().create_future()
        closing = asyncio.Event()
        life = asyncio.create_task(self._live(self._whole, closing))
        try:
            yield
        finally:
            closing.set()
            await life

    async def _live(self, whole: asyncio.Future[Any], closing: asyncio.Event) -> None:
        """Loads the whole application and keeps it open until the site closes."""
        try:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._wanted.wait(), HEAD_START_S)
            app = await asyncio.to_thread(self._load, self._site)
        except BaseException as error:
            whole.set_exception(error)
            raise
        if closing.is_set():
            whole.cancel()
            return
        async with app.router.lifespan_context(app):
            whole.set_result(app)
            warming = asyncio.create_task(
                asyncio.to_thread(self._warm, self._site, lambda: not closing.is_set())
            )
            await closing.wait()
            await warming
