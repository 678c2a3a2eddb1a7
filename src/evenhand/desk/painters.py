"""Many pictures painted on two cores: by a further process while it is free, by this one otherwise."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager, suppress

from evenhand.desk.child import SILENT, Child, can_be_started
from evenhand.publish.painting import painted

WORTH_ONE = 6  # pictures: fewer are painted here before a further process has started


class Painter:
    """One further process that paints, one picture after the other. Raises OSError where none can start."""

    def __init__(self) -> None:
        self._child = Child("evenhand.publish.painting")
        self._line = ThreadPoolExecutor(1)
        self._asked: list[Future[bytes]] = []

    @property
    def waiting(self) -> int:
        """How many pictures it was given and has not painted."""
        return sum(not asked.done() for asked in self._asked)

    def paint(self, svg: str) -> Future[bytes]:
        """The picture as PNG, once it has come to it; one of `SILENT` is raised if it never does."""
        asked: Future[bytes] = self._line.submit(self._child.ask, svg)
        self._asked.append(asked)
        return asked

    def dismiss(self) -> None:
        """End the process, whatever it is at."""
        self._child.kill()
        self._line.shutdown(cancel_futures=True)
        self._child.bury()


@contextmanager
def painter_for(pictures: int) -> Iterator[Painter | None]:
    """A further process where so many pictures pay for it and one can be started, dismissed in the end."""
    painter = None
    with suppress(OSError):  # no room for another process: all is painted here
        painter = Painter() if pictures >= WORTH_ONE and can_be_started() else None
    try:
        yield painter
    finally:
        if painter is not None:
            painter.dismiss()


def painted_in_order(svgs: Sequence[str], painter: Painter | None) -> Iterator[bytes]:
    """Each as PNG, in the order given. The painter has a second one to go on with while others are left."""
    waiting: deque[tuple[str, Future[bytes]]] = deque()
    for place, svg in enumerate(svgs, start=1):
        most = 1 if place + 1 < len(svgs) else 0
        free = painter if painter is not None and painter.waiting <= most else None
        waiting.append((svg, free.paint(svg) if free else _painted_here(svg)))
        while waiting and waiting[0][1].done():
            yield _png(*waiting.popleft())
    while waiting:
        yield _png(*waiting.popleft())


def _painted_here(svg: str) -> Future[bytes]:
    done: Future[bytes] = Future()
    done.set_result(painted(svg))
    return done


def _png(svg: str, asked: Future[bytes]) -> bytes:
    try:
        return asked.result()
    except SILENT:
        return painted(svg)
