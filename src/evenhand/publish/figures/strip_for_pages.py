"""The runs of one test in the order they were made, both setups on one scale, as wide as the page allows.

Across in per cent, upward in pixels, so that type keeps its size on a phone. Runs that do not count stand in
the same plot, crossed and labelled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from evenhand.publish.figures.strip_runs import RunMark, RunStrip, Scale, scale_of, set_aside, shaded, why
from evenhand.publish.figures.strips import outermost
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed, run_words, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.spans import span_of
from evenhand.records.estimates import Estimate

HIGH, TOP, BOTTOM = 226, 12.0, 216.0  # px: of all, and where the scale ends
WIDE = 78.0  # per cent of the width that the plot takes; averages in words stand right of it
APART = 18.0  # px that words of two setups keep
CROSS = '<path class="flag" d="M-9-9 9 9M9-9-9 9"/>'


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Where things stand: the scale upward, and the runs from left to right."""

    scale: Scale
    runs: tuple[RunMark, ...]

    def y(self, value: float) -> float:
        """Pixels from the top."""
        share = (value - self.scale.low) / (self.scale.high - self.scale.low)
        return BOTTOM - share * (BOTTOM - TOP)

    def x(self, place: float) -> float:
        """Per cent of the width at which the run of this place stands."""
        return (place + 0.5) * WIDE / max(len(self.runs), 1)


def runs_figure(strip: RunStrip, names: Names) -> Picture:
    """Every run of the strip by its order, averages shaded, boots parted; those left out are labelled."""
    ordered = sorted(strip.runs, key=lambda run: (run.order is None, run.order or 0))
    plot = Plot(scale=scale_of(strip), runs=tuple(ordered))
    means = dict(strip.means)
    unit = names.unit(strip.test)
    body = [
        *_grid(plot, unit), *_fans(means, plot, names), *_boots(plot), *_marks(plot, names),
        *_labels(plot), *_averages(means, plot, names),
    ]  # fmt: skip
    title = f"Runs of {names.test(strip.test)} in the order they were made"
    seen = _seen(plot, names, unit)
    label = escape(f"{title}. {seen}")
    svg = (
        f'<svg class="fig strip-runs" height="{HIGH}" role="img" aria-label="{label}">'
        f"<title>{escape(title)}</title><desc>{escape(seen)}</desc>{''.join(body)}</svg>"
    )
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def _grid(plot: Plot, unit: str) -> list[str]:
    ticks = list(plot.scale.ticks.items())
    drawn = []
    for i, (value, text) in enumerate(ticks):
        y, said = plot.y(value), with_unit(text, unit) if i == len(ticks) - 1 else text
        drawn.append(f'<line class="gridline" x1="0" x2="{WIDE}%" y1="{y:.1f}" y2="{y:.1f}"/>')
        drawn.append(f'<text class="mut" x="0" y="{y - 4:.1f}">{escape(said)}</text>')
    return drawn


def _fans(means: Mapping[str, Estimate], plot: Plot, names: Names) -> list[str]:
    """Each average's interval as a pale strip behind its runs."""
    drawn = []
    for setup, mean in means.items():
        if shaded(mean, plot.scale) and mean.low is not None and mean.high is not None:
            top, bottom = plot.y(mean.high), plot.y(mean.low)
            slot = names.slot(setup).number
            drawn.append(
                f'<rect class="fan b{slot}" x="0" width="{WIDE}%" y="{top:.1f}" height="{bottom - top:.1f}"/>'
            )
    return drawn


def fresh_boots(runs: Sequence[RunMark]) -> list[int]:
    """Which runs came from another boot than the run of the same setup before them."""
    found, last = [], dict[str, str]()
    for i, run in enumerate(runs):
        if run.boot is not None:
            if last.get(run.setup, run.boot) != run.boot:
                found.append(i)
            last[run.setup] = run.boot
    return found


def every_run_fresh(runs: Sequence[RunMark]) -> bool:
    """Whether boots are so many that lines between them would part every run from the next."""
    return len(fresh_boots(runs)) > len(runs) / 2


def _boots(plot: Plot) -> list[str]:
    """A dotted line before each run from another boot, where several runs share one."""
    if every_run_fresh(plot.runs):
        return []
    places = (f"{plot.x(i - 0.5):.2f}%" for i in fresh_boots(plot.runs))
    return [f'<line class="axis boot" x1="{x}" x2="{x}" y1="{TOP:g}" y2="{BOTTOM:g}"/>' for x in places]


def _marks(plot: Plot, names: Names) -> list[str]:
    drawn = []
    for i, run in enumerate(plot.runs):
        slot = names.slot(run.setup)
        hollow = "" if run.state.counts else " hol"
        form = f'<path class="dot{hollow} b{slot.number}" d="{slot.mark}"/>'
        cross = CROSS if set_aside(run) else ""
        told = f"<title>{escape(_told(run, names))}</title>"
        drawn.append(_at(plot.x(i), plot.y(run.value), f"{told}{form}{cross}"))
    return drawn


def _told(run: RunMark, names: Names) -> str:
    boot = f", boot {run.boot}" if run.boot else ""
    left = f", {why(run)}" if not run.state.counts else ""
    return f"{names.setup(run.setup)}{boot}: {run_words(run.value, '')}{left}"


def _labels(plot: Plot) -> list[str]:
    """The number and the reason of runs that do not count, towards the middle of the plot."""
    left = [run for run in plot.runs if not run.state.counts]
    shown = outermost(left)
    drawn = []
    for i, run in enumerate(plot.runs):
        if run in shown:
            right = plot.x(i) > 0.55 * WIDE
            x, anchor = (-14, "end") if right else (14, "start")
            at = f'x="{x}" text-anchor="{anchor}"'
            y = 4 if plot.y(run.value) > TOP + 20 else 14
            words = (
                f'<text class="str halo" {at} y="{y}">{run_words(run.value, "")}</text>'
                f'<text class="mut halo" {at} y="{y + 16}">{escape(why(run))}</text>'
            )
            drawn.append(_at(plot.x(i), plot.y(run.value), words))
    return drawn


def _averages(means: Mapping[str, Estimate], plot: Plot, names: Names) -> list[str]:
    """Each setup's name and average at the right, as high as it stands, no two over each other."""
    placed: list[tuple[float, str]] = []
    for setup, mean in sorted(means.items(), key=lambda item: -item[1].value):
        y = plot.y(mean.value) + 5
        y = max(y, placed[-1][0] + APART) if placed else y
        placed.append((y, f"{names.setup(setup)} {span_of(mean).digits()}"))
    return [
        f'<text class="str" x="100%" text-anchor="end" y="{y:.1f}">{escape(said)}</text>'
        for y, said in placed
    ]


def _seen(plot: Plot, names: Names, unit: str) -> str:
    """What is seen, in words."""
    said = [
        f"{names.setup(run.setup)} {run_words(run.value, unit)}"
        + ("" if run.state.counts else f" {why(run)}")
        for run in plot.runs
    ]
    return f"{listed(tuple(said))}."


def _at(percent: float, y: float, drawn: str) -> str:
    return f'<svg x="{percent:.2f}%" y="{y:.1f}" width="1" height="1" overflow="visible">{drawn}</svg>'
