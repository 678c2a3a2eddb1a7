"""Trials that rigs run just now: heard of, asked to stop, given up where no word of them will come."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from threading import Lock

from evenhand.desk.study.checking import Given, sound
from evenhand.desk.tuning.checking import past_limits
from evenhand.desk.tuning.noting import drafted_trial, reason_given, tuned_part
from evenhand.errors import BadRecord, NotFound
from evenhand.folders.table import hidden_sign
from evenhand.publish.tuning.under_way import Clock, busy_words
from evenhand.records.builds import Setup
from evenhand.records.trials import Outcome
from evenhand.records.under_way import UnderWay
from evenhand.store import shelves
from evenhand.store import under_way as store
from evenhand.store.workbench import Workbench

WRITTEN_EVERY = timedelta(minutes=1)
"""How often the file is told of a trial that goes on: each change of the file makes pages work anew."""

STANDS = ("hours", "errors", "hottest_c")
"""What of a trial that runs becomes another."""


class Heard:
    """The trials that this program was told of, each as it was last heard: more often than it is written."""

    def __init__(self) -> None:
        self._last: dict[str, UnderWay] = {}
        self._turn = Lock()

    def note(self, found: UnderWay) -> None:
        """Remembers how one stands."""
        with self._turn:
            self._last[found.trial.key] = found

    def write(self, wb: Workbench) -> None:
        """Writes down how each that still runs was last heard of, as before this program ends."""
        with self._turn:
            last = tuple(self._last.values())
        for each in last:
            if store.stands(wb, each.trial.key):
                _written(wb, each)

    def newest(self, written: UnderWay) -> UnderWay:
        """A trial as it was last heard of, by whichever way; what was asked of it is as it is written."""
        with self._turn:
            last = self._last.get(written.trial.key)
        if last is None or last.heard_at <= written.heard_at:
            return written
        return replace(written, trial=last.trial, heard_at=last.heard_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a rig is answered: `stop` says who wants its trial ended, and why; "" where nobody does."""

    stop: str = ""


def hear(
    wb: Workbench, given: Given, *, rig: str, by: str, heard: Heard, now: datetime
) -> Answer:  # fmt: skip
    """A rig says how its trial stands. Raises BadRecord that names the field, and NotFound.

    The first word of a trial is written down, and whatever it is, its record is taken later: it happened.
    """
    key = str(given.get("key") or "")
    if not key:
        raise BadRecord("the trial has no key of its own", where="key", todo="give it one")
    if sign := hidden_sign(key):
        raise BadRecord(f"it has a sign in it that nobody sees, {sign}", where="key", todo="take it out")
    before = store.told_of(wb, key)
    if before is not None and before.rig != rig:
        raise BadRecord("another rig runs the trial of this key", where="key", todo="give this one its own")
    told = _told(wb, given, before, rig=rig, by=by, now=now)
    if before is None or told.over != before.over or now - before.heard_at >= WRITTEN_EVERY:
        told = _written(wb, told)
    heard.note(told)
    return Answer(stop=stop_words(wb, told))


def _told(
    wb: Workbench, given: Given, before: UnderWay | None, *, rig: str, by: str, now: datetime
) -> UnderWay:  # fmt: skip
    """What a rig says, held against the rules for trials; what was tried stays as it was told first."""
    facts = {name: value for name, value in given.items() if name != "over"}
    if before is not None:
        facts = {**_tried(before), **{name: given.get(name) for name in STANDS}}
    drafted = {**facts, "outcome": Outcome.STOPPED.value, "errors": facts.get("errors") or 0}
    trial = replace(sound(drafted_trial(wb, drafted, now=now, again=True)), by=by)
    over = given.get("over") is True
    if before is not None:
        return replace(before, trial=trial, heard_at=now, over=over)
    return UnderWay(
        trial=trial, rig=rig, begun_at=now - timedelta(hours=trial.hours), heard_at=now, over=over
    )


def _tried(before: UnderWay) -> Mapping[str, object]:
    trial = before.trial
    return {
        "key": trial.key, "setup": trial.setup, "part": trial.part, "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv, "load": trial.load, "planned_h": trial.planned_h,
        "settings": dict(trial.settings), "room_c": trial.room_c,
    }  # fmt: skip


def _written(wb: Workbench, told: UnderWay) -> UnderWay:
    """Writes it down; a stop that somebody asked for meanwhile stands."""
    with wb.writing():
        there = store.told_of(wb, told.trial.key)
        if there is not None:
            told = replace(there, trial=told.trial, heard_at=told.heard_at, over=told.over)
        store.save_under_way(wb, told)
    return told


def stop_words(wb: Workbench, told: UnderWay) -> str:
    """Who or what wants a trial ended, as its rig tells it; "" where nobody does.

    What lies past a limit of the maker's that is on record by now is not to run on.
    """
    for problem in past_limits(told.trial, tuned_part(wb, told.trial.setup, told.trial.part)):
        return f"the workbench, since {problem.found}"
    there = store.told_of(wb, told.trial.key)
    if there is None or there.stop_at is None:
        return ""
    return f"the stop button of the workbench, pressed on {there.stop_by}"


def running(wb: Workbench, setups: Iterable[str], heard: Heard | None = None) -> tuple[UnderWay, ...]:
    """The trials of these setups that run as far as anybody knows, as they were last heard of."""
    found = store.under_way(wb, setups)
    return found if heard is None else tuple(map(heard.newest, found))


def running_of(wb: Workbench, setup: str, part: str, heard: Heard | None = None) -> tuple[UnderWay, ...]:
    """The same of one part."""
    return tuple(each for each in running(wb, [setup], heard) if each.trial.part == part)


def busy_said(wb: Workbench, build: str, heard: Heard, *, now: datetime, clock: Clock) -> str:
    """That a trial runs on a build, which is not to begin a run meanwhile; "" where none is heard of."""
    setups = [setup.key for setup in shelves.every(wb, Setup) if setup.build == build]
    for each in running(wb, setups, heard):
        if not each.over and not each.quiet(now):
            tuned = tuned_part(wb, each.trial.setup, each.trial.part)
            return f"{busy_words(each, tuned, now, clock)}."
    return ""


def ask_stop(wb: Workbench, setup: str, part: str, *, by: str, now: datetime, key: str = "") -> UnderWay:
    """Asks that the trial of a part be ended; who asked first stays on record. Raises NotFound.

    It may be asked of a study that is put away as well: what runs must be possible to stop.
    """
    with wb.writing():
        found = _one(wb, setup, part, key)
        if found.stop_at is None:
            found = replace(found, stop_at=now, stop_by=by)
            store.save_under_way(wb, found)
    return found


def give_up(
    wb: Workbench, setup: str, part: str, reason: str, *, now: datetime, key: str = ""
) -> UnderWay:  # fmt: skip
    """No record of a trial will come, somebody says: it is told as running no more. Raises NotFound.

    Should its record come all the same, it is taken.
    """
    with wb.writing():
        found = replace(_one(wb, setup, part, key), given_up_at=now, given_up_why=reason_given(reason))
        store.save_under_way(wb, found)
    return found


def _one(wb: Workbench, setup: str, part: str, key: str) -> UnderWay:
    tuned_part(wb, setup, part)
    for each in reversed(store.under_way(wb, [setup])):
        if each.trial.part == part and key in ("", each.trial.key):
            return each
    raise NotFound(
        "no trial runs there, as far as any rig has told", where=f"{part} of {setup}",
        todo="see its trials: how the last one ended stands there",
    )  # fmt: skip
