"""What a study assumes of money beside prices: how long a machine is kept, what it fetches, what is saved."""

from __future__ import annotations

from dataclasses import dataclass

Span = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyTerms:
    """Assumptions with their ranges, low to high; amounts in minor units of the study's currency.

    A part that is sold after t years fetches `resale`·e^(−`fall`·t) of what it cost: a share at once, and
    what that loses a year (a log). `repairs_minor` are set aside each year. `horizon_months` is how far
    upgrade paths look; `cash_minor` is there for changes at the beginning, `saved_minor` more with each
    month. `budget_minor` is what a new one may cost.
    """

    years: float = 3.0
    repairs_minor: int = 0
    resale: Span = (0.6, 0.8)
    fall: Span = (0.25, 0.45)
    horizon_months: int = 36
    cash_minor: int = 0
    saved_minor: int = 0
    budget_minor: int | None = None
