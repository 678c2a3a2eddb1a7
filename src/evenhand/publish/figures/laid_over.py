"""Two setups along one scene: their frame times over each other, and below them how far one is ahead where.

Across in per cent, upward in pixels, so that type keeps its size on a phone. Each setup wears its colour and
dash; its single runs stand thin and grey behind it.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

import numpy as np

from evenhand.findings.laid_over import LaidOver, Spot
from evenhand.publish.figures.frame import nice_steps, tick_decimals
from evenhand.publish.figures.thinning import Floats
from evenhand.publish.names import Names
from evenhand.publish.numbers import MINUS, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.spans import percent_span

Pair = tuple[str, str]
WIDE = 80.0  # per cent of the width that the plots take; names stand right of them
ACROSS = 1000.0  # units of the inner drawing, stretched over the plot
TIMES, LEAD = (26.0, 170.0), (200.0, 300.0)  # px: where the two plots begin and end
HIGH = 336
USUAL = (0.005, 0.995)  # of the bins lie within the scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """One of the two: where it stands, and what it holds."""

    top: float
    bottom: float
    low: float
    high: float
    end_s: float

    def y(self, value: float) -> float:
        """Pixels from the top of the picture, held within the plot."""
        share = (value - self.low) / (self.high - self.low)
        return self.bottom - min(max(share, 0.0), 1.0) * (self.bottom - self.top)

    def x(self, seconds: float) -> float:
        """Per cent of the picture's width."""
        return seconds / self.end_s * WIDE


def laid_over_figure(laid: LaidOver, pair: Pair, names: Names, *, margin: float) -> Picture:
    """The picture of both setups of one test; `margin` gives the band of the lower plot."""
    end_s = float(laid.at_s[-1]) + laid.bin_s
    times, lead = _times(laid, end_s), _lead(laid, end_s, margin)
    title = f"{names.setup(pair[0])} and {names.setup(pair[1])} along the scene"
    seen = " ".join(spot_words(laid, pair, names)) or whole_words(laid, pair, names)
    body = [
        *_spots(laid.spots, times),
        *_times_drawn(laid, times, pair, names),
        *_lead_drawn(laid, lead, pair, names, margin=margin),
        *_seconds(lead),
    ]
    label = escape(f"{title}. {seen}")
    svg = (
        f'<svg class="fig laid-over" height="{HIGH}" role="img" aria-label="{label}">'
        f"<title>{escape(title)}</title><desc>{escape(seen)}</desc>{''.join(body)}</svg>"
    )
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def whole_words(laid: LaidOver, pair: Pair, names: Names) -> str:
    """What is said where no place differs from the whole."""
    if not laid.resembles:
        return "The two courses hardly resemble each other: no place of one can be held against the other."
    return (
        f"No place of a second or more in which {names.setup(pair[0])} gains or loses beyond the margin and "
        "beyond what its runs scatter: what holds over the scene holds all along it."
    )


def spot_words(laid: LaidOver, pair: Pair, names: Names) -> tuple[str, ...]:
    """Each place in words: from when to when, and how the two stand there and over the whole."""
    return tuple(_spot_words(spot, laid, pair, names) for spot in laid.spots)


def _spot_words(spot: Spot, laid: LaidOver, pair: Pair, names: Names) -> str:
    loses = pair[0] if spot.ratio < laid.overall else pair[1]
    span = f"{number(spot.from_s, 1)} to {with_unit(number(spot.to_s, 1), 's')}"
    here, whole = (_over(ratio) for ratio in (spot.ratio, laid.overall))
    stands = f"{names.setup(pair[0])} {here} there, {whole} over the scene"
    return f"{span}: {names.setup(loses)} loses time. {stands}."


def _over(ratio: float) -> str:
    """The first over the second, as the plot has it."""
    return with_unit(percent_span(ratio, None, None).digits(signed=True, decimals=1), "%")


def _times(laid: LaidOver, end_s: float) -> Plot:
    every = np.concatenate([laid.runs_a.ravel(), laid.runs_b.ravel()])
    low, high = np.nanquantile(every, USUAL)
    room = 0.08 * float(high - low) or 1.0
    return Plot(top=TIMES[0], bottom=TIMES[1], low=float(low) - room, high=float(high) + room, end_s=end_s)


def _lead(laid: LaidOver, end_s: float, margin: float) -> Plot:
    percent = 100 * (laid.ratio - 1)
    least, most = np.quantile(percent, USUAL)
    low, high = min(float(least), -200 * margin), max(float(most), 200 * margin)
    room = 0.06 * (high - low)
    return Plot(top=LEAD[0], bottom=LEAD[1], low=low - room, high=high + room, end_s=end_s)


def _times_drawn(laid: LaidOver, plot: Plot, pair: Pair, names: Names) -> list[str]:
    """The upper plot: single runs thin, both averages in colour, names where they end."""
    runs = "".join(_line(run, plot, "thin") for side in (laid.runs_a, laid.runs_b) for run in side)
    sides = ((pair[0], laid.a_ms), (pair[1], laid.b_ms))
    own = "".join(_line(ms, plot, f"b{names.slot(key).number}") for key, ms in sides)
    heads = '<text class="mut" x="0" y="12">ms a frame: lower is quicker</text>'
    return [heads, *_grid(plot, "ms"), _stretched(runs + own, plot), *_side_names(sides, plot, names)]


def _side_names(sides: tuple[tuple[str, Floats], ...], plot: Plot, names: Names) -> list[str]:
    """Each name at the right, as high as its line ends, the two kept apart."""
    placed = sorted((plot.y(float(ms[-6:].mean())) + 5, key) for key, ms in sides)
    (first, upper), (second, lower) = placed
    second = max(second, first + 18)
    return [
        f'<text class="str" x="100%" text-anchor="end" y="{y:.1f}">{escape(names.setup(key))}</text>'
        for y, key in ((first, upper), (second, lower))
    ]


def _lead_drawn(laid: LaidOver, plot: Plot, pair: Pair, names: Names, *, margin: float) -> list[str]:
    """The lower plot: how far the first is ahead along the scene, with the level band lying."""
    top, bottom = plot.y(100 * margin), plot.y(-100 * margin)
    a = escape(names.setup(pair[0]))
    line = _line(100 * (laid.ratio - 1), plot, "lead")
    return [
        f'<text class="mut" x="0" y="{plot.top - 8:g}">{a} ahead (up) or behind (down), %</text>',
        f'<rect class="band" x="0" width="{WIDE}%" y="{top:.1f}" height="{bottom - top:.1f}"/>',
        *(f'<line class="post" x1="0" x2="{WIDE}%" y1="{y:.1f}" y2="{y:.1f}"/>' for y in (top, bottom)),
        f'<line class="zero" x1="0" x2="{WIDE}%" y1="{plot.y(0):.1f}" y2="{plot.y(0):.1f}"/>',
        _stretched(line, plot),
        *(
            f'<text class="mut" x="{WIDE + 1}%" y="{plot.y(value) + 4:.1f}">{said}</text>'
            for value, said in _band_ticks(margin)
        ),
    ]


def _band_ticks(margin: float) -> tuple[tuple[float, str], ...]:
    edge = f"{100 * margin:.4g}"
    return (100 * margin, f"+{edge}"), (-100 * margin, with_unit(f"{MINUS}{edge}", "%"))


def _spots(spots: tuple[Spot, ...], plot: Plot) -> list[str]:
    """A pale ground through both plots at each place, numbered on top."""
    drawn = []
    for i, spot in enumerate(spots, start=1):
        left, right = plot.x(spot.from_s), plot.x(spot.to_s)
        drawn.append(
            f'<rect class="spot" x="{left:.2f}%" width="{right - left:.2f}%" y="{TIMES[0]:g}" '
            f'height="{LEAD[1] - TIMES[0]:g}"/>'
            f'<text class="str" x="{(left + right) / 2:.2f}%" y="{TIMES[0] + 12:g}" '
            f'text-anchor="middle">{i}</text>'
        )
    return drawn


def _grid(plot: Plot, unit: str) -> list[str]:
    step = nice_steps(plot.high - plot.low, 4)
    ticks = [i * step for i in range(int(-(-plot.low // step)), int(plot.high // step) + 1)]
    drawn = []
    for value in ticks:
        y, said = plot.y(value), number(value, tick_decimals(step))
        words = with_unit(said, unit) if value == ticks[-1] else said
        drawn.append(f'<line class="gridline" x1="0" x2="{WIDE}%" y1="{y:.1f}" y2="{y:.1f}"/>')
        drawn.append(f'<text class="mut halo" x="0" y="{y - 3:.1f}">{words}</text>')
    return drawn


def _seconds(plot: Plot) -> list[str]:
    """Round seconds below, the unit at the last."""
    step = nice_steps(plot.end_s, 5)
    ticks = [i * step for i in range(int(plot.end_s // step) + 1)]
    y = plot.bottom + 22
    drawn = [f'<line class="axis" x1="0" x2="{WIDE}%" y1="{plot.bottom + 4:g}" y2="{plot.bottom + 4:g}"/>']
    for t in ticks:
        anchor = "start" if t == 0 else "end" if plot.x(t) > WIDE - 2 else "middle"
        said = (
            with_unit(number(t, tick_decimals(step)), "s")
            if t == ticks[-1]
            else number(t, tick_decimals(step))
        )
        drawn.append(f'<text class="mut" x="{plot.x(t):.2f}%" y="{y:g}" text-anchor="{anchor}">{said}</text>')
    return drawn


def _line(values: Floats, plot: Plot, kind: str) -> str:
    """Steps through the bins, broken where nothing is known."""
    wide = ACROSS / values.size
    parts, pen = [], "M"
    for i, value in enumerate(values):
        if not np.isfinite(value):
            pen = "M"
            continue
        parts.append(f"{pen}{(i + 0.5) * wide:.1f} {plot.y(float(value)) - plot.top:.1f}")
        pen = "L"
    return f'<path class="ln {kind}" vector-effect="non-scaling-stroke" d="{"".join(parts)}"/>'


def _stretched(drawn: str, plot: Plot) -> str:
    high = plot.bottom - plot.top
    return (
        f'<svg x="0" y="{plot.top:g}" width="{WIDE}%" height="{high:g}" viewBox="0 0 {ACROSS:g} {high:g}" '
        f'preserveAspectRatio="none">{drawn}</svg>'
    )
