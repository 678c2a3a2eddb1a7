"""The few things made last, so that files which many runs share are read once."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from concurrent.futures import Future
from threading import Lock
from typing import TypeVar

Made = TypeVar("Made")


class Latest:
    """Holds on to the `size` things asked for last; safe to ask from several threads.

    Who asks for a thing that another thread is making waits for it. What could not be made is told to
    all who wait, and tried again by the next who asks.

    >>> latest = Latest(2)
    >>> latest.of("day 1", lambda: 1), latest.of("day 1", lambda: 2)
    (1, 1)
    """

    def __init__(self, size: int = 4) -> None:
        self._size = size
        self._lock = Lock()
        self._held: dict[Hashable, Future[object]] = {}

    def of(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """What stands under this key, made if it is not there. Raises what `make` raises."""
        with self._lock:
            mine = key not in self._held
            promise = self._held.pop(key, None) or Future()
            self._held[key] = promise  # at the end: asked for last
            while len(self._held) > self._size:
                del self._held[next(iter(self._held))]
        if mine:
            self._fulfil(key, promise, make)
        made: Made = promise.result()  # type: ignore[assignment]  # a key always stands for one type
        return made

    def has(self, key: Hashable) -> bool:
        """Whether what stands under this key is made already."""
        with self._lock:
            held = self._held.get(key)
        return held is not None and held.done()

    def _fulfil(self, key: Hashable, promise: Future[object], make: Callable[[], object]) -> None:
        try:
            promise.set_result(make())
        except BaseException as trouble:  # noqa: BLE001  (handed on to every thread that waits)
            with self._lock:
                self._held.pop(key, None)
            promise.set_exception(trouble)
