"""Tuned parts as an edition keeps them: limits, every trial there ever was, and what was said of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.tuning_beside import beside_said
from evenhand.desk.tuning.answers import advice_answer, claim_answer
from evenhand.desk.tuning.doubts_said import doubts_said
from evenhand.desk.tuning.held import compared_parts, standing_of
from evenhand.desk.tuning.scenes import claimed_point
from evenhand.desk.tuning.series import trials_ever
from evenhand.desk.tuning.standing import AtPoint, TuningNow
from evenhand.publish.tuning.trials import trial_words
from evenhand.publish.tuning.words import point_words
from evenhand.records.trials import Limit, Trial, Tuned
from evenhand.store.rows import plain
from evenhand.store.workbench import Workbench

Table = dict[str, Any]

ROUNDED = (
    "guard_band_mv", "reserve_mv", "edge_mv", "needed_mv", "guard_band_mhz", "reserve_mhz", "edge_mhz",
    "meets_mhz",
)  # fmt: skip

OWN = ("id", "setup", "part", "note", "by")
"""Of a trial what stays at home: numbers of one workbench, and what is written for oneself alone."""


def tuning_rows(wb: Workbench, record: StudyOnRecord) -> list[Table]:
    """Every tuned part of the setups that are compared."""
    return [_part_row(wb, record, each) for each in compared_parts(wb, record)]


def _part_row(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Table:
    every, reasons = trials_ever(wb, tuned.setup, tuned.part)
    row: Table = plain(tuned)
    return row | {
        "limits": [limit_row(each) for each in tuned.limits],
        "trials": [trial_row(each, tuned, reasons) for each in every],
        "said": [said_row(now) for now in standing_of(wb, record, tuned)],
        "beside": {name: list(said) for name, said in beside_said(wb, record, tuned).items()},
    }


def limit_row(limit: Limit) -> Table:
    """A limit of the maker's, with where it is written."""
    return {
        "quantity": limit.quantity.value, "most": limit.most, "unit": limit.quantity.unit,
        "source": limit.source, "read_on": limit.read_on.isoformat(),
    }  # fmt: skip


def trial_row(trial: Trial, tuned: Tuned, reasons: Mapping[int, str]) -> Table:
    """A trial, and why it counts no more where it was taken back."""
    own: Table = plain(trial)
    told = {name: value for name, value in own.items() if name not in OWN}
    return told | {
        "taken_back": reasons.get(trial.id),
        "words": trial_words(trial, offset=tuned.offset),
    }


def said_row(now: TuningNow) -> Table:
    """What was said of one series: the point it is spoken of by, advice for every clock, and doubts."""
    series = now.series
    return {
        "load": series.load, "settings": dict(series.settings), "trials": len(series.trials),
        "hottest_room_c": now.goal.room_c, "target_per_h": now.goal.rate,
        "claim": next(_claims(now), None),
        "advice": [_rounded(advice_answer(each, now)) for each in now.advice],
        "doubts": list(doubts_said(now, readers=True)),
    }  # fmt: skip


def _rounded(advice: Table) -> Table:
    """Advice to a tenth: libraries may differ in the last digits, which nobody prints."""
    tenths = {
        name: [round(each, 1) for each in value] if isinstance(value, list) else round(value, 1)
        for name in ROUNDED
        if (value := advice[name]) is not None
    }
    return advice | tenths


def _claims(now: TuningNow) -> Iterator[Table]:
    told: AtPoint | None = claimed_point(now)
    if told is not None:
        where = point_words(told.clock_mhz, told.voltage_mv, offset=now.series.tuned.offset)
        point = {"clock_mhz": told.clock_mhz, "voltage_mv": told.voltage_mv, "at": where}
        yield point | claim_answer(told.claim, now.series.load)
