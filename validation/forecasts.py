"""How far the interval for a title not tested may be trusted, by the number of tests.

    python -m validation.forecasts [--studies 20000] [--seed 20261128]

Titles are drawn from populations that are normal and that are not; the interval is that of every index
(`stats.indexes.sample_of_tests`). Prints a markdown table: the share of studies whose next title lies inside.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Mapping

import numpy as np
import numpy.typing as npt
from rich.console import Console

from evenhand.stats.indexes import sample_of_tests

Floats = npt.NDArray[np.float64]
Titles = Callable[[np.random.Generator, int], Floats]
COUNTS = (2, 3, 4, 5, 6, 8, 12, 20)


def _of_two_kinds(share: float, apart: float) -> Titles:
    def draw(rng: np.random.Generator, n: int) -> Floats:
        return np.where(rng.random(n) < share, 0.1, 0.1 - apart) + rng.normal(0, 0.03, n)

    return draw


POPULATIONS: Mapping[str, Titles] = {
    "normal": lambda rng, n: rng.normal(0.05, 0.05, n),
    "two kinds, 7 in 10 and 3 in 10, 10 % apart": _of_two_kinds(0.7, 0.10),
    "two kinds, 17 in 20 and 3 in 20, 15 % apart": _of_two_kinds(0.85, 0.15),
    "skewed (lognormal, .6)": lambda rng, n: 0.05 * (rng.lognormal(0, 0.6, n) - 1.0),
    "long tails (t on 4)": lambda rng, n: 0.05 + 0.05 * rng.standard_t(4, n),
    "held by a limit above": lambda rng, n: np.minimum(rng.normal(0.1, 0.06, n), 0.12),
}
"""Log differences of titles of one sort."""


def coverage(titles: Titles, count: int, *, studies: int, rng: np.random.Generator) -> float:
    """The share of studies of `count` titles whose interval holds the next one."""
    inside = 0
    for _ in range(studies):
        drawn = titles(rng, count + 1)
        made = sample_of_tests(drawn[:count], weights=np.ones(count))
        if made is None:
            raise ValueError("two titles are the least")
        inside += abs(float(drawn[count]) - made.mean) <= made.half_widths(0.95)[1]
    return inside / studies


def missed(share: float, count: int) -> float:
    """How often so many titles hold none of a kind that makes up this share of all.

    >>> round(missed(0.4, 6), 3)
    0.047
    """
    return float((1.0 - share) ** count)


def table(*, studies: int, seed: int) -> Iterator[str]:
    """The shares as a markdown table, a row a population."""
    rng = np.random.default_rng(seed)
    yield f"| titles | {' | '.join(f'{count} tests' for count in COUNTS)} |"
    yield f"|---|{'---|' * len(COUNTS)}"
    for name, titles in POPULATIONS.items():
        found = [coverage(titles, count, studies=studies, rng=rng) for count in COUNTS]
        yield f"| {name} | {' | '.join(f'{100 * share:.1f} %' for share in found)} |"
    kinds = [missed(0.4, count) for count in COUNTS]
    yield f"| no title of a kind that is 4 in 10 | {' | '.join(f'{100 * share:.1f} %' for share in kinds)} |"


def main() -> None:
    """Prints the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--studies", type=int, default=20000)
    words.add_argument("--seed", type=int, default=20261128)
    asked = words.parse_args()
    for line in table(studies=asked.studies, seed=asked.seed):
        Console(width=200).print(line, highlight=False, soft_wrap=True)


if __name__ == "__main__":
    main()
