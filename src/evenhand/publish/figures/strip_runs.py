"""The runs of one test as a strip shows them: where each stands, their order, boots and common scale."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.figures.frame import LARGEST_DRAWN, nice_steps, tick_decimals
from evenhand.publish.left_out import why_left_out
from evenhand.publish.numbers import decimals_alone, number, resolution, run_words
from evenhand.publish.spans import decimals_beside, span_of
from evenhand.records.estimates import Estimate
from evenhand.records.runs import Reason, RunState
from evenhand.records.tests import Direction

LEAST_SHADE = 0.01  # of the scale: an interval narrower than this would be a line behind its own marks


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMark:
    """One run of a strip: its headline number, where it stands, and why where it does not count."""

    run: str
    setup: str
    value: float
    state: RunState
    reason: Reason | None = None
    boot: str | None = None
    order: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunStrip:
    """All runs of one test. `means` holds each setup's average over its counting runs, where there is one.

    `better` says which way the number is better; nothing is said of it where that is None.
    """

    test: str
    runs: tuple[RunMark, ...]
    means: tuple[tuple[str, Estimate], ...] = ()
    better: Direction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """The common scale upward: its ends, the step of its ticks, and their decimals."""

    low: float
    high: float
    step: float
    decimals: int

    @property
    def ticks(self) -> dict[float, str]:
        """The round values and their numbers."""
        steps = range(int(self.low // self.step) + 1, int(self.high // self.step) + 1)
        return {i * self.step: number(i * self.step, self.decimals) for i in steps}


def order_missing(strip: RunStrip) -> bool:
    """Whether no run's place in the order is on record."""
    return all(run.order is None for run in strip.runs)


def unplaced(strip: RunStrip) -> dict[str, int]:
    """How many runs of each setup lack a place in the order, where others have theirs."""
    lacking = (run.setup for run in strip.runs if run.order is None)
    return {} if order_missing(strip) else dict(Counter(lacking))


def set_aside(run: RunMark) -> bool:
    """Whether the run was decided against."""
    return run.state in (RunState.SET_ASIDE, RunState.REPLACED)


def why(run: RunMark) -> str:
    """Why it does not count, in a word or two."""
    return why_left_out(run.state, run.reason)


def runs_of(strip: RunStrip, setup: str) -> list[RunMark]:
    """A setup's runs by the order on record; those without one stay where they came, after the others."""
    runs = (run for run in strip.runs if run.setup == setup)
    return sorted(runs, key=lambda run: (run.order is None, run.order or 0))


def mean_decimals(strip: RunStrip, setup: str) -> int | None:
    """The decimals of a setup's average beside the others' on the strip; None where it has none."""
    spans = {key: span_of(mean) for key, mean in strip.means}
    return decimals_beside(spans[setup], spans.values()) if setup in spans else None


def value_words(run: RunMark, strip: RunStrip) -> str:
    """A run's number to the decimals of its setup's average, three digits at least; four without one."""
    decimals = mean_decimals(strip, run.setup)
    if decimals is None:
        return run_words(run.value, "")
    return number(run.value, max(decimals, decimals_alone(run.value, 3)))


def boot_changes(runs: Sequence[RunMark]) -> list[int]:
    """Which runs came from another boot than the one before, as far as both are on record."""
    boots = [run.boot for run in runs]
    return [i for i in range(1, len(runs)) if None not in boots[i - 1 : i + 1] and boots[i] != boots[i - 1]]


def scale_of(strip: RunStrip) -> Scale:
    """Past every run and every interval, no finer than the digits that runs show."""
    values = [run.value for run in strip.runs]
    values += [end for _, e in strip.means for end in (e.low, e.high) if end is not None]
    low, high = (min(end, LARGEST_DRAWN) for end in (min(values), max(values)))
    spread = (high - low) or abs(high) * 0.05 or 0.05
    least = 4 * resolution(max(abs(run.value) for run in strip.runs))
    if spread < least:  # no tick finer than the digits that a run's number shows
        low, high, spread = (low + high - least) / 2, (low + high + least) / 2, least
    low, high = low - 0.12 * spread, high + 0.12 * spread
    step = nice_steps(high - low, 4)
    return Scale(low=low, high=high, step=step, decimals=min(tick_decimals(step), decimals_alone(high, 4)))


def shaded(mean: Estimate | None, scale: Scale) -> bool:
    """Whether the average's interval is wide enough to be seen."""
    if mean is None or mean.low is None or mean.high is None:
        return False
    return mean.high - mean.low >= LEAST_SHADE * (scale.high - scale.low)
