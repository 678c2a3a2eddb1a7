"""Where a lead stands in its figure: across by the share of a weight, upward by the log of the ratio.

Logs, so that three per cent are as far from no lead for the one as for the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.findings.finding import Outcome

TOP, BOTTOM = 26.0, 260.0  # px: where the scale ends; above and below it words have a line
LEADS = (Outcome.AHEAD, Outcome.BEHIND)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """a over b in per cent under `shares` (0 to 1) of one weight, with the ends of its interval, if known.

    `outcomes` says what is called at each share; without them whoever is in front counts as ahead.
    """

    shares: tuple[float, ...]
    percent: tuple[float, ...]
    low: tuple[float, ...] | None
    high: tuple[float, ...] | None
    outcomes: tuple[Outcome, ...] = ()

    def at(self, share: float) -> tuple[float, float | None, float | None]:
        """The lead at the nearest share on record, with its interval."""
        i = min(range(len(self.shares)), key=lambda k: abs(self.shares[k] - share))
        ends = (None, None) if self.low is None or self.high is None else (self.low[i], self.high[i])
        return self.percent[i], *ends

    def spans(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """The lower and the upper ends; the lead itself where no interval is known."""
        return self.low or self.percent, self.high or self.percent


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsAt:
    """An audience by its share of the weight; `here` is the one that the page is about.

    `said` is its lead as its own verdict tells it ("1.4 %"), `outcome` what is called for it, if anything.
    """

    name: str
    share: float
    here: bool = False
    said: str = ""
    outcome: Outcome | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """The scale from `low` to `high`, both logs of a over b, and the `margin` (0.03) about zero: level."""

    low: float
    high: float
    margin: float

    @classmethod
    def of(cls, lead: Lead, margin: float) -> Plot:
        """The scale that holds a lead, its interval and the margin on both sides."""
        least, most = lead.spans()
        return cls(
            low=min(log_of(min(least)), -math.log1p(margin)),
            high=max(log_of(max(most)), math.log1p(margin)), margin=margin,
        )  # fmt: skip

    @property
    def unit(self) -> float:
        """Pixels for a log of 1."""
        return (BOTTOM - TOP) / (self.high - self.low)

    @property
    def edges(self) -> tuple[float, float]:
        """The heights of the margin's two lines."""
        far = math.log1p(self.margin) * self.unit
        return self.zero - far, self.zero + far

    @property
    def zero(self) -> float:
        """The height of no lead."""
        return TOP + self.high * self.unit

    def y(self, percent: float) -> float:
        """The height of a lead in per cent, kept inside."""
        return min(BOTTOM, max(TOP, self.zero - log_of(percent) * self.unit))


def log_of(percent: float) -> float:
    """The log of a ratio that is told in per cent."""
    return math.log1p(percent / 100)


def turning(lead: Lead) -> float | None:
    """The share at which the other side comes to the front; None where none does, or nobody is ever ahead."""
    if lead.outcomes and not any(outcome in LEADS for outcome in lead.outcomes):
        return None
    pairs = zip(lead.shares, lead.percent, strict=True)
    before = next(pairs)
    for share, percent in pairs:
        if (percent > 0) != (before[1] > 0):
            part = before[1] / (before[1] - percent)
            return before[0] + part * (share - before[0])
        before = (share, percent)
    return None


def doubtful(lead: Lead) -> tuple[float, float] | None:
    """The shares between which the interval holds no difference; None where it never does or is not known."""
    if lead.low is None or lead.high is None:
        return None
    inside = [s for s, lo, hi in zip(lead.shares, lead.low, lead.high, strict=True) if lo <= 0 <= hi]
    return (min(inside), max(inside)) if inside else None
