"""Flip one bit in one worker's round, in every load, and see that it is caught; and how busy the cores are.

Each flip is in a random worker, round, stage of the round, byte and bit, in what the worker has just worked
out, by a hook that only tests use. It is caught where the trial ends with "wrong result" and names the right
worker and round. Many more flips are then made in one process, where they cost less time. The share of each
core is read from the kernel's own counts (/proc/stat) over a while of each load. Whatever else runs on the
machine counts there as well, so the least share of time is told too for which a worker ran or waited for its
core. Run

    python -m validation.flipped_bits --crews 25 --flips 200 --seconds 20
"""

from __future__ import annotations

import argparse
import importlib
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from evenhand.rig.loads.crew import cores
from evenhand.rig.loads.known import LOADS, Load, Work
from evenhand.rig.loads.memory import MIB
from evenhand.rig.loads.worker import Fault, Flipping
from evenhand.rig.trials.answers import Answers, worked_out
from evenhand.rig.trials.doing import Signs
from evenhand.rig.trials.known_answers import KnownAnswers

SIZE = 32 * MIB
LONGEST_S = 60.0
ROUNDS = 5  # a flip comes in one of the first so many


def fault_of(load: Load, workers: int, rng: np.random.Generator) -> Fault:
    """One flip anywhere."""
    return Fault(
        worker=int(rng.integers(workers)), round=int(rng.integers(ROUNDS)),
        stage=int(rng.integers(load.stages)), place=float(rng.uniform()), bit=int(rng.integers(8)),
    )  # fmt: skip


def answers_at_stock(load: Load, place: Path) -> Answers:
    """The answers of a load, worked out here where the program knows none."""
    answers = Answers(folder=place)
    if not load.answers:
        answers.keep(load, *worked_out(load, size=SIZE))
    return answers


def caught_by_crew(
    load: Load, answers: Answers, fault: Fault | None, on: tuple[int | None, ...], *, rounds: int = ROUNDS
) -> Signs:
    """How a trial ends into which this flip comes, or how it stands after so many rounds of each worker."""
    doing = KnownAnswers(load, on, size=SIZE, answers=answers, fault=fault)
    try:
        doing.prepare()
        doing.begin()
        until = time.monotonic() + LONGEST_S
        signs = doing.signs()
        while signs.ended is None and min(signs.rounds) < rounds and time.monotonic() < until:
            time.sleep(0.01)
            signs = doing.signs()
        return signs
    finally:
        doing.end()


def missed_in_one_process(load: Load, flips: int, rng: np.random.Generator, size: int = SIZE) -> list[Fault]:
    """Flips after which a round gave the right answer all the same."""
    work: Work = importlib.import_module(load.module).begin(size)
    right = dict(enumerate(load.answers))
    missed = []
    for number in range(flips):
        case = number % load.cases
        if case not in right:
            right[case] = work(case, Flipping(None))
        fault = fault_of(load, 1, rng)
        flipping = Flipping(fault)
        flipping.begin(fault.round)
        if work(case, flipping) == right[case]:
            missed.append(fault)
    return missed


def ticks() -> dict[str, tuple[int, int]]:
    """Ticks in all and idle ones of each core, since the machine was started."""
    found = {}
    for line in Path("/proc/stat").read_text(encoding="ascii").splitlines():
        name, *words = line.split()
        if name.startswith("cpu") and name != "cpu":
            counts = [int(word) for word in words[:8]]
            found[name] = (sum(counts), counts[3] + counts[4])
    return found


def shares(before: dict[str, tuple[int, int]], after: dict[str, tuple[int, int]]) -> dict[str, float]:
    """How busy each core was between two looks, in percent."""
    found = {}
    for name, (whole, idle) in after.items():
        then, was_idle = before[name]
        found[name] = 100.0 * (1 - (idle - was_idle) / max(whole - then, 1))
    return found


@contextmanager
def under(load: Load, answers: Answers) -> Iterator[KnownAnswers]:
    """A load on every core, under way."""
    doing = KnownAnswers(load, cores(), size=SIZE, answers=answers)
    try:
        doing.prepare()
        doing.begin()
        time.sleep(1.0)
        yield doing
    finally:
        doing.end()


def wanted_ns(pid: int) -> int:
    """For how long a process ran or waited for its core."""
    ran, waited, _ = Path(f"/proc/{pid}/schedstat").read_text(encoding="ascii").split()
    return int(ran) + int(waited)


def busy(load: Load, answers: Answers, seconds: float) -> tuple[dict[str, float], float, Signs]:
    """How busy each core is under a load, the least share that a worker wanted its core, how it all stood."""
    with under(load, answers) as doing:
        pids = [each.process.pid for each in doing.crew.workers]
        before, began, then = ticks(), time.monotonic_ns(), [wanted_ns(pid) for pid in pids]
        time.sleep(seconds)
        took, after = time.monotonic_ns() - began, [wanted_ns(pid) for pid in pids]
        least = min((now - was) / took for was, now in zip(then, after, strict=True))
        return shares(before, ticks()), 100.0 * least, doing.signs()


def main() -> None:
    """Prints a line a load."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--crews", type=int, default=25)
    parser.add_argument("--flips", type=int, default=200)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    rng = np.random.default_rng(given.seed)
    with tempfile.TemporaryDirectory() as name:
        for load in LOADS.values():
            answers = answers_at_stock(load, Path(name))
            told = []
            for _ in range(given.crews):
                fault = fault_of(load, len(cores()), rng)
                signs = caught_by_crew(load, answers, fault, cores(), rounds=ROUNDS + 2)
                why = signs.ended.why if signs.ended else ""
                told.append(f"worker {fault.worker + 1} " in why and why.endswith(f"round {fault.round + 1}"))
            missed = missed_in_one_process(load, given.flips, rng)
            share, least, signs = busy(load, answers, given.seconds)
            cores_busy = ", ".join(f"{core} {value:.1f} %" for core, value in share.items())
            print(
                f"{load.name}: {sum(told)} of {given.crews} caught and named, {given.flips - len(missed)} of "
                f"{given.flips} caught in one process; {cores_busy}; each worker wanted its core "
                f"for {least:.1f} % of the time at the least; {sum(signs.rounds)} rounds, "
                f"{signs.errors} wrong",
                flush=True,
            )


if __name__ == "__main__":
    main()
