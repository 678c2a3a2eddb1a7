"""Where a lead stands in its figure: across by the share of a weight, upward in per cent, within pixels."""

from __future__ import annotations

from dataclasses import dataclass

TOP, BOTTOM = 24.0, 276.0  # px: where the scale ends


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """a over b in per cent under `shares` (0 to 1) of one weight, with the ends of its interval, if known."""

    shares: tuple[float, ...]
    percent: tuple[float, ...]
    low: tuple[float, ...] | None
    high: tuple[float, ...] | None

    def at(self, share: float) -> tuple[float, float | None, float | None]:
        """The lead at the nearest share on record, with its interval."""
        i = min(range(len(self.shares)), key=lambda k: abs(self.shares[k] - share))
        ends = (None, None) if self.low is None or self.high is None else (self.low[i], self.high[i])
        return self.percent[i], *ends


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsAt:
    """An audience by its share of the weight; `here` is the one that the page is about."""

    name: str
    share: float
    here: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """The scale: `reach` per cent up and down, and the `margin` (0.03) about zero that is level."""

    reach: float
    margin: float

    @property
    def edges(self) -> tuple[float, float]:
        """The heights of the margin's two lines."""
        return self.y(100 * self.margin), self.y(-100 * self.margin)

    @property
    def zero(self) -> float:
        """The height of no lead."""
        return (TOP + BOTTOM) / 2

    def y(self, percent: float) -> float:
        """The height of a lead in per cent, kept inside."""
        inside = max(-self.reach, min(self.reach, percent))
        return self.zero - inside / self.reach * (BOTTOM - TOP) / 2


def turning(lead: Lead) -> float | None:
    """The share at which the other side comes to the front; None where none does."""
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
