"""Kill a program with SIGKILL at random moments while it writes a workbench, and look at what is left.

What must hold each time: the file opens, `check` finds nothing wrong, every run that was acknowledged
is there with its original and its trace, and the writing can be repeated. Run it by hand with

    python -m validation.killed_writes --moments 50

The tests use ten moments. No power cut is simulated: SIGKILL leaves the system's own buffers standing.
"""

from __future__ import annotations

import argparse
import hashlib
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from evenhand.records.builds import Build, Setup
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.store.originals import keep, original
from evenhand.store.rows import Saved
from evenhand.store.runs import runs_of, save_run
from evenhand.store.shelves import save
from evenhand.store.traces import packed_trace, save_trace
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.traces.codec import pack, unpack
from evenhand.traces.trace import Trace

NOW = datetime(2031, 5, 4, tzinfo=UTC)
ROOT = Path(__file__).parents[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One kill: how many runs were acknowledged before it, and how many the file held after it."""

    acknowledged: int
    stored: int


def log_of(run_id: str) -> bytes:
    """A log of about 120 kB that anyone can make again from the run's id."""
    rng = np.random.default_rng(list(run_id.encode()))
    return "\n".join(["frame [ms]", *(f"{value:.4f}" for value in rng.gamma(9.0, 1.3, 15_000))]).encode()


def trace_of(run_id: str) -> Trace:
    """The trace of that log."""
    return Trace(frame_times_ms=np.array(log_of(run_id).split()[2:], dtype=np.float64))


def lay_ground(wb: Workbench) -> None:
    """What the runs refer to; storing it again changes nothing."""
    save(wb, Build(key="wren", name="Wren", slot=1), now=NOW)
    save(wb, Setup(key="wren", name="Wren", build="wren"), now=NOW)
    game = Test(
        key="choir",
        name="Quarry Choir",
        measures=Measures.FRAMES,
        metric="average",
        unit="fps",
        direction=Direction.HIGHER,
    )
    save(wb, game, now=NOW)
    save(wb, Study(key="saltmarsh", title="Saltmarsh", setups=("wren",), tests=("choir",)), now=NOW)


def land(wb: Workbench, run_id: str) -> Saved:
    """Stores one run with its original and trace, all or nothing."""
    log = log_of(run_id)
    digest = hashlib.sha256(log).hexdigest()
    run = Run(id=run_id, study="saltmarsh", test="choir", setup="wren", label=run_id, log=digest)
    with wb.writing():
        keep(wb, log, name=f"{run_id}.csv", digest=digest)
        saved = save_run(wb, run, now=NOW)
        save_trace(wb, run_id, pack(trace_of(run_id)))
    return saved


def write(path: Path, prefix: str, count: int) -> None:
    """Stores runs one after the other and acknowledges each on standard output once it is safe."""
    print("opening", flush=True)
    with open_workbench(path) as wb:
        lay_ground(wb)
        for number in range(count):
            land(wb, f"{prefix}{number}")
            print(f"{prefix}{number}", flush=True)


def start_writing(path: Path, prefix: str, count: int) -> subprocess.Popen[str]:
    """The same in a process of its own."""
    command = [sys.executable, "-m", "validation.killed_writes", "--write", str(path), prefix, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT)


def kill_one(path: Path, prefix: str, rng: np.random.Generator) -> Moment:
    """Lets a writer begin, kills it a random while after it has opened the file, and looks at the file."""
    with start_writing(path, prefix, 100_000) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "opening\n"
        # Short waits strike while the file is made or opened, longer ones between and within runs.
        time.sleep(float(rng.choice([rng.uniform(0, 0.03), rng.uniform(0.03, 0.8)])))
        writer.kill()
        acknowledged = writer.stdout.read().split()
    stored = look(path, acknowledged)
    repeat(path, prefix, acknowledged)
    return Moment(acknowledged=len(acknowledged), stored=stored)


def look(path: Path, acknowledged: list[str]) -> int:
    """How many runs the file holds; raises AssertionError where something acknowledged is missing."""
    with open_workbench(path) as wb:
        found = runs_of(wb, "saltmarsh")
        missing = set(acknowledged) - {run.id for run in found}
        assert not missing, f"acknowledged and lost: {sorted(missing)}"
        for run in found:
            assert run.log is not None
            assert original(wb, run.log) == log_of(run.id)
        for run_id in acknowledged:
            trace = unpack(packed_trace(wb, run_id))
            assert trace.frame_times_ms.tobytes() == trace_of(run_id).frame_times_ms.tobytes()
    report = check(path)
    assert report.sound, report.problems
    return len(found)


def repeat(path: Path, prefix: str, acknowledged: list[str]) -> None:
    """Stores the same runs and one more; raises AssertionError where an acknowledged one was missing."""
    with open_workbench(path) as wb:
        lay_ground(wb)
        for run_id in acknowledged:
            assert land(wb, run_id) is Saved.SAME, run_id
        land(wb, f"{prefix}{len(acknowledged)}")


def kills(folder: Path, moments: int, *, seed: int) -> Iterator[Moment]:
    """Several kills; two on each file, so that the second meets what the first has left."""
    rng = np.random.default_rng(seed)
    for number in range(moments):
        yield kill_one(folder / f"{number // 2}.evenhand", f"{number}-", rng)


def main() -> None:
    """Prints one line a moment."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moments", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--write", nargs=3, metavar=("FILE", "PREFIX", "COUNT"))
    given = parser.parse_args()
    if given.write:
        write(Path(given.write[0]), given.write[1], int(given.write[2]))
        return
    with tempfile.TemporaryDirectory() as folder:
        seen = []
        for number, moment in enumerate(kills(Path(folder), given.moments, seed=given.seed), start=1):
            seen.append(moment)
            print(f"{number:3d}: {moment.acknowledged:3d} acknowledged, {moment.stored:3d} in the file")
    lost = sum(moment.acknowledged for moment in seen)
    print(f"{len(seen)} kills, {lost} runs acknowledged, none lost, every file opened and passed the check")


if __name__ == "__main__":
    main()
