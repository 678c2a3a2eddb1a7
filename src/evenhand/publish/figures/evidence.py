"""One fault of one run as one picture: where it is, against the siblings, so that a glance can check it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import elide, width
from evenhand.publish.figures.axes import Axes, gutter, mark_places, stepped, time_below
from evenhand.publish.figures.evidence_beside import (
    described,
    draw_density,
    draw_stamps,
    stamps_caption,
    stamps_height,
)
from evenhand.publish.figures.evidence_numbers import (
    Whose,
    draw_numbers,
    numbers_captions,
    numbers_height,
    stacks,
)
from evenhand.publish.figures.evidence_time import (
    Scope,
    captions_of,
    draw_over_time,
    in_full,
    scope_of,
    ticks_of,
)
from evenhand.publish.figures.evidence_views import Evidence, OverTime
from evenhand.publish.figures.frame import finish, fitting_names, foot_fits, frame, must_say
from evenhand.publish.names import Names
from evenhand.publish.numbers import NO_BREAK, capital
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Words
from evenhand.triage.exhibits.forms import Numbers, Sayings

CAPTION = 1.45  # of the type size: a view's caption, and the room for ticks below it
BELOW = 0.4  # of the type size: between two views
TIMES = 1.35  # of the type size: the round times below the lowest view over time
ROOMY = 9.0  # of the type size: a view over time where the picture may grow
TRACE = 0.55  # of the height of two views over time: the upper one
DENSITY = 0.28  # of the width: a density beside its trace
GAP = 0.5  # of the type size: between the two
LOOSE = 1.6  # of the least height: what a view that stands alone may take
MOST_REST = 0.6  # of the body: a second view without time
MOST_NAME = 0.3  # of the width: the name of a setup beside its numbers
OFTEN = "How often."
TO_DO = "What to do:"
STRAIGHT = re.compile(r"(?<=\w)'(?=\w)|(?<=s)'(?=[ ,;.])")  # apostrophes, not quotation marks
MOST_FOOT = (
    4  # lines: the sentence whole, and the run it is about; one more for changed terms, one for what to do
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """A view over time, the scale it needs, and the room of its caption and plot."""

    view: OverTime
    scope: Scope
    room: Box


def evidence_picture(evidence: Evidence, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """One fault with its trace, a second view, or both. Raises NotEnoughRuns where nothing can be drawn."""
    if evidence.trace is None and evidence.below is None:
        raise NotEnoughRuns("no view to draw", where=evidence.run, todo="give a trace or a second view")
    names = names.drawn()
    called = _called(evidence, names, style)
    said, told = _headline(evidence, called), _sentence(evidence.fault.evidence)
    about, more = f"Run: {evidence.run}.".replace(" ", NO_BREAK), names.changed or names.stand_ins
    most = MOST_FOOT + bool(more)
    foot = [told, about, *must_say(names, f"{told} {about}", style, most_foot=most)]
    foot = [*foot, *_todo(evidence.fault.todo, foot, style, most + 1)]
    begun = frame(said, foot, style=style, wanted=_wanted(evidence, style), most_foot=most + 1)
    lanes, rest = _lanes(evidence, begun.body, style)
    drawn = _draw_lanes(lanes, evidence, names.slot(evidence.setup), style)
    drawn += _draw_rest(evidence, rest, called, style)
    seen = [told, *(in_full(lane.view, lane.scope) for lane in lanes), *described(evidence.below)]
    seen += [evidence.fault.todo] if evidence.fault.todo else []
    title = f"{_headline(evidence, names)}, run {evidence.run}"
    return (finish(begun, drawn, title=title, description=" ".join(seen), names=names),)


def drawn_views(evidence: Evidence, names: Names, body: Box, style: Style) -> list[Drawn]:
    """The views of a fault alone, in a room as high as `views_height` says."""
    lanes, rest = _lanes(evidence, body, style)
    drawn = _draw_lanes(lanes, evidence, names.slot(evidence.setup), style)
    return drawn + _draw_rest(evidence, rest, names, style)


def views_height(evidence: Evidence, style: Style) -> float:
    """How high the views of a fault stand where the picture may grow."""
    return _wanted(evidence, style)


def described_in_words(evidence: Evidence) -> list[str]:
    """What is seen, for those who do not see it."""
    lanes = ((view, scope_of(view, evidence.run)) for view in _over_time(evidence))
    told = [_sentence(evidence.fault.evidence), *(in_full(view, scope) for view, scope in lanes)]
    return [*told, *described(evidence.below)]


def _todo(todo: str, foot: Sequence[str], style: Style, most: int) -> list[str]:
    """What to do, as far as the foot has room: all, the first sentence, the first clause, or nothing."""
    if not todo:
        return []
    first = todo.split(". ", maxsplit=1)[0]
    told = [_sentence(f"{TO_DO} {words.rstrip('.;,')}") for words in (todo, first, first.split("; ")[0])]
    return next(([words] for words in told if foot_fits([*foot, words], style, most)), [])


def _called(evidence: Evidence, names: Names, style: Style) -> Names:
    """One form of each name for all of the card: short where the fault, or a view, would lose its room."""
    rows = _whose(evidence, names).rows(evidence.below) if isinstance(evidence.below, Numbers) else []
    if any(width(names.setup(key), style.text[1]) > MOST_NAME * style.width for key in rows):
        names = names.shortened()
    return fitting_names(lambda called: _headline(evidence, called), names, style)


def _whose(evidence: Evidence, names: Names) -> Whose:
    return Whose(setup=evidence.setup, names=names, setups=evidence.setups)


def _headline(evidence: Evidence, names: Names) -> str:
    title = evidence.fault.title
    where = f"{names.setup(evidence.setup)} in {names.test(evidence.test)}"
    return f"{where}: {title[:1].lower()}{title[1:]}"


def _sentence(words: str) -> str:
    """As type is set: what triage writes has straight apostrophes."""
    return capital(STRAIGHT.sub("’", words if words.endswith(".") else f"{words}."))


def _over_time(evidence: Evidence) -> list[OverTime]:
    below, first = evidence.below, evidence.readings or evidence.trace
    upper = [first] if first else []
    return [*upper, *([] if below is None or isinstance(below, Numbers | Sayings) else [below])]


def _rest_height(evidence: Evidence, style: Style) -> float:
    """How high the second view stands where it has no time to the right, its caption included."""
    below, caption = evidence.below, CAPTION * style.text[1]
    if isinstance(below, Numbers):
        return caption + BELOW * style.text[1] + numbers_height(below, style)
    return (
        caption + BELOW * style.text[1] + stamps_height(below, style) if isinstance(below, Sayings) else 0.0
    )


def _wanted(evidence: Evidence, style: Style) -> float:
    views, size = len(_over_time(evidence)), style.text[1]
    return views * (ROOMY + CAPTION) * size + (TIMES * size if views else 0) + _rest_height(evidence, style)


def _lanes(evidence: Evidence, body: Box, style: Style) -> tuple[list[Lane], Box]:
    """The views over time with their room from the top down, and the room left for a view without."""
    views = _over_time(evidence)
    if not views:
        return [], _middle(evidence, body, style)
    floor = body.bottom - min(_rest_height(evidence, style), MOST_REST * (body.bottom - body.top))
    end = floor - TIMES * style.text[1]
    middle = body.top + TRACE * (end - body.top)
    edges = [body.top, middle, end] if len(views) == 2 else [body.top, end]
    rooms = [replace(body, top=top, bottom=low) for top, low in pairwise(edges)]
    rooms[1:] = [replace(room, top=room.top + BELOW * style.text[1]) for room in rooms[1:]]
    lanes = [
        Lane(view=view, scope=scope_of(view, evidence.run), room=room)
        for view, room in zip(views, rooms, strict=True)
    ]
    return lanes, replace(body, top=floor + (BELOW * style.text[1] if floor < body.bottom else 0.0))


def _middle(evidence: Evidence, body: Box, style: Style) -> Box:
    """The room of a view that stands alone: no higher than does it good, in the middle of the body."""
    spare = body.bottom - body.top - LOOSE * _rest_height(evidence, style)
    return replace(body, bottom=body.bottom - max(spare, 0.0) / 2)


def _draw_lanes(lanes: list[Lane], evidence: Evidence, slot: Slot, style: Style) -> list[Drawn]:
    """Each view with its caption and the fault's places, all on one clock; round times under the last."""
    density = evidence.trace.density if evidence.trace and not evidence.readings else None
    drawn: list[Drawn] = []
    for lane, axes in zip(lanes, _all_axes(lanes, style, wide=density is None), strict=True):
        drawn += mark_places(evidence.fault.places, axes, evidence.fault.severity, bottom=axes.box.bottom)
        drawn += draw_over_time(lane.view, lane.scope, axes, slot)
        drawn.append(
            _caption(captions_of(lane.view, lane.scope), replace(lane.room, right=axes.box.right), style)
        )
        if density and lane.view is evidence.trace:
            beside = replace(axes.box, left=axes.box.right + GAP * style.text[1], right=lane.room.right)
            drawn += draw_density(density, replace(axes, box=beside), slot)
            drawn.append(_caption([OFTEN], replace(beside, top=lane.room.top), style))
        drawn += time_below(axes) if lane is lanes[-1] else []
    return drawn


def _all_axes(lanes: list[Lane], style: Style, *, wide: bool) -> list[Axes]:
    """The axes of every view over time: one clock, one left edge."""
    end_s = max((lane.scope.end_s for lane in lanes), default=0.0) or 1.0
    axes = [_axes(lane, style, end_s) for lane in lanes]
    ticks = [text for lane, own in zip(lanes, axes, strict=True) for text in ticks_of(lane.scope, own)]
    left = gutter(ticks, style)
    less = 0.0 if wide else DENSITY * style.width
    boxes = [replace(own.box, left=own.box.left + left, right=own.box.right - less) for own in axes]
    return [replace(own, box=box) for own, box in zip(axes, boxes, strict=True)]


def _axes(lane: Lane, style: Style, end_s: float) -> Axes:
    scope, room = lane.scope, lane.room
    box = replace(room, top=room.top + CAPTION * style.text[1])
    return stepped(Axes(box=box, style=style, end_s=end_s, low=scope.low, high=scope.high))


def _draw_rest(evidence: Evidence, room: Box, names: Names, style: Style) -> list[Drawn]:
    """The second view where it has no time to the right."""
    below, box = evidence.below, replace(room, top=room.top + CAPTION * style.text[1])
    if isinstance(below, Numbers):
        whose = _whose(evidence, names)
        said = numbers_captions(below, stacked=stacks(below, box, style, whose))
        return [*draw_numbers(below, box, style, whose), _caption(said, room, style)]
    if isinstance(below, Sayings):
        return [*draw_stamps(below, box, style), _caption([stamps_caption(below)], room, style)]
    return []


def _caption(sentences: Sequence[str], room: Box, style: Style) -> Drawn:
    """As many of the sentences as stand on one line, the first in any case."""
    size = style.text[1]
    whole = [" ".join(sentences[:n]) for n in range(len(sentences), 0, -1)]
    said = next((text for text in whole if width(text, size) <= room.right - room.left), sentences[0])
    text = elide(said, room.right - room.left, size)
    return Words(x=room.left, y=room.top + 0.8 * size, text=text, size=size, ink="ink2")
