"""Who is called beside other pairs is who has an adjusted p below the level, for every state by itself."""

import numpy as np
import pytest

from evenhand.findings.outcomes import ALPHA
from evenhand.verdicts.calling import called_among, called_together
from evenhand.verdicts.standing import Summed, holm_together


def drawn(rng: np.random.Generator, many: int, *, alike: bool) -> Summed:
    """Differences about as large as p asks for; some without a spread, some on a single run."""
    df = np.full(many, 8.0) if alike else rng.uniform(2, 30, many)
    se = np.where(rng.random(many) < 0.1, np.nan, rng.uniform(0.5, 1.5, many))
    return Summed(
        d=rng.normal(0, 3, many), se=se, df=df, allowance=rng.choice([0.0, 0.4], many),
        single=rng.random(many) < 0.1,
    )  # fmt: skip


@pytest.mark.parametrize("pairs", [1, 2, 3, 6, 10])
@pytest.mark.parametrize("alike", [True, False])
def test_it_is_holm_below_the_level(pairs: int, alike: bool) -> None:
    rng = np.random.default_rng(pairs)
    sums = [drawn(rng, 2000, alike=alike) for _ in range(pairs)]
    with np.errstate(invalid="ignore"):
        wanted = [p < ALPHA for p in holm_together([s.p for s in sums])]
    found = called_together(sums)
    assert all(np.array_equal(one, other) for one, other in zip(found, wanted, strict=True))
    assert any(one.any() and not one.all() for one in found)


def test_a_pair_without_a_p_is_not_called_and_not_counted() -> None:
    nobody = np.full((1, 1), -1, np.int8)
    lone = np.array([[1]], np.int8)
    assert called_among(np.concatenate([lone, nobody])).ravel().tolist() == [True, False]
    assert called_among(np.concatenate([lone, lone])).ravel().tolist() == [False, False]
    # The surer of two is called beside both, and leaves the other by itself.
    assert called_among(np.array([[2], [1]], np.int8)).ravel().tolist() == [True, True]
