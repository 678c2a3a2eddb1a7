"""What was planted in the example's second study, Plover tuned and at stock, and whether it was found."""

from __future__ import annotations

from statistics import fmean

from evenhand.demo import at_stock as planted
from evenhand.demo.truth import SOUND_TEST
from evenhand.desk.demonstrating_money import Found
from evenhand.desk.on_record import load_study
from evenhand.desk.tuning.gained import Gained
from evenhand.desk.tuning.gained_said import worth_said
from evenhand.findings.finding import Finding, Index, Outcome
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band


def stock_found(wb: Workbench, study: str) -> tuple[Found, ...]:
    """What tuning bought and what it cost, each held against the truth that its runs were made of."""
    said = worth_said(wb, load_study(wb, study), planted.MILD)
    bought, cost = "what tuning Plover bought", "what tuning Plover cost"
    if said.held is None:
        return tuple(Found(what=what, found=False, told=said.answer) for what in (bought, cost))
    return (
        Found(what=bought, found=_bought(said.held), told=said.answer),
        Found(what=cost, found=_cost(said.held), told=" ".join(said.costs)),
    )


def _bought(held: Gained) -> bool:
    """Every gain within its interval, settled where that was planted, and none above what the clock gives."""
    findings, overall = held.comparison.findings, held.overall
    ahead = tuple(each.test for each in findings if each.outcome is Outcome.AHEAD)
    level = all(each.outcome is Outcome.LEVEL for each in findings if each.test not in ahead)
    right = all(_holds(each, planted.GAINS[each.test]) for each in findings)
    return (
        overall is not None and overall.outcome is Outcome.LEVEL and not held.doubted
        and _holds(overall, fmean(planted.GAINS.values()))
        and ahead == planted.AHEAD_IN and level and right
    )  # fmt: skip


def _holds(found: Finding | Index, gain: float) -> bool:
    return found.low is not None and found.high is not None and found.low <= 1 + gain <= found.high


def _cost(held: Gained) -> bool:
    """Watts at the wall and decibels under load, each within its band and clear of none."""
    added = None if held.watts is None else held.watts.added_w
    watts = isinstance(added, Band) and 0 < added.low <= planted.true_added_w() <= added.high
    louder = [gap for gap in held.noise if gap.test == SOUND_TEST and gap.low is not None]
    noise = [0 < (gap.low or 0.0) <= planted.LOUDER_DB <= (gap.high or 0.0) for gap in louder]
    return watts and bool(noise) and all(noise)
