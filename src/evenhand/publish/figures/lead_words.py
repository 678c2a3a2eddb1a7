"""Where the words of a lead's figure stand, at one width: whose lead is where, the turn, and each audience.

Whatever has no clear place of its own is left out, but for the words of the two sides and of the turn: the
number of the audience that the page is about too, which stands in words beside the figure.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_labels import WIDE, Box, Field, Label, Owner, first_clear
from evenhand.publish.figures.lead_plot import BOTTOM, TOP, Lead, Plot, StandsAt, doubtful, turning
from evenhand.publish.numbers import margin_words, number, tenths, with_unit

STEP = 4  # px between the heights that are tried
FIRST, LAST = 14.0, 276.0  # px: the highest and the lowest baseline
REACH = 32  # px that an audience's words go from its mark
LINE = 16.0  # px from line to line
MARK = 7.0  # px: half a mark
LONGEST = 28  # letters of an audience's name that stands beside its mark
# About a mark, or to one side of it, which costs a little: so many pixels of height.
ASIDE = (
    ("middle", 0.0, 0), ("end", MARK, 5), ("start", -MARK, 5), ("end", 0.0, 6), ("start", 0.0, 6),
)  # fmt: skip
WELL_ASIDE = (("end", -MARK - 3, 9), ("start", MARK + 3, 9))  # of a mark that others crowd
FEW = 3  # audiences of which all are named on a narrow figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """The words of a figure in their places, audiences by share; `ends` is the line below the turn's."""

    sides: tuple[Label, ...]
    turn: Label | None
    ends: Label | None
    audiences: dict[float, Label]

    def every(self) -> tuple[Label, ...]:
        """All of them."""
        turn = tuple(each for each in (self.turn, self.ends) if each is not None)
        return (*self.sides, *turn, *self.audiences.values())


def place_words(
    lead: Lead, stands: Sequence[StandsAt], about: Pair, weight: str, *, wide: float
) -> Words:  # fmt: skip
    """All words of the figure when it is so wide."""
    plot = Plot.of(lead, about.margin)
    marks = {each.share: _mark(each, lead, plot, wide) for each in stands}
    field = replace(Field.of(lead, plot, wide), marks=tuple(marks.values()))
    sides: list[Label] = []
    for label in _sides(about, wide):
        sides.append(_side(label, field, [s.box(wide) for s in sides], above=not sides))
    taken = [label.box(wide) for label in sides]
    turn = _turn(lead, weight, field, taken)
    taken += [*(label.box(wide) for label in turn), *_stem(turn, field)]
    found: dict[float, Label] = {}
    for each in sorted(stands, key=lambda s: not s.here):
        clear = _beside(each, field, marks, [*taken, *(own.box(wide) for own in found.values())])
        if clear is not None:
            found[each.share] = clear
    _name(found, stands, field, (marks, taken))
    return Words(
        sides=tuple(sides), turn=turn[0] if turn else None, ends=turn[1] if len(turn) > 1 else None,
        audiences=found,
    )  # fmt: skip


def _mark(each: StandsAt, lead: Lead, plot: Plot, wide: float) -> Box:
    """An audience's mark with its interval."""
    percent, low, high = lead.at(each.share)
    top, bottom = plot.y(percent if high is None else high), plot.y(percent if low is None else low)
    x, y = each.share * wide, plot.y(percent)
    return Box(left=x - MARK, right=x + MARK, top=min(top, y - MARK), bottom=max(bottom, y + MARK))


def _sides(about: Pair, wide: float) -> tuple[Label, ...]:
    """Whose lead is beyond each of the margin's lines."""
    least = f"by over {margin_words(about.margin).removeprefix('±')}"
    longer = f"{least}, the least that matters" if wide >= WIDE else least
    a, b = (f"{about.names.setup(key)} ahead" for key in (about.a, about.b))
    upper = Label(x=0, y=0, said=a, anchor="start", more=longer)
    lower = Label(x=100, y=0, said=b, anchor="end", more=least)
    return tuple(each if _fits(each, wide) else replace(each, more="") for each in (upper, lower))


def _fits(label: Label, wide: float) -> bool:
    box = label.box(wide)
    return box.right - box.left < 0.8 * wide


def _side(label: Label, field: Field, others: Sequence[Box], *, above: bool) -> Label:
    """Beside its line, at the end where the lead is not; else beyond the lead, where nothing is drawn."""
    high, low = field.plot.edges
    own, last = (high - 7, FIRST) if above else (low + 17, LAST)
    ends = [label, replace(label, x=100 - label.x, anchor="end" if label.anchor == "start" else "start")]
    far = [own + (-STEP if above else STEP) * i for i in range(int(abs(last - own) // STEP) + 1)]
    tried = [replace(each, y=y) for y in (*far, last) for each in ends]
    return first_clear(tried, field, others) or replace(label, y=last)


def _beside(
    each: StandsAt, field: Field, marks: dict[float, Box], taken: Sequence[Box], *, more: str = ""
) -> Label | None:
    """Words above or below an audience's mark, nearer to it than to any other; None where none are clear."""
    others = tuple(box for share, box in marks.items() if share != each.share)
    owner = Owner(mark=marks[each.share], others=others)
    base = Label(x=100 * each.share, y=0, said=each.said, anchor="middle", more=more)
    places = _about(base, owner.mark, here=each.here)
    own_side = (label for label in places if not _across(label, owner.mark, field.plot))
    return first_clear(own_side, replace(field, marks=others), taken, owner)


def _across(label: Label, mark: Box, plot: Plot) -> bool:
    """Whether words lie beyond the band from their mark, where they would be read as another's lead."""
    high, low = plot.edges
    return (mark.top >= low and label.y <= high) or (mark.bottom <= high and label.y >= low)


def _about(label: Label, mark: Box, *, here: bool) -> Iterator[Label]:
    """Places above and below a mark, the nearest first; for the one looked at also well aside."""
    aside = (*ASIDE, *WELL_ASIDE) if here else ASIDE
    found = []
    for off in range(0, REACH + 1, STEP):
        for y in (mark.top - 6 - off, mark.bottom + 14 + off):
            for anchor, dx, cost in aside:
                if FIRST - 2 <= y <= LAST:
                    found.append((off + cost, y, anchor, dx))
    near = sorted(found, key=lambda place: place[0])
    return (replace(label, y=y, anchor=anchor, dx=dx) for _, y, anchor, dx in near)  # few are asked for


def _turn(lead: Lead, weight: str, field: Field, taken: Sequence[Box]) -> tuple[Label, ...]:
    """Where the other side comes to the front, and between which shares that may be."""
    at = turning(lead)
    if at is None:
        return ()
    between = doubtful(lead)
    said = f"turns at {tenths(at)} {weight}"
    ends = f"{number(100 * between[0])} to {with_unit(number(100 * between[1]), '%')}" if between else ""
    for y in _heights(field):
        for anchor, dx in (("end", -9.0), ("start", 9.0)) if at > 0.5 else (("start", 9.0), ("end", -9.0)):
            first = Label(x=100 * at, y=y, said=said, anchor=anchor, dx=dx)
            second = replace(first, y=y + LINE, said="", more=ends)
            lines = (first, second) if ends and field.wide >= WIDE else (first,)
            if all(first_clear([line], field, taken) for line in lines) and not any(
                stem.meets(box, 2) for stem in _stem(lines, field) for box in taken
            ):
                return lines
    return (Label(x=100 * at, y=FIRST, said=said, anchor="middle"),)


def _heights(field: Field) -> Sequence[float]:
    """Baselines above and below the turn, the nearest to where words clear the lead first."""
    tried = [TOP + STEP * i for i in range(-3, int((BOTTOM + 16 - TOP) // STEP))]
    return sorted(tried, key=lambda y: abs(abs(y - field.plot.zero) - 50))


def _stem(lines: Sequence[Label], field: Field) -> list[Box]:
    """The line from the turn's words to the lead."""
    if not lines:
        return []
    x, top, bottom = lines[0].x / 100 * field.wide, *stem_ends(lines[0], field.plot)
    return [Box(left=x - 1, right=x + 1, top=top, bottom=bottom)]


def stem_ends(label: Label, plot: Plot) -> tuple[float, float]:
    """From where to where the turn's line goes, in pixels."""
    return min(label.y - 9, plot.zero - 7), max(label.y + 3, plot.zero + 7)


def _name(
    found: dict[float, Label], stands: Sequence[StandsAt], field: Field,
    about: tuple[dict[float, Box], Sequence[Box]],
) -> None:  # fmt: skip
    """Put an audience's name behind its number where that, too, has room."""
    marks, taken = about
    for each in sorted(stands, key=lambda s: not s.here):
        crowded = field.wide < WIDE and len(stands) > FEW and not each.here
        if each.share not in found or crowded or len(each.name) > LONGEST:
            continue
        others = [label.box(field.wide) for share, label in found.items() if share != each.share]
        longer = _beside(each, field, marks, [*taken, *others], more=each.name)
        found[each.share] = longer or found[each.share]
