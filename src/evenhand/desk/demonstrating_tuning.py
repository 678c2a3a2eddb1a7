"""What was planted in trials and heat of the example's tuned parts, and whether it was found."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.demo import card_trials as card
from evenhand.demo import trials as planted
from evenhand.desk.demonstrating_money import Found
from evenhand.desk.tuning.asking_watts import asked_watts
from evenhand.desk.tuning.beside_stock import against_stock
from evenhand.desk.tuning.coming import called_said, maker_limit
from evenhand.desk.tuning.heat import last_told
from evenhand.desk.tuning.noting import tuned_part
from evenhand.desk.tuning.series import one_series
from evenhand.desk.tuning.standing import OutOfOrder, TuningNow, tuning_now
from evenhand.desk.tuning.watts_said import best_said, points_said
from evenhand.publish.tuning.advice import advice_words
from evenhand.publish.tuning.heat import settles_words
from evenhand.publish.tuning.trials import trial_words
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band
from evenhand.tuning.heat_outlook import HeatAsked

CLOSE, NEAR_C = 0.05, 1.0
"""By what share a value of a network may be off its truth, and by how many degrees what follows from it."""


def tuning_found(wb: Workbench) -> tuple[Found, ...]:
    """Everything that was planted in trials, with what is said of it."""
    now = tuning_now(one_series(wb, planted.TUNED.setup, planted.TUNED.part))
    at = now.wanted.at if now.wanted else None
    return (
        Found(
            what="outcomes that are out of order",
            found=bool(now.order),
            told=" ".join(map(_order, now.order)),
        ),
        _advice(now),
        Found(
            what="what the processor may be called",
            found=at is not None and at.claim.hours >= planted.HELD_H and not at.claim.failures,
            told=" ".join(called_said(now)),
        ),
        _watts(wb),
        heat_found(wb),
        *card_found(wb),
    )


def _watts(wb: Workbench) -> Found:
    """What the processor draws, held against what it draws in truth, and what it switches."""
    (found,) = asked_watts(wb, planted.TUNED.setup, planted.TUNED.part).meters
    power = found.metered.power
    truth = planted.DRAWS
    told = " ".join((*points_said(found, offset=False), *best_said(found, offset=False)))
    if power is None:
        return Found(what="what the processor draws", found=False, told=told)
    right = [_holds(power.switched_nf, truth.switched_nf)]
    right += [
        _holds(each.watts, truth.watts(each.clock_mhz, each.voltage_mv, each.temperature_c or power.middle_c))
        for each in found.at
    ]
    return Found(what="what the processor draws", found=all(right), told=told)


def _holds(band: Band, truth: float) -> bool:
    return band.low <= truth <= band.high


def card_found(wb: Workbench) -> Iterator[Found]:
    """Dunlin's graphics card with less voltage at its stock clock, held against the card as it is."""
    now = tuning_now(one_series(wb, card.CARD.setup, card.CARD.part))
    wanted = now.wanted
    if wanted is None or wanted.advice.voltage_mv is None:
        yield Found(what="how far below stock the graphics card may be set", found=False, told="")
        return
    voltage, at = wanted.advice.voltage_mv, wanted.at
    yield Found(
        what="how far below stock the graphics card may be set",
        found=voltage < card.STOCK_MV and card.TRUTH.rate(voltage, now.goal.room_c) <= now.goal.rate,
        told=against_stock(now, wanted.advice),
    )
    yield Found(
        what="what the graphics card may be called",
        found=at is not None and at.claim.hours >= planned_h() and not at.claim.failures,
        told=" ".join(called_said(now)),
    )


def planned_h() -> float:
    """The hours of the soaks at the card's advised voltage."""
    return sum(hours for _, _, hours in card.SOAKS)


def heat_found(wb: Workbench) -> Found:
    """Where the processor settles, held against the network that its log was made of."""
    setup, part = planted.TUNED.setup, planted.TUNED.part
    now = last_told(wb, tuned_part(wb, setup, part))
    found = None if now is None else now.asked(HeatAsked())
    if now is None or now.fit is None or found is None:
        return Found(what="how warm the processor gets", found=False, told="")
    each_c_per_w = [stage.c_per_w for stage in planted.NETWORK]
    seconds = [stage.seconds for stage in planted.NETWORK]
    near = len(seconds) == now.fit.stages and all(
        abs(value / true - 1) < CLOSE
        for value, true in zip((*now.fit.seconds, *now.fit.c_per_w), (*seconds, *each_c_per_w), strict=True)
    )
    truth = (found.room_c or 0.0) + sum(each_c_per_w) * found.watts
    return Found(
        what="how warm the processor gets", told=settles_words(found),
        found=near and abs(found.steady.value - truth) < NEAR_C,
    )  # fmt: skip


def _order(order: OutOfOrder) -> str:
    failed, held = (
        trial_words(trials[0], offset=planted.TUNED.offset) for trials in (order.failed, order.held)
    )
    return f"{failed}; yet {held}."


def _advice(now: TuningNow) -> Found:
    """The advised voltage, held against what the part needs in truth."""
    advice, tuned = (now.wanted.advice if now.wanted else None), now.series.tuned
    voltage = None if advice is None else advice.voltage_mv
    enough = (
        advice is not None
        and voltage is not None
        and planted.CHIP.rate(advice.clock_mhz, voltage, now.goal.room_c) <= now.goal.rate
    )
    told = "" if advice is None else advice_words(advice, offset=tuned.offset, most=maker_limit(tuned))
    return Found(what="a voltage that meets its target in the hottest room", found=enough, told=told)
