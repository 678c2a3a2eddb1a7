"""What was read of a workbench lately, kept as long as nobody, here or elsewhere, has changed the file."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from evenhand.store.changes import ChangeMeter

T = TypeVar("T")


class _Answer:
    """One answer, once it is there; whoever asks for the same meanwhile waits at its turn."""

    __slots__ = ("there", "turn", "value")

    def __init__(self) -> None:
        self.there, self.value = False, cast("object", None)
        self.turn = threading.RLock()


class Lately:
    """Answers by key, all forgotten with the next change of the file, whoever made it."""

    __slots__ = ("_found", "_last", "_meter", "_turn", "_version")

    def __init__(self, meter: ChangeMeter) -> None:
        self._meter = meter
        self._version = -1
        self._found: dict[Hashable, _Answer] = {}
        self._last: dict[Hashable, object] = {}
        self._turn = threading.Lock()

    def have(self, key: Hashable, work: Callable[[], T]) -> T:
        """What `work` gives, or gave since the last change. Who asks meanwhile waits for the one answer."""
        with self._turn:
            # Asked before the work is done: a change during it makes the answer a forgotten one at once.
            now = self._meter.ask()
            if now != self._version:
                self._found, self._version = {}, now
            answer = self._found.setdefault(key, _Answer())
        # Slow work on one question keeps nobody from the answer to another.
        with answer.turn:
            if not answer.there:
                answer.value, answer.there = work(), True
            return cast("T", answer.value)

    def has(self, key: Hashable) -> bool:
        """Whether the answer to `key` is there, so that asking for it takes no time."""
        with self._turn:
            answer = self._found.get(key) if self._meter.ask() == self._version else None
            return answer is not None and answer.there

    def again(self, key: Hashable, work: Callable[[T | None], T]) -> T:
        """The same, where `work` can go on from what it gave before the last change, None the first time."""

        def renewed() -> T:
            made = work(cast("T | None", self._last.get(key)))
            self._last[key] = made
            return made

        return self.have(key, renewed)

    def close(self) -> None:
        """Lets go of all that was kept."""
        with self._turn:
            self._found, self._last = {}, {}
