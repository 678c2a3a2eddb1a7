"""Further processes that judge whole tests of a study, so that judging uses the other cores.

Threads do not pay: judging is many thousand short steps, and the interpreter takes one at a time. A deputy
opens neither file nor workbench: it is told cases and answers with verdicts (`child`).
What becomes of one changes no verdict: a test that it does not answer for is judged here.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager, suppress

from evenhand.desk.child import SILENT, Child, can_be_started, listen, spared
from evenhand.desk.child import serve as answer_all
from evenhand.desk.cores import free_cores
from evenhand.desk.runs.judging import Around, Cells, Verdicts, judge_test
from evenhand.records.tests import Measures, Test

RUNS_WORTH_ONE = 100  # to judge so many takes twice as long as to start a deputy
MOST = 3


class Deputy:
    """One further process that judges tests, one after the other."""

    def __init__(self, around: Around, own: frozenset[str]) -> None:
        self._child = Child("evenhand.desk.runs.deputies")
        self._line = ThreadPoolExecutor(1)
        self._line.submit(self._child.say, (around, own))
        self._asked: list[Future[Verdicts]] = []

    @property
    def waiting(self) -> int:
        """How many tests it was given and has not answered for."""
        return sum(not asked.done() for asked in self._asked)

    def judge(self, test: Test, cells: Cells) -> Future[Verdicts]:
        """Its verdicts on one test, once it has come to it; one of `SILENT` is raised if it never does."""
        asked: Future[Verdicts] = self._line.submit(self._child.ask, (test, cells))
        self._asked.append(asked)
        return asked

    def dismiss(self) -> None:
        """End the process, whatever it is at."""
        self._child.kill()
        self._line.shutdown(cancel_futures=True)
        self._child.bury()


@contextmanager
def deputies_for(around: Around, due: Sequence[Test], *, own: frozenset[str]) -> Iterator[list[Deputy]]:
    """As many deputies as pay for these tests, dismissed in the end; none for a small study."""
    deputies: list[Deputy] = []
    try:
        with suppress(OSError):  # no room for another process: all is judged here
            for _ in range(worth(around, due)):
                deputies.append(Deputy(around, own))
        yield deputies
    finally:
        for deputy in deputies:
            deputy.dismiss()


def worth(around: Around, due: Sequence[Test]) -> int:
    """How many deputies pay, by runs with frames, cores and tests; none where none can be started."""
    if not can_be_started():
        return 0
    framed = {test.key for test in due if test.measures is Measures.FRAMES}
    runs = sum(each.run.test in framed for each in around.record.runs)
    return max(0, min(MOST, free_cores() - 1, len(framed) - 1, runs // RUNS_WORTH_ONE))


def in_order(
    due: Sequence[Test],
    deputies: Sequence[Deputy],
    *,
    here: Callable[[Test], Verdicts],
    load: Callable[[Test], Cells],
) -> Iterator[tuple[Test, Verdicts]]:
    """Each test with its verdicts, in the order given: judged by a deputy that is free, or else here.

    A deputy has a second test to go on with while others are left; the last ones wait behind none.
    """
    waiting: deque[tuple[Test, Future[Verdicts]]] = deque()
    for place, test in enumerate(due, start=1):
        most = 1 if place + len(deputies) < len(due) else 0
        free = next((deputy for deputy in deputies if deputy.waiting <= most), None)
        waiting.append((test, _known(here(test)) if free is None else free.judge(test, load(test))))
        while waiting and waiting[0][1].done():
            yield _answered(*waiting.popleft(), here=here)
    while waiting:
        yield _answered(*waiting.popleft(), here=here)


def _known(verdicts: Verdicts) -> Future[Verdicts]:
    known: Future[Verdicts] = Future()
    known.set_result(verdicts)
    return known


def _answered(
    test: Test, asked: Future[Verdicts], *, here: Callable[[Test], Verdicts]
) -> tuple[Test, Verdicts]:
    try:
        return test, asked.result()
    except SILENT:
        return test, here(test)


def serve() -> None:
    """Be a deputy: read what the study lends, then one case after the other, until there is none."""
    spared()
    with suppress(EOFError):
        around, own = listen()
        answer_all(lambda case: judge_test(around, *case, own=own))


if __name__ == "__main__":
    serve()
