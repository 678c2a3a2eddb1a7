"""Sentences that reach beyond the runs: titles nobody tested, and times to come."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.findings.drifting import DRIFTS
from evenhand.findings.finding import Index, Outcome
from evenhand.verdicts.backing import (
    SIDES,
    Asked,
    Backing,
    bridged,
    counted,
    of,
    pair_slots,
    range_over,
    reason,
    sentence,
    speaks_of_b,
)
from evenhand.verdicts.claim_words import RUNG_NAMES
from evenhand.verdicts.claims import As, Kind, Rung, RungAnswer, Said, Shown, Standing
from evenhand.verdicts.claims_measured import index_sentence, refused
from evenhand.verdicts.fewest import FEWEST_TESTS

TELLS_NOTHING = 9.0  # upper over lower end, as from a third to three times: two or three tests that disagree


@dataclass(frozen=True, slots=True, kw_only=True)
class _Foretold:
    """What a group of tests foretells of a title of its sort, None where nothing, and why."""

    index: Index
    outcome: Outcome | None
    why: Said


def forecast_standing(asked: Asked, backing: Backing) -> Standing:
    """Titles not tested, of a group, or of every group ("").

    The index must be called, without an allowance for an error that all its tests share; it needs six tests;
    and the prediction interval for a test not run must lie clear of no difference on that side, or wholly
    within the margin. Ranges are told of whoever the sentence puts in front.
    """
    foretold = _of_groups(asked, backing) if not asked.about else _of_group(asked, backing)
    if not foretold:
        return refused(asked, reason("tests-few"))
    below = foretold[0].index
    measured, on = index_sentence(below, backing), Rung.TESTS if below.outcome in SIDES else None
    outcomes = {f.outcome for f in foretold}
    if None in outcomes or len(outcomes) > 1:
        open_ones = [f for f in foretold if f.outcome is None]
        why = _widest(open_ones).why if open_ones else reason("forecast-apart")
        return refused(asked, why, would=measured, on=on)
    outcome = foretold[0].outcome or Outcome.UNSETTLED
    return Standing(
        kind=Kind.FORECAST, rung=Rung.UNTESTED, allowed=asked.fits(outcome),
        reason=_widest(foretold).why if asked.fits(outcome) else reason("contrary"),
        would_stand=_sentence(foretold, outcome, backing), stands_on=Rung.UNTESTED,
    )  # fmt: skip


def forecast_rung(backing: Backing) -> RungAnswer:
    """Whether titles not tested may be spoken of: for every group of tests, for some, for none.

    Its ranges are told of whoever the verdict has in front.
    """
    foretold = _of_groups(Asked(kind=Kind.FORECAST, says=_in_front(backing)), backing)
    if not foretold:
        return _rung(Rung.UNTESTED, Shown.NOT_SHOWN, reason("tests-few"))
    borne = [f for f in foretold if f.outcome is not None]
    open_ones = [f for f in foretold if f.outcome is None]
    if not open_ones:
        return _rung(Rung.UNTESTED, Shown.SHOWN, borne[0].why)
    if not borne:
        return _rung(Rung.UNTESTED, Shown.NOT_SHOWN, _widest(open_ones).why)
    tests = tuple(test for f in borne for test in f.index.tests)
    why = reason("forecast-part", groups=of(As.GROUP, *(f.index.group for f in borne)))
    return _rung(Rung.UNTESTED, Shown.PARTLY, why, tests)


def _in_front(backing: Backing) -> Outcome | None:
    if backing.verdict is None:
        return None
    return Outcome.BEHIND if backing.verdict.ratio < 1 else Outcome.AHEAD


def _of_groups(asked: Asked, backing: Backing) -> list[_Foretold]:
    """What each group foretells that the audience weighs; all tests together where there are no groups."""
    groups = [group for group, index in backing.indexes.items() if group and _is_weighed(index, backing)]
    return [_foretell(backing.indexes[group], asked, backing) for group in groups or backing.indexes]


def _is_weighed(index: Index, backing: Backing) -> bool:
    """Whether the audience gives anything to these tests; where there is none all groups count."""
    if backing.verdict is None:
        return True
    return any(share > 0 and test in index.tests for (test, _), share in backing.verdict.shares.items())


def _of_group(asked: Asked, backing: Backing) -> list[_Foretold]:
    index = backing.indexes.get(asked.about)
    return [] if index is None else [_foretell(index, asked, backing)]


def _widest(foretold: Sequence[_Foretold]) -> _Foretold:
    """The group that leaves most open, so that its reason speaks for all."""
    return max(foretold, key=lambda f: _width(f.index))


def _width(index: Index) -> float:
    if index.predicted_low is None or index.predicted_high is None:
        return 0.0
    return math.log(index.predicted_high / index.predicted_low)


def _foretell(index: Index, asked: Asked, backing: Backing) -> _Foretold:
    low, high, count = index.predicted_low, index.predicted_high, counted(len(index.tests), "test")
    if low is None or high is None:
        return _Foretold(index=index, outcome=None, why=reason("forecast-none"))
    ends = range_over(low, high, backing, behind=speaks_of_b(asked, index.ratio))
    margin = of(As.SHARE, backing.margin)
    outcome = _outcome(low, high, math.log1p(backing.margin))
    if outcome is None and high / low > TELLS_NOTHING:
        return _Foretold(index=index, outcome=None, why=reason("forecast-wide"))
    few = len(index.tests) < FEWEST_TESTS
    if outcome is None or few:
        key = "forecast-open" if not few else "forecast-few" if outcome else "forecast-open-few"
        slots = {"count": count, "least": counted(FEWEST_TESTS, "test")} if few else {}
        return _Foretold(index=index, outcome=None, why=reason(key, **ends, **slots))
    if index.outcome is not outcome:
        return _Foretold(index=index, outcome=None, why=reason("forecast-not-called"))
    if any(caveat.key in ("allowance", DRIFTS) for caveat in index.caveats):
        return _Foretold(index=index, outcome=None, why=reason("forecast-shared"))
    key = "forecast-within" if outcome is Outcome.LEVEL else "forecast-clear"
    return _Foretold(index=index, outcome=outcome, why=reason(key, **ends, margin=margin, count=count))


def _outcome(low: float, high: float, margin: float) -> Outcome | None:
    """What a range of ratios says: level inside the margin (a log), ahead or behind clear of 1, or none."""
    if -margin < math.log(low) and math.log(high) < margin:
        return Outcome.LEVEL
    return Outcome.AHEAD if low > 1 else Outcome.BEHIND if high < 1 else None


def _sentence(foretold: Sequence[_Foretold], outcome: Outcome, backing: Backing) -> Said:
    """What stands of all these groups together, with the widest of their ranges."""
    widest, groups = _widest(foretold).index, [f.index.group for f in foretold]
    low, high = widest.predicted_low or math.nan, widest.predicted_high or math.nan  # both are known here
    ends = range_over(low, high, backing, behind=outcome is Outcome.BEHIND)
    slots = {**pair_slots(backing), "range": ends["range"]}
    bridges = [machine for f in foretold for machine in f.index.bridged_by]
    if groups == [""]:
        return bridged(sentence(f"untested-{SIDES[outcome]}", **slots), bridges)
    return bridged(sentence(f"forecast-{SIDES[outcome]}", **slots, group=of(As.GROUP, *groups)), bridges)


def lasting_standing(asked: Asked, backing: Backing) -> Standing:
    """Nothing lasts on this record: it has no trials of ageing, and no place for them yet."""
    slots = {"boots": counted(backing.boots(), "boot")}
    runs = counted(backing.runs({f.test for f in backing.findings}), "run")
    would = sentence("measured-once", runs=runs, **slots)
    return refused(asked, reason("no-ageing", **slots), would=would, on=Rung.TESTS)


def lasting_rung(backing: Backing) -> RungAnswer:
    """Not shown without ageing trials."""
    return _rung(Rung.LASTING, Shown.NOT_SHOWN, reason("no-ageing", boots=counted(backing.boots(), "boot")))


def _rung(rung: Rung, shown: Shown, why: Said, tests: tuple[str, ...] = ()) -> RungAnswer:
    return RungAnswer(rung=rung, name=RUNG_NAMES[rung], shown=shown, reason=why, tests=tests)
