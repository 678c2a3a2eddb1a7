"""The line in which runs wait to be read, and who of several readers may take the next one."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from threading import Condition

from evenhand.desk.logs.readings import Reading
from evenhand.folders.study_folder import RunEntry


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Task:
    """A run to be read, how many bytes its log holds, and whether a further process may read it (`apart`)."""

    entry: RunEntry
    log_bytes: int
    apart: bool
    done: Future[Reading] = field(default_factory=Future)

    def do(self, read: Callable[[], Reading]) -> None:
        """Read it, and hand on whatever is raised to the one who waits for it."""
        try:
            self.done.set_result(read())
        except BaseException as trouble:  # noqa: BLE001  (it belongs to the thread that waits)
            self.done.set_exception(trouble)


class ReadingLine:
    """Tasks in the order they came. Readers of this process leave the rest to others once these are ready."""

    def __init__(self) -> None:
        self._turn = Condition()
        self._tasks: deque[Task] = deque()
        self._ready = 0
        self._ended = False

    def put(self, task: Task) -> None:
        """One more, at the end."""
        with self._turn:
            self._tasks.append(task)
            self._turn.notify_all()

    def put_back(self, task: Task) -> None:
        """One that a further process did not answer for: the next to be read by this one."""
        with self._turn:
            self._tasks.appendleft(replace(task, apart=False))
            self._turn.notify_all()

    def count_in(self, readers: int) -> None:
        """So many more further processes are ready to read, or fewer where the number is below 0."""
        with self._turn:
            self._ready += readers
            self._turn.notify_all()

    def take(self, *, apart: bool) -> Task | None:
        """The first that such a reader may read, `apart` or not; waits for one. None at the end."""
        with self._turn:
            while not self._ended:
                found = next((task for task in self._tasks if self._may(task, apart=apart)), None)
                if found is not None:
                    self._tasks.remove(found)
                    return found
                self._turn.wait()
        return None

    def end(self) -> None:
        """Nobody is given a task any more."""
        with self._turn:
            self._ended = True
            self._turn.notify_all()

    def _may(self, task: Task, *, apart: bool) -> bool:
        return task.apart if apart else not (task.apart and self._ready)
