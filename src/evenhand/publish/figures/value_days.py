"""The days of a pair as three lanes: on which days which was better value, and on which neither."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.money.break_even import Value
from evenhand.money.replay import DayValue, Turn
from evenhand.publish.dates import MONTHS, day_words
from evenhand.publish.figures.percent_svg import figure, level, upright, word
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture

LANE, HEAD, FOOT, CELL = 42.0, 6.0, 26.0, 14.0
LANES = (Value.A, Value.LEVEL, Value.B)
TIGHT, TIGHT_NARROW = 14.0, 36.0  # per cent: nearer days would touch on a desk, on a phone


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days of two setups, the earliest first."""

    a: str
    b: str
    days: Sequence[DayValue]
    turns: Sequence[Turn]
    seen: str


def value_days(found: Days, names: Names) -> Picture:
    """A lane for each side and one between them, a cell for each day; days without a price have none.

    A day on which one was not to be had has an empty cell in its lane.
    """
    a, b = names.setup(found.a), names.setup(found.b)
    called = {Value.A: f"{a} by value", Value.LEVEL: "neither", Value.B: f"{b} by value"}
    tops = {value: HEAD + LANE * at for at, value in enumerate(LANES)}
    bottom = HEAD + LANE * len(LANES)
    body = "".join(
        (
            *_cells(found, names, tops),
            level(bottom),
            *_turns(found, bottom),
            *(word(called[value], 0, top + 14, kind="str halo") for value, top in tops.items()),
            *_ends(found, bottom),
        )
    )
    title = f"Which of {a} and {b} was better value, day by day"
    svg = figure(body, round(bottom + FOOT), title=title, seen=found.seen)
    return Picture(svg=svg, width=0, height=round(bottom + FOOT), title=title, description=found.seen)


def _cells(found: Days, names: Names, tops: dict[Value, float]) -> Iterator[str]:
    wide = 100 / len(found.days)
    for at, day in enumerate(found.days):
        if day.value is Value.UNKNOWN:
            own = ((Value.A, day.a_out), (Value.B, day.b_out))
            yield from (_cell("cell out", at * wide, wide, tops[side]) for side, out in own if out)
            continue
        setup = {Value.A: found.a, Value.B: found.b}.get(day.value)
        kind = f"cell b{names.slot(setup).number}" if setup else "cell neither"
        yield _cell(kind, at * wide, wide, tops[day.value])


def _cell(kind: str, x: float, wide: float, top: float) -> str:
    return (
        f'<rect class="{kind}" x="{x:.2f}%" width="{wide * 0.9:.2f}%" '
        f'y="{top + 20:.1f}" height="{CELL:.1f}"/>'
    )


def _turns(found: Days, bottom: float) -> Iterator[str]:
    """A line through all lanes on each day on which it turned."""
    place = {day.on: 100 * at / len(found.days) for at, day in enumerate(found.days)}
    for turn in found.turns:
        yield upright(place[turn.on], HEAD + 18, bottom, "post")


def _ends(found: Days, bottom: float) -> Iterator[str]:
    """The first and the last day, and the turns between them that have room."""
    first, last = found.days[0].on, found.days[-1].on
    yield word(day_words(first), 0, bottom + 20)
    yield word(day_words(last), 100, bottom + 20, anchor="end")
    taken = [0.0, 100.0]
    for turn in found.turns:
        x = 100 * (turn.on - first).days / len(found.days)
        near = min(abs(x - other) for other in taken)
        if near > TIGHT:
            kind = "str" if near > TIGHT_NARROW else "str wide-only"
            yield word(_short(turn.on), x, bottom + 20, kind=kind, anchor="middle")
            taken.append(x)


def _short(on: date) -> str:
    return f"{on.day} {MONTHS[on.month - 1][:3]}"
