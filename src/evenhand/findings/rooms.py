"""How two setups were measured: the room's temperature, boots, and whether their runs took turns."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.findings.finding import Caveat, Cell, Observation
from evenhand.findings.machines import Machine
from evenhand.findings.sessions import order_caveat
from evenhand.findings.unlikes import Aspect, Mark, Unlike
from evenhand.records.runs import Run

ROOM_APART_C = 2.0
"""Mean rooms further apart are told as a difference: a household thermometer is good to 1 °C, twice over."""

MOSTLY_ALONE = 0.5
"""With more than this share of its runs on days without the other, a setup's number is mostly other days'."""

DAYS, OTHER_DAYS, ROOMS_APART = "days", "other-days", "rooms-apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The room of some runs in °C: coolest, warmest and mean, and how many runs tell none."""

    low_c: float
    high_c: float
    mean_c: float
    untold: int


def room_of(runs: Sequence[Run]) -> Room | None:
    """The room in which runs were made; None where none of them tells."""
    told = [run.ambient_c for run in runs if run.ambient_c is not None]
    if not told:
        return None
    mean = sum(told) / len(told)
    return Room(low_c=min(told), high_c=max(told), mean_c=mean, untold=len(runs) - len(told))


def bench_differences(a: Machine, b: Machine) -> Iterator[Unlike | str]:
    """Room, boots and order of two setups that have runs, by name only where alike; nothing without runs."""
    if a.runs and b.runs and a.key != b.key:
        yield _room(a, b)
        yield _boots(a, b)
        yield from _orders(a, b)
        yield from _days(a, b)


def _days(a: Machine, b: Machine) -> Iterator[Unlike]:
    """That one was run mostly on days without the other; nothing where they share none (no turns, then)."""
    of_a, of_b = _days_of(a), _days_of(b)
    if not set(of_a) & set(of_b):
        return
    for own, other in ((of_a, of_b), (of_b, of_a)):
        alone = sum(runs for day, runs in own.items() if day not in other)
        if alone > MOSTLY_ALONE * own.total():
            words = (
                "most runs of one were made on days without the other: what a day does is in the difference"
            )
            x, y = ((_days_words(len(days)),) for days in (of_a, of_b))
            yield Unlike(aspect=Aspect.DAYS, name=DAYS, a=x, b=y, mark=Mark.ACCIDENT, words=words)
            return


def _days_of(machine: Machine) -> Counter[date]:
    return Counter(run.started_at.date() for run in machine.runs if run.started_at is not None)


def _days_words(days: int) -> str:
    return "1 bench day" if days == 1 else f"{days} bench days"


def days_caveat(a: Machine, b: Machine) -> Caveat | None:
    """The same as a reservation about whatever was measured on the two; None where nothing is amiss."""
    if not list(_days(a, b)):
        return None
    first, then = (a, b) if len(_days_of(a)) >= len(_days_of(b)) else (b, a)
    alone = len(set(_days_of(first)) - set(_days_of(then)))
    words = f"{{setups[0]}} was also run on {_days_words(alone).replace('bench ', '')} without {{setups[1]}}"
    return Caveat(
        key=OTHER_DAYS, words=f"{words}: what changes from day to day is in the difference",
        setups=(first.key, then.key),
    )  # fmt: skip


def _room(a: Machine, b: Machine) -> Unlike | str:
    rooms = room_of(a.runs), room_of(b.runs)
    x, y = (() if room is None else (f"{room.low_c:g} to {room.high_c:g} °C",) for room in rooms)
    one, other = rooms
    if one is None or other is None:
        return Unlike(
            aspect=Aspect.ROOM, name="room", a=x, b=y, mark=Mark.UNREAD,
            words="no temperature of the room on record",
            lacking=tuple(m.key for m, room in zip((a, b), rooms, strict=True) if room is None),
        )  # fmt: skip
    if abs(one.mean_c - other.mean_c) <= ROOM_APART_C:
        return "room"
    words = "the rooms were not alike, and a warm part may run slower"
    return Unlike(aspect=Aspect.ROOM, name="room", a=x, b=y, mark=Mark.ACCIDENT, words=words)


def rooms_caveat(weighed: Sequence[tuple[float, Cell]]) -> Caveat | None:
    """That a sum of cells, each with its weight, holds the warmth of a room as well.

    Weights add up to 0. None where the rooms of its sides lie within 2 °C of each other, or where those of a
    cell are not on record.
    """
    rooms = [(weight, cell.setup, _mean_room(cell)) for weight, cell in weighed if weight]
    told = [(weight * mean, setup) for weight, setup, mean in rooms if mean is not None]
    apart = sum(part for part, _ in told)
    if len(told) < len(rooms) or abs(apart) <= ROOM_APART_C:
        return None
    why = f"{abs(apart):.0f} °C"
    if len(told) == 2:
        warm, cool = sorted((setup for _, setup in told), key={s: -abs(p) for p, s in told}.__getitem__)
        words = f"{{setups[0]}} was run in a room {why} warmer than that of {{setups[1]}}"
        return Caveat(key=ROOMS_APART, words=f"{words}: a warm part may run slower", setups=(warm, cool))
    return Caveat(key=ROOMS_APART, words=f"rooms were {why} apart: a warm part may run slower")


def _mean_room(cell: Cell) -> float | None:
    told = [o.ambient_c for o in cell.observations if o.ambient_c is not None]
    return sum(told) / len(told) if told else None


def _boots(a: Machine, b: Machine) -> Unlike | str:
    """Alike where both sides have two boots or more."""
    known = [{run.boot for run in m.runs if run.boot is not None} for m in (a, b)]
    untold = tuple(m.key for m in (a, b) if any(run.boot is None for run in m.runs))
    few = tuple(m.key for m, boots in zip((a, b), known, strict=True) if len(boots) < 2)
    if not untold and not few:
        return "boots"
    mark, words = (
        (Mark.UNREAD, "runs without a boot on record")
        if untold
        else (Mark.ACCIDENT, "all runs come from one boot, and may share its error")
    )
    x, y = ((_boots_words(len(boots)),) for boots in known)
    return Unlike(aspect=Aspect.BOOTS, name="boots", a=x, b=y, mark=mark, words=words, lacking=untold or few)


def _boots_words(boots: int) -> str:
    return "1 boot" if boots == 1 else f"{boots} boots"


def _orders(a: Machine, b: Machine) -> Iterator[Unlike | str]:
    """Whether turns were taken, over all tests that both sides ran: one line for each sort of trouble."""
    tests = [test for test in a.by_test if test in b.by_test]
    told: dict[str, list[str]] = {}
    for test in tests:
        caveat = order_caveat(_cell(a, test), _cell(b, test))
        told.setdefault(caveat.key if caveat else "", []).append(test)
    for key, those in told.items():
        mark = Mark.UNREAD if key == "order-unknown" else Mark.ACCIDENT
        yield "order" if not key else Unlike(
            aspect=Aspect.ORDER, name="order", a=(), b=(), mark=mark, words=_ORDERS[key],
            tests=tuple(those) if len(told) > 1 else (),
        )  # fmt: skip


_ORDERS = {
    "order-unknown": "the order of runs does not tell whether turns were taken",
    "not-interleaved": "runs of one came before those of the other: a drift is in the difference",
}


def _cell(machine: Machine, test: str) -> Cell:
    """The order of a setup's runs of one test, without their numbers."""
    runs = machine.by_test[test]
    seen = tuple(Observation(run=run.id, value=1.0, boot=run.boot, order=run.order) for run in runs)
    return Cell(test=test, setup=machine.key, metric="", better="higher", observations=seen)
