"""Draws of what a law of watts may be: its posterior on a grid that closes in on where it lies.

Told by few points, C and L hardly part, and how fast L grows hangs on how much of it there is: what is left
open is bent, and a normal law about the peak tells of sums that no point allows. So the share that is drawn
at no clock and its two growths are laid out on a grid, flat in the share and as believed in the growths; how
much is drawn in all, and how readings scatter, have their exact law in each cell (normal, and inverse χ²).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from evenhand.stats.spread import Floats

MANY = 2000
SEED = 31  # the same points give the same bands
CELLS = (25, 21, 21)  # of the share, and of its growth per volt and per K
CLOSER = 3  # times the grid closes in
REACH = 4.5  # standard deviations to either side that a closer grid takes in

Shape = Callable[[Floats], Floats]


def posterior(
    shape: Shape, readings: Floats, believed: tuple[Floats, Floats], *, least_scatter: float
) -> Floats:
    """Draws of what is drawn in all, of its share at no clock and of that one's two growths, (MANY, 4).

    `shape` takes shares and growths, (m, 3), and gives the watts of n points, (m, n), where 1 is drawn in all
    at the middle; `readings` (n,) were read. `believed` are mean and spread of the growths, never below 0.
    """
    rng = np.random.default_rng(SEED)
    mean, sd = believed
    low = np.r_[0.0, np.maximum(mean - REACH * sd, 0.0)]
    high = np.r_[1.0, mean + REACH * sd]
    for _ in range(CLOSER):
        cells, size = _grid(low, high)
        chances = _chances(shape(cells) / readings, (cells[:, 1:] - mean) / sd, least_scatter)
        middle = chances @ cells
        reach = REACH * np.sqrt(chances @ (cells - middle) ** 2) + size
        low, high = np.maximum(low, middle - reach), np.minimum(high, middle + reach)
    cells, size = _grid(low, high)
    chances = _chances(shape(cells) / readings, (cells[:, 1:] - mean) / sd, least_scatter)
    chosen = cells[rng.choice(len(cells), MANY, p=chances)] + (rng.random((MANY, 3)) - 0.5) * size
    seen, agreed, left = _sums(shape(chosen) / readings, least_scatter)
    scatter = np.sqrt(left / rng.chisquare(max(readings.size - 1, 1), MANY))
    whole = agreed / seen + scatter / np.sqrt(seen) * rng.standard_normal(MANY)
    found: Floats = np.column_stack([np.maximum(whole, 0.0), chosen])
    return found


def _grid(low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """The middles of all cells, (m, 3), and the size of each, (3,)."""
    size = (high - low) / CELLS
    axes = [a + s * (np.arange(n) + 0.5) for a, s, n in zip(low, size, CELLS, strict=True)]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3), size


def _sums(shares: Floats, least_scatter: float) -> tuple[Floats, Floats, Floats]:
    """Of watts as shares of readings, (m, n): Σ of squares, Σ, and the squares that the best whole leaves."""
    seen, agreed = (shares**2).sum(axis=1), shares.sum(axis=1)
    left = shares.shape[1] - agreed**2 / seen
    return seen, agreed, np.maximum(left, shares.shape[1] * least_scatter**2)


def _chances(shares: Floats, away: Floats, least_scatter: float) -> Floats:
    """How likely each cell is, with all of them 1."""
    seen, agreed, left = _sums(shares, least_scatter)
    logs = -(shares.shape[1] - 1) / 2 * np.log(left) - 0.5 * np.log(seen) + np.log(agreed / seen)
    logs -= (away**2).sum(axis=1) / 2
    likely = np.exp(logs - logs.max())
    found: Floats = likely / likely.sum()
    return found
