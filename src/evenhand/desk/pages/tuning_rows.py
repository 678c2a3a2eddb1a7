"""Rows of the tuning page: limits with their source, trials, those taken back, and what was just done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.tuning.series import Series
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital
from evenhand.publish.tuning.trials import ended_words, trial_words, turn_words
from evenhand.publish.tuning.words import limit_words, note_words, point_words, setting_words
from evenhand.records.trials import Trial, Tuned
from evenhand.records.turns import Turn, why_gone
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench
from evenhand.tuning.evidence import failures_of


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """A limit of the maker's with its number; `turns` say when and why it was taken back or put back.

    One of one's `own` is told as such.
    """

    number: int
    quantity: str
    words: str
    turns: tuple[str, ...] = ()
    own: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """A trial by its number: the point, how it ended, what is told besides.

    `turns` say when and why it was taken back or put back.
    """

    number: int
    point: str
    load: str
    ended: str
    failed: bool
    more: str
    turns: tuple[str, ...] = ()


def limit_lines(wb: Workbench, tuned: Tuned, *, gone: bool = False) -> tuple[LimitLine, ...]:
    """The limits of a part that count, as they were noted, or those that are `gone`."""
    turns, counting = tuned_store.limit_turns(wb), {each.id for each in tuned.limits}
    return tuple(
        LimitLine(
            number=each.id, quantity=capital(each.quantity.value), words=limit_words(each),
            turns=turn_words(turns.get(each.id, ())), own=each.own,
        )
        for each in tuned_store.limits_ever(wb, tuned.setup, tuned.part)
        if (each.id not in counting) is gone
    )  # fmt: skip


def trial_rows(wb: Workbench, series: Series) -> tuple[TrialRow, ...]:
    """The trials of a series, the last first."""
    turns = trial_store.turns(wb)
    return tuple(_row(trial, series.tuned, turns.get(trial.id, ())) for trial in reversed(series.trials))


def gone_rows(wb: Workbench, tuned: Tuned) -> tuple[TrialRow, ...]:
    """The trials of a part that were taken back, the last first, with the reason."""
    turns = trial_store.turns(wb)
    every = trial_store.trials_of(wb, [tuned.setup], ever=True)
    gone = [t for t in every if t.part == tuned.part and why_gone(turns.get(t.id, ())) is not None]
    return tuple(_row(trial, tuned, turns[trial.id]) for trial in reversed(gone))


def _row(trial: Trial, tuned: Tuned, turns: Sequence[Turn]) -> TrialRow:
    more = [*setting_words(trial.settings)]
    more += [day_words(trial.at.date())] if trial.at else []
    more += [f"by {isolated(trial.by)}"] if trial.by else []
    more += [note_words(trial.note)] if trial.note else []
    return TrialRow(
        number=trial.id, point=point_words(trial.clock_mhz, trial.voltage_mv, offset=tuned.offset),
        load=isolated(trial.load), ended=ended_words(trial), failed=failures_of(trial) > 0,
        more="; ".join(more), turns=turn_words(turns),
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
    if what in ("gone", "again"):
        ever = {each.id for each in tuned_store.limits_ever(wb, tuned.setup, tuned.part)}
        stands = {each.id for each in tuned.limits}
        if what == "again":
            return f"Limit {number} is put back and counts again." if number in stands else ""
        return f"Limit {number} is taken back." if number in ever - stands else ""
    return _trial_words(wb, tuned, what, number)


def _trial_words(wb: Workbench, tuned: Tuned, what: str, number: int) -> str:
    every = trial_store.trials_of(wb, [tuned.setup], ever=True)
    found = next((each for each in every if each.id == number and each.part == tuned.part), None)
    if found is None or what not in ("trial", "back", "put"):
        return ""
    said = trial_words(found, offset=tuned.offset)
    taken = number in trial_store.reasons(wb)
    if what == "back":
        return f"Taken back: {said}. It stays on record and counts no more." if taken else ""
    if what == "put":
        return "" if taken else f"Put back: {said}. It counts again."
    counts = " With errors counted it counts as failed." if found.errors and not found.outcome.failed else ""
    return "" if taken else f"On record: {said}.{counts}"
