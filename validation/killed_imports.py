"""Kill an import with SIGKILL at random moments, and look at what is left.

What must hold each time: the workbench opens, `check` finds nothing wrong, every run that the import has
told as safely on record is there with its original, and importing again completes the study. Run it with

    python -m validation.killed_imports --moments 50

The tests use six moments. No power cut is simulated: SIGKILL leaves the system's own buffers standing.
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

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.runs.triaging import JUDGING
from evenhand.errors import NotFound
from evenhand.records.runs import RunState
from evenhand.store.originals import original
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench

NOW = datetime(2031, 5, 4, tzinfo=UTC)
ROOT = Path(__file__).parents[1]
RUNS = 40  # of which each setup makes half
FRAMES = 1000
SETUPS = ("wren", "plover")

STUDY = """
[study]
key = "quay"
title = "An import that is killed"
[[builds]]
key = "wren"
name = "Wren"
slot = 1
[[builds]]
key = "plover"
name = "Plover"
slot = 2
[[setups]]
key = "wren"
build = "wren"
[[setups]]
key = "plover"
build = "plover"
[[layouts]]
name = "frames"
kind = "frames"
columns.frame_time = { column = "frame [ms]", unit = "ms" }
[[tests]]
key = "choir"
name = "Quarry Choir"
measures = "frames"
metric = "average_fps"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """One kill: when it struck, how many runs had been acknowledged, how many the file held after it."""

    after_s: float
    acknowledged: int
    stored: int
    judging: bool


def write_folder(folder: Path) -> Path:
    """A study of 40 runs, the same each time it is written."""
    folder.mkdir(parents=True)
    lines = [STUDY]
    for number in range(RUNS):
        rng = np.random.default_rng(number)
        log = "\n".join(["frame [ms]", *(f"{ms:.4f}" for ms in rng.gamma(150.0, 0.066, FRAMES))])
        (folder / f"{number}.csv").write_text(log)
        lines.append(
            f'[[runs]]\ntest = "choir"\nsetup = "{SETUPS[number % 2]}"\nlog = "{number}.csv"\n'
            f'label = "{number}"\n'
        )
    (folder / "study.toml").write_text("".join(lines))
    return folder


def bring_in(path: Path, folder: Path) -> None:
    """Import, and acknowledge on standard output how many runs are safely on record."""

    def watch(done: int, _total: int, what: str) -> None:
        print("judging" if what.startswith(JUDGING) else done, flush=True)

    print("opening", flush=True)
    with open_workbench(path) as wb:
        import_folder(wb, folder, now=NOW, watch=watch)


def start_import(path: Path, folder: Path) -> subprocess.Popen[str]:
    """The same in a process of its own."""
    command = [sys.executable, "-m", "validation.killed_imports", "--bring-in", str(path), str(folder)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT)


def kill_one(path: Path, folder: Path, after_s: float) -> Moment:
    """Lets an import begin, kills it `after_s` after it has begun, looks at the file and imports again."""
    with start_import(path, folder) as importer:
        assert importer.stdout is not None
        assert importer.stdout.readline() == "opening\n"
        time.sleep(after_s)
        importer.kill()
        told = importer.stdout.read().split()
    acknowledged = max((int(word) for word in told if word.isdigit()), default=0)
    stored = look(path, acknowledged)
    complete(path, folder)
    return Moment(after_s=after_s, acknowledged=acknowledged, stored=stored, judging="judging" in told)


def look(path: Path, acknowledged: int) -> int:
    """How many runs the file holds; raises AssertionError where an acknowledged one is missing or damaged."""
    record = opened(path)
    if record is None:
        assert acknowledged == 0, "acknowledged runs, and no study on record"
        return 0
    labels = {each.run.label for each in record.runs}
    missing = {str(number) for number in range(acknowledged)} - labels
    assert not missing, f"acknowledged and lost: {sorted(missing)}"
    with open_workbench(path) as wb:
        for each in record.runs:
            assert each.run.log is not None
            assert hashlib.sha256(original(wb, each.run.log)).hexdigest() == each.run.log
            assert each.metrics.values["frames"] == FRAMES
    report = check(path)
    assert report.sound, report.problems
    return len(record.runs)


def opened(path: Path) -> StudyOnRecord | None:
    """The study, where the import came as far as to store it."""
    with open_workbench(path) as wb:
        try:
            return load_study(wb, "quay")
        except NotFound:
            return None


def complete(path: Path, folder: Path) -> None:
    """Imports again; raises AssertionError where the study is not whole and judged after it."""
    with open_workbench(path) as wb:
        report = import_folder(wb, folder, now=NOW)
        runs = load_study(wb, "quay").runs
    assert report.new + report.same == RUNS, report
    assert report.changed == 0, report
    assert len(runs) == RUNS
    assert {each.state for each in runs} == {RunState.LANDED}


def kills(place: Path, moments: int, *, seed: int, longest_s: float) -> Iterator[Moment]:
    """Kills at random moments, each on a file of its own."""
    rng = np.random.default_rng(seed)
    folder = write_folder(place / "study")
    for number in range(moments):
        yield kill_one(place / f"{number}.evenhand", folder, float(rng.uniform(0, longest_s)))


def time_of_import(place: Path) -> float:
    """How long an import takes here from the moment it opens the file."""
    folder = write_folder(place / "whole")
    with start_import(place / "whole.evenhand", folder) as importer:
        assert importer.stdout is not None
        assert importer.stdout.readline() == "opening\n"
        began = time.monotonic()
        importer.communicate(timeout=300)
    return time.monotonic() - began


def main() -> None:
    """Prints one line a moment."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moments", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--bring-in", nargs=2, metavar=("FILE", "FOLDER"))
    given = parser.parse_args()
    if given.bring_in:
        bring_in(Path(given.bring_in[0]), Path(given.bring_in[1]))
        return
    with tempfile.TemporaryDirectory() as name:
        whole_s = time_of_import(Path(name))
        print(f"{RUNS} runs take {whole_s:.2f} s to import; each kill strikes within 1.1 times that")
        print("kill  after s  acknowledged  in the file  judging")
        seen = []
        for number, moment in enumerate(
            kills(Path(name), given.moments, seed=given.seed, longest_s=1.1 * whole_s), start=1
        ):
            seen.append(moment)
            print(
                f"{number:4d}  {moment.after_s:7.2f}  {moment.acknowledged:12d}  {moment.stored:11d}"
                f"  {'yes' if moment.judging else 'no'}",
                flush=True,
            )
    told = sum(moment.acknowledged for moment in seen)
    print(f"{len(seen)} kills, {told} runs acknowledged, none lost; every file opened, passed the check and")
    print("was completed by importing again")


if __name__ == "__main__":
    main()
