"""Our side of the benchmark, in a process of its own: raw logs to stored study to findings JSON."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from evenhand.desk import importing
from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparing import compare
from evenhand.desk.importing import import_folder
from evenhand.desk.opening import present
from evenhand.desk.triaging import triage_study
from evenhand.store.workbench import open_workbench


def main(folder: Path, workbench: Path) -> dict[str, float]:
    """Seconds for each stage. Triage is timed apart: the peer looks for no faults."""
    for ending in ("", "-wal", "-shm"):
        workbench.with_name(workbench.name + ending).unlink(missing_ok=True)
    times = {"triage": 0.0}
    judge = triage_study

    def timed_triage(*given: object, **named: object) -> int:
        start = time.perf_counter()
        held = judge(*given, **named)  # type: ignore[arg-type]
        times["triage"] += time.perf_counter() - start
        return held

    setattr(importing, "triage_study", timed_triage)  # noqa: B010  (only to put a clock around it)
    start = time.perf_counter()
    with open_workbench(workbench) as wb:
        import_folder(wb, folder, now=present())
        times["raw to stored"] = time.perf_counter() - start - times["triage"]
        start = time.perf_counter()
        json.dumps(comparison_answer(compare(wb, "bench", now=present()).comparison))
        times["findings"] = time.perf_counter() - start
    times["workbench_bytes"] = float(workbench.stat().st_size)
    return times


def parse_alone(folder: Path) -> float:
    """Seconds that our own reader takes to parse every log on one thread, nothing else."""
    from evenhand.desk.layouts import bound
    from evenhand.desk.study_folders import file_bytes, open_folder
    from evenhand.traces.frames import read_frames
    from evenhand.traces.probe import probe

    found = open_folder(folder)
    names = [run.log for run in found.runs if run.log]
    layout = bound(found.layouts[0], probe(file_bytes(folder, names[0]), name=names[0]))
    start = time.perf_counter()
    for name in names:
        read_frames(file_bytes(folder, name), layout, name=name)
    return time.perf_counter() - start


def stages_alone(folder: Path) -> dict[str, float]:
    """Seconds for each step of reading, on one thread, one after the other over all logs."""
    from evenhand.desk.identity import digest
    from evenhand.desk.layouts import bound
    from evenhand.desk.study_folders import file_bytes, open_folder
    from evenhand.metrics.frames import measure
    from evenhand.metrics.within_run import within_run
    from evenhand.store.originals import pack_original
    from evenhand.traces.codec import pack
    from evenhand.traces.frames import read_frames
    from evenhand.traces.probe import probe

    found = open_folder(folder)
    names = [run.log for run in found.runs if run.log]
    layout = bound(found.layouts[0], probe(file_bytes(folder, names[0]), name=names[0]))
    spent = dict.fromkeys(
        ("hash", "parse", "metrics", "within-run intervals", "pack trace", "pack original"), 0.0
    )

    def step(what: str, start: float) -> float:
        now = time.perf_counter()
        spent[what] += now - start
        return now

    for name in names:
        data = file_bytes(folder, name)
        at = time.perf_counter()
        digest(data)
        at = step("hash", at)
        trace = read_frames(data, layout, name=name)
        at = step("parse", at)
        measure(trace)
        at = step("metrics", at)
        within_run(trace)
        at = step("within-run intervals", at)
        pack(trace)
        at = step("pack trace", at)
        pack_original(data)
        step("pack original", at)
    return spent


if __name__ == "__main__":
    folder, workbench, what = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
    answer = {
        "whole": lambda: main(folder, workbench),
        "parse": lambda: {"parse": parse_alone(folder)},
        "stages": lambda: stages_alone(folder),
    }[what]()
    print(json.dumps(answer))
