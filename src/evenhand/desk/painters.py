"""Many pictures painted on two cores: by a further process while it is free, by this one otherwise."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager, suppress

from evenhand.publish.painting import painted

WORTH_ONE = 6  # pictures: fewer are painted here before a further process has started
SILENT = (OSError, EOFError, ValueError, pickle.PickleError)  # what a painter that is no more leaves behind


class Painter:
    """One further process that paints, one picture after the other. Raises OSError where none can start."""

    def __init__(self) -> None:
        self._child = subprocess.Popen(
            [sys.executable, "-m", "evenhand.publish.painting"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        )
        self._line = ThreadPoolExecutor(1)
        self._asked: list[Future[bytes]] = []

    @property
    def waiting(self) -> int:
        """How many pictures it was given and has not painted."""
        return sum(not asked.done() for asked in self._asked)

    def paint(self, svg: str) -> Future[bytes]:
        """The picture as PNG, once it has come to it; one of `SILENT` is raised if it never does."""
        asked = self._line.submit(self._ask, svg)
        self._asked.append(asked)
        return asked

    def dismiss(self) -> None:
        """End the process, whatever it is at."""
        self._child.kill()
        self._line.shutdown(cancel_futures=True)
        for pipe in (self._child.stdin, self._child.stdout):
            with suppress(OSError):
                if pipe is not None:
                    pipe.close()
        self._child.wait()

    def _ask(self, svg: str) -> bytes:
        if self._child.stdin is None or self._child.stdout is None:
            raise EOFError
        pickle.dump(svg, self._child.stdin, pickle.HIGHEST_PROTOCOL)
        self._child.stdin.flush()
        png: bytes = pickle.load(self._child.stdout)  # noqa: S301  (our own child wrote it)
        return png


@contextmanager
def painter_for(pictures: int) -> Iterator[Painter | None]:
    """A further process where so many pictures pay for it and one can be started, dismissed in the end."""
    can_start = bool(sys.executable) and not getattr(sys, "frozen", False) and (os.cpu_count() or 1) > 1
    painter = None
    with suppress(OSError):  # no room for another process: all is painted here
        painter = Painter() if can_start and pictures >= WORTH_ONE else None
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
