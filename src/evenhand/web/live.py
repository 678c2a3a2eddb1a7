"""Tells open pages that something changed, whoever changed it; each page then asks anew for its own parts."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable

from fastapi import APIRouter, Request
from fastapi.responses import Response, StreamingResponse
from starlette.concurrency import run_in_threadpool

from evenhand.web.pulse import Pulse

router = APIRouter(include_in_schema=False)


@router.head("/live")
def still_let_in() -> Response:
    """Nothing, to whoever may follow: a page whose stream was refused asks why."""
    return Response(status_code=204)


@router.get("/live")
async def live(request: Request) -> StreamingResponse:
    """A stream of events: `changed` whenever something was stored, and a comment now and then."""
    pulse: Pulse = request.app.state.pulse
    return StreamingResponse(_events(pulse, request.state.still), media_type="text/event-stream")


async def _events(pulse: Pulse, still: Callable[[], bool]) -> AsyncIterator[str]:
    """Goes on as long as the asker is still let in: shutting a device out is a change too."""
    count = await pulse.now()
    yield f"retry: 1000\nevent: now\ndata: {count}\n\n"
    while not pulse.ending:
        now = await pulse.after(count)
        if pulse.ending:  # nobody should come asking now
            return
        if not await run_in_threadpool(still):
            return
        yield f"event: changed\ndata: {now}\n\n" if now != count else ": still there\n\n"
        count = now
