"""How little a line of machines can cost: what need not be laid out over all its months.

A part that was put in by an earlier change is taken to have been put in whenever it fetches the most, which
no path beats. All by the month of the last change.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from evenhand.money.market import AT_FIRST, Market, Whole

NEVER = np.iinfo(np.int64).max // 4


class PathBounds:
    """The most that parts fetch, by month; shapes (wares, months + 1)."""

    def __init__(self, market: Market) -> None:
        self.market, fetches = market, market.fetches
        months = fetches.shape[1] - 1
        # Put in at some month from 1 on and before the one in question.
        earlier = np.where(np.arange(months + 1)[:, None] >= 1, fetches, 0)
        before = np.triu(np.ones((months + 1, months + 1), dtype=bool), 1)
        self.sold_at = np.where(before, earlier, 0).max(axis=1)
        self.at_end = np.maximum.accumulate(
            np.concatenate([np.zeros_like(earlier[:, :1, -1]), earlier[:, :-1, -1]], axis=1), axis=1
        )

    def last_change(self, machines: Whole, after: Whole) -> tuple[Whole, Whole]:
        """Least costs of a line with one of these as its last machine, by the month of its last change.

        (N, kinds), (M, kinds) → both (M, months + 1): what is spent by then, and that less what all fetches
        in the end. `NEVER` where there is no time for the changes before.
        """
        market, before = self.market, machines[-1]
        since, new = since_of(machines), after != before
        costs, fetches = market.costs, market.fetches
        first = since == AT_FIRST
        sold = np.where(first[:, None], fetches[before, 0], self.sold_at[before])
        kept = np.where(first[:, None], fetches[before, 0, -1][:, None], self.at_end[before])
        spent = np.einsum("mk,mkt->mt", new, costs[after]) - new @ sold + self._before(machines)
        last = np.einsum("mk,mkt->mt", new, fetches[after, :, -1]) + ~new @ kept
        return spent, spent - last

    def _before(self, machines: Whole) -> Whole:
        """The least that is spent on all changes but the last, by the month of that, shape (months + 1,)."""
        market, months = self.market, self.market.costs.shape[1] - 1
        least, since = np.zeros(months + 1, dtype=np.int64), np.full(machines.shape[1], AT_FIRST)
        least[0] = NEVER  # nothing is changed today
        for n in range(len(machines) - 1):
            old, own = machines[n], machines[n + 1]
            new = own != old
            sold = np.where((since == AT_FIRST)[:, None], market.fetches[old, 0], self.sold_at[old])
            paid = market.costs[own[new]].sum(axis=0) - sold[new].sum(axis=0) + least
            paid = np.where(least >= NEVER, NEVER, paid)
            least = np.concatenate([[NEVER], np.minimum.accumulate(paid)[:-1]])
            since[new] = n
        return least


def since_of(machines: Whole) -> Whole:
    """Before which machine each part of the last one was put in, shape (N, kinds) → (kinds,)."""
    since = np.full(machines.shape[1], AT_FIRST)
    for n in range(len(machines) - 1):
        since[machines[n + 1] != machines[n]] = n
    return since


def affordable(market: Market, spent: Whole, *, from_month: int) -> npt.NDArray[np.bool_]:
    """Whether there is the money for so much by each month from this one on, shape (M, T)."""
    months = np.arange(from_month, from_month + spent.shape[1])
    there = market.ways.cash_minor + market.ways.saved_minor * months
    able: npt.NDArray[np.bool_] = spent <= there
    return able
