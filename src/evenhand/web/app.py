"""The application: every route, what stands before them, and how trouble is told."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from functools import cache, partial

from fastapi import APIRouter, Depends, FastAPI
from starlette.routing import BaseRoute

from evenhand import __version__
from evenhand.desk.bench.admitting import known_by
from evenhand.desk.bench.hiding import NamesHidden
from evenhand.desk.tuning.under_way import Heard
from evenhand.errors import EvenhandError
from evenhand.web import live, trouble
from evenhand.web.api import away as away_api
from evenhand.web.api import findings, rig, uploads, windows
from evenhand.web.api import money as money_api
from evenhand.web.api import offers as offers_api
from evenhand.web.api import parts as parts_api
from evenhand.web.api import photos as photos_api
from evenhand.web.api import plan as plan_api
from evenhand.web.api import runs as runs_api
from evenhand.web.api import studies as studies_api
from evenhand.web.api import trials as trials_api
from evenhand.web.api import tuning as tuning_api
from evenhand.web.api import tuning_heat as tuning_heat_api
from evenhand.web.api import tuning_worth as tuning_worth_api
from evenhand.web.api import worth as worth_api
from evenhand.web.closed_study import study_at_hand
from evenhand.web.described import describe
from evenhand.web.first import as_they_lie
from evenhand.web.guard import Guard
from evenhand.web.hidden import closed
from evenhand.web.pages import (
    any_table,
    audiences,
    away,
    bench,
    brief,
    brought,
    builds,
    causes,
    compare,
    devices,
    drop,
    example,
    growing,
    home,
    inbox,
    money,
    offers,
    parts,
    photos,
    plan,
    power,
    publish,
    reference,
    runs,
    strip,
    studies,
    taking_part,
    tuning,
    tuning_heat,
    tuning_turns,
    verdict,
    watch,
    window,
    worth,
)
from evenhand.web.pulse import Pulse, keep_count
from evenhand.web.rigs import Rigs
from evenhand.web.served import Site
from evenhand.web.watcher import Watcher

ROUTERS = (
    audiences.router,
    away.router,
    away_api.router,
    bench.router,
    brief.router,
    brought.router,
    power.router,  # before the builds, whose parts of the page have addresses of one step
    builds.router,
    causes.router,
    compare.router,
    devices.router,
    drop.router,
    findings.router,
    example.router,
    growing.router,
    home.router,
    inbox.router,
    live.router,
    any_table.router,
    parts.router,
    parts_api.router,
    money.router,
    money_api.router,
    photos.router,
    photos_api.router,
    plan.router,
    plan_api.router,
    publish.router,
    reference.router,
    window.router,  # before the runs, of which it is a part of one's page
    runs.router,
    runs_api.router,
    windows.router,
    rig.router,
    trials_api.router,
    strip.router,
    studies.router,
    uploads.router,
    studies_api.router,
    taking_part.router,
    tuning.router,
    tuning_heat.router,
    tuning_heat_api.router,
    tuning_api.router,
    tuning_api.ending,
    tuning_worth_api.router,
    tuning_turns.router,
    worth.router,
    offers.router,
    offers_api.router,
    worth_api.router,
    verdict.router,
    watch.router,
)


def make_app(site: Site) -> FastAPI:
    """The application over an opened workbench."""
    app = FastAPI(
        title="Evenhand",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        lifespan=_while_open,
    )
    app.state.site = site
    app.state.rigs = rigs = Rigs()
    app.state.heard = Heard()
    app.state.pulse = Pulse(site.wb, lambda: rigs.changes)
    app.state.watcher = Watcher(site)
    app.state.routes = tuple(route for router in ROUTERS for route in router.routes)
    app.add_middleware(Guard, hosts=site.hosts, known=partial(known_by, site.wb), ours=site.ours)
    trouble.install(app)
    app.add_exception_handler(NamesHidden, closed)
    describe(app)
    app.router.routes += [*_routes(), *as_they_lie()]
    return app


@cache
def _routes() -> tuple[BaseRoute, ...]:
    """Every route with what is asked before it: how each is called is worked out once, whoever is served."""
    whole = APIRouter(dependencies=[Depends(keep_count), Depends(study_at_hand)])
    for router in ROUTERS:
        whole.include_router(router)
    return tuple(whole.routes)


@asynccontextmanager
async def _while_open(app: FastAPI) -> AsyncIterator[None]:
    """Watches the workbench for changes as long as the site is open."""
    site = app.state.site
    begun = asyncio.create_task(asyncio.to_thread(uploads.begin, site, uploads.kept_so_far(site)))
    async with app.state.pulse.beating():
        with app.state.watcher.watching():
            yield
    with suppress(EvenhandError):  # what was heard of trials is then as it was last written down
        await asyncio.to_thread(app.state.heard.write, site.wb)
    await begun
