"""Trials of a part by load and by what else was set: each such series tells of an edge of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from evenhand.desk.tuning.cooled import settling_of
from evenhand.desk.tuning.noting import tuned_part
from evenhand.errors import NotFound, nearest
from evenhand.records.trials import Trial, Tuned
from evenhand.records.turns import Turn
from evenhand.store import trials as trial_store
from evenhand.store.workbench import Workbench
from evenhand.tuning.bearing import Settling


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """The trials of a part under one load with the same settings; `load` is "" before the first.

    `settling` is what the part's temperature logs tell, where its maker limits its temperature.
    """

    tuned: Tuned
    load: str
    settings: Mapping[str, str] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
    settling: Settling | None = None

    def is_of(self, trial: Trial) -> bool:
        """Whether a trial belongs here."""
        return trial.load == self.load and dict(trial.settings) == dict(self.settings)


def series_of(wb: Workbench, setup: str, part: str) -> tuple[Series, ...]:
    """Every series of a tuned part, that of the last trial first; one without trials where there is none.

    Raises NotFound for an unknown setup or part.
    """
    tuned = tuned_part(wb, setup, part)
    trials = [trial for trial in trial_store.trials_of(wb, [setup]) if trial.part == part]
    found = tuple(_gathered(tuned, trials)) or (Series(tuned=tuned, load=""),)
    settling = settling_of(wb, tuned)
    return tuple(replace(each, settling=settling) for each in found)


def _gathered(tuned: Tuned, trials: Sequence[Trial]) -> list[Series]:
    found: list[Series] = []
    for last in reversed(trials):
        if not any(series.is_of(last) for series in found):
            empty = Series(tuned=tuned, load=last.load, settings=dict(last.settings))
            own = tuple(trial for trial in trials if empty.is_of(trial))
            found.append(Series(tuned=tuned, load=last.load, settings=dict(last.settings), trials=own))
    return found


def one_series(
    wb: Workbench, setup: str, part: str, *, load: str = "", settings: Mapping[str, str] | None = None
) -> Series:
    """The series of a load and of settings, or that of the last trial where none is named.

    A load or settings that were never tried give a series without trials. Raises NotFound for a setup or a
    part that is not on record.
    """
    every = series_of(wb, setup, part)
    fit = [
        series for series in every
        if (not load or series.load == load) and (settings is None or dict(series.settings) == dict(settings))
    ]  # fmt: skip
    if fit:
        return fit[0]
    return replace(every[0], load=load or every[0].load, settings=dict(settings or {}), trials=())


def every_or_one(wb: Workbench, setup: str, part: str, load: str) -> tuple[Series, ...]:
    """Every series of a part, or those under one load. Raises NotFound where nothing was tried under it."""
    every = series_of(wb, setup, part)
    found = tuple(series for series in every if load in ("", series.load))
    if not found:
        loads = {series.load for series in every if series.load}
        todo = nearest(load, loads) if loads else "note a trial first"
        raise NotFound(f"nothing was tried under '{load}'", where=f"{part} of {setup}", todo=todo)
    return found


def trials_ever(wb: Workbench, setup: str, part: str) -> tuple[tuple[Trial, ...], dict[int, str]]:
    """Every trial of a part there ever was, and why some count no more, by their numbers."""
    every = trial_store.trials_of(wb, [setup], ever=True)
    return tuple(trial for trial in every if trial.part == part), trial_store.reasons(wb)


def turns_of_trials(wb: Workbench) -> Mapping[int, tuple[Turn, ...]]:
    """By trial when and why it was taken back or put back, the first first."""
    return trial_store.turns(wb)
