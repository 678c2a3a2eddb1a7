"""How often a verdict holds if the weights were a little other than was written down."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.reading import LaidPair
from evenhand.verdicts.standing import sum_pair
from evenhand.verdicts.weights import (
    lay_shares,
    named_parts,
    shares_of_properties,
    shares_of_tests,
)

DRAWS = 4000
# A share of 80 % then moves by about ± 9 points (one standard deviation), one of 50 % by ± 11: about as
# surely as people say how they spend their hours.
FIRMNESS = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wobble:
    """Of all draws of weights and of the truth within its error, the share in which each thing holds.

    `a_in_front`: a is better by anything; `a_by_margin`, `b_by_margin`: by more than the margin; `within`:
    the rest.
    """

    a_in_front: float
    a_by_margin: float
    b_by_margin: float

    @property
    def within(self) -> float:
        """The share in which the two differ by less than the margin."""
        return 1.0 - self.a_by_margin - self.b_by_margin


def wobble(
    case: Case, pair: LaidPair, rng: np.random.Generator, *, draws: int = DRAWS, firmness: float = FIRMNESS
) -> Wobble | None:
    """One pair under weights drawn around the audience's (Dirichlet) and effects within their error (t).

    What the audience named is drawn: its groups and single tests, with mean as written and `firmness` as the
    sum of the Dirichlet's parameters (Kotz, Balakrishnan & Johnson 2000, ch. 49). Properties stay. The index
    of each draw is then its estimate plus a t variate times its standard error, as a flat prior would have
    it. None where no spread is known.

    Limits: the weights of tests within a group stay in proportion. A chance of this kind is no p-value.
    """
    weights = drawn_weights(case, pair, rng, draws=draws, firmness=firmness)
    usable = weights.sum(axis=1) > 0
    summed = sum_pair(pair.grounds, weights[usable])
    if not np.isfinite(summed.se).all():
        return None
    d = summed.d + summed.se * rng.standard_t(summed.df)
    margin = math.log1p(case.study.margin)
    return Wobble(
        a_in_front=float(np.mean(d > 0)),
        a_by_margin=float(np.mean(d > margin)),
        b_by_margin=float(np.mean(d < -margin)),
    )


def drawn_weights(
    case: Case,
    pair: LaidPair,
    rng: np.random.Generator,
    *,
    draws: int,
    firmness: float,
) -> Floats:
    """Weights over the pair's columns, shape (draws, C), the named shares drawn; a share of 0 stays 0."""
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    named = [part for part in parts if part.share > 0]
    properties = shares_of_properties(case.audience)
    alone = np.stack([
        lay_shares(shares_of_tests([part]), properties, pair.grounds, tests=case.tests).weights / part.share
        for part in named
    ])  # fmt: skip
    shares = rng.dirichlet([firmness * part.share for part in named], size=draws)
    return np.asarray(shares @ alone)
