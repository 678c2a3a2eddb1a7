"""Every run of a test in order, setups side by side: what counts, what waits, what was set aside, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.frame import (
    Frame,
    crossed,
    finish,
    frame,
    named,
    nice_steps,
    tick_decimals,
)
from evenhand.publish.left_out import why_left_out
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    count_word,
    counted,
    decimals_alone,
    level_words,
    listed,
    number,
    run_words,
    span_of,
)
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words, line, mark, rect
from evenhand.records.estimates import Estimate
from evenhand.records.runs import Reason, RunState


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
    """All runs of one test. `means` holds each setup's average over its counting runs, where there is one."""

    test: str
    runs: tuple[RunMark, ...]
    means: tuple[tuple[str, Estimate], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One setup's share of the picture, and the common scale upward."""

    box: Box
    style: Style
    low: float
    high: float

    def y(self, value: float) -> float:
        """The place of a number."""
        share = (value - self.low) / (self.high - self.low)
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def run_strip(strip: RunStrip, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The strip of one test. Raises NotEnoughRuns where it holds no run."""
    if not strip.runs:
        raise NotEnoughRuns("no run to draw", where=strip.test, todo="import runs of this test first")
    said = _headline(strip, names)
    setups = tuple(dict.fromkeys(run.setup for run in strip.runs))
    begun = frame(said, _foot(strip, names), style=style, wanted=19 * style.text[0])
    low, high, step = _limits(strip)
    drawn: list[Drawn] = _grid(begun, (low, high, step), names.unit(strip.test))
    for setup, box in zip(setups, _boxes(begun, len(setups), names.unit(strip.test)), strict=True):
        block = Block(box=box, style=style, low=low, high=high)
        drawn += _block(strip, setup, block, names)
    title = f"Runs of {names.test(strip.test)} in the order they were made"
    return (finish(begun, drawn, title=title, description=_description(strip, names)),)


def _headline(strip: RunStrip, names: Names) -> str:
    counting = sum(run.state.counts for run in strip.runs)
    waiting = sum(run.state is RunState.IN_DOUBT for run in strip.runs)
    aside = len(strip.runs) - counting - waiting
    parts = [f"{counted(counting, 'run')} {'counts' if counting == 1 else 'count'}"]
    if waiting:
        parts.append(f"{count_word(waiting)} {'waits' if waiting == 1 else 'wait'}")
    if aside:
        parts.append(f"{count_word(aside)} {'is' if aside == 1 else 'are'} set aside")
    return f"{names.test(strip.test)}: {listed(tuple(parts))}"


def _foot(strip: RunStrip, names: Names) -> list[str]:
    """What the forms mean, only as far as they occur."""
    terms = [f"{names.terms.rstrip('.')}."] if names.terms else []
    levels = {e.level for _, e in strip.means if e.low is not None}
    shaded = [f"Shaded: {level_words(max(levels))} interval."] if levels else []
    reasons = dict.fromkeys(_why(run) for run in strip.runs if _set_aside(run))
    crossed_out = [f"Crossed: {listed(tuple(reasons))}."] if reasons else []
    waiting = ["Hollow: waits."] if any(run.state is RunState.IN_DOUBT for run in strip.runs) else []
    return ["In the order made.", *waiting, *crossed_out, *shaded, *terms]


def _set_aside(run: RunMark) -> bool:
    return run.state in (RunState.SET_ASIDE, RunState.REPLACED)


def _description(strip: RunStrip, names: Names) -> str:
    unit = names.unit(strip.test)
    said = [
        f"{names.setup(run.setup)} {run_words(run.value, unit)}"
        + ("" if run.state.counts else f" {_why(run)}")
        for run in strip.runs
    ]
    return f"Runs in order: {'; '.join(said)}."


def _why(run: RunMark) -> str:
    return why_left_out(run.state, run.reason)


def _limits(strip: RunStrip) -> tuple[float, float, float]:
    values = [run.value for run in strip.runs]
    values += [end for _, e in strip.means for end in (e.low, e.high) if end is not None]
    low, high = min(values), max(values)
    spread = (high - low) or max(abs(high), 1.0) * 0.05
    least = 4 * 10.0 ** -decimals_alone(max(abs(run.value) for run in strip.runs), 4)
    if spread < least:  # no tick finer than the digits that a run's number shows
        low, high, spread = (low + high - least) / 2, (low + high + least) / 2, least
    return low - 0.12 * spread, high + 0.12 * spread, nice_steps(1.24 * spread, 4)


def _boxes(begun: Frame, n: int, unit: str) -> list[Box]:
    """The setups' shares of the body, beside each other, right of the numbers of the scale and its unit."""
    style, body = begun.style, begun.body
    size = style.text[1]
    left, gap = body.left + max(2.6 * size, width(unit, size) + 0.5 * size), 1.1 * size
    wide = (body.right - left - gap * (n - 1)) / n
    top, bottom = body.top + (2.3 if not style.roomy else 3.4) * size, body.bottom - 0.3 * size
    starts = [left + i * (wide + gap) for i in range(n)]
    return [Box(left=start, top=top, right=start + wide, bottom=bottom) for start in starts]


def _grid(begun: Frame, limits: tuple[float, float, float], unit: str) -> list[Drawn]:
    style, body = begun.style, begun.body
    low, high, step = limits
    box = replace(_boxes(begun, 1, unit)[0], left=body.left)
    block = Block(box=box, style=style, low=low, high=high)
    size, decimals = style.text[1], min(tick_decimals(step), decimals_alone(high, 4))
    ticks = [i * step for i in range(int(low // step) + 1, int(high // step) + 1)]
    hair = Pen(ink="line", width=style.hair)
    drawn: list[Drawn] = [line((box.left, block.y(t)), (box.right, block.y(t)), hair) for t in ticks]
    label = Words(x=box.left, y=0, text=unit, size=size, ink="ink2")
    drawn += [replace(label, y=block.y(t) - 0.2 * size, text=number(t, decimals)) for t in ticks]
    return [*drawn, replace(label, y=body.top + 1.0 * size)]


def _block(strip: RunStrip, setup: str, block: Block, names: Names) -> list[Drawn]:
    """One setup: name and average on top, the shaded interval, its runs in order, labels where they fit."""
    runs = _in_order([run for run in strip.runs if run.setup == setup])
    mean = dict(strip.means).get(setup)
    places = _places(runs, block)
    slot, unit = names.slot(setup), block.style.unit
    drawn = [*_head(setup, mean, block, names), *_shade(mean, slot.ink, block), *_boots(runs, places, block)]
    for run, (x, y) in zip(runs, places, strict=True):
        drawn.append(mark(slot.mark, (x, y), scale=unit, ink=slot.ink, hollow=not run.state.counts))
        if _set_aside(run):
            drawn += crossed((x, y), 8 * unit, block.style)
    return drawn + _labels(runs, places, block)


def _in_order(runs: Sequence[RunMark]) -> list[RunMark]:
    """By the order on record; runs without one stay where they came, after the others."""
    return sorted(runs, key=lambda run: (run.order is None, run.order or 0))


def _places(runs: Sequence[RunMark], block: Block) -> list[Point]:
    step = (block.box.right - block.box.left) / len(runs)
    return [(block.box.left + (i + 0.5) * step, block.y(run.value)) for i, run in enumerate(runs)]


def _head(setup: str, mean: Estimate | None, block: Block, names: Names) -> list[Drawn]:
    style, box = block.style, block.box
    size = style.text[1]
    top = box.top - (1.3 if not style.roomy else 2.3) * size
    room = box.right - box.left - 20 * style.unit
    digits = ""
    if mean is not None:
        span = span_of(mean)
        digits = f" {span.digits()}" if not style.roomy else ""
    name = fit(names.setup(setup) + digits, room, sizes=(style.text[0], size), face=Face.STRONG)
    words = Words(x=box.left, y=top, text=name.lines[0], size=name.size, face=Face.STRONG)
    drawn = list(named(names.slot(setup), words, style))
    if mean is not None and style.roomy:
        said = fit(span_of(mean).words(mean.unit), room + 18, sizes=(size, size)).lines[0]
        drawn.append(Words(x=box.left, y=top + 1.4 * size, text=said, size=size, ink="ink2"))
    return drawn


def _shade(mean: Estimate | None, ink: str, block: Block) -> list[Drawn]:
    """The average's interval as a pale strip behind the runs."""
    if mean is None or mean.low is None or mean.high is None:
        return []
    box = block.box
    shape = rect(
        Box(left=box.left, top=block.y(mean.high), right=box.right, bottom=block.y(mean.low)), fill=ink
    )
    return [replace(shape, place={**shape.place, "fill-opacity": "0.17"})]


def _boots(runs: Sequence[RunMark], places: Sequence[Point], block: Block) -> list[Drawn]:
    """A dotted line wherever the next run came from another boot."""
    pen = Pen(ink="post", width=block.style.hair, dash=f"{2 * block.style.hair:g} {4 * block.style.hair:g}")
    turns = [i for i in range(1, len(runs)) if runs[i].boot != runs[i - 1].boot]
    middles = [(places[i][0] + places[i - 1][0]) / 2 for i in turns]
    return [line((x, block.box.top), (x, block.box.bottom), pen) for x in middles]


def _labels(runs: Sequence[RunMark], places: Sequence[Point], block: Block) -> list[Drawn]:
    """The number and the reason beside each run that does not count, wherever they touch nothing."""
    reach = 9 * block.style.unit
    taken = [Box(left=x - reach, top=y - reach, right=x + reach, bottom=y + reach) for x, y in places]
    drawn: list[Words] = []
    for run, place in zip(runs, places, strict=True):
        if run.state.counts:
            continue
        for said in ((run_words(run.value, ""), _why(run)), (_why(run),)):
            words = _free(said, place, block, [*taken, *(w.box for w in drawn)])
            if words:
                drawn += words
                break
    return list(drawn)


def _free(said: tuple[str, ...], place: Point, block: Block, taken: Sequence[Box]) -> list[Words]:
    """These lines right, left, below or above the place, at the first spot where they are free; or none."""
    (x, y), size, unit = place, block.style.text[1], block.style.unit
    lead, tall = 1.12 * size, 1.12 * size * (len(said) - 1)
    spots = [
        (x + 13 * unit, y + 0.35 * size - tall / 2, "start"),
        (x - 13 * unit, y + 0.35 * size - tall / 2, "end"),
        (x, y + 13 * unit + 0.72 * size, "middle"),
        (x, y - 13 * unit - 0.2 * size - tall, "middle"),
        (block.box.left, y + 13 * unit + 0.72 * size, "start"),
        (block.box.left, y - 13 * unit - 0.2 * size - tall, "start"),
        (block.box.right, y + 13 * unit + 0.72 * size, "end"),
        (block.box.right, y - 13 * unit - 0.2 * size - tall, "end"),
    ]
    for left, top, anchor in spots:
        words = [
            Words(x=left, y=top + i * lead, text=text, size=size, anchor=anchor, halo="paper",
                  face=Face.STRONG if i == 0 else Face.TEXT)
            for i, text in enumerate(said)
        ]  # fmt: skip
        if all(w.box.inside(block.box) and not any(w.box.meets(t) for t in taken) for w in words):
            return words
    return []
