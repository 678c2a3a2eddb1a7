"""For one audience: how every pair of setups stands on what it does, and for the money."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from evenhand.findings.caveats import UNMEASURED
from evenhand.findings.fairness import NOTHING_DIFFERS
from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.outcomes import ALPHA, ends, from_log, is_measurable, may_be_small
from evenhand.money.break_even import BreakEven, Value
from evenhand.records.audiences import Property
from evenhand.verdicts.allowing import allowances, within_words
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.reading import MOST_MISSING, LaidPair, Readings, laid_pair, read
from evenhand.verdicts.standing import (
    AHEAD,
    BEHIND,
    BY_VALUE_A,
    BY_VALUE_B,
    LEVEL,
    VALUE_LEVEL,
    Summed,
    holm_together,
)
from evenhand.verdicts.weights import Laid, lay_weights
from evenhand.verdicts.worths import is_open, worth_of

# A test that carries more than this of the weight is told: the verdict is then its verdict.
DOMINATES = 0.5

OUTCOMES: Mapping[int, Outcome] = {
    AHEAD: Outcome.AHEAD, BEHIND: Outcome.BEHIND, LEVEL: Outcome.LEVEL,
}  # fmt: skip
VALUES: Mapping[int, Value] = {BY_VALUE_A: Value.A, BY_VALUE_B: Value.B, VALUE_LEVEL: Value.LEVEL}


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """a over b for an audience: `ratio` above 1 means a is better by what the audience weighs.

    `low`, `high`: 95 % interval; `bound_low`, `bound_high`: what was held against the margin. `p_holm` is
    adjusted over the pairs of this audience. `value` holds a's price against `break_even`, both with the
    audience's fixed costs, None without an interval; `prices` are those of a and b in minor units.
    `value_open` says of a level value that a may be worth more or less than its price by more than the
    margin: the two are not told apart by value, and not shown to be level either.
    `bridged_by` names who was run under the conditions of both, where tests that are weighed were measured
    apart. `missing` is the share of the weight that has no number, `unknown` what of. `bought` stands in the
    place of value where the two are one build, tuned and at stock: what tuning buys, and for what.
    """

    audience: str
    a: str
    b: str
    outcome: Outcome
    ratio: float
    low: float | None
    high: float | None
    bound_low: float | None
    bound_high: float | None
    p_holm: float | None
    measurably: bool = False
    perhaps_small: bool = False
    value: Value = Value.UNKNOWN
    value_open: bool = False
    break_even: BreakEven | None = None
    prices: tuple[int, int] | None = None
    shares: Mapping[tuple[str, Property], float] = field(default_factory=dict)
    caveats: tuple[Caveat, ...] = ()
    bridged_by: tuple[str, ...] = ()
    missing: float = 0.0
    unknown: tuple[Property, ...] = ()
    bought: str = ""

    @property
    def is_blind(self) -> bool:
        """Whether so much of the weight has no number that the rest may not speak for it."""
        return self.missing > MOST_MISSING

    @property
    def says_value(self) -> bool:
        """Whether anything is said of where the money is better spent, be it that neither is."""
        return self.value is not Value.UNKNOWN

    @property
    def is_of_one_machine(self) -> bool:
        """Whether nothing differs between the two, so that nothing can turn and no chance be told."""
        return any(caveat.key == NOTHING_DIFFERS for caveat in self.caveats)


def verdicts(case: Case) -> tuple[Verdict, ...]:
    """A verdict on each pair; none on a pair that has nothing this audience weighs.

    Level, ahead, behind and unsettled as in `findings.outcomes.decide`, p adjusted (Holm 1979) over the
    pairs of this audience. Raises BadRecord where the audience's weights cannot be read.
    """
    laid = [
        (pair, lay_weights(case.audience, pair, study=case.study, tests=case.tests)) for pair in case.pairs
    ]
    usable = [(laid_pair(pair, [its]), its) for pair, its in laid if its.weights.sum() > 0]
    if not usable:
        return ()
    readings = read(
        [pair for pair, _ in usable], margin=math.log1p(case.study.margin), prices=case.prices,
        fixed_minor=case.audience.fixed_minor,
    )  # fmt: skip
    adjusted = holm_together([found.summed.p for found in readings])
    return tuple(
        _verdict(case, pair, its, (found, _known(p[0])), family=len(usable))
        for (pair, its), found, p in zip(usable, readings, adjusted, strict=True)
    )


def _verdict(
    case: Case, pair: LaidPair, laid: Laid, read_as: tuple[Readings, float | None], *, family: int
) -> Verdict:
    found, p_holm = read_as
    margin = math.log1p(case.study.margin)
    outcome = OUTCOMES.get(int(found.outcome[0]), Outcome.UNSETTLED)
    d, half = float(found.summed.d[0]), _known(found.summed.half_shown[0])
    shown, bounds = ends(d, half), ends(d, _wider(found.summed))
    grounds = pair.grounds
    within = within_words(grounds.grounds, laid.weights)
    even, prices = _money(case, pair, found.merit)
    value = Value.UNKNOWN if prices is None else VALUES.get(int(found.value[0]), Value.UNKNOWN)
    return Verdict(
        audience=case.audience.key, a=grounds.a, b=grounds.b, outcome=outcome, ratio=from_log(d),
        low=shown[0], high=shown[1], bound_low=bounds[0], bound_high=bounds[1], p_holm=p_holm,
        measurably=is_measurable(outcome, p_holm),
        perhaps_small=may_be_small(outcome, (*shown, *bounds), margin=margin),
        value=value,
        value_open=value is Value.LEVEL
        and prices is not None
        and is_open(even, prices[0], margin=case.study.margin),
        break_even=even, prices=prices,
        shares=_shares(grounds, laid),
        caveats=(
            *case.known.get((grounds.a, grounds.b), ()),
            *_caveats(grounds, laid),
            *(() if _is_blind(pair) else _withheld(found.summed, outcome, within=within, family=family)),
        ),
        bridged_by=_bridged_by(grounds, laid), missing=laid.missing_share,
        unknown=tuple(dict.fromkeys(asked for _, asked in laid.missing)),
        bought=case.states.get((grounds.a, grounds.b), ""),
    )  # fmt: skip


def _bridged_by(pair: PairGrounds, laid: Laid) -> tuple[str, ...]:
    weighed = set(_weighted(pair, laid, [True] * len(pair.grounds)))
    return tuple(dict.fromkeys(machine for test, machine in pair.bridged if test in weighed))


def _money(case: Case, pair: LaidPair, merit: Summed) -> tuple[BreakEven | None, tuple[int, int] | None]:
    """What the difference is worth: by all that the audience weighs but the price itself.

    Without an interval, or with too much unknown, it has no worth that could be told. Nor has what is bought
    once, be it tuned or at stock.
    """
    if (pair.grounds.a, pair.grounds.b) in case.states:
        return None, None
    price_a, price_b = case.prices.get(pair.grounds.a), case.prices.get(pair.grounds.b)
    if price_a is None or price_b is None:
        return None, None
    even = None if _is_blind(pair) else worth_of(merit, price_b, fixed_minor=case.audience.fixed_minor)
    return even, (price_a, price_b)


def _is_blind(pair: LaidPair) -> bool:
    """Whether too much of the weight stands on nothing for anything to be called."""
    return float(pair.missing[0]) > MOST_MISSING


def _shares(grounds: PairGrounds, laid: Laid) -> dict[tuple[str, Property], float]:
    columns = zip(grounds.grounds, laid.weights, strict=True)
    return {(ground.test, ground.property): float(weight) for ground, weight in columns if weight > 0}


def _known(number: float) -> float | None:
    return float(number) if math.isfinite(number) else None


def _wider(summed: Summed) -> float | None:
    half = _known(summed.half_held[0])
    return None if half is None else half + float(summed.allowance[0])


def _caveats(pair: PairGrounds, laid: Laid) -> list[Caveat]:
    found: list[Caveat] = []
    if laid.missing:
        what, tests = _without_number(pair, laid)
        words = f"{100 * laid.missing_share:.3g} % of the weight stands on {what}"
        if laid.missing_share > MOST_MISSING:
            words += "; with so much unknown nothing is called"
        found.append(Caveat(key=UNMEASURED, words=words, tests=tests))
    found += _unlike(pair, laid)
    single = _weighted(pair, laid, [ground.one_run for ground in pair.grounds])
    if single:
        found.append(
            Caveat(key="one-run", words="one run on a side, so nothing is called: {tests}", tests=single)
        )
    heavy = _weighted(pair, laid, list(laid.weights > DOMINATES))
    if heavy and int((laid.weights > 0).sum()) > 1:  # of a single one its weight says so
        words = "carries more than half of the weight: {tests}"
        found.append(Caveat(key="dominates", words=words, tests=heavy))
    return [*found, *allowances(pair.grounds, laid.weights)]


def _without_number(pair: PairGrounds, laid: Laid) -> tuple[str, tuple[str, ...]]:
    """What has no number, with a slot, and what fills it: tests that nobody ran, properties that nobody read.

    A property that was read in some tests is told with those in which it was not.
    """
    read_in = {ground.property for ground in pair.grounds}
    asked = {of for _, of in laid.missing}
    if len(asked) == 1 and (of := asked.pop()) is not Property.SPEED and of in read_in:
        return f"{of.value}, which has no number in {{tests}}", tuple(test for test, _ in laid.missing)
    told = (
        test if of is Property.SPEED else f"{of.value} in some tests" if of in read_in else of.value
        for test, of in laid.missing
    )
    return "what has no number: {tests}", tuple(dict.fromkeys(told))


def _unlike(pair: PairGrounds, laid: Laid) -> list[Caveat]:
    """Which tests that have a weight were not the same test, or ran under other conditions, on both sides."""
    weighed = set(_weighted(pair, laid, [True] * len(pair.grounds))) | {test for test, _ in laid.missing}
    by_caveat: dict[Caveat, list[str]] = {}
    for test, caveat in pair.unlike:
        if test in weighed:
            by_caveat.setdefault(caveat, []).append(test)
    return [
        replace(caveat, tests=tuple(tests), words=f"{{tests}}: {caveat.words}")
        for caveat, tests in by_caveat.items()
    ]


def _withheld(summed: Summed, outcome: Outcome, *, within: str, family: int) -> list[Caveat]:
    """Why a difference whose interval clears 1 is not called: the allowance, its own p, or p of all."""
    half, p = _known(summed.half_shown[0]), _known(summed.p[0])
    clear_by = 0.0 if half is None else abs(float(summed.d[0])) - half
    if outcome is not Outcome.UNSETTLED or clear_by <= 0:
        return []
    if clear_by <= float(summed.allowance[0]):
        words = f"a difference is measurable, but within what {within} cannot exclude"
        return [Caveat(key="ahead-withheld", words=words)]
    if family > 1 and p is not None and p < ALPHA:
        words = f"clear of no difference by itself, but not once all {family} pairs of setups are counted"
        return [Caveat(key="family-withheld", words=words)]
    return [
        Caveat(key="p-withheld", words="clear of no difference at 95 %, but not surely enough to call it")
    ]


def _weighted(pair: PairGrounds, laid: Laid, marked: Sequence[bool]) -> tuple[str, ...]:
    rows = zip(pair.grounds, laid.weights, marked, strict=True)
    return tuple(dict.fromkeys(g.test for g, w, m in rows if m and w > 0 and g.test))
