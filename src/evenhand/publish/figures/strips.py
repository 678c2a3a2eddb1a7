"""Every run of a test in order, setups side by side: what counts, what waits, what was set aside, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import width
from evenhand.publish.figures.frame import (
    Frame,
    balanced,
    crossed,
    finish,
    frame,
    must_say,
)
from evenhand.publish.figures.strip_blocks import Block, blocks, head
from evenhand.publish.figures.strip_labels import Label, labels
from evenhand.publish.figures.strip_runs import (
    RunMark,
    RunStrip,
    Scale,
    boot_changes,
    order_missing,
    runs_of,
    scale_of,
    set_aside,
    shaded,
    unplaced,
    value_words,
    why,
)
from evenhand.publish.meanings import which_is_better
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word, counted, level_words, listed, run_words
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words, line, mark, rect
from evenhand.records.estimates import Estimate
from evenhand.records.runs import RunState

MOST_SETUPS, MOST_SETUPS_NARROW = 8, 4  # beside each other on one card
MOST_LABELLED = 4  # of a setup's runs that do not count: of more, the lowest and the highest are labelled
MOST_FOOT = 3  # lines
MOST_UNIT = 6.0  # of the type size: a longer unit stands at the foot instead of over the scale


def run_strip(strip: RunStrip, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The strip of one test, on several cards where one holds too few setups, all on one scale.

    Raises NotEnoughRuns where it holds no run.
    """
    if not strip.runs:
        raise NotEnoughRuns("no run to draw", where=strip.test, todo="import runs of this test first")
    names, setups = names.drawn(), tuple(dict.fromkeys(run.setup for run in strip.runs))
    shares = balanced(len(setups), _most_setups(style, len(setups)))
    starts = [sum(shares[:i]) for i in range(len(shares))]
    parts = [setups[at : at + n] for at, n in zip(starts, shares, strict=True)]
    return tuple(_picture(strip, part, (i, len(parts)), names, style) for i, part in enumerate(parts))


def _most_setups(style: Style, n: int) -> int:
    """How many setups stand beside each other on one picture; on a page all do."""
    return n if style.roomy else MOST_SETUPS_NARROW if style.narrow else MOST_SETUPS


def _picture(
    whole: RunStrip, setups: Sequence[str], place: tuple[int, int], names: Names, style: Style
) -> Picture:
    runs = tuple(run for run in whole.runs if run.setup in setups)
    strip, scale, unit = replace(whole, runs=runs), scale_of(whole), names.unit(whole.test)
    over = unit if width(unit, 1) <= MOST_UNIT else ""
    foot = _foot(strip, names, style, scale, at_foot="" if over else unit)
    if place[1] > 1:
        foot = [f"Part {count_word(place[0] + 1)} of {count_word(place[1])}. {foot[0]}", *foot[1:]]
    begun = frame(_headline(whole, names), foot, style=style, wanted=19 * style.text[0], most_foot=MOST_FOOT)
    all_blocks = blocks(begun, strip, scale, names, unit=over)
    drawn: list[Drawn] = _grid(begun, all_blocks[0], over)
    for setup, block in zip(setups, all_blocks, strict=True):
        drawn += _block(strip, setup, block, names)
    some = "as far as on record" if unplaced(strip) else "they were made"
    order = ", order not on record" if order_missing(strip) else f" in the order {some}"
    title = f"Runs of {names.test(strip.test)}{order}"
    return finish(begun, drawn, title=title, description=_description(strip, names), names=names)


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


def _foot(strip: RunStrip, names: Names, style: Style, scale: Scale, *, at_foot: str) -> list[str]:
    """What the forms mean, only as far as they occur."""
    first = " ".join([*which_is_better(strip.better), _order(strip, names)])
    said = [first, *must_say(names, first, style, most_foot=MOST_FOOT)]
    said += [f"Scale in {at_foot}."] if at_foot else []
    if any(run.state is RunState.IN_DOUBT for run in strip.runs):
        said.append("Hollow: waits.")
    reasons = dict.fromkeys(why(run) for run in strip.runs if set_aside(run))
    said += [f"Crossed: {listed(tuple(reasons))}."] if reasons else []
    between = _between(strip)
    said += [f"Not labelled: {counted(between, 'run')} between."] if between else []
    setups = dict.fromkeys(run.setup for run in strip.runs)
    said += ["Dotted: another boot."] if any(boot_changes(runs_of(strip, setup)) for setup in setups) else []
    levels = {e.level for setup, e in strip.means if setup in setups and shaded(e, scale)}
    said += [f"Shaded: {level_words(max(levels))} interval."] if levels else []
    return [*said, *names.terms_told]


def _order(strip: RunStrip, names: Names) -> str:
    """Whether runs stand in the order they were made, and which of them have no place in it."""
    if order_missing(strip):
        return "Order not on record."
    lacking = [f"{count_word(n)} of {names.setup(setup)}" for setup, n in unplaced(strip).items()]
    return f"In the order made{'; last, without a place: ' if lacking else ''}{listed(tuple(lacking))}."


def _description(strip: RunStrip, names: Names) -> str:
    unit = names.unit(strip.test)
    said = [
        f"{names.setup(run.setup)} {run_words(run.value, unit)}"
        + ("" if run.state.counts else f" {why(run)}")
        for run in strip.runs
    ]
    told = " ".join([*which_is_better(strip.better), _order(strip, names)])
    return f"{told} Runs: {'; '.join(said)}."


def _grid(begun: Frame, first: Block, unit: str) -> list[Drawn]:
    """The lines of the scale over all of the body, at the heights of the blocks' own scale."""
    style, body = begun.style, begun.body
    box, size = replace(first.box, left=body.left, right=body.right), style.text[1]
    hair = Pen(ink="line", width=style.hair)
    drawn: list[Drawn] = [
        line((box.left, first.y(t)), (box.right, first.y(t)), hair) for t in first.scale.ticks
    ]
    label = Words(x=box.left, y=0, text=unit, size=size, ink="ink2")
    drawn += [replace(label, y=first.y(t) - 0.2 * size, text=text) for t, text in first.scale.ticks.items()]
    return [*drawn, replace(label, y=body.top + 1.0 * size)] if unit else drawn


def _block(strip: RunStrip, setup: str, block: Block, names: Names) -> list[Drawn]:
    """One setup: name and average on top, the shaded interval, its runs in order, labels where they fit."""
    runs, mean = runs_of(strip, setup), dict(strip.means).get(setup)
    places = _places(runs, block)
    slot, unit = names.slot(setup), block.style.unit
    drawn = [*head(setup, mean, block, names), *_shade(mean, slot.ink, block), *_boots(runs, places, block)]
    for run, (x, y) in zip(runs, places, strict=True):
        drawn.append(mark(slot.mark, (x, y), scale=unit, ink=slot.ink, hollow=not run.state.counts))
        if set_aside(run):
            drawn += crossed((x, y), 8 * unit, block.style)
    return drawn + labels(_told(strip, runs, places), places, block.box, block.style)


def _places(runs: Sequence[RunMark], block: Block) -> list[Point]:
    step = (block.box.right - block.box.left) / len(runs)
    return [(block.box.left + (i + 0.5) * step, block.y(run.value)) for i, run in enumerate(runs)]


def _told(strip: RunStrip, runs: Sequence[RunMark], places: Sequence[Point]) -> list[Label]:
    """Number and reason of each run that does not count; where all of these say the same, once for all."""
    left = [(run, place) for run, place in zip(runs, places, strict=True) if not run.state.counts]
    said = {(value_words(run, strip), why(run)) for run, _ in left}
    if len(said) == 1 < len(left):
        value, reason = next(iter(said))
        many = {"waits": "wait", "a copy": "copies"}.get(reason, reason)
        return [Label(places=tuple(place for _, place in left), wordings=((f"{value} each", many), (many,)))]
    labelled = outermost([run for run, _ in left])
    return [
        Label(places=(place,), wordings=((value_words(run, strip), why(run)), (why(run),)))
        for run, place in left
        if run in labelled
    ]


def outermost(left: Sequence[RunMark]) -> Sequence[RunMark]:
    """The runs that are labelled of those of a setup that do not count: all, or the two at the ends."""
    if len(left) <= MOST_LABELLED:
        return left
    return [end(left, key=lambda run: run.value) for end in (min, max)]


def _between(strip: RunStrip) -> int:
    """How many runs that do not count have no label, as they lie between two that have."""
    setups = dict.fromkeys(run.setup for run in strip.runs)
    blocks = [[run for run in runs_of(strip, setup) if not run.state.counts] for setup in setups]
    told_apart = [left for left in blocks if len({(value_words(r, strip), why(r)) for r in left}) > 1]
    return sum(len(left) - len(outermost(left)) for left in told_apart)


def _shade(mean: Estimate | None, ink: str, block: Block) -> list[Drawn]:
    """The average's interval as a pale strip behind the runs."""
    if mean is None or mean.low is None or mean.high is None or not shaded(mean, block.scale):
        return []
    box = block.box
    shape = rect(
        Box(left=box.left, top=block.y(mean.high), right=box.right, bottom=block.y(mean.low)), fill=ink
    )
    return [replace(shape, place={**shape.place, "fill-opacity": "0.17"})]


def _boots(runs: Sequence[RunMark], places: Sequence[Point], block: Block) -> list[Drawn]:
    """A dotted line wherever the next run came from another boot."""
    pen = Pen(ink="post", width=block.style.hair, dash=f"{2 * block.style.hair:g} {4 * block.style.hair:g}")
    middles = [(places[i][0] + places[i - 1][0]) / 2 for i in boot_changes(runs)]
    return [line((x, block.box.top), (x, block.box.bottom), pen) for x in middles]
