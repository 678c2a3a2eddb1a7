"""A file that a program or a rig has sent: kept, landed where it is sure which run it is, else waiting."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from threading import Semaphore
from typing import Any

from evenhand.desk.bench.inbox import kind_inside, look_inside, without_name
from evenhand.desk.bench.landed_tests import judge_landed
from evenhand.desk.bench.lander import Errand, lander_of
from evenhand.desk.bench.landing import Landed, arrive, land, one_run
from evenhand.desk.bench.matching import filing_of, propose
from evenhand.desk.bench.placing import note_waiting, put_away, standing
from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.bench.sent_again import SentAgain, sent_again
from evenhand.desk.bench.told import Told, about_of, told_from
from evenhand.desk.logs.layouts import header_of, remember, remembered
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.study.away import AWAY_SINCE, StudyIsAway
from evenhand.errors import BadLog, BadRecord, EvenhandError, NotFound, nearest
from evenhand.folders.checks import check_layout
from evenhand.folders.study_folder import LayoutEntry
from evenhand.publish.numbers import run_words
from evenhand.records.builds import Build, Setup
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.plans import Arrival
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import arrivals, originals, shelves
from evenhand.store.away import studies_away
from evenhand.store.faults import unjudged_tests
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.probe import probe

# One step of the interpreter at a time: more at once land no sooner, and pages would share with all of them.
LANDING = Semaphore(2)
BESIDE = "Kept: a sensor log is filed with the run it was taken in, once that comes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """What became of a file: the run it landed as, or why it waits; neither for one that goes with a run.

    `before` says what it is already, where it was refused and yet does not wait; `doubt` why the clock of its
    rig cannot be right, "" where nothing speaks against it.
    """

    arrival: Arrival
    landed: Landed | None = None
    number: str = ""
    waits: str = ""
    before: SentAgain | None = None
    doubt: str = ""


def take_in(
    wb: Workbench, data: bytes, *, name: str, facts: Mapping[str, Any], by: str, now: datetime
) -> Came:
    """Keep a file and land it where it is sure which run it is. Raises BadLog past what a log may hold."""
    about = about_of(facts)
    arrival = arrive(wb, data, name=name, by=by, about=about, now=now)
    # Its bytes are safe from here on, whatever becomes of the process that lands it.
    aside: Came | None = lander_of(wb.path).land(Errand(arrival=arrival.id, facts=about, by=by, now=now))
    return place_in(wb, arrival, facts=about, by=by, now=now) if aside is None else aside


def place_in(
    wb: Workbench, arrival: Arrival, *, facts: Mapping[str, str] | None = None, by: str, now: datetime
) -> Came:
    """Land a file that is kept already, where it is sure which run it is; `facts` go before its own."""
    known = Arrival(**{**_fields(arrival), "about": {**arrival.about, **(facts or {})}})
    if known.about.get("kind") == LogKind.SENSORS.value:
        return _beside(wb, known, by=by, now=now)
    try:
        with LANDING:
            landed = _land(wb, known, by=by, now=now)
    except StudyIsAway as trouble:
        return waiting_or_filed(wb, arrival, trouble, by=by, now=now)
    except (BadLog, BadRecord) as trouble:
        note_waiting(wb, arrival, str(trouble), study=_likely_study(wb, known), by=by, now=now)
        before = sent_again(wb, arrival, trouble)
        return Came(arrival=arrival, before=before, waits="" if before else str(trouble))
    return Came(
        arrival=arrival, landed=landed, number=number_of(wb, landed.run), doubt=doubt_of(wb, landed.run)
    )


def _likely_study(wb: Workbench, arrival: Arrival) -> str:
    """The study that a file says it is of, or of which it would be were it not for what it waits for."""
    guess = propose(wb, arrival)
    return arrival.about.get("study") or ((guess.study or "") if guess.sure or guess.early else "")


def doubt_of(wb: Workbench, each: RunOnRecord) -> str:
    """Why the clock of the rig cannot be right that a run came from; "" where nothing speaks against it."""
    if each.run.started_at is None:
        return ""
    return clock_doubt(load_study(wb, each.run.study), each, arrivals.moments_filed(wb, each.run.study))


def waiting_or_filed(
    wb: Workbench, arrival: Arrival, trouble: StudyIsAway, *, by: str, now: datetime
) -> Came:
    """A file of a study that is put away: it waits, unless it was filed before and is only sent again."""
    last = standing(wb, arrival.id)
    if last is not None and last.run is not None and last.study is not None:
        landed = Landed(run=one_run(wb, last.study, last.run), again=True)
        return Came(arrival=arrival, landed=landed, number=number_of(wb, landed.run))
    note_waiting(wb, arrival, str(trouble), study=trouble.study, by=by, now=now)
    if trouble.study not in studies_away(
        wb
    ):  # brought back before the reason was down: nobody else would look
        return place_in(wb, arrival, by=by, now=now)
    return Came(arrival=arrival, waits=str(trouble))


def number_of(wb: Workbench, each: RunOnRecord) -> str:
    """The headline number of a run as one says it; empty where it has none."""
    test = shelves.one(wb, Test, each.run.test)
    value = each.headline(test)
    return "" if value is None else run_words(value, test.unit)


def _fields(arrival: Arrival) -> dict[str, Any]:
    names = ("id", "digest", "name", "by", "at", "about")
    return {name: getattr(arrival, name) for name in names}


def _land(wb: Workbench, arrival: Arrival, *, by: str, now: datetime) -> Landed:
    """Raises BadLog or BadRecord where it must wait, with the reason."""
    told = told_from(arrival.about)
    _of_a_study_here(wb, told.study, arrival.name)
    filed = _filed_already(wb, arrival, told)
    if filed is not None:
        return filed
    proposal = propose(wb, arrival, kind=None if told.kind else kind_inside(wb, arrival))
    filing = filing_of(wb, arrival, proposal)
    if filing is None or not proposal.sure:
        _is_a_log(wb, arrival)
        guess = f" (likely: {'; '.join(proposal.reasons)})" if proposal.reasons else ""
        guess = f": its name holds that of {proposal.against}" if proposal.against else guess
        raise BadRecord(
            f"it is not sure which run it is{guess}",
            where=arrival.name,
            todo="say in the inbox which",
        )
    _own_machine(wb, filing.setup, told.build)
    return land(wb, arrival, filing, by=by, now=now)


def _filed_already(wb: Workbench, arrival: Arrival, told: Told) -> Landed | None:
    """The run that these very bytes are already, where nothing that came with them speaks of another.

    A sender that never had our answer sends a file again, and what is expected by then is another run.
    """
    last = standing(wb, arrival.id)
    if last is None or last.run is None or last.study is None or told.slot is not None:
        return None
    held = one_run(wb, last.study, last.run)
    own = {
        "study": last.study, "test": held.run.test, "setup": held.run.setup, "order": held.run.order,
        "build": shelves.one(wb, Setup, held.run.setup).build,
    }  # fmt: skip
    if any(getattr(told, key) not in (None, value) for key, value in own.items()):
        return None
    return Landed(run=held, again=True)


def _of_a_study_here(wb: Workbench, study: str | None, name: str) -> None:
    """Raises BadRecord where a file says that it is of a study that is not on this workbench."""
    known = [each.key for each in shelves.every(wb, Study)]
    if study is not None and study not in known:
        hint = f" ({nearest(study, known)})" if known else ""
        raise BadRecord(
            f"it says that it is of the study '{study}', which is not on this workbench",
            where=name,
            todo=f"say in the inbox which run it is, or bring that study in first{hint}",
        )


def _is_a_log(wb: Workbench, arrival: Arrival) -> None:
    """Raises BadLog where nothing in a file can be read as rows: that is said before which run it is."""
    trouble = look_inside(wb, arrival).trouble
    if trouble:
        why = without_name(trouble, arrival.name)
        raise BadLog(
            f"it cannot be read as a log: {why}",
            where=arrival.name,
            todo="it is kept; put it away in the inbox",
        )


def _own_machine(wb: Workbench, setup: str, build: str | None) -> None:
    """Raises BadRecord where a rig brings what it says is a run of another machine."""
    if build is None:
        return
    try:
        of = shelves.one(wb, Setup, setup).build
    except NotFound:
        return
    if of != build:
        raise BadRecord(
            f"it came from the rig that is {_named(wb, build)}, and the run is one of {_named(wb, of)}",
            todo="say in the inbox which run it is, or let the rig in as the build that it is",
        )


def _named(wb: Workbench, build: str) -> str:
    try:
        return shelves.one(wb, Build, build).name
    except NotFound:
        return f"'{build}'"


def _beside(wb: Workbench, arrival: Arrival, *, by: str, now: datetime) -> Came:
    """A sensor log out of the inbox until its run comes; its columns are learned where the rig tells them."""
    last = standing(wb, arrival.id)
    if last is None or (last.run is None and not last.away):
        _learn(wb, arrival, now=now)
        put_away(wb, arrival.id, note=BESIDE, by=by, now=now)
    return Came(arrival=arrival)


def _learn(wb: Workbench, arrival: Arrival, *, now: datetime) -> None:
    """Remember the columns that a rig tells of its own log; what a person confirmed stands before it."""
    told = told_from(arrival.about).layout
    if told is None:
        return
    try:
        seen = probe(originals.original(wb, arrival.digest), name=arrival.name)
        layout = layout_told(json.loads(told), fingerprint(seen.header))
    except (EvenhandError, ValueError, KeyError, TypeError, AttributeError):
        return  # its run will ask for the columns, as for any other log
    if not any((header_of(each), each.kind) == (layout.fingerprint, layout.kind) for each in remembered(wb)):
        remember(wb, layout, now=now)


def layout_told(told: Mapping[str, Any], header: str) -> Layout:
    """The columns that a program tells of a log. Raises ValueError or KeyError where they are none."""
    columns = tuple(
        Column(header=c["header"], role=Role(c["role"]), unit=c.get("unit", ""), about=c.get("about", ""))
        for c in told["columns"]
    )
    layout = Layout(fingerprint=header, kind=LogKind(told["kind"]), columns=columns)
    if list(check_layout(LayoutEntry(name="told", kind=layout.kind, columns=columns), 0)):
        raise ValueError("no layout of its kind")
    return layout


def newest_kept(wb: Workbench) -> int:
    """The last file that is kept: what comes after it is landed by whoever brings it."""
    return arrivals.newest(wb)


def after_a_stop(wb: Workbench, *, now: datetime, until: int | None = None) -> None:
    """Land what was kept and not placed, and judge what landed, when the program was stopped in between.

    `until` is the last file that was there by then.
    """
    away = studies_away(wb)
    for arrival, last in arrivals.waiting(wb):
        if until is not None and arrival.id > until:
            continue
        came_back = last is not None and AWAY_SINCE in last.note and last.study not in away
        if came_back or (last is None and arrival.about):
            place_in(wb, arrival, by=arrival.by, now=now)
    for study, test in unjudged_tests(wb):
        judge_landed(wb, study, test, now=now)
