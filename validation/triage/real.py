"""Recorded frames: good runs of two machines, judged in every combination of two to four of a cell."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import present
from evenhand.desk.runs.candidates import CellOnRecord, Loader
from evenhand.desk.runs.triaging import spreads_of
from evenhand.records.tests import Test
from evenhand.store.workbench import open_workbench
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.spread import of_others
from evenhand.triage.triage import triage_cell
from validation.triage.table import holds, kinds
from validation.triage.tables import Table, percent, text

CAPPED = "capped-menu"
"""The test of the recorded study that is held at 60 a second on purpose, undeclared: it should be found."""

SIZES = (2, 3, 4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One run in one combination of its cell, with or without the other machine's runs beside it."""

    test: str
    n: int
    peers: bool
    run: str
    held: frozenset[str]
    told: frozenset[str]


def real_frames(folder: Path, *, markdown: bool = False) -> str:
    """Both tables: how many good recorded runs are held, and whether the held rate is found."""
    return text("recorded frames", _rows(list(judged(folder))), markdown=markdown)


def judged(folder: Path) -> Iterator[Judged]:
    """Every run of the folder in every combination; the folder is imported into a scratch workbench."""
    with tempfile.TemporaryDirectory() as scratch, open_workbench(Path(scratch) / "real.evenhand") as wb:
        study = import_folder(wb, folder, now=present()).study
        record = load_study(wb, study)
        loader = Loader(wb=wb, sensor_logs={})
        for test in record.tests.values():
            cells = {setup: loader.cell(record, test, setup) for setup in record.setups}
            yield from _of_test(record, test, cells)


def _of_test(record: StudyOnRecord, test: Test, cells: Mapping[str, CellOnRecord]) -> Iterator[Judged]:
    spreads = spreads_of(record)
    for setup, cell in cells.items():
        others = tuple(other.counting for name, other in cells.items() if name != setup)
        for peers in (True, False):
            around = Company(
                test=test,
                peers=others if peers else (),
                ambient_c=record.study.ambient_c,
                study_spread=of_others(spreads, but=(test.key, setup)),
            )
            for n in SIZES:
                for some in combinations(cell.counting, n):
                    yield from _of_runs(test.key, some, around)


def _of_runs(test: str, runs: tuple[Candidate, ...], around: Company) -> Iterator[Judged]:
    for run, faults in triage_cell(runs, around).items():
        held = holds(faults)
        yield Judged(
            test=test,
            n=len(runs),
            peers=bool(around.peers),
            run=run,
            held=frozenset(held),
            told=frozenset(kinds(faults) - held),
        )


def _rows(found: list[Judged]) -> Table:
    rows = []
    for test in dict.fromkeys(each.test for each in found):
        for peers in (True, False):
            own = [each for each in found if each.test == test and each.peers is peers]
            shares = []
            for n in SIZES:
                some = [each for each in own if each.n == n]
                shares.append(f"{percent(sum(bool(e.held) for e in some), len(some))} of {len(some)}")
            for_ = Counter(kind for each in own for kind in each.held)
            noted = Counter(kind for each in own for kind in each.told)
            beside = "with the other machine" if peers else "alone"
            rows.append([f"{test}, {beside}", *shares, _listed(for_), _listed(noted)])
    return ("test", *(f"held n = {n}" for n in SIZES), "for", "only noted"), rows


def _listed(counts: Counter[str]) -> str:
    return ", ".join(f"{kind} {count}" for kind, count in counts.most_common()) or "–"
