"""Rows of the tuning page: limits with their source, trials, those taken back, and what was just done."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.tuning.series import Series
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital
from evenhand.publish.tuning_words import ended_words, limit_words, point_words, trial_words
from evenhand.records.trials import Trial, Tuned
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit of the maker's with its number."""

    number: int
    quantity: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """A trial by its number: the point, how it ended, what is told besides; `why` it was taken back."""

    number: int
    point: str
    load: str
    ended: str
    failed: bool
    more: str
    why: str = ""


def limit_lines(tuned: Tuned) -> tuple[LimitLine, ...]:
    """The limits of a part, as they were noted."""
    return tuple(
        LimitLine(number=each.id, quantity=capital(each.quantity.value), words=limit_words(each))
        for each in tuned.limits
    )


def trial_rows(series: Series) -> tuple[TrialRow, ...]:
    """The trials of a series, the last first."""
    return tuple(_row(trial, series.tuned) for trial in reversed(series.trials))


def gone_rows(wb: Workbench, tuned: Tuned) -> tuple[TrialRow, ...]:
    """The trials of a part that were taken back, the last first, with the reason."""
    why = trial_store.reasons(wb)
    every = trial_store.trials_of(wb, [tuned.setup], ever=True)
    gone = [trial for trial in every if trial.part == tuned.part and trial.id in why]
    return tuple(_row(trial, tuned, why=why[trial.id]) for trial in reversed(gone))


def _row(trial: Trial, tuned: Tuned, *, why: str = "") -> TrialRow:
    more = [f"{name} {value}" for name, value in sorted(trial.settings.items())]
    more += [day_words(trial.at.date())] if trial.at else []
    more += [f"by {trial.by}"] if trial.by else []
    more += [trial.note] if trial.note else []
    return TrialRow(
        number=trial.id, point=point_words(trial.clock_mhz, trial.voltage_mv, offset=tuned.offset),
        load=trial.load, ended=ended_words(trial), failed=trial.outcome.failed or trial.errors > 0,
        more="; ".join(more), why=why,
    )  # fmt: skip


def just_words(wb: Workbench, tuned: Tuned, just: str) -> str:
    """What was just done, as a sentence; "" where nothing was or it is not of this part."""
    what, _, digits = just.partition("-")
    number = int(digits) if digits.isascii() and digits.isdigit() and len(digits) < 19 else 0
    if what == "part":
        return "The part is on record."
    if what == "limit":
        found = [each for each in tuned.limits if each.id == number]
        return f"On record: {found[0].quantity} at most {limit_words(found[0])}." if found else ""
    if what == "gone":
        ever = {each.id for each in tuned_store.limits_ever(wb, tuned.setup, tuned.part)}
        stands = {each.id for each in tuned.limits}
        return f"Limit {number} is taken back." if number in ever - stands else ""
    return _trial_words(wb, tuned, what, number)


def _trial_words(wb: Workbench, tuned: Tuned, what: str, number: int) -> str:
    every = trial_store.trials_of(wb, [tuned.setup], ever=True)
    found = next((each for each in every if each.id == number and each.part == tuned.part), None)
    if found is None or what not in ("trial", "back"):
        return ""
    said = trial_words(found, offset=tuned.offset)
    taken = number in trial_store.reasons(wb)
    if what == "back":
        return f"Taken back: {said}. It stays on record and counts no more." if taken else ""
    return "" if taken else f"On record: {said}."
