"""Tells open pages that something changed, whoever changed it; each page then asks anew for its own parts.

One watcher asks the workbench four times a second, however many pages are open.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress

from fastapi import APIRouter, Request
from fastapi.responses import StreamingResponse
from starlette.concurrency import run_in_threadpool

from evenhand.desk.changes import change_meter
from evenhand.desk.opening import Desk

EVERY_S = 0.25
STILL_THERE_S = 15.0  # a line now and then, so that a lost connection is noticed

router = APIRouter(include_in_schema=False)


class Pulse:
    """Counts changes and wakes whoever waits for the next one."""

    def __init__(self, wb: Desk) -> None:
        self.count = 0
        self._meter = change_meter(wb)
        self._changed = asyncio.Condition()
        self._ending = False

    @asynccontextmanager
    async def beating(self) -> AsyncIterator[None]:
        """Watches as long as the block lasts."""
        task = asyncio.create_task(self._watch())
        try:
            yield
        finally:
            await self.end()
            task.cancel()
            with suppress(asyncio.CancelledError):
                await task
            self._meter.close()

    async def after(self, count: int) -> int:
        """The count as soon as it is another than `count`; the same one after a while without a change."""
        with suppress(TimeoutError):
            async with asyncio.timeout(STILL_THERE_S), self._changed:
                await self._changed.wait_for(lambda: self.count != count or self._ending)
        return self.count

    async def end(self) -> None:
        """Lets every stream come to its end."""
        if not self._ending:
            await self._wake(ending=True)

    @property
    def ending(self) -> bool:
        """Whether the site is being closed."""
        return self._ending

    async def _watch(self) -> None:
        seen = await asyncio.to_thread(self._meter.read)
        while True:
            await asyncio.sleep(EVERY_S)
            now = await asyncio.to_thread(self._meter.read)
            if now != seen:
                seen = now
                await self._wake()

    async def _wake(self, *, ending: bool = False) -> None:
        async with self._changed:
            self.count += 1
            self._ending = ending
            self._changed.notify_all()


@router.get("/live")
async def live(request: Request) -> StreamingResponse:
    """A stream of events: `changed` whenever something was stored, and a comment now and then."""
    pulse: Pulse = request.app.state.pulse
    return StreamingResponse(_events(pulse, request.state.still), media_type="text/event-stream")


async def _events(pulse: Pulse, still: Callable[[], bool]) -> AsyncIterator[str]:
    """Goes on as long as the asker is still let in: shutting a device out is a change too."""
    count = pulse.count
    yield f"retry: 1000\nevent: now\ndata: {count}\n\n"
    while not pulse.ending:
        now = await pulse.after(count)
        if pulse.ending:  # nobody should come asking now
            return
        if not await run_in_threadpool(still):
            return
        yield f"event: changed\ndata: {now}\n\n" if now != count else ": still there\n\n"
        count = now
