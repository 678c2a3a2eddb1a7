"""What keeps the trials of a part from telling more."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from enum import StrEnum

from evenhand.records.trials import Limit, Meter, Quantity, Trial, Tuned
from evenhand.tuning.advice import Withheld
from evenhand.tuning.evidence import MOST_RATED, failures_of
from evenhand.tuning.mapping import NoMap, between_steps, is_past, no_map, stock_voltage, within


class Doubt(StrEnum):
    """One such thing, the gravest first."""

    NO_LIMIT = "no limit"
    NO_CLOCK_LIMIT = "no limit of the clock"
    NO_STOCK = "no stock voltage"
    BELOW_STOCK = "limit below stock"
    TOO_FINE = "steps too fine"
    PAST_LIMIT = "past a limit"
    TOO_HOT = "hotter than allowed"
    TOO_MUCH_POWER = "drew more than allowed"
    STOCK_FAILED = "stock failed"
    NOT_CURED = "not cured by voltage"
    OUT_OF_ORDER = "out of order"
    CLOCK_UNLIMITED = "no limit of the clock above stock"
    HEAT_UNCHECKED = "temperature not checked"
    POWER_UNCHECKED = "power not checked"
    LOGS_DIFFER = "temperature logs differ"
    ONE_TRIAL = "one trial only"
    NEVER_FAILED = "nothing failed"
    NEVER_HELD = "nothing held"
    CORRECTED = "corrected errors"
    MANY_ERRORS = "more errors than tell a rate"
    BETWEEN_STEPS = "between steps"
    UNDER_ROOM = "cooler than its room"
    ROOM_UNREAD = "room not read"
    NO_HOTTEST_ROOM = "hottest room not said"


def doubts_of(
    tuned: Tuned, trials: Sequence[Trial], *, withheld: Withheld | None, out_of_order: bool,
    unchecked: Collection[Quantity] = (), disputed: bool = False,
) -> tuple[Doubt, ...]:  # fmt: skip
    """The doubts of trials under one load with the same settings.

    `unchecked` are the limits that nothing was held against at what is advised; `disputed` says that two
    temperature logs differ.
    """
    lacking = no_map(tuned, within(trials, tuned))
    failed = [failures_of(trial) > 0 for trial in trials]
    holds = {
        Doubt.NO_LIMIT: lacking is NoMap.NO_LIMIT,
        Doubt.NO_CLOCK_LIMIT: lacking is NoMap.NO_CLOCK_LIMIT,
        Doubt.NO_STOCK: lacking is NoMap.NO_STOCK,
        Doubt.BELOW_STOCK: lacking is NoMap.BELOW_STOCK,
        Doubt.TOO_FINE: lacking is NoMap.TOO_FINE,
        Doubt.PAST_LIMIT: any(is_past(trial, tuned) for trial in trials),
        Doubt.TOO_HOT: _more_than(tuned.limit(Quantity.TEMPERATURE), [trial.hottest_c for trial in trials]),
        Doubt.TOO_MUCH_POWER: _more_than(
            tuned.limit(Quantity.POWER), [each.watts for each in trials if each.watts_at is Meter.PART]
        ),
        Doubt.STOCK_FAILED: stock_failed(tuned, trials),
        Doubt.NOT_CURED: withheld is Withheld.NOT_CURED,
        Doubt.OUT_OF_ORDER: out_of_order,
        Doubt.CLOCK_UNLIMITED: lacking is None and tuned.limit(Quantity.CLOCK) is None,
        Doubt.HEAT_UNCHECKED: Quantity.TEMPERATURE in unchecked,
        Doubt.POWER_UNCHECKED: Quantity.POWER in unchecked,
        Doubt.LOGS_DIFFER: disputed,
        Doubt.ONE_TRIAL: len(trials) == 1,
        Doubt.NEVER_FAILED: len(trials) > 1 and not any(failed),
        Doubt.NEVER_HELD: len(trials) > 1 and all(failed),
        Doubt.CORRECTED: any(trial.corrected for trial in trials),
        Doubt.MANY_ERRORS: any(trial.errors > MOST_RATED for trial in trials),
        Doubt.BETWEEN_STEPS: any(between_steps(trial, tuned) for trial in trials),
        Doubt.UNDER_ROOM: any(is_under_room(trial) for trial in trials),
        Doubt.ROOM_UNREAD: any(trial.room_c is None for trial in trials),
        Doubt.NO_HOTTEST_ROOM: bool(trials) and tuned.hottest_room_c is None,
    }
    return tuple(doubt for doubt, there in holds.items() if there)


def stock_failed(tuned: Tuned, trials: Sequence[Trial]) -> bool:
    """Whether stock itself failed, or what asks no more of the part: no faster, with no less voltage."""
    return any(failures_of(trial) and _asks_no_more_than_stock(trial, tuned) for trial in trials)


def _asks_no_more_than_stock(trial: Trial, tuned: Tuned) -> bool:
    """Whether a trial ran no faster than stock and with no less voltage."""
    volts = stock_voltage(tuned)
    slow = trial.clock_mhz <= tuned.stock_clock_mhz
    return slow and (tuned.clock_alone or (volts is not None and trial.voltage_mv >= volts))


def is_under_room(trial: Trial) -> bool:
    """Whether a part under load was told cooler than the air that cools it."""
    return trial.hottest_c is not None and trial.room_c is not None and trial.hottest_c < trial.room_c


def _more_than(limit: Limit | None, read: Iterable[float | None]) -> bool:
    return limit is not None and any(each is not None and each > limit.most for each in read)
