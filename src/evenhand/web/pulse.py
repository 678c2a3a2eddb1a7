"""Counts what is stored, whoever stores it, and wakes whoever waits for the next change.

One watcher asks the workbench four times a second, however many pages are open.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress

from starlette.requests import Request

from evenhand.desk.opening import Desk

EVERY_S = 0.25
STILL_THERE_S = 15.0  # a line now and then, so that a lost connection is noticed


class Pulse:
    """The workbench's own count of changes, as far as the watch has seen it.

    `beside` counts what changes without being stored: who takes part just now.
    """

    def __init__(self, wb: Desk, beside: Callable[[], int] = lambda: 0) -> None:
        self.count = 0
        self._wb = wb
        self._beside = beside
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

    async def now(self) -> int:
        """The count as it is this moment, which the watch may see a little later."""
        return await asyncio.to_thread(self.counted)

    def counted(self) -> int:
        """The same, for whoever may wait for the workbench."""
        return self._wb.changes() + self._beside()

    async def after(self, count: int) -> int:
        """The count as soon as it is larger than `count`; the same one after a while without a change."""
        with suppress(TimeoutError):
            async with asyncio.timeout(STILL_THERE_S), self._changed:
                await self._changed.wait_for(lambda: self.count > count or self._ending)
        return max(self.count, count)

    async def end(self) -> None:
        """Lets every stream come to its end."""
        if not self._ending:
            self._ending = True
            await self._wake()

    @property
    def ending(self) -> bool:
        """Whether the site is being closed."""
        return self._ending

    async def _watch(self) -> None:
        while True:
            now = await self.now()
            if now != self.count:
                self.count = now
                await self._wake()
            await asyncio.sleep(EVERY_S)

    async def _wake(self) -> None:
        async with self._changed:
            self._changed.notify_all()


def keep_count(request: Request) -> None:
    """Keeps the count from before a page is read: what is stored from then on its stream has to tell."""
    state = request.app.state
    pulse: Pulse | None = getattr(state, "pulse", None)  # the first page is read before there is any
    request.state.count = state.site.wb.changes() if pulse is None else pulse.counted()
