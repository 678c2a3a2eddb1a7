"""Tuned parts, limits and trials of a study's folder onto the record, with what became of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from evenhand.desk.tuning.brought import NOTHING, TunedBrought, agree, limit_named, trial_named, turned
from evenhand.folders.study_folder import LimitEntry, TrialEntry, TunedEntry
from evenhand.folders.tuned_entries import keyed
from evenhand.records.trials import Limit, Tuned
from evenhand.records.turns import Turn, why_gone
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench

Turning = Callable[[Workbench, int, Turn], object]


def take_in_trials(
    wb: Workbench, parts: Sequence[TunedEntry], trials: Sequence[TrialEntry], *, now: datetime
) -> TunedBrought:
    """What a folder brings and was never on record. Of what was, only later turns are taken over.

    Trials are taken in wherever they lie, past a limit as well: they happened. Nothing past it is advised.
    """
    with wb.writing():
        of_parts = sum((_take_in_part(wb, part, now=now) for part in parts), start=NOTHING)
        return sum(_take_in_each(wb, trials, now=now), start=of_parts)


def _take_in_part(wb: Workbench, entry: TunedEntry, *, now: datetime) -> TunedBrought:
    part, found = entry.part, NOTHING
    if tuned_store.tuned_one(wb, part.setup, part.part) is None:
        found = TunedBrought(parts=1)
    tuned_store.save_tuned(wb, part, at=now)
    there = list(tuned_store.limits_ever(wb, part.setup, part.part))
    turns = tuned_store.limit_turns(wb)
    for each in _each_once(entry.limits):
        own = next((limit for limit in there if replace(limit, id=0) == each.limit), None)
        if own is not None:
            there.remove(own)
        found += _take_in_limit(wb, part, each, own, turns, now=now)
    return found


def _each_once(limits: Sequence[LimitEntry]) -> Iterator[LimitEntry]:
    """The limits of a folder: the very same again is one, unless the first was ever taken back."""
    turned_ones = {each.limit for each in limits if each.turns}
    return (each for nth, each in enumerate(limits) if each.limit in turned_ones or each not in limits[:nth])


def _take_in_limit(
    wb: Workbench, part: Tuned, entry: LimitEntry, own: Limit | None,
    turns: Mapping[int, Sequence[Turn]], *, now: datetime,
) -> TunedBrought:  # fmt: skip
    """One limit; `own` is the very same on record, which no earlier one of the folder was."""
    if own is None:
        added = tuned_store.add_limit(wb, part.setup, part.part, entry.limit, at=now, twice=True)
        take_over(wb, added.id, entry.turns, (), turn_limit)
        return TunedBrought(limits=1, gone=int(why_gone(entry.turns) is not None))
    here = turns.get(own.id, ())
    take_over(wb, own.id, entry.turns, here, turn_limit)
    return TunedBrought(known=1) + turned(limit_named(own, part), entry.turns, here)


def _take_in_each(wb: Workbench, entries: Sequence[TrialEntry], *, now: datetime) -> Iterator[TunedBrought]:
    setups = dict.fromkeys(entry.trial.setup for entry in entries)
    known = {trial.key: trial for trial in trial_store.trials_of(wb, setups, ever=True)}
    parts = {(part.setup, part.part): part for part in tuned_store.tuned_parts(wb, setups)}
    turns = trial_store.turns(wb)
    for entry in keyed(entries):
        trial = known.get(entry.trial.key)
        if trial is None:
            added = trial_store.add_trial(wb, entry.trial, at=now)
            take_over(wb, added.id, entry.turns, (), turn_trial)
            yield TunedBrought(trials=1, gone=int(why_gone(entry.turns) is not None))
            continue
        here = turns.get(trial.id, ())
        take_over(wb, trial.id, entry.turns, here, turn_trial)
        called = trial_named(trial, offset=parts[trial.setup, trial.part].offset)
        yield TunedBrought(known=1) + turned(called, entry.turns, here)


def take_over(
    wb: Workbench, number: int, told: Sequence[Turn], here: Sequence[Turn], turning: Turning
) -> None:
    """What a folder tells further of something on record; nothing where both tell of it otherwise."""
    if agree(told, here):
        for turn in told[len(here) :]:
            turning(wb, number, turn)


def turn_limit(wb: Workbench, number: int, turn: Turn) -> None:
    """A limit as it was taken back or put back elsewhere."""
    act = tuned_store.put_back_limit if turn.counts else tuned_store.take_back_limit
    act(wb, number, turn.reason, at=turn.at)


def turn_trial(wb: Workbench, number: int, turn: Turn) -> None:
    """A trial as it was taken back or put back elsewhere."""
    act = trial_store.put_back_trial if turn.counts else trial_store.take_back_trial
    act(wb, number, turn.reason, at=turn.at)
