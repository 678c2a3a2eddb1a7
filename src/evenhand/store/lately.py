"""What was read of a workbench lately, kept until anybody changes the file, or another day begins."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from datetime import UTC, date, datetime, timedelta
from typing import TypeVar, cast

from evenhand.store.changes import ChangeMeter

T = TypeVar("T")


class _Answer:
    """One answer, once it is there; whoever asks for the same meanwhile waits at its turn."""

    __slots__ = ("there", "turn", "value")

    def __init__(self) -> None:
        self.there, self.value = False, cast("object", None)
        self.turn = threading.RLock()


def newest_day(at: datetime) -> date:
    """The latest day that has begun anywhere on earth: up to fourteen hours before it does at Greenwich.

    >>> newest_day(datetime(2031, 5, 3, 10, tzinfo=UTC)), newest_day(datetime(2031, 5, 3, 9, 59, tzinfo=UTC))
    (datetime.date(2031, 5, 4), datetime.date(2031, 5, 3))
    """
    return (at.astimezone(UTC) + timedelta(hours=14)).date()


class Lately:
    """Answers by key, all forgotten with the next change of the file, whoever made it, and on another day.

    What is of a day to come counts from that day on, though nobody changes anything then.
    """

    __slots__ = ("_day", "_found", "_last", "_meter", "_turn", "_version")

    def __init__(self, meter: ChangeMeter, day: Callable[[], date]) -> None:
        self._meter, self._day = meter, day
        self._version: tuple[int, date] | None = None
        self._found: dict[Hashable, _Answer] = {}
        self._last: dict[Hashable, object] = {}
        self._turn = threading.Lock()

    def have(self, key: Hashable, work: Callable[[], T]) -> T:
        """What `work` gives, or gave since the last change. Who asks meanwhile waits for the one answer."""
        with self._turn:
            # Asked before the work is done: a change during it makes the answer a forgotten one at once.
            now = self._now()
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
            answer = self._found.get(key) if self._now() == self._version else None
            return answer is not None and answer.there

    def _now(self) -> tuple[int, date]:
        return self._meter.ask(), self._day()

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
