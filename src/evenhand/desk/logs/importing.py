"""Bring a study's folder in: every run acknowledged once it is safely on record, and never twice."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import islice
from pathlib import Path

from evenhand.desk.comparison.recalling import disagreeing_now
from evenhand.desk.listing import waiting
from evenhand.desk.logs.column_questions import Ask, Question
from evenhand.desk.logs.identity import run_id
from evenhand.desk.logs.layouts import Shelf, foretell, meaning, remember, remembered
from evenhand.desk.logs.log_files import file_bytes, file_size
from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.measuring_again import as_cut_before, measured_as_cut
from evenhand.desk.logs.missing_past import missing_past
from evenhand.desk.logs.past import Past, take_over_changes, take_over_results
from evenhand.desk.logs.reading_ahead import BATCH, read_ahead
from evenhand.desk.logs.readings import Reader, Reading, Source
from evenhand.desk.logs.storing import facts_of, run_of, store
from evenhand.desk.logs.study_folders import open_folder
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.parts.noting import take_in_facts
from evenhand.desk.runs.run_notes import files_elsewhere
from evenhand.desk.runs.triaging import triage_study
from evenhand.desk.study.away import refuse_away
from evenhand.desk.study.field_changes import FieldChange, changes_known, changes_since
from evenhand.desk.study.photos_moved import take_in_photos
from evenhand.desk.study.shared_orders import SharedOrder, shared_in_file
from evenhand.desk.study.shared_records import refuse_shared_changes, used_elsewhere
from evenhand.desk.study.worth import take_in_offers, take_in_prices, take_in_rates, take_in_sound
from evenhand.desk.tuning.brought import NOTHING, TunedBrought
from evenhand.desk.tuning.differing import changes_of_tuned, refuse_differing
from evenhand.desk.tuning.heat_taking_in import take_in_heat
from evenhand.desk.tuning.taking_in import take_in_trials
from evenhand.folders.study_folder import NO_PAST, PastLines, RunEntry, StudyFolder
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Decision, Run
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import arrivals, decisions, results, shelves
from evenhand.store import metrics as metric_store
from evenhand.store import runs as run_store
from evenhand.store.rows import Saved
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A file that could not be used. The bytes of a run's are kept, a photo's are not.

    `header` marks logs with one header whose columns nobody has confirmed; `sure` says how the guess stands.
    """

    file: str
    why: str
    header: str = ""
    sure: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did: how many runs were new, changed or the same, and which files were refused.

    `not_named` are runs that came with the study before and that its folder names no longer: a corrected
    boot, order or log makes another run, and the earlier one goes on counting until it is set aside.
    `changes` are fields of the study, its tests, setups, builds, parts and tuned parts, and scores and other
    facts of its runs, that were otherwise on record before; `shared_orders` the places in the order that
    several runs have; `disagreeing` the numbers of frozen results that came in and name today's code and
    inputs, but hold
    another answer; `waiting` the runs of the study that wait for a decision now; `missing_past` what the
    study file tells of its past that came with none of its files; `elsewhere` the runs, by label, whose file
    is on record as a run of another study too, and as which; `tuned` what came of limits, trials and
    temperature logs of tuned parts.
    """

    study: str
    new: int
    changed: int
    same: int
    refused: tuple[Refused, ...]
    decisions: int
    not_named: tuple[Run, ...] = ()
    changes: tuple[FieldChange, ...] = ()
    shared_orders: tuple[SharedOrder, ...] = ()
    disagreeing: tuple[int, ...] = ()
    waiting: tuple[RunOnRecord, ...] = ()
    missing_past: PastLines = NO_PAST
    elsewhere: tuple[tuple[str, str], ...] = ()
    tuned: TunedBrought = NOTHING

    @property
    def needs_you(self) -> bool:
        """Whether a file was refused, a run waits for a decision, or the order of a test has a slip."""
        return bool(self.refused or self.waiting or any(each.to_mend for each in self.shared_orders))


@dataclass(slots=True, kw_only=True)
class _Tally:
    counts: dict[Saved, int]
    refused: list[Refused]

    def note_trouble(self, *sources: Source | None) -> None:
        for source in sources:
            if source is not None and source.trouble is not None:
                file = source.kept.name if source.kept else source.trouble.where
                asked = source.question
                header = asked.layout.fingerprint if asked else ""
                sure = asked is None or asked.sure
                self.refused.append(Refused(file=file, why=str(source.trouble), header=header, sure=sure))


def import_folder(
    wb: Workbench, folder: Path, *, now: datetime, ask: Ask | None = None, watch: Watch | None = None
) -> ImportReport:
    """Everything a study folder holds, onto the workbench.

    `ask` is called once for each header whose columns nobody has confirmed; without it such logs are
    refused. `watch` is told after each batch of runs is safely on record, and while they are judged.
    Importing again changes only what changed. Raises BadRecord before anything is stored where the study
    file cannot be used, or the study is put away: an import brings none back.
    """
    found = as_cut_before(wb, open_folder(folder))
    refuse_away(wb, found.study.key)
    refuse_shared_changes(wb, found)
    refuse_differing(wb, found)
    known, of_tuned = changes_known(wb, found), changes_of_tuned(wb, found, now=now)
    had = {each.id for each in results.results_of(wb, found.study.key)}
    with wb.writing(), measured_as_cut(wb, [test.key for test in found.tests], now=now):
        refuse_away(wb, found.study.key)  # somebody may have put it away since we looked
        missing = missing_past(wb, folder, found, now=now)
        take_over_past(wb, folder, found, now=now)
        brought = take_in_trials(wb, found.tuned, found.trials, now=now)
    unusable = (
        Refused(file=file, why=why) for file, why in take_in_photos(wb, folder, found.photos, now=now)
    )
    tally = _Tally(counts=dict.fromkeys(Saved, 0), refused=list(unusable))
    entries = import_runs(wb, folder, found, now=now, ask=ask, watch=watch, tally=tally)
    brought += import_heat(wb, folder, found, now=now, ask=ask, tally=tally)
    foretell(wb, found.layouts, now=now)
    decided = import_decisions(wb, entries)
    if len(entries) == len(found.runs):  # of a file that cannot be had nobody knows which run it is
        # A run that was filed by itself never stood in the folder: that is silent about it, and no more.
        named = {run for run, entry in entries if entry.named} | arrivals.runs_filed(wb, found.study.key)
        run_store.note_named(wb, found.study.key, named, now=now)
    triage_study(wb, found.study.key, now=now, watch=watch)
    record = load_study(wb, found.study.key)
    return ImportReport(
        study=found.study.key,
        new=tally.counts[Saved.NEW],
        changed=tally.counts[Saved.CHANGED],
        same=tally.counts[Saved.SAME],
        refused=tuple(dict.fromkeys(tally.refused)),
        decisions=decided,
        not_named=tuple(not_named(wb, found.study.key, {run for run, _ in entries})),
        changes=(*(() if known is None else changes_since(wb, found, known)), *of_tuned),
        shared_orders=shared_in_file(folder, found, record),
        disagreeing=results_that_disagree(wb, found.study.key, had),
        waiting=waiting(record),
        missing_past=missing,
        elsewhere=tuple(files_elsewhere(wb, record)),
        tuned=brought,
    )


def results_that_disagree(wb: Workbench, study: str, had: Collection[int]) -> tuple[int, ...]:
    """The frozen results that came in just now, and that what came with them does not give."""
    return disagreeing_now(wb, study, [r for r in results.results_of(wb, study) if r.id not in had])


def take_over_past(wb: Workbench, folder: Path, found: StudyFolder, *, now: datetime) -> None:
    """What the study was before it came here, what it is now, and what was frozen of it."""
    past = Past(folder=folder, found=found)
    elsewhere = ((type(each).__name__.lower(), each.key) for each, _ in used_elsewhere(wb, found))
    take_over_changes(wb, past, elsewhere=elsewhere)
    save_records(wb, found, now=now)
    take_over_results(wb, past)


def not_named(wb: Workbench, study: str, named: set[str]) -> Iterator[Run]:
    """Runs that came with this study before and that its folder names no longer; they still count."""
    filed = arrivals.runs_filed(wb, study)
    for run in run_store.runs_of(wb, study):
        if run.id not in named | filed and run_store.studies_of(wb, run.id)[0] == study:
            yield run


def save_records(wb: Workbench, found: StudyFolder, *, now: datetime) -> None:
    """Parts, builds, setups, tests, and the study that names them."""
    records: list[Part | Build | Setup | Test | Study] = [*found.parts, *found.builds, *found.setups]
    for record in (*records, *found.tests, found.study):
        shelves.save(wb, record, now=now)
    take_in_facts(wb, found.facts, now=now)
    take_in_prices(wb, found.prices, now=now)
    take_in_sound(wb, found.sound, now=now)
    take_in_offers(wb, found.offers, now=now)
    take_in_rates(wb, found.rates, now=now)


def import_runs(
    wb: Workbench,
    folder: Path,
    found: StudyFolder,
    *,
    now: datetime,
    ask: Ask | None,
    watch: Watch | None,
    tally: _Tally,
) -> list[tuple[str, RunEntry]]:
    """Read every run and store it, some at a time; the run ids with their entries."""
    reader = reader_for(wb, folder, found)
    place = _Places(study=found.study.key)
    stored: list[tuple[str, RunEntry]] = []
    done = 0
    with closing(read_ahead(reader, found.runs)) as readings:
        while batch := list(islice(readings, BATCH)):
            answered = [answer(wb, reader, reading, now=now, ask=ask) for reading in batch]
            with wb.writing():
                for reading in answered:
                    tally.note_trouble(reading.log, reading.sensors)
                    if not reading.had:
                        continue
                    run = run_of(reading, study=place.study, run_id=place.id_of(reading))
                    tally.counts[store(wb, run, reader, reading, now=now)] += 1
                    stored.append((run.id, reading.entry))
            done += len(batch)
            if watch is not None:
                watch(done, len(found.runs), batch[-1].entry.label)
    return stored


def import_heat(
    wb: Workbench, folder: Path, found: StudyFolder, *, now: datetime, ask: Ask | None, tally: _Tally
) -> TunedBrought:
    """The temperature logs of tuned parts, each with its file; what came of them."""
    if not found.heat:
        return NOTHING
    reader = reader_for(wb, folder, found)
    confirm = partial(confirmed, wb, reader, now=now, ask=ask)
    taken = list(take_in_heat(wb, reader, found.heat, confirm, now=now))
    tally.note_trouble(*(each.source for each in taken))
    return sum((each.brought for each in taken), start=NOTHING)


def reader_for(wb: Workbench, folder: Path, found: StudyFolder) -> Reader:
    """A reader that knows what this study has on record already."""
    known = run_store.runs_of(wb, found.study.key)
    measured = metric_store.metrics_of(wb, found.study.key)
    current = {r.id for r in known if r.id in measured and measured[r.id].code_version == CODE_VERSION}
    layouts = remembered(wb)
    says = {layout.fingerprint: meaning(layout) for layout in layouts}
    tests = {test.key: test for test in shelves.every(wb, Test)}
    by_run = {
        r.id: (says[r.log_layout], window_of(tests[r.test], r).sides)
        for r in known
        if r.id in current and r.log_layout
    }
    return Reader(
        bytes_of=partial(file_bytes, folder),
        size_of=partial(file_size, folder),
        layouts=Shelf(entries=found.layouts, remembered=layouts),
        stored=frozenset(mark for r in known for mark in (r.log, r.sensors) if mark),
        measured=frozenset((r.log, by_run[r.id]) for r in known if r.log and r.id in by_run),
        by_run=by_run,
        windows={test.key: test.window for test in found.tests if test.window is not None},
    )


def answer(wb: Workbench, reader: Reader, reading: Reading, *, now: datetime, ask: Ask | None) -> Reading:
    """Where columns are not confirmed, ask once for the header and read again."""
    questions = [s.question for s in (reading.log, reading.sensors) if s and s.question]
    if not questions:
        return reading
    if not all(confirmed(wb, reader, asked, now=now, ask=ask) for asked in questions):
        return reading
    return reader.read(reading.entry)


def confirmed(wb: Workbench, reader: Reader, asked: Question, *, now: datetime, ask: Ask | None) -> bool:
    """Whether somebody has confirmed these columns: just now, or for an earlier file."""
    shelf, mark = reader.layouts, (asked.layout.fingerprint, *meaning(asked.layout))
    if shelf.knows(asked.layout):
        return True
    if ask is None or mark in shelf.declined:
        return False
    if not ask(asked):
        shelf.declined.add(mark)
        return False
    shelf.learn(remember(wb, asked.layout, now=now))
    return True


class _Places:
    """Counts copies: the second run with the very same facts is a run of its own."""

    def __init__(self, *, study: str) -> None:
        self.study = study
        self._seen: dict[tuple[object, ...], int] = {}

    def id_of(self, reading: Reading) -> str:
        facts = facts_of(self.study, reading)
        copy = self._seen.get(facts, 0)
        self._seen[facts] = copy + 1
        return run_id(*facts, copy)


def import_decisions(wb: Workbench, entries: Sequence[tuple[str, RunEntry]]) -> int:
    """Decisions that the folder brings and the workbench does not know yet; how many."""
    added = 0
    with wb.writing():
        for run, entry in entries:
            known = set(map(_told, decisions.decisions_of_run(wb, run))) if entry.decisions else set()
            for each in entry.decisions:
                decision = Decision(
                    run=run,
                    at=each.at,
                    state=each.state,
                    reason=each.reason,
                    note=each.note,
                    over=each.over,
                    masked=each.masked,
                    grounds=each.grounds,
                )
                if _told(decision) not in known:
                    decisions.add_decision(wb, decision)
                    added += 1
    return added


def _told(decision: Decision) -> tuple[object, ...]:
    return (decision.at, decision.state, decision.reason, decision.note)
