"""Kill the server with SIGKILL at random moments while rigs upload, and look at what is left.

Some time before, the further process in which files land is killed too, where there is one by then: on a
machine of four cores and more.

What must hold each time: the workbench opens, `check` finds nothing wrong, every run that was acknowledged is
there exactly once with its original, and the senders, going on from where they were, complete the rest. Run

    python -m validation.killed_uploads --kills 50

The tests use three. No power cut is simulated: SIGKILL leaves the system's own buffers standing.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import numpy as np

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import NOT_JUDGED, load_study
from evenhand.store import arrivals
from evenhand.store.faults import unjudged_tests
from evenhand.store.originals import original
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench
from validation.killed_imports import NOW, ROOT, SETUPS, STUDY

RIGS = 4  # more than land at a time in one process, so that files wait for their turn
LOGS = 8  # that each rig sends, once round
FRAMES = 600
PIECES = 3  # in which each log is sent
LOADED = 0.75  # of the kills come once the whole server is there
EACH = 20  # kills on one workbench
GONE = (OSError, http.client.HTTPException, ValueError)  # what a sender sees of a server that was killed


@dataclass(slots=True)
class Log:
    """A log on its way, and what the server has said of it: nothing, or the run that it landed as."""

    data: bytes
    name: str
    setup: str
    run: str | None = None

    @property
    def mark(self) -> str:
        """Its hash."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(slots=True)
class Told:
    """What one sitting gave: kills (`aside`: of the further process), acknowledgements, requests cut off."""

    kills: int = 0
    aside: int = 0
    acknowledged: int = 0
    cut_off: int = 0
    moments: list[float] = field(default_factory=list)


def log_bytes(seed: int) -> bytes:
    """A log of its own for each seed."""
    times = np.random.default_rng(seed).gamma(150.0, 0.066, FRAMES)
    return "\n".join(["frame [ms]", *(f"{ms:.4f}" for ms in times), ""]).encode()


def prepare(place: Path) -> Path:
    """A workbench with the study, one run of it, and so the columns of its logs."""
    folder = place / "study"
    folder.mkdir(parents=True)
    (folder / "first.csv").write_bytes(log_bytes(10_000_000))
    run = '[[runs]]\ntest = "choir"\nsetup = "wren"\nlog = "first.csv"\nlabel = "first"\n'
    (folder / "study.toml").write_text(STUDY + run)
    with open_workbench(place / "bench.evenhand") as wb:
        import_folder(wb, folder, now=NOW)
    return place / "bench.evenhand"


class Server:
    """The real program as a process of its own, started again after each kill."""

    def __init__(self, path: Path, *more: str) -> None:
        self.path = path
        self.more = more
        self.process: subprocess.Popen[str] | None = None
        self.address = ""

    def start(self) -> None:
        """Starts it and waits until it has told where it answers."""
        command = ["-m", "evenhand", "--workbench", str(self.path), "open", "--no-browser", *self.more]
        self.process = subprocess.Popen(
            [sys.executable, *command], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=ROOT
        )
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if "http://" in line:
                self.address = urlsplit(line[line.index("http://") :].split()[0]).netloc
                return
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        """Kills it as the system does when memory runs out: nothing is tidied up."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()


def ask(server: Server, method: str, path: str, body: bytes = b"", **headers: str) -> tuple[int, Any]:
    """One request. Raises one of GONE where the server is not there, or is killed meanwhile."""
    conn = http.client.HTTPConnection(server.address, timeout=20)
    try:
        conn.request(method, path, body, {"Host": server.address, **headers})
        answer = conn.getresponse()
        return answer.status, json.loads(answer.read())
    finally:
        conn.close()


def send(server: Server, log: Log) -> str:
    """The whole way of one log, from wherever the last attempt ended; the run that it landed as."""
    path, size = f"/api/uploads/{log.mark}", -(-len(log.data) // PIECES)
    have = ask(server, "GET", path)[1]["have"]
    while have < len(log.data):
        piece = log.data[have : have + size]
        have = ask(server, "PATCH", path, piece, **{"Upload-Offset": str(have)})[1]["have"]
    facts = {"study": "quay", "test": "choir", "setup": log.setup, "boot": f"{log.setup}-1"}
    body = json.dumps({"name": log.name, "facts": facts}).encode()
    status, told = ask(server, "POST", f"{path}/land", body, **{"Content-Type": "application/json"})
    if status != 200 or told["run"] is None:
        raise AssertionError(f"{log.name} did not land: {status} {told}")
    return str(told["run"])


def rig(server: Server, logs: list[Log], told: Told, stop: threading.Event) -> None:
    """Sends each log until it is acknowledged, however often the server goes."""
    for log in logs:
        while log.run is None and not stop.is_set():
            try:
                log.run = send(server, log)
                told.acknowledged += 1
            except GONE:
                told.cut_off += 1
                time.sleep(0.05)


def kills(place: Path, many: int, *, seed: int, logs: int = LOGS, longest_s: float = 1.5) -> Iterator[Told]:
    """After each kill what is told so far. Raises AssertionError where something was lost or doubled."""
    rng = np.random.default_rng(seed)
    path = prepare(place)
    server, told, number = Server(path), Told(), 0
    every: list[Log] = []
    for _ in range(many):
        server.start()
        if rng.random() < LOADED:  # else the kill may come while it still loads its pages
            with suppress(*GONE):  # on a busy machine that takes longer than anybody waits
                ask(server, "GET", "/api/studies")
        waiting = [log for log in every if log.run is None]
        fresh = [new_log(number + at) for at in range(RIGS * logs - len(waiting))]
        number += len(fresh)
        every += fresh
        after_s, part = float(rng.uniform(0, longest_s)), float(rng.uniform(0, 1))
        sitting(server, [*waiting, *fresh], told, after_s=after_s, part=part)
        look(path, every)
        yield told
    server.start()
    sitting(server, [log for log in every if log.run is None], told, after_s=None)
    look(path, every, whole=True)
    yield told


def new_log(number: int) -> Log:
    """A log that nobody has sent yet."""
    return Log(data=log_bytes(number), name=f"{number}.csv", setup=SETUPS[number % 2])


def sitting(server: Server, logs: list[Log], told: Told, *, after_s: float | None, part: float = 1.0) -> None:
    """Rigs send until the server is killed `after_s` later; without that until all is acknowledged.

    After `part` of that time its further process is killed.
    """
    stop = threading.Event()
    rigs = [threading.Thread(target=rig, args=(server, logs[at::RIGS], told, stop)) for at in range(RIGS)]
    for one in rigs:
        one.start()
    if after_s is None:
        for one in rigs:
            one.join(120)
        until_judged(server.path)
    else:
        time.sleep(part * after_s)
        told.aside += kill_aside(server)
        time.sleep((1 - part) * after_s)
        told.kills += 1
        told.moments.append(after_s)
    server.kill()
    stop.set()
    for one in rigs:
        one.join(30)


def until_judged(path: Path, longest_s: float = 60.0) -> None:
    """Until the server has judged, beside its pages, what had landed when the one before it was killed."""
    last = time.monotonic() + longest_s
    with open_workbench(path) as wb:
        while unjudged_tests(wb) and time.monotonic() < last:
            time.sleep(0.05)


def kill_aside(server: Server) -> int:
    """Kills the processes that the server has begun, where the system tells which; how many."""
    killed = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            number, _, rest = stat.read_text().partition(" (")
            parent = int(rest.rpartition(") ")[2].split()[1])
            if server.process is not None and parent == server.process.pid:
                os.kill(int(number), signal.SIGKILL)
                killed += 1
    return killed


def look(path: Path, logs: list[Log], *, whole: bool = False) -> None:
    """Raises AssertionError where an acknowledged run is missing, doubled or damaged, or the file unsound."""
    with open_workbench(path) as wb:
        runs = load_study(wb, "quay").runs
        by_log: dict[str, list[str]] = {}
        for each in runs:
            by_log.setdefault(str(each.run.log), []).append(each.run.id)
        doubled = {mark: ids for mark, ids in by_log.items() if len(ids) > 1}
        assert not doubled, f"on record more than once: {doubled}"
        for log in logs:
            if log.run is None:
                continue
            assert by_log.get(log.mark) == [log.run], f"acknowledged and lost: {log.name}"
            assert original(wb, log.mark) == log.data
            assert len(arrivals.arrivals_of(wb, log.mark)) == 1, f"{log.name} arrived more than once"
        if whole:
            assert all(log.run for log in logs), "the senders could not complete what they had"
            assert len(runs) == len(logs) + 1
            assert arrivals.waiting(wb) == ()
            assert not any(NOT_JUDGED in each.faults for each in runs), "a run was never judged"
    report = check(path)
    assert report.sound, report.problems


def main() -> None:
    """Prints one line a kill; a new workbench after every few, since judging takes longer the more runs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--longest", type=float, default=1.5, help="seconds until a kill, at most")
    given = parser.parse_args()
    print("kills  after s  acknowledged so far  requests cut off")
    before = Told()
    for batch, first in enumerate(range(0, given.kills, EACH)):
        with tempfile.TemporaryDirectory() as name:
            many, told = min(EACH, given.kills - first), Told()
            for told in kills(Path(name), many, seed=given.seed + batch, longest_s=given.longest):
                print(line_of(before, told), flush=True)
            before.kills += told.kills
            before.aside += told.aside
            before.acknowledged += told.acknowledged
            before.cut_off += told.cut_off
    print(f"{before.kills} kills of the server and {before.aside} of its further process,")
    print(f"{before.acknowledged} runs acknowledged, each on record exactly once;")
    print("every file opened, passed the check, and the senders completed what was left")


def line_of(before: Told, told: Told) -> str:
    """One line of the table."""
    acknowledged, cut_off = before.acknowledged + told.acknowledged, before.cut_off + told.cut_off
    after_s = told.moments[-1] if told.moments else 0.0
    return f"{before.kills + told.kills:5d}  {after_s:7.2f}  {acknowledged:19d}  {cut_off:16d}"


if __name__ == "__main__":
    main()
