"""Kill the server or a rig with SIGKILL at random moments of a scripted bench day, and look at what is left.

Both are the real programs as processes of their own: `evenhand open`, and two rigs from the one file that the
workbench hands out, which run a command, keep what it prints, and send it. What must hold after each kill:
the workbench opens, `check` finds nothing wrong, and every run that a rig was told of as landed is there
exactly once. At the end of a day every run that a rig had kept is there exactly once. Run

    python -m validation.killed_days --kills 200

The tests use four. A restart of a machine is played by letting its rig forget which start was which boot
of the plan. No power cut is simulated: SIGKILL leaves the system's own buffers standing.
"""

from __future__ import annotations

import argparse
import re
import socket
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.records.devices import Scope
from evenhand.rig.bundle import NAME, bundle
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_workbench
from validation.killed_imports import NOW
from validation.killed_uploads import Server

SETUPS = {"wren": 1000, "plover": 5000}  # the first number that each one's command prints
TESTS = 16
RUNS = 8  # of each test on each setup
EACH = 25  # kills on one workbench
LONGEST_S = 2.0  # from the first sign of life after a start to the kill
LANDED = re.compile(r"(?:Landed|In doubt): ([\d\s,]+?)\s*points")

STUDY = """
[study]
key = "quay"
title = "A bench day that is killed"
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
"""

# Every go of the command prints another number, and writes it down where no rig looks.
COMMAND = """
import os
first = int(open("first").read())
with open("made", "ab") as kept:
    number = first + kept.tell() // 5
    kept.write(b"%d\\n" % number)
    kept.flush()
    os.fsync(kept.fileno())
print("score:", number)
"""


@dataclass(slots=True)
class Told:
    """What the days gave so far."""

    server_kills: int = 0
    rig_kills: int = 0
    acknowledged: int = 0
    before_kept: int = 0
    moments: list[float] = field(default_factory=list)


class Rig:
    """The rig program as a process of its own, and everything that it has said."""

    def __init__(self, place: Path, setup: str, *, url: str, token: str) -> None:
        self.folder = place / setup
        self.state, self.said = self.folder / "state", self.folder / "said"
        self.state.mkdir(parents=True)
        (self.folder / "first").write_text(str(SETUPS[setup]))
        program = [sys.executable, str(place / NAME), url, "--token", token]
        self.command = [*program, "--state", str(self.state), "--yes"]
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Starts it, as after a restart of its machine."""
        (self.state / "planned-boots.json").unlink(missing_ok=True)
        with self.said.open("ab") as kept:
            self.process = subprocess.Popen(
                self.command, cwd=self.folder, stdin=subprocess.DEVNULL, stdout=kept, stderr=kept
            )

    def kill(self) -> None:
        """Kills it where it stands."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    @property
    def ended(self) -> bool:
        """Whether it has ended by itself: the plan wants a fresh start."""
        assert self.process is not None
        return self.process.poll() is not None

    def acknowledged(self) -> list[int]:
        """The numbers that it was told of as landed, in order."""
        text = self.said.read_text(encoding="utf-8") if self.said.exists() else ""
        assert "Traceback" not in text, text
        return [int(re.sub(r"\D", "", each)) for each in LANDED.findall(text)]

    def kept(self) -> int:
        """How many parcels are on their way."""
        return len(list((self.state / "spool").glob("[0-9]*")))

    def numbers(self) -> list[int]:
        """The numbers that its command has printed."""
        made = self.folder / "made"
        return [int(word) for word in made.read_text().split()] if made.exists() else []


@dataclass(slots=True)
class Day:
    """A workbench with its server and its rigs."""

    path: Path
    server: Server
    rigs: list[Rig]


def prepare(place: Path) -> Day:
    """A planned study with a command for each test, two rigs let in, and a port of its own."""
    (place / "study").mkdir(parents=True)
    (place / "command.py").write_text(COMMAND)
    (place / NAME).write_bytes(bundle())
    (place / "study" / "study.toml").write_text(STUDY + "".join(map(table_of, range(TESTS))))
    path = place / "bench.evenhand"
    with open_workbench(path) as wb:
        import_folder(wb, place / "study", now=NOW)
        make_plan(wb, "quay", Terms(looks=(RUNS,)), seed=1, now=NOW)
        tokens = {
            setup: admit(wb, name=setup, scope=Scope.RIG, build=setup, now=NOW).token for setup in SETUPS
        }
    port = free_port()
    server = Server(path, "--port", str(port))
    rigs = [Rig(place, setup, url=f"http://127.0.0.1:{port}", token=token) for setup, token in tokens.items()]
    return Day(path=path, server=server, rigs=rigs)


def table_of(number: int) -> str:
    """One test that a command runs."""
    return (
        f'[[tests]]\nkey = "t{number}"\nname = "Tide {number}"\nmeasures = "score"\nunit = "points"\n'
        'direction = "higher"\nminutes = 1.0\n'
        f"script = {{ command = '{sys.executable} -S -E ../command.py', score = 'score: (\\d+)' }}\n"
    )


def free_port() -> int:
    """A port that nobody uses now."""
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        return int(asking.getsockname()[1])


def kills(place: Path, many: int, *, seed: int, told: Told) -> Iterator[Told]:
    """After each kill what is told so far. Raises AssertionError where something was lost or doubled."""
    rng = np.random.default_rng(seed)
    day = prepare(place)
    day.server.start()
    try:
        for rig in day.rigs:
            rig.start()
        for number in range(many):
            kill_one(day, rng, told, of_a_rig=number % 2 == 1)
            yield told
        finish(day, told)
        yield told
    finally:
        processes: list[Rig | Server] = [*day.rigs, day.server]
        for each in processes:
            if each.process is not None and each.process.poll() is None:
                each.kill()


def kill_one(day: Day, rng: np.random.Generator, told: Told, *, of_a_rig: bool) -> None:
    """One kill at a random moment, a look at what is left, and a new start."""
    await_life(day)
    told.moments.append(float(rng.uniform(0, LONGEST_S)))
    time.sleep(told.moments[-1])
    victim = day.rigs[int(rng.integers(len(day.rigs)))] if of_a_rig else day.server
    victim.kill()
    told.rig_kills += of_a_rig
    told.server_kills += not of_a_rig
    look(day)
    victim.start()


def await_life(day: Day, *, longest_s: float = 20.0) -> None:
    """Waits until a rig says something; one that wants its machine restarted gets that."""
    before = [rig.said.stat().st_size for rig in day.rigs]
    end = time.monotonic() + longest_s
    while time.monotonic() < end:
        restart_ended(day)
        if [rig.said.stat().st_size for rig in day.rigs] != before:
            return
        time.sleep(0.02)


def restart_ended(day: Day) -> None:
    """Restarts the machine of each rig that has ended."""
    for rig in day.rigs:
        if rig.ended:
            rig.start()


def look(day: Day) -> Counter[int]:
    """How often each number is on record. Raises AssertionError where one is missing, doubled or unsound."""
    told = [number for rig in day.rigs for number in rig.acknowledged()]
    with open_workbench(day.path) as wb:
        runs = load_study(wb, "quay").runs
    found = Counter(int(each.run.score or 0) for each in runs)
    assert max(found.values(), default=1) == 1, f"on record more than once: {found.most_common(3)}"
    lost = set(told) - set(found)
    assert not lost, f"acknowledged and lost: {sorted(lost)}"
    report = check(day.path)
    assert report.sound, report.problems
    return found


def finish(day: Day, told: Told) -> None:
    """Lets the rigs send all that they kept. Raises AssertionError where some of it does not come."""
    end = time.monotonic() + 120
    while any(rig.kept() for rig in day.rigs) and time.monotonic() < end:
        restart_ended(day)
        time.sleep(0.1)
    for rig in day.rigs:
        rig.kill()
    left = sum(rig.kept() for rig in day.rigs)
    day.server.kill()
    found = look(day)
    told.acknowledged += sum(len(rig.acknowledged()) for rig in day.rigs)
    made = {number for rig in day.rigs for number in rig.numbers()}
    assert set(found) <= made
    # A command may have ended when its rig is killed: nobody kept that run, and nobody was told of it.
    told.before_kept += len(made - set(found)) - left
    assert len(made - set(found)) <= told.rig_kills + len(day.rigs) + left, sorted(made - set(found))


def main() -> None:
    """Prints one line a kill; a new workbench after every few."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    told = Told()
    for batch, first in enumerate(range(0, given.kills, EACH)):
        with tempfile.TemporaryDirectory() as name:
            many = min(EACH, given.kills - first)
            for _ in kills(Path(name), many, seed=given.seed + batch, told=told):
                print(f"{told.server_kills:4d} of the server  {told.rig_kills:4d} of a rig", flush=True)
        print(f"     {told.acknowledged} runs acknowledged so far, each on record exactly once", flush=True)
    print(f"{told.before_kept} runs ended with their rig before it could keep them; nobody was told of these")


if __name__ == "__main__":
    main()
