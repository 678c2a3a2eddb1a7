"""What triage says of takes recorded on a real machine: `python -m validation.recorded`."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np

from evenhand.records.tests import Direction, Measures, Test
from evenhand.traces.trace import Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.triage import triage_cell
from validation.triage.table import holds, kinds
from validation.triage.tables import percent, text

SETS = ("seen", "unseen")
GOOD = "good"
TICKS_PER_MS = 10_000
BESIDE = 5
STUDY = tuple((sd**2, 4.0) for sd in (0.004, 0.006, 0.008, 0.009, 0.010, 0.012, 0.02, 0.05))
"""Variances of the other cells of an ordinary study: nothing here is taken from the takes themselves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Take:
    """One recorded take, its scene, and what was done to it."""

    scene: str
    done: str
    run: Candidate


def takes_of(which: str) -> list[Take]:
    """All takes of a set, in the order they were recorded."""
    with np.load(Path(__file__).with_name(f"{which}.npz")) as file:
        return [_take(name, file[name] / TICKS_PER_MS) for name in sorted(file.files)]


def _take(name: str, times_ms: np.ndarray) -> Take:
    _, scene, done = name.split(".")
    clock_s = np.cumsum(np.concatenate(([0.0], times_ms[:-1]))) / 1000
    trace = Trace(frame_times_ms=times_ms, elapsed_s=clock_s)
    rate = 1000 * times_ms.size / float(times_ms.sum())
    return Take(scene=scene, done=done, run=Candidate(id=name, label=name, headline=rate, trace=trace))


def company_of(scene: str) -> Company:
    """No other machine beside, and an ordinary study around."""
    test = Test(
        key=scene,
        name=scene,
        measures=Measures.FRAMES,
        metric="average_fps",
        unit="fps",
        direction=Direction.HIGHER,
    )
    return Company(test=test, study_spread=STUDY)


def good_rows(takes: list[Take]) -> Iterator[tuple[str, ...]]:
    """For each scene and number of runs: how many good takes are held, in every combination."""
    for scene in dict.fromkeys(take.scene for take in takes):
        good = [take.run for take in takes if take.scene == scene and take.done == GOOD]
        for n in (3, 5):
            cells = combinations(good, n)
            found = [faults for cell in cells for faults in triage_cell(cell, company_of(scene)).values()]
            held = [holds(faults) for faults in found]
            what = ", ".join(sorted(set().union(*held))) or "–"
            yield scene, str(n), str(len(found)), percent(sum(map(bool, held)), len(found), 1), what


def spoilt_rows(takes: list[Take]) -> Iterator[tuple[str, ...]]:
    """For each spoilt take beside five good ones: what is held, what is only told, and good takes held."""
    for take in takes:
        if take.done == GOOD:
            continue
        good = [other.run for other in takes if other.scene == take.scene and other.done == GOOD][:BESIDE]
        found = triage_cell((take.run, *good), company_of(take.scene))
        held, told = holds(found[take.run.id]), kinds(found[take.run.id])
        beside = sum(bool(holds(found[run.id])) for run in good)
        yield (
            take.scene,
            take.done,
            ", ".join(sorted(held)) or "–",
            ", ".join(sorted(told - held)) or "–",
            str(beside),
        )


def main() -> None:
    """Print both tables of each set."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--set", choices=SETS, action="append")
    words.add_argument("--markdown", action="store_true")
    asked = words.parse_args()
    for which in asked.set or SETS:
        takes = takes_of(which)
        good = (("scene", "n", "judged", "held", "for"), list(good_rows(takes)))
        head = ("scene", "done to one take", "held for", "only noted", "good takes held")
        print(text(f"{which}: good takes", good, markdown=asked.markdown), end="\n\n")
        title = f"{which}: one spoilt take beside {BESIDE} good ones"
        print(text(title, (head, list(spoilt_rows(takes))), markdown=asked.markdown), end="\n\n")


if __name__ == "__main__":
    main()
