"""The decision: level, ahead, behind or unsettled, from numbers alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.findings.finding import Outcome

# Of a family of findings, and of one index. Holm bounds the studies that hold a false `ahead` by this level;
# at .05 simulated studies held 2.3 to 4.5 % (docs/methods-goals.md), and the goal is 3 %.
ALPHA = 0.03
LEVEL_INTERVAL = 0.90  # two one-sided 5 % tests (Schuirmann 1987)
SHOWN_INTERVAL = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What a decision rests on, in logs: `effect` (above 0: a better), half its 90 % interval, p.

    Where results are looked at before their end, `half_90` is that of the wider interval which a look asks
    for.

    `p` is two-sided, adjusted over its family, and stands against every difference within the
    `allowance` for errors that repeats cannot show. None where no interval exists.
    """

    effect: float
    half_90: float | None
    p: float | None
    allowance: float = 0.0

    @property
    def bounds(self) -> tuple[float, float] | None:
        """What is held against the margin, as ratios: the 90 % interval, widened by the allowance.

        >>> Evidence(effect=0.0, half_90=0.0, p=1.0).bounds
        (1.0, 1.0)
        """
        if self.half_90 is None:
            return None
        half = self.half_90 + self.allowance
        return from_log(self.effect - half), from_log(self.effect + half)


def from_log(log: float) -> float:
    """The number above 0 that has this logarithm, within e^±690 (about 1e±300).

    A float holds hardly more, and the end of an interval that lies so far out says no more than that it does.

    >>> from_log(0.0), 0 < from_log(-800.0) < 1e-299, 1e299 < from_log(800.0) < 1e300
    (1.0, True, True)
    """
    return math.exp(min(max(log, -_FARTHEST), _FARTHEST))


def ends(d: float | None, half: float | None) -> tuple[float | None, float | None]:
    """The ends of d ± `half` (logs) as ratios; None where either is not known.

    >>> ends(0.0, 0.0), ends(0.1, None)
    ((1.0, 1.0), (None, None))
    """
    return (None, None) if d is None or half is None else (from_log(d - half), from_log(d + half))


_FARTHEST = 690.0  # room is left to draw an axis a little beyond


def decide(evidence: Evidence, *, margin: float, alpha: float = ALPHA) -> Outcome:
    """Level where the 90 % interval, widened by the allowance, lies inside ± margin (a log); checked first.

    Else ahead or behind where p < `alpha`, else unsettled. Without an interval: unsettled.

    >>> decide(Evidence(effect=0.012, half_90=0.01, p=0.001), margin=0.0296)
    <Outcome.LEVEL: 'level'>
    >>> decide(Evidence(effect=-0.03, half_90=0.01, p=0.001), margin=0.0296)
    <Outcome.BEHIND: 'behind'>
    """
    if evidence.half_90 is None or evidence.p is None:
        return Outcome.UNSETTLED
    if abs(evidence.effect) + evidence.half_90 + evidence.allowance < margin:
        return Outcome.LEVEL
    if evidence.p < alpha and evidence.effect != 0.0:
        return Outcome.AHEAD if evidence.effect > 0 else Outcome.BEHIND
    return Outcome.UNSETTLED


def may_be_small(outcome: Outcome, ends: tuple[float | None, ...], *, margin: float) -> bool:
    """Whether a lead may be smaller than the margin (a log): one of the `ends` (ratios) lies inside its band.

    `ends` are those of the interval that is shown and of the one that is held against the margin.

    >>> may_be_small(Outcome.AHEAD, (1.02, 1.15), margin=math.log(1.03))
    True
    >>> may_be_small(Outcome.BEHIND, (0.80, 0.90), margin=math.log(1.03))
    False
    """
    if outcome not in (Outcome.AHEAD, Outcome.BEHIND):
        return False
    sign = 1.0 if outcome is Outcome.AHEAD else -1.0
    return any(sign * math.log(end) < margin for end in ends if end is not None)


def is_measurable(outcome: Outcome, p: float | None) -> bool:
    """Whether a level pair differs measurably all the same: p, adjusted over the family, below ALPHA."""
    return outcome is Outcome.LEVEL and p is not None and p < ALPHA
