"""The card of noise, heat and watts: three small plots of two setups, what was not measured said as that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.findings.finding import Finding, Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.publish.card_titles import Sayings, title
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.bands import band
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.card_lanes import Ground, Lead, Spot, bars_told, lane, reach_for, row_words
from evenhand.publish.figures.frame import Frame, centred, finish
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.numbers import capital, counted, level_words, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.spans import Span
from evenhand.publish.standing import standing
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, Words, line

OTHERWISE = "Noise, heat and watts beside the speed"
NOT_MEASURED = "not measured"
MOST, MOST_TALL, MOST_SQUARE = 2, 4, 1  # rows of a plot
LABELS, PLOT_ENDS = 0.36, 0.68  # of a wide card's body: where the plot begins and ends
HEAD = 1.35  # of a row: what the name of a plot takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was read of one pair beside speed: gaps in decibels and kelvins, findings in watts."""

    about: Pair
    gaps: tuple[Gap, ...]
    watts: tuple[Finding, ...]
    sayings: Sayings


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    """One small plot: its name with the margin, its rows to the right better for a, and how many are left."""

    name: str
    margin: float
    rows: tuple[tuple[Row, Lead], ...]
    left: int = 0


def beside_card(measured: Measured, *, style: Style) -> Picture:
    """Noise, heat at the same noise, and watts at the wall, of one pair."""
    names, about = measured.about.names, measured.about
    plots = _plots(measured, style)
    said = title(measured.sayings, names, style, otherwise=OTHERWISE)
    left = sum(plot.left for plot in plots)
    a, b = names.setup(about.a), names.setup(about.b)
    bars = bars_told([row for plot in plots for row, _ in plot.rows], about.level)
    foot = [
        f"{bars} Bands: too small to matter.",
        f"Right: {a} less. Left: {b} less.",
        *([f"{capital(counted(left, 'row'))} more on record."] if left else []),
    ]
    begun = card_frame(said, foot, names, style)
    drawn = _drawn(plots, begun)
    seen = "; ".join(
        f"{plot.name}: {', '.join(_seen(row, lead) for row, lead in plot.rows)}" for plot in plots
    )
    described = f"Three small plots of {a} and {b}. {seen}."
    return finish(begun, drawn, title=f"{said} ({a} and {b})", description=described, names=names)


def _seen(row: Row, lead: Lead) -> str:
    return f"{row.label} {lead.text}".strip()


def _plots(measured: Measured, style: Style) -> list[_Plot]:
    about = measured.about
    most = MOST if not style.narrow else MOST_TALL if (style.height or 0) > style.width else MOST_SQUARE
    noise = [g for g in measured.gaps if g.topic is Topic.SOUND]
    heat = [g for g in measured.gaps if g.topic is Topic.TEMPERATURE]
    watts = [f for f in measured.watts if f.ratio is not None]
    first = [f for f in watts if f.test in {g.test for g in noise}]
    ordered = [*first, *(f for f in watts if f not in first)]
    margin = 100 * about.margin
    return [
        _plot(("Noise at the seat", "dB"), _gap_rows(noise, about), _margin(noise, 1.0), most),
        _plot(("Heat at the same noise", "K"), _gap_rows(heat, about), _margin(heat, 2.0), most),
        _plot(("Watts at the wall", "%"), [_watts_row(f, about) for f in ordered], margin, most),
    ]


def _plot(called: tuple[str, str], rows: Sequence[tuple[Row, Lead]], margin: float, most: int) -> _Plot:
    """A plot of what is known, or of one row that says that nothing is."""
    name, unit = called
    known = [each for each in rows if each[0].span is not None]
    nothing = Row(label="", outcome=None, span=None, word=""), Lead(name="", rest=NOT_MEASURED)
    shown = known[:most] or [nothing]
    band_of = with_unit(f"±{margin:.3g}", unit)
    return _Plot(
        name=f"{name}: level within {band_of}" if known else name, margin=margin, rows=tuple(shown),
        left=max(len(known) - len(shown), 0),
    )  # fmt: skip


def _margin(gaps: Sequence[Gap], usual: float) -> float:
    return next((gap.margin for gap in gaps if gap.margin > 0), usual)


def _gap_rows(gaps: Sequence[Gap], about: Pair) -> list[tuple[Row, Lead]]:
    """Under load before idle, as that is what is heard and felt; what was told before what could not be."""
    ordered = sorted(gaps, key=lambda gap: (gap.difference is None, not gap.test))
    return [_gap_row(gap, about) for gap in ordered]


def _gap_row(gap: Gap, about: Pair) -> tuple[Row, Lead]:
    """A gap with less to the right: a less b is negative where a is better."""
    where = about.names.test(gap.test) if gap.test else "idle"
    label = capital(f"{gap.part}, {where}" if gap.part else where)
    if gap.difference is None:
        return Row(label=label, outcome=None, span=None, word=""), Lead(name="", rest=NOT_MEASURED)
    level = gap.outcome is Outcome.LEVEL
    low, high = (gap.bound_low, gap.bound_high) if level else (gap.low, gap.high)
    span = Span(
        value=-gap.difference, low=None if high is None else -high, high=None if low is None else -low,
        note=level_words(LEVEL_INTERVAL) if level else "",
    )  # fmt: skip
    row = Row(label=label, outcome=gap.outcome, span=span, word="", leader=about.leader(gap.outcome))
    who = about.b if gap.outcome is Outcome.BEHIND else about.a
    return row, _lead(row, about.names.setup(who), f"{with_unit(span.magnitude.digits(), gap.unit)} less")


def _watts_row(finding: Finding, about: Pair) -> tuple[Row, Lead]:
    """What a draws less than b in per cent of b's watts, as sentences tell it; below 0 it draws more."""
    span = standing(finding)
    less = Span(value=0.0, low=None, high=None) if span is None else _less(span)
    row = Row(
        label=about.names.test(finding.test), outcome=finding.outcome, span=less, word="",
        leader=about.leader(finding.outcome),
    )  # fmt: skip
    way = "more" if finding.outcome is Outcome.BEHIND else "less"
    return row, _lead(row, about.names.setup(about.a), f"{with_unit(less.magnitude.digits(), '%')} {way}")


def _lead(row: Row, name: str, much: str) -> Lead:
    """Who has less or more by how much, or the state."""
    if row.outcome in (Outcome.AHEAD, Outcome.BEHIND):
        return Lead(name=name, rest=much)
    return Lead(name="", rest=row.outcome.value if row.outcome else NOT_MEASURED)


def _less(span: Span) -> Span:
    """A ratio in per cent (a better by so much) as watts that a draws less than b, in per cent of b's."""
    low, high = (None if end is None else _of_watts(end) for end in (span.low, span.high))
    return replace(span, value=_of_watts(span.value), low=low, high=high)


def _of_watts(better: float) -> float:
    return 100 * (1 - 1 / (1 + better / 100))


def _drawn(plots: Sequence[_Plot], begun: Frame) -> list[Drawn]:
    """The plots below each other, each with its name and rows."""
    body = begun.body
    weights = sum(HEAD * 0.8 + len(plot.rows) for plot in plots)
    pitch = min((body.bottom - body.top) / weights, _most_pitch(begun.style))
    top = body.top + max(body.bottom - body.top - pitch * weights, 0.0) / 3
    drawn: list[Drawn] = []
    for plot in plots:
        drawn += _one_plot(plot, begun, top, pitch)
        top += pitch * (HEAD * 0.8 + len(plot.rows))
    return drawn


def _most_pitch(style: Style) -> float:
    return (3.0 if style.narrow else 1.9) * style.text[0]


def _one_plot(plot: _Plot, begun: Frame, top: float, pitch: float) -> list[Drawn]:
    style, body = begun.style, begun.body
    size, first = style.text[1], top + HEAD * 0.8 * pitch
    name = fit(plot.name, body.right - body.left, sizes=(size, size), face=Face.STRONG)
    pen = Pen(ink="post", width=style.hair)
    drawn: list[Drawn] = [
        Words(x=body.left, y=first - 0.35 * size, text=name.lines[0], size=size, face=Face.STRONG),
        line((body.left, first), (body.right, first), pen),
    ]
    ground = _ground(plot, begun)
    for i, row in enumerate(plot.rows):
        drawn += _row(row, ground, begun, (first + i * pitch, first + (i + 1) * pitch))
    return drawn


def _ground(plot: _Plot, begun: Frame) -> Ground:
    """Wide: the plot between names and words; narrow: over the whole width."""
    style, body, size = begun.style, begun.body, begun.style.text[1]
    ends = [
        e
        for row, _ in plot.rows
        if row.span
        for e in (row.span.value, row.span.low, row.span.high)
        if e is not None
    ]
    reach = reach_for(ends, plot.margin)
    wide = body.right - body.left
    left, right = (
        (body.left + size, body.right - size)
        if style.narrow
        else (body.left + LABELS * wide, body.left + PLOT_ENDS * wide)
    )
    return Ground(scale=Scale(left=left, right=right, reach=reach), margin=plot.margin, style=style)


def _row(shown: tuple[Row, Lead], ground: Ground, begun: Frame, edges: tuple[float, float]) -> list[Drawn]:
    style, body, (top, bottom), (row, lead) = begun.style, begun.body, edges, shown
    size, wide = style.text[1], body.right - body.left
    words_at = top + 0.75 * size if style.narrow else (top + bottom) / 2
    lane_top = top + 1.35 * size if style.narrow else top
    room = (0.5 if style.narrow else LABELS) * wide - size
    label = fit(row.label, room, sizes=(size, size)).lines[0] if row.label else ""
    most = wide - width(label, size) - size if style.narrow else (1 - PLOT_ENDS) * wide - size
    word = row_words(row, lead, Spot(x=body.right, y=words_at, room=most), style)
    drawn: list[Drawn] = [line((body.left, bottom), (body.right, bottom), Pen(ink="line", width=style.hair))]
    if row.span is not None:
        drawn += band(ground.scale, ground.margin, (lane_top, bottom), style)
        drawn += lane(row, ground, (lane_top + bottom) / 2, bottom - lane_top)
    return [*drawn, Words(x=body.left, y=centred(words_at, size), text=label, size=size), word]
