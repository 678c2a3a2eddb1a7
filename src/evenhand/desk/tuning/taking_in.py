"""Tuned parts, limits and trials of a study's folder onto the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from evenhand.folders.trials import keyed
from evenhand.records.trials import Trial, Tuned
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


def take_in_trials(wb: Workbench, parts: Sequence[Tuned], trials: Sequence[Trial], *, now: datetime) -> None:
    """What a folder brings and was never on record: what was taken back stays so.

    Trials are taken in wherever they lie, past a limit as well: they happened. Nothing past it is advised.
    """
    with wb.writing():
        for part in parts:
            _take_in_part(wb, part, now=now)
        _take_in_each(wb, trials, now=now)


def _take_in_part(wb: Workbench, part: Tuned, *, now: datetime) -> None:
    tuned_store.save_tuned(wb, part, at=now)
    ever = {replace(limit, id=0) for limit in tuned_store.limits_ever(wb, part.setup, part.part)}
    for limit in part.limits:
        if replace(limit, id=0) not in ever:
            tuned_store.add_limit(wb, part.setup, part.part, replace(limit, id=0), at=now)


def _take_in_each(wb: Workbench, trials: Sequence[Trial], *, now: datetime) -> None:
    setups = dict.fromkeys(trial.setup for trial in trials)
    known = {trial.key for trial in trial_store.trials_of(wb, setups, ever=True)}
    for trial in keyed(trials):
        if trial.key not in known:
            trial_store.add_trial(wb, trial, at=now)
