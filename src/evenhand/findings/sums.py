"""Several tests in one number: their weighted mean with its error, and the same without each of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.findings.columns import Used, lay_boots, lay_out
from evenhand.findings.outcomes import LEVEL_INTERVAL, SHOWN_INTERVAL, Evidence
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Columns, weigh

BY_BOOTS = "one index per boot, t over boots"
BY_TESTS = "sum over tests, Satterthwaite"


@dataclass(frozen=True, slots=True, kw_only=True)
class Summed:
    """An index before it is dressed: log, half widths at 95 % and 90 %, p, allowance and how it was had."""

    d: float
    half_95: float | None
    evidence: Evidence
    method: str


def sum_tests(used: Sequence[Used], *, held_at: float = LEVEL_INTERVAL) -> Summed:
    """The weighted geometric mean: from one index per boot where all tests share their boots, else by tests.

    The allowance is the weighted sum of the tests' allowances: a shared error moves them together.
    `held_at` is the level of the interval that is held against the margin.
    """
    columns = lay_out(used)
    if columns is None:
        return _without_spread(used)
    return _summed(columns, [used], np.array([[u.weight for u in used]]), held_at)[0]


def sums_without_each(used: Sequence[Used]) -> list[Summed]:
    """`sum_tests` of all but each test in turn. On boots that all tests share, all of them at once.

    What boots say of some columns is what they say of all with no weight on the others (`stats.boots`).
    """
    rest = [[u for u in used if u is not gone] for gone in used]
    bridged = any(u.sessions.beside for u in used)
    columns = None if bridged else lay_boots([u.sessions for u in used])
    if columns is None:
        return [sum_tests(each) for each in rest]
    weights = np.tile([u.weight for u in used], (len(used), 1))
    np.fill_diagonal(weights, 0.0)
    return _summed(columns, rest, weights, LEVEL_INTERVAL)


def _summed(
    columns: Columns, sums: Sequence[Sequence[Used]], weights: Floats, held_at: float
) -> list[Summed]:
    """The columns under each row of weights, which are those of each of the `sums`."""
    weighed = weigh(columns, weights)
    allowances = np.array([sum(u.weight * u.sessions.allowance for u in used) for used in sums])
    allowances /= weights.sum(axis=1)
    held, shown = weighed.half_widths(held_at), weighed.half_widths(SHOWN_INTERVAL)
    p, method = weighed.p_values(allowance=allowances), BY_BOOTS if columns.boots else BY_TESTS
    return [
        Summed(
            d=float(weighed.d[i]),
            half_95=float(shown[i]),
            evidence=Evidence(
                effect=float(weighed.d[i]),
                half_90=None if any(u.one_run for u in used) else float(held[i]),
                p=float(p[i]),
                allowance=float(allowances[i]),
            ),
            method=method,
        )
        if weighed.se[i] > 0
        else _without_spread(used)
        for i, used in enumerate(sums)
    ]


def _without_spread(used: Sequence[Used]) -> Summed:
    d = sum(u.weight * u.difference.d for u in used) / sum(u.weight for u in used)
    evidence = Evidence(effect=d, half_90=None, p=None)
    return Summed(d=d, half_95=None, evidence=evidence, method="none: spread unknown")
