"""A real bench day on one computer: two rigs of which one has a known handicap, and then two that are equal.

Everything is the real thing: `evenhand open` as a process, two rigs from the one file that the workbench
hands out, workloads of general libraries run by them, planned in fresh boots and balanced order, one rig at
a time, uploaded, judged and compared. One rig's commands stand still for 6 % of the time
(`validation.throttled`), so that it does 94 % of the other's work. Three things are looked at: whether that
lies inside each interval, whether it lies inside the index's, and whether two equal rigs are called level or
unsettled and never ahead. Run

    python -m validation.bench_day

Only the restarts are rehearsed: a rig that is to be restarted is started anew under another name for its
start, and its runs say so. On a machine that is shared, `--nice -10` lets the workloads go before others.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.findings.finding import Comparison, Finding, Index, Outcome
from evenhand.plans.laying import Pace
from evenhand.records.devices import Scope
from evenhand.records.runs import RunState
from evenhand.rig.bundle import NAME, bundle
from evenhand.store.workbench import open_workbench
from validation.bench_loads import LOADS
from validation.killed_days import free_port
from validation.killed_uploads import Server

HANDICAP = 0.06
RESTART = 3  # the rig program's exit code where the plan wants a fresh start
FIRST, SECOND = "gannet", "fulmar"
HERE = Path(__file__).parent


class Rig:
    """The rig program as a process; a restart of its machine is rehearsed when the plan wants one."""

    def __init__(self, place: Path, build: str, command: list[str]) -> None:
        self.folder, self.command, self.starts = place / build, command, 0
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Starts it, each time under another name for its start."""
        self.starts += 1
        more = ["--state", str(self.folder), "--yes", "--rehearsed-start", str(self.starts)]
        with (self.folder / "said").open("ab") as said:
            self.process = subprocess.Popen(
                [*self.command, *more], cwd=self.folder, stdin=subprocess.DEVNULL, stdout=said, stderr=said
            )

    def see_to(self) -> None:
        """Starts it anew where it ended for a restart. Raises AssertionError where it ended otherwise."""
        assert self.process is not None
        code = self.process.poll()
        if code == RESTART:
            self.start()
        else:
            assert code is None, (self.folder / "said").read_text()

    def end(self) -> str:
        """Asks it to end; the last line that it said: what taking part cost."""
        assert self.process is not None
        self.process.terminate()
        self.process.wait(30)
        lines = (self.folder / "said").read_text().splitlines()
        return next(line for line in reversed(lines) if line.startswith("Taking part"))


def study_text(seconds: float) -> str:
    """Two builds and a test for each workload."""
    builds = "".join(
        f'[[builds]]\nkey = "{key}"\nname = "{key.title()}"\nslot = {slot}\n'
        f'[[setups]]\nkey = "{key}"\nbuild = "{key}"\n'
        for slot, key in enumerate((FIRST, SECOND), start=1)
    )
    tests = "".join(
        f'[[tests]]\nkey = "{load}"\nname = "{load.title()}"\nmeasures = "score"\nunit = "passes/s"\n'
        f'direction = "higher"\nminutes = {seconds / 60:.3f}\n'
        f"script = {{ command = './work {load}', score = 'passes a second: ([\\d.]+)', timeout_s = 120.0 }}\n"
        for load in LOADS
    )
    return f'[study]\nkey = "day"\ntitle = "A bench day"\nmargin = 0.03\n{builds}{tests}'


def prepare(place: Path, shares: dict[str, float], given: argparse.Namespace) -> tuple[Server, list[Rig]]:
    """A planned study on a workbench that is open, and its rigs, let in."""
    (place / "study").mkdir(parents=True)
    (place / "study" / "study.toml").write_text(study_text(5.0))
    (place / NAME).write_bytes(bundle())
    path = place / "day.evenhand"
    now = datetime.now(UTC)
    with open_workbench(path) as wb:
        import_folder(wb, place / "study", now=now)
        pace = Pace(warm_up=0.0, reboot=0.0, at_once=1)
        make_plan(wb, "day", Terms(looks=(given.runs,), pace=pace), seed=given.seed, now=now)
        tokens = {key: admit(wb, name=key, scope=Scope.RIG, build=key, now=now).token for key in shares}
    port = free_port()
    rigs = []
    for key, share in shares.items():
        (place / key).mkdir()
        work = place / key / "work"
        throttled = f"nice -n {given.nice} '{sys.executable}' '{HERE / 'throttled.py'}' {share}"
        work.write_text(
            f"#!/bin/sh\nexec {throttled} '{sys.executable}' '{HERE / 'bench_loads.py'}' \"$1\"\n"
        )
        work.chmod(0o755)
        program = [sys.executable, str(place / NAME), f"http://127.0.0.1:{port}", "--token", tokens[key]]
        rigs.append(Rig(place, key, program))
    return Server(path, "--port", str(port)), rigs


def make_day(place: Path, shares: dict[str, float], given: argparse.Namespace) -> StudyOnRecord:
    """The whole day; the study as it is on record at its end."""
    server, rigs = prepare(place, shares, given)
    begin = time.monotonic()
    server.start()
    try:
        for rig in rigs:
            rig.start()
        while not finished(server.path):
            for rig in rigs:
                rig.see_to()
            time.sleep(2.0)
        costs = [(rig.folder.name, rig.starts, rig.end()) for rig in rigs]
    finally:
        for rig in rigs:
            if rig.process is not None and rig.process.poll() is None:
                rig.process.terminate()
        server.kill()
    print(f"    {time.monotonic() - begin:.0f} s by the clock")
    for name, starts, cost in costs:
        print(f"    {name}: {starts} starts rehearsed. {cost}")
    with open_workbench(server.path) as wb:
        return load_study(wb, "day")


def finished(path: Path) -> bool:
    """Whether nothing is left to run."""
    with open_workbench(path) as wb:
        plan = plan_now(wb, "day")
    return plan is not None and plan.finished


def told(place: Path, record: StudyOnRecord, expected: float) -> Iterator[str]:
    """What the day says, line by line; `expected` is the true ratio of the second to the first."""
    states = Counter(each.state.value for each in record.runs)
    doubts = Counter(f.title for e in record.runs if e.state is RunState.IN_DOUBT for f in e.faults)
    yield f"    {len(record.runs)} runs: {dict(states)}{f'; doubted: {dict(doubts)}' if doubts else ''}"
    with open_workbench(place / "day.evenhand") as wb:
        comparison: Comparison = compare(wb, "day", now=datetime.now(UTC)).comparison
    for found in comparison.findings:
        yield line_of(found.test, found, expected)
    for index in comparison.indexes:
        yield line_of("index", index, expected)


def line_of(name: str, found: Finding | Index, expected: float) -> str:
    """A ratio with its interval, and whether the truth lies inside."""
    truth = expected if found.a == SECOND else 1 / expected
    if found.ratio is None or found.low is None or found.high is None:
        return f"    {name:10s} no interval"
    inside = "inside" if found.low <= truth <= found.high else "OUTSIDE"
    about = f"{found.a}/{found.b} {found.ratio:.3f}, {found.level:.0%} {found.low:.3f} to {found.high:.3f}"
    return f"    {name:10s} {about}; the truth {truth:.3f} lies {inside}; {found.outcome.value}"


def understood() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=8, help="of each test on each rig")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--nice", type=int, default=0, help="added to the niceness of the workloads")
    parser.add_argument("--day", choices=("both", "handicap", "equal"), default="both")
    return parser.parse_args()


def main() -> None:
    """Both days, and what they say."""
    given = understood()
    print(f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC, load of the machine {os.getloadavg()[0]:.1f}", flush=True)
    for name, handicap in (("handicap", HANDICAP), ("equal", 0.0)):
        if given.day in ("both", name):
            print(f"Two rigs, {SECOND} standing still {handicap:.0%} of the time", flush=True)
            with tempfile.TemporaryDirectory() as folder:
                place = Path(folder)
                record = make_day(place, {FIRST: 0.0, SECOND: handicap}, given)
                print("\n".join(told(place, record, 1 - handicap)), flush=True)
    print(
        f"The machine's load at the end: {os.getloadavg()[0]:.1f}; outcomes are {[o.value for o in Outcome]}"
    )


if __name__ == "__main__":
    main()
