"""Searches beside the pages: how far each is, what it has found so far, and a way to stop it."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, TypeAlias, cast

from fastapi import Request

from evenhand.web.work import Watch, Work

Keep: TypeAlias = Callable[[Any], None]
AT_ONCE_S = 0.4  # what takes no longer is shown at once
MOST_KEPT = 20  # what was searched for earlier has long been looked at


class Search:
    """One search in a thread of its own; `found` is what it has found so far, None before anything is.

    It holds for the workbench as it was after so many `changes`.
    """

    def __init__(self, job: Callable[[Watch, Keep], Any], *, changes: int) -> None:
        self.found: Any = None
        self.changes = changes
        self.work = Work(lambda watch: self._run(job, watch))

    def _run(self, job: Callable[[Watch, Keep], Any], watch: Watch) -> str:
        self._keep(job(watch, self._keep))
        return ""

    def _keep(self, found: Any) -> None:
        self.found = found


class Searches:
    """The searches of a site by what is asked, each begun once after every change of the workbench."""

    def __init__(self) -> None:
        self._known: dict[tuple[str, ...], Search] = {}
        self._turn = threading.Lock()

    def of(self, asked: tuple[str, ...], changes: int) -> Search | None:
        """The search for what is asked, where it was begun since the last change."""
        there = self._known.get(asked)
        return there if there is not None and there.changes == changes else None

    def begin(self, asked: tuple[str, ...], changes: int, job: Callable[[Watch, Keep], Any]) -> Search:
        """The search for what is asked: the one that was begun since the last change, or else a new one."""
        with self._turn:
            there = self.of(asked, changes)
            if there is None:
                self._drop(asked)
                there = self._known[asked] = Search(job, changes=changes)
                for old in list(self._known)[:-MOST_KEPT]:
                    self._drop(old)
        there.work.wait(AT_ONCE_S)
        return there

    def forget(self, asked: tuple[str, ...]) -> None:
        """Lets it be begun anew."""
        with self._turn:
            self._drop(asked)

    def _drop(self, asked: tuple[str, ...]) -> None:
        there = self._known.pop(asked, None)
        if there is not None:
            there.work.stop()


def searches_of(request: Request) -> Searches:
    """The site's searches."""
    state = request.app.state
    if not hasattr(state, "searches"):
        state.searches = Searches()
    return cast("Searches", state.searches)
