"""A file comes in, is kept at once, and lands as a run: read, measured, stored, judged with its siblings.

A log lands once: the same bytes for the same test and setup are the same run, however often and from however
many sides they come. What cannot land waits in the inbox with the reason, and nothing of it is lost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from evenhand.desk.bench.landed_tests import judge_landed
from evenhand.desk.bench.making_runs import Case, Made, from_log, from_rows, from_score, place_of_score
from evenhand.desk.bench.placing import note_waiting
from evenhand.desk.bench.run_facts import noted, slot_of, sound
from evenhand.desk.bench.slot_readings import carry_late
from evenhand.desk.logs.arrival_names import next_name, tidy
from evenhand.desk.logs.identity import digest
from evenhand.desk.on_record import NO_METRICS, NOT_JUDGED, RunOnRecord
from evenhand.desk.study.away import refuse_away, refuse_landing
from evenhand.errors import BadLog, BadRecord
from evenhand.folders.study_folder import RunEntry
from evenhand.metrics.wall import with_wall
from evenhand.records.layouts import Layout
from evenhand.records.plans import Arrival
from evenhand.records.states import state_of
from evenhand.records.tests import Measures, Test
from evenhand.store import arrivals, decisions, faults, metrics, originals
from evenhand.store import runs as run_store
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import check_size


@dataclass(frozen=True, slots=True, kw_only=True)
class Filing:
    """What somebody says of a file: which run it is, and what is known of that run.

    `plan` and `slot` name its place in the plan, which gives boot and order where nobody says otherwise;
    `sensors` is the sensor log that came beside it; `score` is a score typed by hand or found by a rig.
    """

    study: str
    test: str
    setup: str
    boot: str | None = None
    order: int | None = None
    started_at: datetime | None = None
    duration_s: float | None = None
    ambient_c: float | None = None
    wall_w: float | None = None
    stamps: Mapping[str, str] = field(default_factory=dict)
    label: str = ""
    plan: int | None = None
    slot: int | None = None
    sensors: Arrival | None = None
    score: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Landed:
    """The run that was made, and those of further rows of its score table; `again` if it was there before."""

    run: RunOnRecord
    also: tuple[RunOnRecord, ...] = ()
    again: bool = False


def arrive(
    wb: Workbench, data: bytes, *, name: str, by: str, about: Mapping[str, str], now: datetime
) -> Arrival:
    """Keep a file's bytes before anybody knows what it is; when this returns they are safe.

    The very same bytes under the same name and from the same side are the same arrival. Raises BadLog where
    it holds more than a log may.
    """
    if data:  # a file without bytes is an arrival too: it waits with the reason
        check_size(len(data), name=name)
    mark, known_as = digest(data), tidy(name)
    packed = b"" if originals.on_record(wb, mark) else originals.pack_original(data)
    with wb.writing():
        for before in arrivals.arrivals_of(wb, mark):
            if (before.name, before.by) == (known_as, by):
                return before
        originals.keep_packed(wb, packed, name=known_as, digest=mark)
        return arrivals.add_arrival(wb, Arrival(digest=mark, name=known_as, by=by, about=dict(about), at=now))


def land(
    wb: Workbench, arrival: Arrival, filing: Filing, *, by: str, now: datetime, layout: Layout | None = None
) -> Landed:
    """Make a run of a file that came in, and judge the runs of its test again.

    `layout` says what the columns of the log, or of its sensor log, are: it is used and remembered. Raises
    BadLog or BadRecord where no run can be made of it; the arrival waits with that reason then.
    """
    try:
        refuse_landing(wb, filing.study)
        entry = entry_of(wb, filing, label=arrival.name)
        test = sound(wb, filing.study, entry)
        case = Case(
            wb=wb, study=filing.study, arrival=arrival, entry=entry, by=by, now=now, layout=layout,
            sensors=filing.sensors, plan=filing.plan, slot=filing.slot,
        )  # fmt: skip
        made = runs_of(case, test)
    except (BadLog, BadRecord) as trouble:
        note_waiting(wb, arrival, str(trouble), study=filing.study, by=by, now=now)
        raise
    if not made[0].again:
        carry_late(wb, made[0].run, entry, (filing.plan, filing.slot), now=now)
    return judged(wb, filing, made, now=now)


def runs_of(case: Case, test: Test) -> list[Made]:
    """The runs that a file gives, by what its test measures."""
    name = case.arrival.name
    if test.measures is Measures.FRAMES:
        return [from_log(replace(case, entry=named_apart(replace(case.entry, log=name))))]
    if case.entry.score is not None:
        return [from_score(replace(case, entry=named_apart(case.entry)))]
    return from_rows(replace(case, entry=named_apart(replace(case.entry, scores=name))), test)


def named_apart(entry: RunEntry) -> RunEntry:
    """The same entry; a sensor log that bears the name of the log it came with goes by another."""
    if entry.sensors is None or entry.sensors not in (entry.log, entry.scores):
        return entry
    return replace(entry, sensors=next_name(entry.sensors, [entry.sensors]))


def land_score(wb: Workbench, filing: Filing, *, by: str, now: datetime) -> Landed:
    """Make a run of a score that came without a file: typed by hand, or found by a rig in what a test said.

    What was typed is kept as a small file of its own. A score for a place in the order that has one already
    corrects it. Raises BadRecord where no run can be made of it.
    """
    refuse_away(wb, filing.study)
    entry = entry_of(wb, filing, label="")
    sound(wb, filing.study, entry)
    if filing.score is None:
        raise BadRecord("no score was given", where=filing.test, todo="type the score")
    with wb.writing():
        known, before = place_of_score(wb, filing.study, entry)
        there = before is not None and before.score == filing.score
        if not there:
            arrival = typed(wb, filing, by=by, now=now)
    if there:
        return judged(wb, filing, [Made(run=known, again=True)], now=now)
    return land(wb, arrival, filing, by=by, now=now)


def typed(wb: Workbench, filing: Filing, *, by: str, now: datetime) -> Arrival:
    """What somebody typed, as a small file that came in."""
    facts = ("study", "test", "setup", "boot", "order", "started_at", "score")
    text = as_text({**{key: getattr(filing, key) for key in facts}, "by": by, "at": now})
    name = f"{filing.setup}-{filing.test}-score.json"
    return arrive(wb, text.encode(), name=name, by=by, about={}, now=now)


def entry_of(wb: Workbench, filing: Filing, *, label: str) -> RunEntry:
    """What is said of a run, with what its slot of the plan and the notes beside it say as well.

    Raises BadRecord where there is no such slot, or it is one for another test or setup.
    """
    slot = slot_of(wb, filing.study, filing.plan, filing.slot)
    if slot is not None and (slot.test, slot.setup) != (filing.test, filing.setup):
        raise BadRecord(
            f"slot {slot.number} is for {slot.test} on {slot.setup}, not for {filing.test} on {filing.setup}",
            where=label,
            todo="file it under its own slot, or without one",
        )
    beside = noted(wb, filing.plan, filing.slot)
    return RunEntry(
        test=filing.test,
        setup=filing.setup,
        label=filing.label,
        score=filing.score,
        sensors=None if filing.sensors is None else filing.sensors.name,
        boot=filing.boot if filing.boot or slot is None else slot.boot,
        order=filing.order if filing.order is not None or slot is None else slot.order,
        started_at=filing.started_at,
        duration_s=filing.duration_s,
        ambient_c=beside.get("ambient_c") if filing.ambient_c is None else filing.ambient_c,
        wall_w=beside.get("wall_w") if filing.wall_w is None else filing.wall_w,
        stamps=filing.stamps,
    )


def judged(wb: Workbench, filing: Filing, made: Sequence[Made], *, now: datetime) -> Landed:
    """The runs as they stand once the runs of their test were judged again."""
    judge_landed(wb, filing.study, filing.test, now=now)
    first, *further = (one_run(wb, filing.study, each.run) for each in made)
    return Landed(run=first, also=tuple(further), again=made[0].again)


def one_run(wb: Workbench, study: str, run: str) -> RunOnRecord:
    """One run of a study with its numbers, faults and state."""
    measured, triaged = metrics.metrics_of_run(wb, run), faults.faults_of_run(wb, run)
    found = triaged.faults if triaged else (NOT_JUDGED,)
    decided = decisions.decisions_of_run(wb, run)
    own = replace(run_store.run(wb, run), study=study)
    return RunOnRecord(
        run=own,
        metrics=with_wall(measured.metrics, own.wall_w) if measured else NO_METRICS,
        faults=found,
        decision=decided[-1] if decided else None,
        state=state_of(found, decided),
    )
