"""Two setups apart in a unit of their own, decibels or kelvins: a difference, its interval, its outcome."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from evenhand.findings.finding import Caveat, Outcome
from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL, SHOWN_INTERVAL, Evidence, decide, is_measurable
from evenhand.stats.between import two_sided_p
from evenhand.stats.families import holm
from evenhand.stats.special_functions import special


class Topic(StrEnum):
    """What was read."""

    SOUND = "sound"
    TEMPERATURE = "temperature"

    @property
    def unit(self) -> str:
        """The unit of its differences."""
        return "dB" if self is Topic.SOUND else "K"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Setup a less setup b in `unit` of the topic, while `test` ran ("": idle); below 0 a is better.

    `part` is whose temperature it is. `low`, `high` bound the difference at `level`; `bound_low` and
    `bound_high` were held against `margin`: the 90 % interval, widened by `allowance`. `value_a`, `value_b`
    are the two sides' own numbers; `se` and `df` the error of the difference, None where it has none;
    `at_db` the level at which temperatures were compared. `most_a`, `most_b`: where a side's own level could
    not be told, the loudest that it can be. Where nothing was measured, or it may not be told, `difference`
    is None and `why` says so.
    """

    topic: Topic
    a: str
    b: str
    test: str = ""
    part: str = ""
    outcome: Outcome = Outcome.UNSETTLED
    difference: float | None = None
    low: float | None = None
    high: float | None = None
    level: float = SHOWN_INTERVAL
    margin: float = 0.0
    allowance: float = 0.0
    bound_low: float | None = None
    bound_high: float | None = None
    n_a: int = 0
    n_b: int = 0
    method: str = "none"
    value_a: float | None = None
    value_b: float | None = None
    at_db: float | None = None
    most_a: float | None = None
    most_b: float | None = None
    se: float | None = None
    df: float = 0.0
    p: float | None = None
    p_holm: float | None = None
    measurably: bool = False
    caveats: tuple[Caveat, ...] = ()
    why: Caveat | None = None

    @property
    def unit(self) -> str:
        """The unit of the difference."""
        return self.topic.unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A gap before it is judged, with the standard error of its difference; None where none is known."""

    gap: Gap
    se: float | None = None
    df: float = 0.0


def judged(drafts: Sequence[Draft]) -> tuple[Gap, ...]:
    """Each gap with interval and outcome: `outcomes.decide` in its own unit, Holm over all that have a p."""
    p_values = {i: p for i, d in enumerate(drafts) if (p := _p(d)) is not None}
    adjusted = dict(zip(p_values, map(float, holm(list(p_values.values()))), strict=True))
    return tuple(_gap(d, p=p_values.get(i), p_holm=adjusted.get(i)) for i, d in enumerate(drafts))


def _p(draft: Draft) -> float | None:
    d = draft.gap.difference
    if d is None or draft.se is None:
        return None
    return two_sided_p(d, draft.se, draft.df, allowance=draft.gap.allowance)


def _gap(draft: Draft, *, p: float | None, p_holm: float | None) -> Gap:
    gap, d = draft.gap, draft.gap.difference
    if d is None or draft.se is None:
        return gap
    shown, held = (
        draft.se * float(special.stdtrit(draft.df, 0.5 + x / 2)) for x in (gap.level, LEVEL_INTERVAL)
    )
    outcome = decide(Evidence(effect=-d, half_90=held, p=p_holm, allowance=gap.allowance), margin=gap.margin)
    wide = held + gap.allowance
    return replace(
        gap, outcome=outcome, low=d - shown, high=d + shown, bound_low=d - wide, bound_high=d + wide,
        se=draft.se, df=draft.df, p=p, p_holm=p_holm, measurably=is_measurable(outcome, p_holm),
        caveats=(*gap.caveats, *_withheld(gap, d, shown, outcome)),
    )  # fmt: skip


def _withheld(gap: Gap, d: float, shown: float, outcome: Outcome) -> tuple[Caveat, ...]:
    """Why a difference whose interval clears none is not called."""
    clear_by = abs(d) - shown
    if outcome is not Outcome.UNSETTLED or clear_by <= 0:
        return ()
    if clear_by <= gap.allowance:
        words = "a difference is measurable, but within what the instruments may err by"
        return (Caveat(key="ahead-withheld", words=words),)
    words = (
        f"clear of no difference at 95 %, but its p over all readings of the study does not reach {ALPHA:g}"
    )
    return (Caveat(key="family-withheld", words=words),)
