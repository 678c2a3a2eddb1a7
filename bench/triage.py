"""Triage as a share of parsing the same logs: ``python -m bench.triage``.

One test of 18 runs on three setups, about 12,000 frames and 16 columns a log: each run has five siblings, and
two other setups beside its own. Prints milliseconds of processor time a run, the ratio, and what each
detector takes. Nothing here gates a test.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from bench import logs
from validation.triage.runs import draw_cell, elsewhere, frames
from validation.triage.scenes import draw_course, draw_scene

from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces.frames import read_frames
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.triage import DETECTORS, triage_cell
from evenhand.triage.view import look

SETUPS, RUNS = "abc", 6
COLUMNS = (
    Column(header="frame_ms", role=Role.FRAME_TIME, unit="ms"),
    Column(header="elapsed_s", role=Role.ELAPSED, unit="s"),
)

Cells = Sequence[tuple[Candidate, ...]]


def main() -> None:
    """Measure and print."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--rounds", type=int, default=5)
    rounds = words.parse_args().rounds
    cells, around = draw_test(np.random.default_rng(1))
    runs = [run for cell in cells for run in cell]
    parse, whole, alone = [], [], []
    with tempfile.TemporaryDirectory() as scratch:
        paths = write(runs, Path(scratch))
        for _ in range(rounds):
            parse.append(parse_ms(paths))
            whole.append(triage_ms(cells, around, shared=True))
            alone.append(triage_ms(cells, around, shared=False))
    count = statistics.mean(frames(run).size for run in runs)
    print(f"{len(runs)} runs of {count:,.0f} frames, {rounds} rounds, medians\n")
    print("| | ms a run | share of parsing |\n|---|---|---|")
    for name, spent in (
        ("parse", parse),
        ("triage, all cells of the test", whole),
        ("triage, one cell anew", alone),
    ):
        ratios = [a / b for a, b in zip(spent, parse, strict=True)]
        print(f"| {name} | {statistics.median(spent):.1f} | {statistics.median(ratios):.2f} |")
    print("\n| detector | ms a run |\n|---|---|")
    for name, spent_ms in sorted(by_detector(cells, around, rounds).items(), key=lambda item: -item[1]):
        print(f"| {name} | {spent_ms:.2f} |")


def draw_test(rng: np.random.Generator) -> tuple[Cells, Company]:
    """Three cells of one scene at 200 frames a second, a minute long, with sensor logs beside."""
    scene = replace(
        draw_scene(rng),
        fps=200.0,
        length_s=60.0,
        kind="waves",
        course=draw_course("waves", 60.0, rng),
        noise=0.03,
        memory=0.5,
        hitches_a_second=0.05,
        hitch_places_s=(),
        spread=0.01,
        shape=0.006,
        locked_fps=None,
        by_frames=False,
        free_length=False,
        clock=True,
        sensors=True,
    )
    cells = tuple(draw_cell(elsewhere(scene, rng), RUNS, rng, setup=name) for name in SETUPS)
    return cells, Company(test=scene.test, study_spread=((1e-4, 5.0),) * 14)


def write(runs: Sequence[Candidate], folder: Path) -> list[Path]:
    """The same runs as logs of 16 columns."""
    rng = np.random.default_rng(2)
    paths = [folder / f"{run.id}.csv" for run in runs]
    for run, path in zip(runs, paths, strict=True):
        logs.write_log(path, frames(run), rng)
    return paths


def parse_ms(paths: Sequence[Path]) -> float:
    """Milliseconds a log on one thread, from bytes in memory to frames."""
    texts = [path.read_bytes() for path in paths]
    layout = Layout(fingerprint="", kind=LogKind.FRAMES, columns=COLUMNS)
    start = time.process_time()
    for text, path in zip(texts, paths, strict=True):
        read_frames(text, layout, name=path.name)
    return 1000 * (time.process_time() - start) / len(paths)


def triage_ms(cells: Cells, around: Company, *, shared: bool) -> float:
    """Milliseconds a run: all cells with what was prepared once, as for a study, or one cell from nothing."""
    prepared = Prepared(DEFAULT)
    judged = cells if shared else cells[:1]
    start = time.process_time()
    for cell in judged:
        peers = tuple(other for other in cells if other is not cell)
        triage_cell(cell, replace(around, peers=peers), prepared=prepared)
    return 1000 * (time.process_time() - start) / sum(len(cell) for cell in judged)


def by_detector(cells: Cells, around: Company, rounds: int) -> dict[str, float]:
    """Milliseconds a run that each detector takes in one cell, whoever first needs a thing paying for it."""
    spent: dict[str, list[float]] = {"prepare": []}
    for _ in range(rounds):
        start = time.process_time()
        view = look(cells[0], replace(around, peers=tuple(cells[1:])), DEFAULT)
        spent["prepare"].append(time.process_time() - start)
        for detector in DETECTORS:
            start = time.process_time()
            view = view.with_found(list(detector(view)))
            name = getattr(detector, "__name__", str(detector))
            spent.setdefault(name, []).append(time.process_time() - start)
    return {name: 1000 * statistics.median(times) / RUNS for name, times in spent.items()}


if __name__ == "__main__":
    main()
