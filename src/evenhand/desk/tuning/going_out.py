"""Tuned parts and trials as a study's folder takes them along: all there ever were, with their turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from evenhand.folders.study_folder import LimitEntry, TrialEntry, TunedEntry
from evenhand.records.trials import Tuned
from evenhand.records.turns import Turn
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


def tuned_entries(wb: Workbench, setups: Iterable[str]) -> tuple[TunedEntry, ...]:
    """The tuned parts of these setups with every limit, and when and why each was taken back or put back."""
    turns = tuned_store.limit_turns(wb)
    return tuple(_tuned_entry(wb, part, turns) for part in tuned_store.tuned_parts(wb, setups))


def _tuned_entry(wb: Workbench, part: Tuned, turns: Mapping[int, Sequence[Turn]]) -> TunedEntry:
    limits = tuple(
        LimitEntry(limit=replace(each, id=0), turns=tuple(turns.get(each.id, ())))
        for each in tuned_store.limits_ever(wb, part.setup, part.part)
    )
    return TunedEntry(part=replace(part, limits=()), limits=limits)


def trial_entries(wb: Workbench, setups: Iterable[str]) -> tuple[TrialEntry, ...]:
    """Every trial of these setups, and when and why each was taken back or put back."""
    turns = trial_store.turns(wb)
    return tuple(
        TrialEntry(trial=replace(each, id=0), turns=turns.get(each.id, ()))
        for each in trial_store.trials_of(wb, setups, ever=True)
    )
