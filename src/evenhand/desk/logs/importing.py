"""Bring a study's folder in: every run acknowledged once it is safely on record, and never twice."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from evenhand.desk.comparison.recalling import disagreeing_now
from evenhand.desk.listing import waiting
from evenhand.desk.logs.column_questions import Ask
from evenhand.desk.logs.importing_runs import Refused, Tally, Watch, import_heat, import_runs
from evenhand.desk.logs.layouts import foretell
from evenhand.desk.logs.measuring_again import as_cut_before, measured_as_cut
from evenhand.desk.logs.missing_past import missing_past
from evenhand.desk.logs.past import Past, take_over_changes, take_over_results
from evenhand.desk.logs.study_folders import open_folder
from evenhand.desk.on_record import RunOnRecord, load_study
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
from evenhand.desk.tuning.taking_in import take_in_trials
from evenhand.desk.tuning.to_come import refuse_to_come
from evenhand.folders.study_folder import NO_PAST, PastLines, RunEntry, StudyFolder
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Decision, Run
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import arrivals, decisions, results, shelves
from evenhand.store import runs as run_store
from evenhand.store.rows import Saved
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did: how many runs were new, changed or the same, and which files were refused.

    `not_named` are runs that came with the study before and that its folder names no longer: a corrected
    boot, order or log makes another run, and the earlier one goes on counting until it is set aside.
    `changes` are fields of the study, its tests, setups, builds, parts and tuned parts, and scores and other
    facts of its runs, that were otherwise on record before; `shared_orders` the places in the order that
    several runs have; `disagreeing` the numbers of frozen results that came in and name today's code and
    inputs, but hold another answer; `waiting` the runs of the study that wait for a decision now;
    `missing_past` what the study file tells of its past that came with none of its files; `elsewhere` the
    runs, by label, whose file is on record as a run of another study too, and as which; `tuned` what came of
    limits, trials and temperature logs of tuned parts.
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


def import_folder(
    wb: Workbench, folder: Path, *, now: datetime, ask: Ask | None = None, watch: Watch | None = None,
    until: datetime | None = None,
) -> ImportReport:  # fmt: skip
    """Everything a study folder holds, onto the workbench.

    `ask` is called once for each header whose columns nobody has confirmed; without it such logs are
    refused. `watch` is told after each batch of runs is safely on record, and while they are judged.
    Importing again changes only what changed. Raises BadRecord before anything is stored where the study
    file cannot be used, or the study is put away: an import brings none back; and where it tells of tuned
    parts on days past `until`. Without one, as for an edition and the example, any day may be.
    """
    found = usable(wb, folder, until=until)
    known, of_tuned = changes_known(wb, found), changes_of_tuned(wb, found, now=now)
    had = {each.id for each in results.results_of(wb, found.study.key)}
    missing, brought = take_over(wb, folder, found, now=now)
    unusable = (
        Refused(file=file, why=why) for file, why in take_in_photos(wb, folder, found.photos, now=now)
    )
    tally = Tally(counts=dict.fromkeys(Saved, 0), refused=list(unusable))
    entries = import_runs(wb, folder, found, now=now, ask=ask, watch=watch, tally=tally)
    brought += import_heat(wb, folder, found, now=now, ask=ask, tally=tally)
    foretell(wb, found.layouts, now=now)
    decided = import_decisions(wb, entries)
    if len(entries) == len(found.runs):  # of a file that cannot be had nobody knows which run it is
        note_named(wb, found.study.key, entries, now=now)
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


def usable(wb: Workbench, folder: Path, *, until: datetime | None = None) -> StudyFolder:
    """What a folder holds. Raises BadRecord where its study may not be brought in as it stands there."""
    found = as_cut_before(wb, open_folder(folder))
    if until is not None:
        refuse_to_come(found, folder, now=until)
    refuse_away(wb, found.study.key)
    refuse_shared_changes(wb, found)
    refuse_differing(wb, found)
    return found


def results_that_disagree(wb: Workbench, study: str, had: Collection[int]) -> tuple[int, ...]:
    """The frozen results that came in just now, and that what came with them does not give."""
    return disagreeing_now(wb, study, [r for r in results.results_of(wb, study) if r.id not in had])


def take_over(
    wb: Workbench, folder: Path, found: StudyFolder, *, now: datetime
) -> tuple[PastLines, TunedBrought]:  # fmt: skip
    """What the study was before it came here, what it is now, what was frozen of it, and its tuned parts.

    Gives back what its file tells of its past that came with none of its files, and what is new of the parts.
    """
    past = Past(folder=folder, found=found)
    with wb.writing(), measured_as_cut(wb, [test.key for test in found.tests], now=now):
        refuse_away(wb, found.study.key)  # somebody may have put it away since we looked
        missing = missing_past(wb, folder, found, now=now)
        elsewhere = ((type(each).__name__.lower(), each.key) for each, _ in used_elsewhere(wb, found))
        take_over_changes(wb, past, elsewhere=elsewhere)
        save_records(wb, found, now=now)
        take_over_results(wb, past)
        brought = take_in_trials(wb, found.tuned, found.trials, now=now)
    return missing, brought


def note_named(wb: Workbench, study: str, entries: Iterable[tuple[str, RunEntry]], *, now: datetime) -> None:
    """Which runs the folder names.

    A run that was filed by itself never stood in the folder: that is silent about it, and no more.
    """
    named = {run for run, entry in entries if entry.named} | arrivals.runs_filed(wb, study)
    run_store.note_named(wb, study, named, now=now)


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
