"""What a person's own past runs of a test have taught about how runs of it differ."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """One figure learned from the past, and how much stands behind it: degrees of freedom, pairs, minutes."""

    value: float = 0.0
    weight: float = 0.0

    @property
    def told(self) -> float | None:
        """The figure, or None where nothing is known."""
        return self.value if self.weight else None

    @property
    def root(self) -> float | None:
        """The square root of a variance or mean square: a spread, in the unit of the figure itself."""
        return math.sqrt(self.value) if self.weight else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What earlier studies know of one test; everything has weight 0 where nothing is known.

    `spread`: variance of the log headline between runs of a cell, degrees of freedom. `shape`: typical robust
    sd of the difference of two takes along the scene, ln, pairs. `sag`: mean square of last quarter − first
    quarter of two takes, ln², pairs. `hitches`: a minute, minutes watched. `hitch_excess`: variance of hitch
    counts beyond Poisson over the mean square (the dispersion of a negative binomial), runs. `scatter`:
    variance of the log frame-to-frame scatter between runs, ln², degrees of freedom.
    """

    runs: int = 0
    studies: int = 0
    spread: Known = Known()
    shape: Known = Known()
    sag: Known = Known()
    hitches: Known = Known()
    hitch_excess: Known = Known()
    scatter: Known = Known()


NOTHING = Learned()
