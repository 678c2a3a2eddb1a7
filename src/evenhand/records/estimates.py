"""An estimate with its interval, and no ordering: ask `findings` which is larger."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NoReturn


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value that was estimated: its unit, interval [low, high] at `level`, runs behind it, and how.

    `low` and `high` are None where no interval exists (a single run).

    >>> a = Estimate(value=1.1, unit="ratio", low=1.0, high=1.2, level=0.95, n=6, method="Welch")
    >>> a < a
    Traceback (most recent call last):
    TypeError: estimates have no order: compare them in evenhand.findings
    """

    value: float
    unit: str
    low: float | None
    high: float | None
    level: float
    n: int
    method: str

    def _refuse(self, _other: object) -> NoReturn:
        raise TypeError("estimates have no order: compare them in evenhand.findings")

    __lt__ = __le__ = __gt__ = __ge__ = _refuse
