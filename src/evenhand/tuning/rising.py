"""How far the voltage of the next trial lies above all that was tried before it.

No trial goes more than one step towards a failure. More voltage is away from one: it may go up by several
steps at once, to where the next clock's edge is expected, further up after failures, or to what is advised.
That is meant so, within the limit, and told with the trial, since voltage is what wears a part out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.records.trials import Trial, Tuned
from evenhand.tuning.mapping import ON_STEP, stock_voltage
from evenhand.tuning.planning import NextTrial


@dataclass(frozen=True, slots=True, kw_only=True)
class Rise:
    """By how much a voltage lies above the highest that was tried so far, in mV and in steps of firmware."""

    by_mv: float
    steps: int


def rise_of(found: NextTrial, tuned: Tuned, trials: Sequence[Trial]) -> Rise | None:
    """The rise of the next trial; None where it is one step or less, or the voltage is left alone.

    Stock counts as tried: the part ran there before anything was set.
    """
    stock = stock_voltage(tuned)
    if tuned.clock_alone or stock is None:
        return None
    by_mv = found.voltage_mv - max([stock, *(trial.voltage_mv for trial in trials)])
    steps = round(by_mv / tuned.voltage_step_mv)
    if by_mv <= (1 + ON_STEP) * tuned.voltage_step_mv:
        return None
    return Rise(by_mv=by_mv, steps=steps)
