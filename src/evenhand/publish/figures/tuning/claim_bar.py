"""Hours at one point by room with their failures, what they bound now, and what more hours would."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotEnoughRuns
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, width
from evenhand.publish.figures.axes import held
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, centred, finish
from evenhand.publish.figures.tuning.keys import Key, key_fits, keyed, whose
from evenhand.publish.figures.tuning.marks import Ended, sign_of
from evenhand.publish.figures.tuning.plot import heading, placed
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words, number, with_unit
from evenhand.publish.palette import DISC
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Shape, Words, line, mark, rect
from evenhand.publish.tuning.claims import bound_words, failures_words, seldom_words
from evenhand.publish.tuning.meanings import load_meaning
from evenhand.publish.tuning.titles import claim_titles
from evenhand.publish.tuning.words import hours_words, part_words, point_words
from evenhand.records.trials import Trial
from evenhand.tuning.claims import LEVEL, Against, Claim, claim, hours_to_claim
from evenhand.tuning.rooms import RoomHours, hours_by_room

ROW, MOST_ROW, BAR = 1.75, 3.4, 0.8  # of the type size: a room's row at least and at most, and its bar
AXIS = 6.6  # of the type size: what the lower half takes
MOST_ROOMS = 3
AHEAD = 2.2  # decades beyond what is claimed now
BEHIND = 1.0
APART = 16  # units: marks on the scale stand at least so far from each other
MOST_CROSSES = 8  # on one bar; beyond, only the words count them


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimBar:
    """The trials of one part at one point under one load, and what speaks against them, where that is so."""

    setup: str
    part: str
    load: str
    clock_mhz: float
    voltage_mv: float
    trials: Sequence[Trial]
    offset: bool = False
    against: Against | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ruler:
    """Hours without a further failure, on a scale of powers of ten."""

    box: Box
    first: float
    last: float

    def x(self, hours: float) -> float:
        """The place of so many hours, held within the box."""
        share = math.log(hours / self.first) / math.log(self.last / self.first)
        return self.box.left + min(max(share, 0.0), 1.0) * (self.box.right - self.box.left)


def claim_bar(found: ClaimBar, names: Names, *, style: Style) -> Picture:
    """The hours and what they claim. Raises NotEnoughRuns where there are no hours."""
    names = replace(names.drawn(), terms="")
    told = replace(claim(found.trials), against=found.against)
    if not told.hours > 0:
        raise NotEnoughRuns("no hour at this point", where=found.part, todo="run a trial there first")
    said = heading(claim_titles(told, found.load), style)
    rooms = hours_by_room(found.trials, most=MOST_ROOMS)
    wanted = (1.45 + ROW * len(rooms) + AXIS) * style.text[1]
    begun = card_frame(said, _foot(found.load), names, style, wanted=wanted, more_foot=1, more_wide=1)
    drawn, top = keyed(_who(found, names, style, begun.body), begun.body, style)
    left = begun.body.bottom - top - AXIS * style.text[1]
    row = min(max(left / len(rooms), ROW * style.text[1]), MOST_ROW * style.text[1])
    drawn += _rooms(rooms, begun, top, row)
    drawn += _ruler(told, begun, top + row * len(rooms))
    return finish(
        begun, drawn, title=f"{said} ({names.setup(found.setup)}, {isolated(part_words(found.part))})",
        description=_seen(found, told, rooms), names=names,
    )  # fmt: skip


def _foot(load: str) -> list[str]:
    """How to read the scale, and what a claim is of."""
    return [
        f"Fewer than one in so many hours, at {level_words(LEVEL)}, if no other failure comes.",
        "It holds for this load, these rooms and this part alone: copy no voltage.",
        *filter(None, (load_meaning(load),)),
    ]


def _who(found: ClaimBar, names: Names, style: Style, body: Box) -> list[Key]:
    """Whose part it is and where it was set; where it takes more than a line, what ran on a second."""
    point = point_words(found.clock_mhz, found.voltage_mv, offset=found.offset)
    what = f"{part_words(found.part)}, {isolated(found.load)}"
    one = whose(found.setup, f"{point}, {what}", names)
    if key_fits(one, body.right - body.left, style):
        return [one]
    return [whose(found.setup, point, names), Key(sign=[], text=what, face=Face.STRONG)]


def room_called(room: RoomHours) -> str:
    r"""A room in few words.

    >>> room_called(RoomHours(low_c=24, high_c=26, hours=1, failures=0))
    '24 to 26\xa0°C'
    """
    if room.low_c is None or room.high_c is None:
        return "not read"
    low, high = number(room.low_c), number(room.high_c)
    return with_unit(low if low == high else f"{low} to {high}", "°C")


def _room_said(room: RoomHours) -> str:
    return f"{hours_words(room.hours)}, {failures_words(room.failures)}"


def _rooms(rooms: Sequence[RoomHours], begun: Frame, top: float, row: float) -> Iterator[Drawn]:
    """A bar of hours for each room, its failures as crosses at its end, and both in words."""
    style, body, size = begun.style, begun.body, begun.style.text[1]
    left = body.left + max(width(room_called(room), size) for room in rooms) + 0.7 * size
    right = body.right - max(width(_room_said(room), size) for room in rooms) - 0.7 * size
    most = max(room.hours for room in rooms)
    for n, room in enumerate(rooms):
        y = top + (n + 0.5) * row
        yield Words(x=body.left, y=centred(y, size), text=room_called(room), size=size, ink="ink2")
        end = left + max(room.hours / most * (right - left), style.hair)
        bar = Box(left=left, top=y - BAR / 2 * size, right=end, bottom=y + BAR / 2 * size)
        yield rect(bar, fill="band", pen=Pen(ink="post", width=style.hair))
        for cross in range(min(room.failures, MOST_CROSSES)):
            x = max(end - (cross + 0.5) * 14 * style.unit, left)
            yield from placed(sign_of(Ended.FAILED), (x, y), 0.9 * style.unit)
        yield Words(x=end + 0.5 * size, y=centred(y, size), text=_room_said(room), size=size)


def _ruler(told: Claim, begun: Frame, top: float) -> Iterator[Drawn]:
    """The scale of hours: how far they reach, what they show now, and what more would."""
    style, body, size = begun.style, begun.body, begun.style.text[1]
    slack = max(body.bottom - top - AXIS * size, 0.0) / 2
    y = top + 2.9 * size + min(slack, 3 * size)
    ruler = _scale(told, Box(left=body.left, top=y, right=body.right, bottom=y))
    now = ruler.x(told.hours)
    dash = f"{5 * style.unit:g} {4 * style.unit:g}"
    yield line((now, y), (body.right, y), Pen(ink="post", width=style.post * 0.7, dash=dash))
    yield line((body.left, y), (now, y), Pen(ink="ink", width=2.2 * style.post))
    yield from _targets(told, ruler, style)
    yield from placed([_now_sign()], (now, y), 1.25 * style.unit)
    text = f"now {hours_words(told.hours)}: {bound_words(told)}"
    words = Words(x=now, y=y - 1.05 * size, text=text, size=size, anchor="middle", face=Face.STRONG)
    yield line((now, y - 0.75 * size), (now, y), Pen(ink="ink", width=style.hair))
    yield held(words, body)


def _scale(told: Claim, box: Box) -> _Ruler:
    """From a decade below what is claimed now to two above."""
    return _Ruler(box=box, first=told.hours / 10**BEHIND, last=told.hours * 10**AHEAD)


def _targets(told: Claim, ruler: _Ruler, style: Style) -> Iterator[Drawn]:
    """What could be claimed by powers of ten, and after how many hours in all; where there is room."""
    size, y, now = style.text[1], ruler.box.bottom, ruler.x(told.hours)
    taken: list[Box] = []
    for target, hours in targets(told, ruler.first, ruler.last):
        x = ruler.x(hours)
        reached = hours <= told.hours
        pen = Pen(ink="ink", width=style.hair)
        over, under = (
            held(Words(x=x, y=y + dy * size, text=text, size=size, anchor="middle", ink=ink), ruler.box)
            for dy, text, ink in (
                (1.45, f"{_all(hours)} in all", "ink"), (2.65, f"one in {seldom_words(target)}", "ink2"))
        )  # fmt: skip
        both = [over.box, under.box]
        if any(b.left < t.right + 0.5 * size and t.left < b.right + 0.5 * size for b in both for t in taken):
            continue
        taken += both
        yield line((x, y - 5 * style.unit), (x, y + 7 * style.unit), pen)
        if not reached and x - now > APART * style.unit:  # else the mark of now would cover it
            yield mark(DISC, (x, y), scale=0.8 * style.unit, ink="ink", hollow=True)
        yield from (over, under)


def targets(told: Claim, first: float, last: float) -> list[tuple[float, float]]:
    """Bounds by powers of ten within a scale of hours: the bound, and the hours in all that show it."""
    found = []
    for power in range(-6, 8):
        target = 10.0**power
        hours = hours_to_claim(1 / target, replace(told, hours=0.0))
        if first <= hours <= last:
            found.append((target, hours))
    return found


def _all(hours: float) -> str:
    """Hours that a claim takes, rounded up: fewer would not show it."""
    if hours < 1:
        return hours_words(math.ceil(60 * hours - 1e-9) / 60)
    return with_unit(number(math.ceil(hours - 1e-9)), "h")


def _now_sign() -> Shape:
    return mark(DISC, (0, 0), scale=1, ink="ink")


def _seen(found: ClaimBar, told: Claim, rooms: Sequence[RoomHours]) -> str:
    """What is seen, for whoever cannot see it."""
    at = point_words(found.clock_mhz, found.voltage_mv, offset=found.offset)
    by_room = "; ".join(f"{room_called(room)}: {_room_said(room)}" for room in rooms)
    shown = [
        f"{_all(hours)} in all would show fewer than one in {seldom_words(target)}"
        for target, hours in targets(told, told.hours, told.hours * 10**AHEAD)
    ]
    now = f"At {level_words(LEVEL)} that is {bound_words(told)}"
    return f"Hours of {isolated(found.load)} at {at} by room. {by_room}. {now}. {'; '.join(shown)}."
