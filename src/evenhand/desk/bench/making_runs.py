"""One file that came in into its run, or its runs: read outside any transaction, stored in one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from itertools import count

from evenhand.desk.bench.placing import place
from evenhand.desk.bench.run_facts import label_for
from evenhand.desk.logs.column_questions import in_doubt
from evenhand.desk.logs.identity import run_id
from evenhand.desk.logs.layouts import Shelf, header_of, remember, remembered
from evenhand.desk.logs.measuring_again import windows_standing
from evenhand.desk.logs.readings import Reader, Reading
from evenhand.desk.logs.storing import facts_of, run_of, store
from evenhand.desk.runs.candidates import OUT
from evenhand.desk.study.away import refuse_landing
from evenhand.errors import BadLog, BadRecord
from evenhand.folders.study_folder import RunEntry, ScoreKey
from evenhand.records.layouts import Layout
from evenhand.records.plans import Arrival, Placing
from evenhand.records.runs import Run
from evenhand.records.tests import Test
from evenhand.store import arrivals, decisions, originals
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import normalised
from evenhand.traces.scores import read_scores
from evenhand.traces.trace import ScoreRow

FILLED = ("boot", "order", "started_at", "duration_s", "ambient_c", "wall_w", "sensors", "sensor_layout")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One file that is to become a run of a study: what is said of the run, and by whom.

    `entry.log` and `entry.sensors` are names; the bytes are those of `arrival` and `sensors`. `layout` says
    what the columns of one of them are.
    """

    wb: Workbench
    study: str
    arrival: Arrival
    entry: RunEntry
    by: str
    now: datetime
    sensors: Arrival | None = None
    plan: int | None = None
    slot: int | None = None
    layout: Layout | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A run that is on record now; `again` if it was before."""

    run: str
    again: bool


def from_log(case: Case) -> Made:
    """The run of a frame log. Raises BadLog or BadRecord where it cannot be read as one."""
    known = run_id(case.arrival.digest, case.entry.test, case.entry.setup, 0)
    before = on_record_in(case, known)
    if before is not None:
        if case.sensors is None or before.sensors is not None:
            return fill_in(case, before)
        case = replace(case, entry=told_before(case.entry, before))
    reader = reader_of(case)
    reading = readable(reader.read(case.entry))
    return keep(case, reader, reading, run=known)


def from_score(case: Case) -> Made:
    """The run of a score that was typed, or found in what a test said."""
    placed = placed_before(case)
    reader = reader_of(case)
    reading = readable(reader.read(case.entry))
    with case.wb.writing():
        known = placed or place_of_score(case.wb, case.study, case.entry)[0]
        return keep(case, reader, reading, run=known)


def from_rows(case: Case, test: Test) -> list[Made]:
    """A run for each row of a score table that is of this test.

    Raises BadLog or BadRecord where the table cannot be read, or no row is of this test.
    """
    reader = reader_of(case)
    rows = rows_for(case, reader, test)
    further = replace(case, entry=replace(case.entry, label="", order=None, started_at=None))
    with case.wb.writing():
        return [from_row(further if at else case, reader, row) for at, row in enumerate(rows)]


def from_row(case: Case, reader: Reader, row: ScoreRow) -> Made:
    """The run of one row; a row that bears no name cannot be found again, and is kept as a score."""
    if not row.run:
        scored = replace(case.entry, score=row.score, scores=None)
        return from_score(replace(case, entry=scored))
    entry = replace(case.entry, row=ScoreKey(test=row.test or case.entry.test, run=row.run))
    reading = readable(reader.read(entry))
    facts = facts_of(case.study, reading)
    for copy in count():
        known = run_id(*facts, copy)
        found = run_store.on_record(case.wb, known)
        if found is None or found.log == case.arrival.digest:
            break
    return keep(replace(case, entry=entry), reader, reading, run=known)


def rows_for(case: Case, reader: Reader, test: Test) -> list[ScoreRow]:
    """The rows of a score table that are of a test: those that say so, or all where none says a test."""
    look = reader.read(replace(case.entry, row=ScoreKey(test="", run="")))
    if look.log is None or look.log.layout is None:
        readable(look)
        raise BadLog("no score can be read", where=case.arrival.name)
    name = case.arrival.name
    table = read_scores(originals.original(case.wb, case.arrival.digest), look.log.layout, name=name)
    wanted = {normalised(test.key).casefold(), normalised(test.name).casefold()}
    own = [row for row in table.rows if not row.test or normalised(row.test).casefold() in wanted]
    sound = [row for row in own if row.score > 0]
    if not sound:
        said = ", ".join(dict.fromkeys(row.test for row in table.rows if row.test)) or "no test"
        raise BadLog(
            f"no row holds a score of the test '{test.key}'; the table names {said}",
            where=name,
            todo="choose the test that the table is of",
        )
    if len(sound) > 1 and not all(row.run for row in sound):
        raise BadLog(
            f"{len(sound)} rows hold scores of the test '{test.key}', and not all of them bear a run's name",
            where=name,
            todo="name each run in a column of its own, or file the scores one by one",
        )
    return sound


def reader_of(case: Case) -> Reader:
    """A reader for this case's files, which are on record already."""
    digests = {case.arrival.name: case.arrival.digest}
    if case.sensors is not None and case.entry.sensors is not None:
        digests[case.entry.sensors] = case.sensors.digest
    layouts = remembered(case.wb)
    return Reader(
        bytes_of=lambda name: originals.original(case.wb, digests[name]),
        layouts=Shelf(remembered=layouts if case.layout is None else (*layouts, case.layout)),
        stored=frozenset(digests.values()),
        windows=windows_standing(case.wb, case.entry.test),
    )


def readable(reading: Reading) -> Reading:
    """The same reading. Raises what is wrong with its log, or that columns of its files are not confirmed."""
    for source in (reading.log, reading.sensors):
        if source is not None and source.question is not None:
            raise BadRecord(
                f"nobody has confirmed what its columns are{in_doubt(source.question)}",
                where=source.question.file,
                todo="look at the guess for each column and confirm it in the inbox",
            )
    if reading.log is not None and reading.log.trouble is not None:
        raise reading.log.trouble
    return reading


def keep(case: Case, reader: Reader, reading: Reading, *, run: str) -> Made:
    """Store what was read under this id, and what became of the files, in one transaction.

    Raises StudyIsAway where its study was put away since the file came in, and SlotFilled.
    """
    wb, now = case.wb, case.now
    with wb.writing():
        refuse_landing(wb, case.study)
        refuse_filled(case, run)
        before, anywhere = on_record_in(case, run), run_store.on_record(wb, run)
        made = run_of(reading, study=case.study, run_id=run)
        if anywhere is None:
            made = replace(made, label=label_for(wb, case.study, case.entry))
        else:  # another study may have it: it stays as it is told there
            made = filled(replace(anywhere, study=case.study), made)
            run_store.name_again(wb, case.study, run, now=now)
        if case.layout is not None:
            confirm(case, reading, case.layout)
        store(wb, made, reader, reading, now=now)
        note_placed(case, run)
    return Made(run=run, again=before is not None)


class SlotFilled(BadRecord):
    """A log for a place in the plan under which another one landed meanwhile, and stands."""


def refuse_filled(case: Case, run: str) -> None:
    """Raises SlotFilled where the slot that a log is for has a run of another log that is not left out."""
    if case.plan is None or case.slot is None or case.entry.log is None:
        return
    for placing in arrivals.placed_in_plan(case.wb, case.plan):
        if placing.slot != case.slot or placing.run in (None, run):
            continue
        decided = decisions.decisions_of_run(case.wb, str(placing.run))
        if not (decided and decided[-1].state in OUT):
            label = run_store.run(case.wb, str(placing.run)).label
            raise SlotFilled(
                f"run {case.slot} of the plan has landed meanwhile: {label}",
                where=case.arrival.name,
                todo="say in the inbox which run this log is, or set the other aside first",
            )


def fill_in(case: Case, before: Run) -> Made:
    """The run is on record: what it did not say is filled in, and nothing is read again."""
    entry, wb = case.entry, case.wb
    given = replace(
        before,
        boot=entry.boot,
        order=entry.order,
        started_at=entry.started_at,
        duration_s=entry.duration_s,
        ambient_c=entry.ambient_c,
        wall_w=entry.wall_w,
        stamps=entry.stamps,
    )
    with wb.writing():
        refuse_landing(wb, case.study)
        run_store.save_run(wb, filled(before, given), now=case.now)
        run_store.name_again(wb, case.study, before.id, now=case.now)
        note_placed(case, before.id)
    return Made(run=before.id, again=True)


def filled(before: Run, given: Run) -> Run:
    """A run as it is on record, with what it did not say yet; a score that is given corrects its own."""
    gaps = {key: getattr(given, key) for key in FILLED if getattr(before, key) is None}
    score = before.score if given.score is None else given.score
    return replace(before, **gaps, score=score, stamps={**given.stamps, **before.stamps})


def told_before(entry: RunEntry, before: Run) -> RunEntry:
    """What is said of a run, its start and length as they are on record already."""
    return replace(
        entry,
        started_at=before.started_at or entry.started_at,
        duration_s=before.duration_s or entry.duration_s,
    )


def on_record_in(case: Case, run: str) -> Run | None:
    """The run under this id, where this very study has it."""
    found = run_store.on_record(case.wb, run)
    if found is None or case.study not in run_store.studies_of(case.wb, run):
        return None
    return replace(found, study=case.study)


def place_of_score(wb: Workbench, study: str, entry: RunEntry) -> tuple[str, Run | None]:
    """The id that a score's run has or will have, and the run if it is on record already."""
    for copy in count():
        known = run_id(study, entry.test, entry.setup, entry.boot, entry.order, copy)
        found = run_store.on_record(wb, known)
        if found is None or (found.log is None and same_run(wb, found, entry)):
            return known, found
    raise AssertionError  # pragma: no cover  (copies do not end)


def same_run(wb: Workbench, found: Run, entry: RunEntry) -> bool:
    """Whether a score is that of a run on record, told once more or corrected, and not of another run.

    The start of the run tells; where nobody says it, the place in the order does, unless the run there was
    set aside: then it was made again.
    """
    if found.started_at is not None and entry.started_at is not None:
        return found.started_at == entry.started_at
    decided = decisions.decisions_of_run(wb, found.id)
    return entry.order is not None and not (decided and decided[-1].state in OUT)


def placed_before(case: Case) -> str | None:
    """The run that this very file was filed as before, for the same test and setup."""
    for placing in arrivals.placings_of(case.wb, case.arrival.id):
        found = None if placing.run is None else run_store.on_record(case.wb, placing.run)
        if found and (found.test, found.setup) == (case.entry.test, case.entry.setup):
            return found.id
    return None


def confirm(case: Case, reading: Reading, layout: Layout) -> None:
    """Remember the columns that somebody confirmed with this file. Raises BadRecord where it has others."""
    read_by = [s.layout for s in (reading.log, reading.sensors) if s is not None and s.layout is not None]
    if not any(header_of(each) == header_of(layout) for each in read_by):
        raise BadRecord(
            "the columns that were confirmed are those of another header",
            where=case.arrival.name,
            todo="look at the file again, and confirm its own columns",
        )
    remember(case.wb, layout, now=case.now)


def note_placed(case: Case, run: str) -> None:
    """Put on record what the files of this case were filed as."""
    filed = Placing(arrival=case.arrival.id, study=case.study, run=run, by=case.by, at=case.now)
    place(case.wb, replace(filed, plan=case.plan, slot=case.slot))
    if case.sensors is not None:
        place(case.wb, replace(filed, arrival=case.sensors.id))
