"""What an anchor that does not stay as it was may do to numbers that stand on it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from evenhand.findings.finding import Caveat, Cell, Unsteady

DRIFTS, OUTSIDE = "anchor-drifts", "anchor-outside"


def drifted(cells: Mapping[str, Cell], weights: Mapping[str, float]) -> tuple[float, list[Caveat]]:
    """The log that drifts of anchors may make in a weighted sum of mean logs, and what is to be known.

    A machine that moves by s a day puts s·|Σ w·(day − mean day)| into a sum over its cells: between its runs
    before a change and those since, s times the days from the one to the other. One cell of a machine by
    itself gives nothing: what it is held against took turns with it, or is told of already.
    """
    by_machine: dict[str, list[tuple[float, Unsteady]]] = {}
    for name, cell in cells.items():
        weight = weights.get(name, 0.0)
        if cell.unsteady is not None and weight:
            by_machine.setdefault(cell.unsteady.machine, []).append((weight, cell.unsteady))
    total, told = 0.0, []
    for machine, own in by_machine.items():
        days = _days(own)
        if days:
            moved = max(each.a_day for _, each in own) * days
            total += moved
            told += _caveats(machine, own, days=days, moved=moved)
    return total, told


def _days(own: list[tuple[float, Unsteady]]) -> float:
    """The days over which a drift does not cancel in the sum."""
    mean = math.fsum(each.day for _, each in own) / len(own)
    return abs(math.fsum(weight * (each.day - mean) for weight, each in own))


def _caveats(
    machine: str, own: list[tuple[float, Unsteady]], *, days: float, moved: float
) -> list[Caveat]:  # fmt: skip
    found, seen = [], own[0][1]
    if moved:
        where = ", as its other tests show" if all(each.elsewhere for _, each in own) else ""
        words = (
            f"{{setups[0]}} drifts from day to day{where}: over the {days:.2g} days between its runs before "
            f"and since, that may make {100 * math.expm1(moved):.3g} %, which is allowed for"
        )
        found.append(Caveat(key=DRIFTS, words=words, setups=(machine,)))
    if seen.outside:
        lie, them = ("lies", "it") if seen.outside == 1 else ("lie", "them")
        words = (
            f"{seen.outside} of {seen.days} bench days of {{setups[0]}}, run before and since, {lie} outside "
            f"what those before {them} allow: what moved it then may be in the difference"
        )
        found.append(Caveat(key=OUTSIDE, words=words, setups=(machine,)))
    return found


def unsteady_in(caveats: Iterable[Caveat]) -> list[Caveat]:
    """Those of these reservations that say so."""
    return [caveat for caveat in caveats if caveat.key in (DRIFTS, OUTSIDE)]
