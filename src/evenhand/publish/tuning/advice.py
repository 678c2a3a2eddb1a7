"""Which voltage is advised and why, and which trial comes next and with what care, in words."""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, counted, level_words, number, with_unit
from evenhand.publish.tuning.clocks import clock_advice_words, clock_outlook_words, clock_row
from evenhand.publish.tuning.words import allowed_words, clock_words, hours_words, voltage_words
from evenhand.records.trials import Limit
from evenhand.tuning.advice import LEAST_FAILURES, Advice, Goal, Withheld
from evenhand.tuning.clock_alone import ClockProspect
from evenhand.tuning.planning import NextTrial
from evenhand.tuning.rising import Rise
from evenhand.tuning.soaking import Prospect
from evenhand.tuning.walk import Purpose

CAUTION = (
    "It may hang, reboot or answer wrongly without a word: have a backup that was read back, keep nothing on "
    "this machine that matters, and stay beside it. Stop at once where a fan or a pump stands still."
)
"""What stands beside every trial that comes next."""

FOR_HOURS = (
    "Leave it alone overnight only after it has held for hours under your eyes, with other drives off."
)
LONG_H = 1.0


def caution_for(hours: float) -> str:
    """The caution beside a trial of so many hours."""
    return f"{CAUTION} {FOR_HOURS}" if hours >= LONG_H else CAUTION


CAUTIONS: tuple[str, ...] = (
    "The maker's limits come first: look them up, note them with their source, and never go past them.",
    "Running a part outside its specification can end its warranty; see what yours says.",
    "More voltage and more heat wear a part out sooner, also where nothing fails.",
    "At the edge a machine can answer wrongly without a word and spoil files: use a spare installation.",
    "Keep a backup on another machine, and see that it can be read, before the first trial.",
    "Stay beside the machine during first trials, and know how its firmware is set back to stock.",
    "Leave no machine alone overnight before it has held for hours under your eyes.",
    "Take other drives off, and leave what is inside the supply and on mains voltage alone.",
    "Stop at once where a fan or a pump stands still, a part smells, or a temperature nears its limit.",
)

TODO: Mapping[Withheld, str] = {
    Withheld.NO_LIMIT: "Look up the most that the maker allows and note it with its source.",
    Withheld.NEVER_HELD: "Set everything back to stock and see whether that holds. Where it does not, the "
    "cause lies elsewhere: cooling, memory, supply, a driver.",
    Withheld.NEVER_FAILED: "Go on with the next trial, on to where it fails, or stay where it held and "
    "claim the hours alone.",
    Withheld.TOO_FEW: f"Go on with the next trial: from {LEAST_FAILURES} failures on they tell how large "
    "a reserve has to be.",
    Withheld.NOT_CURED: "Raise no voltage for them. Set everything back to stock and see whether it holds "
    "there; then look at cooling, memory, supply and drivers.",
    Withheld.PAST_LIMIT: "By these trials this clock is not surely to be had within the limit: more of them "
    "may tell so, or take a lower clock.",
    Withheld.TOO_HOT: "Take a lower clock; or mend the cooling, take back what was read before, and try "
    "again.",
    Withheld.TOO_HOT_BY_LOG: "Take a lower clock; or mend the cooling and bring a new log. See by heat what "
    "the log says, and take it back where it holds no more.",
    Withheld.TOO_MUCH_POWER: "Take a lower clock: this one is not to be had within the limit.",
    Withheld.UNDER_STOCK: "Leave it at stock: by these trials no higher clock fails so seldom.",
    Withheld.FEW_HOURS: "Leave it at stock meanwhile, which nothing here says to fail: more hours that "
    "hold promise more.",
    Withheld.STOCK_FAILED: "Nothing is advised until that is mended: look at cooling, memory, supply and "
    "drivers. Take a failure back only where something else is known to have caused it.",
}
"""What to do next where no voltage is advised."""

FAILED_THERE = (
    "It failed at the very voltage that is advised: look at what else changed, and try that point again "
    "before anything is claimed."
)
DONE = "The plan is done: what is advised has its hours. Every hour more there claims more."
TOO_HOT_BEYOND = (
    "No trial comes next: where the plan would go on, the part would be hotter in the hottest room than is "
    "allowed. Mend the cooling first, or stay with what is known."
)
TOO_MUCH_POWER_BEYOND = (
    "No trial comes next: where the plan would go on, the part would draw more than is allowed. Stay "
    "with what is known."
)
AT_LIMIT = (
    "The plan is done: nothing failed up to the limit of the clock, and its hours stand there. What "
    "they claim may be said; where it begins to fail is not known."
)


def target_words(goal: Goal) -> str:
    r"""What an advised voltage has to meet.

    >>> target_words(Goal(room_c=30, step_mv=5))
    'one failure in 1,000\xa0h of the load in a room of 30\xa0°C'
    """
    rare = with_unit(number(1 / goal.rate), "h")
    return f"one failure in {rare} of the load in a room of {with_unit(as_written(goal.room_c), '°C')}"


def advice_words(advice: Advice, *, offset: bool, most: Limit | None, readers: bool = False) -> str:
    """The voltage for a clock with its reserve and the reason for that, or why there is none and what to do.

    `most` is the limit as it is written there. `readers` are told what was advised of this one part, and
    nothing that they could take for their own.
    """
    clock = clock_words(advice.clock_mhz)
    if advice.meets_mhz is not None or advice.edge_mhz is not None:
        return clock_advice_words(advice, target_words(advice.goal), TODO, readers=readers)
    if advice.withheld is not None:
        return f"For {clock} no voltage is advised: {advice.withheld.value}. {TODO[advice.withheld]}"
    if advice.voltage_mv is None or advice.needed_mv is None or advice.reserve_mv is None:
        return ""
    middle, surely = (voltage_words(round(each), offset=offset) for each in advice.needed_mv)
    said = f"For {clock} set {voltage_words(advice.voltage_mv, offset=offset)}. "
    if readers:
        set_to = voltage_words(advice.voltage_mv, offset=offset)
        said = f"{set_to} was advised at {clock}, for this one part: copy it to no other. "
    said += f"For at most {target_words(advice.goal)} most likely {middle} is enough, and {surely} at "
    said += f"{level_words(advice.goal.share)} by what the trials tell; the firmware's next step is advised. "
    said += guard_words(advice)
    return said if most is None else f"{said} {allowed_words(most)}"


def guard_words(advice: Advice) -> str:
    """The guard band and the reserve within it, as sentences."""
    if advice.guard_band_mv is None or advice.reserve_mv is None:
        return ""
    band, reserve = (with_unit(number(each), "mV") for each in (advice.guard_band_mv, advice.reserve_mv))
    return (
        f"The guard band, from the edge up to the advised voltage, is {band}; {reserve} of it are the "
        "reserve for what the trials leave open."
    )


ROW_HEADS = ("clock", "set", "most likely enough", "so surely", "guard band", "of it reserve")
"""What stands over the cells of an advice."""


def advice_row(advice: Advice, *, offset: bool) -> tuple[str, ...]:
    """The advice in cells, as `ROW_HEADS` names them; where none is given, why."""
    clock = clock_words(advice.clock_mhz)
    if advice.meets_mhz is not None:
        return clock_row(advice)
    if advice.voltage_mv is None or advice.needed_mv is None or advice.reserve_mv is None:
        return clock, advice.withheld.value if advice.withheld else "", "", "", "", ""
    middle, surely = (voltage_words(round(each), offset=offset) for each in advice.needed_mv)
    band, reserve = (
        with_unit(number(each or 0.0), "mV") for each in (advice.guard_band_mv, advice.reserve_mv)
    )
    share = level_words(advice.goal.share)
    set_to = voltage_words(advice.voltage_mv, offset=offset)
    return clock, set_to, middle, f"{surely} at {share}", band, reserve


def next_words(found: NextTrial, load: str, *, offset: bool, rise: Rise | None = None) -> str:
    """What to set, what to run and for how long, and why; where its voltage goes up by steps, that too."""
    at = f"{clock_words(found.clock_mhz)} and {voltage_words(found.voltage_mv, offset=offset)}"
    left = ", leave the voltage to the part" if offset and not found.voltage_mv else ""
    at = clock_words(found.clock_mhz) if left else at
    ran = f"run {isolated(load)}" if load else "run your load"
    ran += f" for {hours_words(found.hours)}"
    said = f"Set {at} in the firmware{left} and {ran}: {purpose_words(found.purpose)}."
    return said if rise is None else f"{said} {rise_words(rise)}"


def rise_words(rise: Rise) -> str:
    r"""That a voltage goes up by more than one step, that this is meant so, and what else may be done.

    >>> rise_words(Rise(by_mv=30.0, steps=6)).replace("\u00a0", " ")[:75]
    'Its voltage lies 30 mV, six steps at once, above the highest tried so far: '
    """
    by = with_unit(number(rise.by_mv, 0 if float(rise.by_mv).is_integer() else 1), "mV")
    return (
        f"Its voltage lies {by}, {counted(rise.steps, 'step')} at once, above the highest tried so far: it "
        "follows what the trials tell of the edge, within the limit, and more voltage asks less of the part. "
        "It is more heat too: watch the temperature, or note trials at the steps between first."
    )


def purpose_words(purpose: Purpose) -> str:
    """Why a point is tried."""
    return purpose.value


def outlook_words(
    clock_mhz: float, voltage_mv: float, found: Prospect | ClockProspect, *, offset: bool
) -> str:  # fmt: skip
    """What some hours at a point would change, as a sentence."""
    if isinstance(found, ClockProspect):
        return clock_outlook_words(clock_mhz, found)
    at = f"{clock_words(clock_mhz)} and {voltage_words(voltage_mv, offset=offset)}"
    held, failed, now = (
        voltage_words(round(each), offset=offset)
        for each in (found.if_held_mv, found.if_failed_mv, found.now_mv)
    )
    chance = with_unit(number(100 * found.holds), "%")
    return (
        f"Another {hours_words(found.hours)} at {at}: it holds with a chance of {chance}, and then {held} "
        f"would be enough in place of {now}; if it fails, {failed}."
    )
