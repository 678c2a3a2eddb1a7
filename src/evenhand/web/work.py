"""Long work beside the pages: how far it is, and a way to stop it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import cast

from starlette.requests import Request

from evenhand.errors import EvenhandError

Watch = Callable[[int, int, str], None]
STEP_S = 5.0  # so long a page waits for a step to end; longer steps are told as stopping


class Stopped(Exception):
    """Somebody pressed stop."""


class Work:
    """One piece of work in a thread of its own: done of total, what it is at, and how it ended.

    `ended` is "", "done", "stopped" or "failed"; `trouble` says why it failed, `result` where to look.
    """

    def __init__(self, job: Callable[[Watch], str]) -> None:
        self.done, self.total, self.doing = 0, 1, "beginning"
        self.ended, self.result = "", ""
        self.trouble: EvenhandError | None = None
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, args=(job,), daemon=True)
        self._thread.start()

    def _run(self, job: Callable[[Watch], str]) -> None:
        try:
            self.result = job(self._watch)
            self.ended = "done"
        except Stopped:
            self.ended = "stopped"
        except EvenhandError as error:
            self.trouble, self.ended = error, "failed"
        except BaseException:
            self.ended = "failed"
            raise

    def _watch(self, done: int, total: int, doing: str) -> None:
        if self._stop.is_set():
            raise Stopped
        self.done, self.total, self.doing = done, max(total, 1), doing

    def stop(self) -> None:
        """Ends the work at its next step; what is stored by then stays."""
        self._stop.set()

    def end(self) -> None:
        """The same, and waits a moment for that step."""
        self.stop()
        self.wait(STEP_S)

    @property
    def stopping(self) -> bool:
        """Whether it is to end at its next step, and has not come to it."""
        return self._stop.is_set() and not self.ended

    def wait(self, seconds: float) -> None:
        """Until it has ended, but no longer than this."""
        self._thread.join(seconds)


class Works:
    """The pieces of work of a site by name: one of each at a time."""

    def __init__(self) -> None:
        self._known: dict[str, Work] = {}
        self._turn = threading.Lock()

    def begin(self, name: str, job: Callable[[Watch], str]) -> Work:
        """The work under this name: the one that goes on, or else a new one."""
        with self._turn:
            there = self._known.get(name)
            if there is None or there.ended:
                self._known[name] = Work(job)
            return self._known[name]

    def of(self, name: str) -> Work | None:
        """The last work under this name."""
        return self._known.get(name)


def works_of(request: Request) -> Works:
    """The site's pieces of work."""
    state = request.app.state
    if not hasattr(state, "works"):
        state.works = Works()
    return cast("Works", state.works)
