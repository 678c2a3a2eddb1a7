"""Trials that run on the machines of a study just now, as its pages show them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.tuning_address import part_key
from evenhand.desk.study.moments import Clock
from evenhand.desk.tuning.noting import tuned_part
from evenhand.desk.tuning.under_way import Heard, running
from evenhand.publish.tuning import under_way as say
from evenhand.publish.tuning.trials import trial_words
from evenhand.records.trials import Tuned
from evenhand.records.under_way import UnderWay
from evenhand.store.trials import trials_of
from evenhand.store.under_way import told_of
from evenhand.store.workbench import Workbench

ACKNOWLEDGED = timedelta(minutes=10)
"""So long after a stop was asked for, pages tell what became of that trial."""
LATELY = 5
"""So many of the last trials are looked at for that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningTrial:
    """One trial that runs. `share` of its time is over, None where none was planned.

    `stop` says that it was asked to stop, `busy` that nobody is to begin a run there; `quiet` and `over`
    are "" where they are not so.
    """

    key: str
    setup: str
    part: str
    heading: str
    is_set: str
    where: str
    stands: str
    heard: str
    share: float | None
    quiet: str
    over: str
    stop: str
    busy: str
    rig: str
    by: str

    @property
    def may_stop(self) -> bool:
        """Whether a stop can be asked for."""
        return not self.over and not self.stop

    @property
    def of(self) -> str:
        """The tuned part as addresses have it."""
        return part_key(self.setup, self.part)


def running_trials(
    wb: Workbench, record: StudyOnRecord, heard: Heard, *, now: datetime, clock: Clock
) -> tuple[RunningTrial, ...]:
    """The trials that run on machines of a study, those begun first first.

    While names are hidden a machine goes by its rig alone.
    """
    names, hidden = names_of(record), names_hidden(record)
    return tuple(
        _shown(
            each, tuned_part(wb, each.trial.setup, each.trial.part), now, clock,
            name="" if hidden else names.setup(each.trial.setup),
        )
        for each in running(wb, record.setups, heard)
    )  # fmt: skip


def _shown(found: UnderWay, tuned: Tuned, now: datetime, clock: Clock, *, name: str) -> RunningTrial:
    trial, quiet = found.trial, found.quiet(now)
    verb = "A trial was running" if quiet else "A trial has ended" if found.over else "A trial runs"
    share = None if not trial.planned_h else min(1.0, trial.hours / trial.planned_h)
    return RunningTrial(
        key=trial.key, setup=trial.setup, part=trial.part,
        heading=f"{verb}: {name or trial.by}, {trial.part}", is_set=say.set_words(found, tuned),
        where=say.where_words(found, now, clock), stands=say.stands_words(found, quiet=quiet),
        heard=say.heard_words(found, now, clock), share=share, quiet=say.QUIET if quiet else "",
        over=say.OVER if found.over else "", stop=say.stop_words(found, now, clock),
        busy=say.busy_words(found, tuned, now, clock), rig=found.rig, by=trial.by,
    )  # fmt: skip


def busy_machines(record: StudyOnRecord, trials: tuple[RunningTrial, ...]) -> Mapping[str, str]:
    """By build, that a trial runs on it: nobody is to begin a run there."""
    return {record.setups[each.setup].build: each.busy for each in trials if not each.over}


def stopped_lately(wb: Workbench, record: StudyOnRecord, *, now: datetime) -> tuple[str, ...]:
    """Trials that were asked to stop a little while ago and have their record by now, each as a sentence.

    While names are hidden nothing is told.
    """
    if names_hidden(record):
        return ()
    return tuple(
        f"It was stopped as asked, and is kept as trial {trial.id}: "
        f"{trial_words(trial, offset=tuned_part(wb, trial.setup, trial.part).offset)}."
        for trial in trials_of(wb, tuple(record.setups))[-LATELY:]
        if (told := told_of(wb, trial.key)) is not None
        and told.stop_at is not None
        and now - told.stop_at < ACKNOWLEDGED
    )
