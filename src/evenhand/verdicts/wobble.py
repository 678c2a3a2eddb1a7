"""How often a verdict holds if the weights were a little other than was written down."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from evenhand.stats.mixing import Mix
from evenhand.verdicts.case import Case
from evenhand.verdicts.reading import LaidPair, laid_pair, with_price
from evenhand.verdicts.shares_drawn import drawn_shares
from evenhand.verdicts.ways import mixed_sums
from evenhand.verdicts.weights import Part, lay_shares, named_parts, shares_of_properties

DRAWS = 4000
# A share of 80 % then moves by about ± 9 points (one standard deviation), one of 50 % by ± 11: about as
# surely as people say how they spend their hours.
FIRMNESS = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wobble:
    """Of all draws of weights and of the truth within its error, the share in which each thing holds.

    `a_in_front`: a is better by anything; `a_by_margin`, `b_by_margin`: by more than the margin; `within`:
    the rest. Where only one thing is weighed (`alone`) no weight can move: only the truth is drawn.
    """

    a_in_front: float
    a_by_margin: float
    b_by_margin: float
    alone: bool = False

    @property
    def within(self) -> float:
        """The share in which the two differ by less than the margin."""
        return 1.0 - self.a_by_margin - self.b_by_margin


def wobble(
    case: Case, pair: LaidPair, rng: np.random.Generator, *, draws: int = DRAWS, firmness: float = FIRMNESS
) -> Wobble | None:
    """One pair under weights drawn around the audience's (Dirichlet) and effects within their error (t).

    What the audience named is drawn: its groups and single tests, with mean as written and `firmness` as the
    sum of the Dirichlet's parameters (Kotz, Balakrishnan & Johnson 2000, ch. 49). Properties stay, and so
    does the price where it is weighed. The index of each draw is then its estimate plus a t variate times its
    standard error, as a flat prior would have it. None where no spread is known.

    Limits: the weights of tests within a group stay in proportion. A chance of this kind is no p-value.
    """
    ends, mix = drawn(case, pair, rng, draws=draws, firmness=firmness)
    margin = math.log1p(case.study.margin)
    summed = with_price(mixed_sums([ends], mix), case.prices, fixed_minor=case.audience.fixed_minor)
    if not np.isfinite(summed.se).all():
        return None
    d = summed.d + summed.se * rng.standard_t(summed.df)
    return Wobble(
        a_in_front=float(np.mean(d > 0)),
        a_by_margin=float(np.mean(d > margin)),
        b_by_margin=float(np.mean(d < -margin)),
        alone=len(_named(case)) == 1,
    )


def drawn(
    case: Case, pair: LaidPair, rng: np.random.Generator, *, draws: int, firmness: float
) -> tuple[LaidPair, Mix]:
    """The pair under each named weight alone, and as many mixtures of these as are drawn.

    A share of 0 stays 0, and noise keeps its own. Draws in which nothing that was measured has a weight are
    left out.
    """
    named, properties = _named(case), shares_of_properties(case.audience)
    # Each as if it were all that is weighed: what is of the whole machine has its one share in every sum.
    alone = [lay_shares(part.over, properties, pair.grounds, tests=case.tests) for part in named]
    shares = drawn_shares(tuple(firmness * part.share for part in named), rng, draws)
    ends = laid_pair(pair.grounds, alone)
    usable = Mix(shares).between(ends.weights.sum(axis=1)) > 0
    return ends, Mix(shares if usable.all() else shares[usable])


def _named(case: Case) -> list[Part]:
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    return [part for part in parts if part.share > 0]
