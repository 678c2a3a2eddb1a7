"""How long it takes to find what would flip a verdict: ``python -m bench.flips``.

Three builds, twelve tests of which six have lows, five audiences, four left-out runs: every single change and
every two together, against asking for the five verdicts alone in the same process. Then one audience with
four weights and a price that it weighs, over five builds and thirty tests. Seconds are of processor time,
which other work on the machine touches little; the second round is told, when all is loaded.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from validation.workshops import SPEED, a_test, case_of, cells_of

from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell, Observation
from evenhand.records.audiences import Audience, Property
from evenhand.records.tests import Test
from evenhand.verdicts.case import Case
from evenhand.verdicts.flips import flips
from evenhand.verdicts.joint_flips import joint_flips
from evenhand.verdicts.others import others, pairs_of
from evenhand.verdicts.verdict import verdicts

TESTS = tuple(a_test(f"t{i}", "games" if i < 6 else "work", frames=i < 6) for i in range(12))
PRICES = {"s0": 74200, "s1": 99800, "s2": 101200}


def main() -> None:
    """Print seconds for the search, its parts, and the verdicts alone."""
    for measured in (search, priced_search):
        measured()
        for line in measured():
            print(line)


def search() -> list[str]:
    """One round, and what it took in lines."""
    cells, left = _study()
    cases = [_case(share, cells) for share in (90, 80, 50, 20, 10)]
    begun = time.process_time()
    for case in cases:
        verdicts(case)
    plain = time.process_time() - begun
    study = cases[0].study
    begun = time.process_time()
    changed = others(cells, left, study=study, properties=SPEED)
    alone = [flips(case, changed) for case in cases]
    single = time.process_time() - begun
    begun = time.process_time()
    twice = pairs_of(changed, study=study)
    both = [
        joint_flips(case, changed, found, two_others=twice) for case, found in zip(cases, alone, strict=True)
    ]
    double = time.process_time() - begun
    return [
        f"five verdicts alone: {plain:.3f} s",
        *(
            f"{name}: {sum(map(len, found))} flips in {took:.3f} s, {took / plain:.0f} times as long"
            for name, found, took in (("one change", alone, single), ("two changes", both, double))
        ),
    ]


def priced_search() -> list[str]:
    """One round over five builds and thirty tests, the price weighed."""
    tests = tuple(a_test(f"t{i}", f"g{i % 4}", frames=False) for i in range(30))
    prices = {f"s{k}": 74200 + 5300 * k for k in range(5)}
    cells, left = _measured(tests, tuple(prices), every=30)
    weights = {"g0": 40, "g1": 30, "g2": 20, "g3": 10}
    audience = Audience(
        key="x", name="X", groups=weights, properties={Property.SPEED: 0.7, Property.PRICE: 0.3}
    )
    case = case_of(audience, cells, tests=tests, prices=prices)
    begun = time.process_time()
    changed = others(cells, left, study=case.study, properties=SPEED)
    alone = flips(case, changed)
    single = time.process_time() - begun
    begun = time.process_time()
    twice = pairs_of(changed, study=case.study)
    both = joint_flips(case, changed, alone, two_others=twice)
    double = time.process_time() - begun
    return [
        f"five builds, thirty tests, a weighed price: one change: {len(alone)} flips in {single:.3f} s",
        f"five builds, thirty tests, a weighed price: two changes: {len(both)} flips in {double:.3f} s",
    ]


def _case(share: int, cells: Sequence[Cell]) -> Case:
    audience = Audience(key=str(share), name=str(share), groups={"games": share, "work": 100 - share})
    return case_of(audience, cells, tests=TESTS, prices=PRICES)


def _study() -> tuple[list[Cell], list[LeftOutRun]]:
    cells, left = _measured(TESTS, tuple(PRICES), every=10)
    lows = [replace(c, metric="low_1pct", headline=False) for c in cells if c.group == "games"]
    return [*cells, *lows], left


def _measured(
    tests: Sequence[Test], setups: Sequence[str], *, every: int
) -> tuple[list[Cell], list[LeftOutRun]]:
    """Some rates of every test on every setup, and four runs that are left out."""
    rng = np.random.default_rng(4)
    rates = {s: {t.key: 100 * float(np.exp(rng.normal(0, 0.06))) for t in tests} for s in setups}
    cells = list(cells_of(rates, tests, rng=rng, exact=False))
    left = [
        LeftOutRun(
            test=c.test, setup=c.setup, metric=c.metric,
            observation=Observation(run=f"out-{i}", value=c.observations[0].value * 0.8, boot="b0", order=99),
        )
        for i, c in enumerate(cells[1::every][:4])
    ]  # fmt: skip
    return cells, left


if __name__ == "__main__":
    main()
