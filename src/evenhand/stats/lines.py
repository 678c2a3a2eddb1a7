"""Two straight lines held against each other at one place."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats

UNEVEN = 0.01  # as `between.UNEQUAL_TEST`: dearer in width the more often it fires in vain


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of y on x by least squares: mean point, slope, variance left over, and Σ(x − mean)²."""

    n: int
    x_mean: float
    y_mean: float
    slope: float
    variance: float
    sxx: float

    @property
    def df(self) -> float:
        """Degrees of freedom of what is left over."""
        return self.n - 2.0

    def at(self, x: float) -> float:
        """Its height at x."""
        return self.y_mean + self.slope * (x - self.x_mean)

    def leverage(self, x: float) -> float:
        """The variance of its height at x over that of a point."""
        return 1.0 / self.n + (x - self.x_mean) ** 2 / self.sxx


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far one line lies above another at x: difference, standard error, degrees of freedom."""

    x: float
    d: float
    se: float
    df: float
    pooled: bool


def line(x: npt.ArrayLike, y: npt.ArrayLike) -> Line:
    """Least squares through points of shape (n,), n ≥ 3 and x not all alike.

    Raises ValueError where no line with a spread can be had.

    >>> found = line([0.0, 1.0, 2.0], [1.0, 2.0, 3.0])
    >>> found.slope, found.at(5.0), found.leverage(1.0)
    (1.0, 6.0, 0.3333333333333333)
    """
    xs, ys = np.asarray(x, float), np.asarray(y, float)
    if xs.size < 3 or float(np.ptp(xs)) == 0.0:
        raise ValueError("a line with a spread needs three points at two places or more")
    dx, dy = xs - xs.mean(), ys - ys.mean()
    sxx = float(dx @ dx)
    slope = float(dx @ dy) / sxx
    left: Floats = dy - slope * dx
    return Line(
        n=xs.size, x_mean=float(xs.mean()), y_mean=float(ys.mean()), slope=slope,
        variance=float(left @ left) / (xs.size - 2), sxx=sxx,
    )  # fmt: skip


def apart(a: Line, b: Line, x: float) -> Apart:
    """Line a less line b at x.

    What is left over is pooled over both lines, n_a + n_b − 4 degrees of freedom; each line keeps its own
    slope (Snedecor & Cochran 1989, section 9.6 for the error at x). Where one scatters much more (F test,
    two-sided p < .01) each brings its own, on Satterthwaite's degrees of freedom (1946).

    Limits: straight over the range, and x without an error that matters beside that of y.

    >>> found = apart(line([0, 1, 2], [1.0, 2.1, 3.0]), line([0, 1, 2], [0.0, 1.1, 2.0]), 1.0)
    >>> round(found.d, 6), found.df
    (1.0, 2.0)
    """
    d = a.at(x) - b.at(x)
    lever_a, lever_b = a.leverage(x), b.leverage(x)
    if _uneven(a, b):
        part_a, part_b = a.variance * lever_a, b.variance * lever_b
        share = part_a / (part_a + part_b)
        df = 1.0 / (share**2 / a.df + (1.0 - share) ** 2 / b.df)
        return Apart(x=x, d=d, se=math.sqrt(part_a + part_b), df=df, pooled=False)
    df = a.df + b.df
    variance = (a.df * a.variance + b.df * b.variance) / df
    return Apart(x=x, d=d, se=math.sqrt(variance * (lever_a + lever_b)), df=df, pooled=True)


def _uneven(a: Line, b: Line) -> bool:
    if a.variance == 0.0 or b.variance == 0.0:
        return a.variance != b.variance
    upper = float(special.fdtrc(a.df, b.df, a.variance / b.variance))
    return 2.0 * min(upper, 1.0 - upper) < UNEVEN
