"""Our side of the benchmark, in a process of its own: raw logs to stored study to findings JSON."""

from __future__ import annotations

import json
import os
import sys
import time
from collections import defaultdict
from pathlib import Path

from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs import importing
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import present
from evenhand.desk.runs.triaging import triage_study
from evenhand.store.workbench import open_workbench


def main(folder: Path, workbench: Path, *, with_triage: bool = True) -> dict[str, float]:
    """Wall and core seconds of each stage. Triage is timed apart: the peer looks for no faults."""
    for ending in ("", "-wal", "-shm"):
        workbench.with_name(workbench.name + ending).unlink(missing_ok=True)
    judge, triage, stored, findings = triage_study, Spent(), Spent(), Spent()

    def timed_triage(*given: object, **named: object) -> int:
        with triage:
            if not with_triage:
                return 0
            return judge(*given, **named)  # type: ignore[arg-type]

    setattr(importing, "triage_study", timed_triage)  # noqa: B010  (only to put a clock around it)
    with stored, open_workbench(workbench) as wb:
        import_folder(wb, folder, now=present())
    with findings, open_workbench(workbench) as wb:
        json.dumps(comparison_answer(compare(wb, "bench", now=present()).comparison))
    return {
        "raw to stored": stored.wall - triage.wall,
        "triage": triage.wall,
        "triage, core seconds": triage.core,
        "findings": findings.wall,
        "core seconds": stored.core - triage.core + findings.core,
        "workbench_bytes": float(workbench.stat().st_size),
    }


def parse_alone(folder: Path) -> float:
    """Seconds that our own reader takes to parse every log on one thread, nothing else."""
    from evenhand.desk.logs.layouts import bound
    from evenhand.desk.logs.log_files import file_bytes
    from evenhand.desk.logs.study_folders import open_folder
    from evenhand.traces.frames import read_frames
    from evenhand.traces.probe import probe

    found = open_folder(folder)
    names = [run.log for run in found.runs if run.log]
    layout = bound(found.layouts[0], probe(file_bytes(folder, names[0]), name=names[0]))
    spent = Spent()
    with spent:
        for name in names:
            read_frames(file_bytes(folder, name), layout, name=name)
    return spent.wall


def stages_alone(folder: Path) -> dict[str, float]:
    """Seconds for each step of reading, on one thread, one after the other over all logs."""
    import pyarrow.csv

    from evenhand.desk.logs.identity import digest
    from evenhand.desk.logs.layouts import bound
    from evenhand.desk.logs.log_files import file_bytes
    from evenhand.desk.logs.study_folders import open_folder
    from evenhand.metrics.frames import measure
    from evenhand.metrics.within_run import within_run
    from evenhand.store.originals import pack_original
    from evenhand.traces.codec import pack
    from evenhand.traces.frames import read_frames
    from evenhand.traces.probe import PREVIEW_ROWS, probe

    found = open_folder(folder)
    names = [run.log for run in found.runs if run.log]
    layout = bound(found.layouts[0], probe(file_bytes(folder, names[0]), name=names[0]))
    spent: defaultdict[str, Spent] = defaultdict(Spent)
    library = pyarrow.csv.read_csv

    def timed_library(*given: object, **named: object) -> object:
        with spent["parse: the table library's part"]:
            return library(*given, **named)  # type: ignore[arg-type]

    setattr(pyarrow.csv, "read_csv", timed_library)  # noqa: B010  (only to put a clock around it)
    for name in names:
        with spent["file"]:
            data = file_bytes(folder, name)
        with spent["hash"]:
            digest(data)
        with spent["look"]:
            seen = probe(data, name=name, max_rows=PREVIEW_ROWS)
        with spent["parse"]:
            trace = read_frames(data, layout, name=name, seen=seen)
        with spent["metrics"]:
            measure(trace)
        with spent["within-run intervals"]:
            within_run(trace)
        with spent["pack trace"]:
            pack(trace)
        with spent["pack original"]:
            pack_original(data)
    return {what: spent[what].core for what in STAGES}


STAGES = (
    "file", "hash", "look", "parse", "parse: the table library's part", "metrics", "within-run intervals",
    "pack trace", "pack original",
)  # fmt: skip


class Spent:
    """Adds up wall and core seconds over its `with` blocks: of all threads and of children that ended."""

    def __init__(self) -> None:
        self.wall = self.core = 0.0

    def __enter__(self) -> None:
        self._start = time.perf_counter(), core_seconds()

    def __exit__(self, *_: object) -> None:
        self.wall += time.perf_counter() - self._start[0]
        self.core += core_seconds() - self._start[1]


def core_seconds() -> float:
    """Processor time of this process and of those that it started and saw end."""
    spent = os.times()
    return time.process_time() + spent.children_user + spent.children_system


if __name__ == "__main__":
    folder, workbench, what = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
    answer = {
        "whole": lambda: main(folder, workbench),
        "without triage": lambda: main(folder, workbench, with_triage=False),
        "parse": lambda: {"parse": parse_alone(folder)},
        "stages": lambda: stages_alone(folder),
    }[what]()
    print(json.dumps(answer))
