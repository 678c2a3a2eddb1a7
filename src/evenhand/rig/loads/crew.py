"""Workers on every core, each a process of its own; their answers are judged by whoever started them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from typing import Any

from evenhand.rig.loads.known import Load
from evenhand.rig.loads.worker import Fault

READY_S = 120.0  # for so long workers may prepare; taking much memory takes a while
GRACE_S = 3.0
ONE_THREAD = (  # a library with threads of its own would add in another order, and on cores that are not its
    "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "BLIS_NUM_THREADS",
    "VECLIB_MAXIMUM_THREADS", "NUMEXPR_NUM_THREADS",
)  # fmt: skip

Heard = Callable[[int, str], bool]  # a case and its digest; whether that is right


@dataclass(slots=True)
class Seen:
    """What is known of one worker."""

    number: int
    core: int | None
    process: subprocess.Popen[bytes]
    ready: Mapping[str, str] = field(default_factory=dict)
    unable: str = ""
    error: str = ""
    rounds: int = 0
    wrong: list[int] = field(default_factory=list)  # rounds whose answer was another
    heard_at: float = 0.0
    thread: threading.Thread | None = None

    @property
    def name(self) -> str:
        """What it is called."""
        return f"worker {self.number + 1}" + ("" if self.core is None else f" on core {self.core}")


def cores() -> tuple[int | None, ...]:
    """The cores that this process may use; None for each where the system does not say which."""
    if hasattr(os, "sched_getaffinity"):
        return tuple(sorted(os.sched_getaffinity(0)))
    return (None,) * (os.cpu_count() or 1)


class Crew:
    """One worker for each of these cores; `size` is how many bytes of memory each may fill."""

    def __init__(
        self, load: Load, on: Sequence[int | None], *, size: int, heard: Heard, fault: Fault | None = None
    ) -> None:
        self.load = load
        self._on = tuple(on)
        self._size = size
        self._heard = heard
        self._fault = fault
        self.workers: list[Seen] = []

    def prepare(self) -> Mapping[str, str]:
        """Starts the workers; what they work with, once all are ready to be let go.

        Raises OSError in words where one is not: nothing has been worked out then. One that the system
        ended is told by `died` and leaves the others waiting.
        """
        for number, core in enumerate(self._on):
            self.workers.append(self._started(number, core))
        until = time.monotonic() + READY_S
        while not all(each.ready for each in self.workers):
            for each in self.workers:
                if each.unable or (self.gone(each) and not died(each)):
                    raise OSError(f"{each.name} cannot begin: {each.unable or how_gone(each)}")
            if any(map(died, self.workers)):
                return {}
            if time.monotonic() > until:
                raise OSError(f"not every worker was ready after {READY_S:g} s")
            time.sleep(0.01)
        return self.workers[0].ready

    def go(self) -> None:
        """Lets all of them go."""
        for each in self.workers:
            each.heard_at = time.monotonic()
            with suppress(OSError):  # one that is gone already is seen as gone
                assert each.process.stdin is not None
                each.process.stdin.write(b"\n")
                each.process.stdin.flush()

    @staticmethod
    def gone(worker: Seen) -> bool:
        """Whether it has ended, and all that it told was heard."""
        assert worker.thread is not None
        return worker.process.poll() is not None and not worker.thread.is_alive()

    def end(self) -> None:
        """Ends all of them, and waits until they are gone."""
        for each in self.workers:
            if each.process.poll() is None:
                each.process.terminate()
        for each in self.workers:
            with suppress(subprocess.TimeoutExpired):
                each.process.wait(GRACE_S)
            if each.process.poll() is None:
                each.process.kill()
                each.process.wait()
            if each.thread is not None:
                each.thread.join(GRACE_S)
            with suppress(OSError):
                assert each.process.stdin is not None
                each.process.stdin.close()

    def _started(self, number: int, core: int | None) -> Seen:
        fault = self._fault if self._fault is not None and self._fault.worker == number else None
        asked = {"load": self.load.name, "core": core, "size": self._size}
        told = json.dumps({**asked, "fault": asdict(fault) if fault else None})
        paths = os.pathsep.join(path or os.curdir for path in sys.path)
        more: dict[str, Any] = {} if os.name == "nt" else {"start_new_session": True}
        process = subprocess.Popen(  # noqa: S603  (this program's own worker)
            [sys.executable, "-P", "-m", "evenhand.rig.loads.worker", told],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            env={**os.environ, **dict.fromkeys(ONE_THREAD, "1"), "PYTHONPATH": paths},
            **more,
        )  # fmt: skip
        seen = Seen(number=number, core=core, process=process, heard_at=time.monotonic())
        seen.thread = threading.Thread(target=self._follow, args=(seen,), daemon=True)
        seen.thread.start()
        return seen

    def _follow(self, worker: Seen) -> None:
        assert worker.process.stdout is not None
        with worker.process.stdout as lines:
            for line in lines:
                with suppress(ValueError):  # a worker that is ended may leave half a line
                    self._take(worker, json.loads(line))

    def _take(self, worker: Seen, told: Mapping[str, Any]) -> None:
        worker.heard_at = time.monotonic()
        if "digest" in told:
            if not self._heard(told["case"], told["digest"]):
                worker.wrong.append(told["round"])
            worker.rounds += 1
        worker.ready = told.get("ready", worker.ready)
        worker.unable = told.get("unable", worker.unable)
        worker.error = told.get("error", worker.error)


def died(worker: Seen) -> bool:
    """Whether the system ended it, as for a wrong address: by a signal, or a code that no program gives."""
    code = worker.process.poll()
    return code is not None and not 0 <= code <= 255


def how_gone(worker: Seen) -> str:
    """How a worker has ended, in words."""
    code = worker.process.returncode
    rounds = f"after {worker.rounds} rounds"
    if code is not None and code < 0:
        return f"the system ended it by signal {-code} {rounds}"
    return f"it was gone with exit code {code} {rounds}"
