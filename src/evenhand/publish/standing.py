"""Which interval shows where two setups stand: the one that the outcome rests on.

Level rests on the interval that was held against the margin, so that what is called level is seen to lie
between the posts. Everything else is shown by its confidence interval.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from evenhand.findings.drifting import DRIFTS
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Finding, Index, Outcome
from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.publish.numbers import level_words
from evenhand.publish.spans import Span, percent_span, the_other_way

if TYPE_CHECKING:
    from evenhand.verdicts.verdict import Verdict  # a name in signatures alone: it loads much


def standing(found: Finding | Index | Verdict | Effect) -> Span | None:
    """The difference in per cent with the interval its outcome rests on; None where there is no number."""
    if found.ratio is None:
        return None
    if not shown_by_bounds(found):
        return percent_span(found.ratio, found.low, found.high)
    return percent_span(found.ratio, found.bound_low, found.bound_high, note=level_words(LEVEL_INTERVAL))


def shown_by_bounds(found: Finding | Index | Verdict | Effect) -> bool:
    """Whether it is shown by the interval that was held against the margin: all that is level."""
    return found.outcome is Outcome.LEVEL and found.bound_low is not None and found.bound_high is not None


def allowed_words(found: Effect, *, turned: bool = False) -> str:
    """The interval that is claimed where an allowance comes on top of the one shown; "" without an allowance.

    `turned` tells it of the second setup over the first.
    """
    if found.bound_low is None or not any(c.key in ("allowance", DRIFTS) for c in found.caveats):
        return ""
    if shown_by_bounds(found):
        return "its allowance is in that interval"
    span = percent_span(found.ratio, found.bound_low, found.bound_high)
    shown = the_other_way(span) if turned else span
    return f"with its allowance {shown.range(signed=True)} ({level_words(LEVEL_INTERVAL)})"
