"""What the runs of two cells say of themselves otherwise: another test, or other conditions of the same."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.findings.crossing import apart, plain
from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.machines import COMES_WITH, is_of_machine, same_values

Both = tuple[str, tuple[str, ...], tuple[str, ...]]


def other_test(a: Cell, b: Cell, *, bridged: bool = False) -> Caveat | None:
    """That two different tests were run, which may not share a ratio; None where nothing says so.

    What a test fixes must be the same on both sides: its version, resolution, quality and scene, and every
    setting that it declares. What one side does not say is no refusal, nor is a version where a bridge was
    run under both.
    """
    fixed = {*a.fixes, *b.fixes} - ({VERSION} & _conditions(a, b) if bridged else set())
    for name, x, y in _unlike(a, b):
        if name in fixed:
            words = f"two different tests, with {_told(name, x, y)}: no ratio may be formed"
            return Caveat(key=OTHER_TEST, words=words, setups=(a.setup, b.setup))
    return None


def no_ratio(a: Cell, b: Cell, *, bridged: bool) -> Caveat | None:
    """Why the numbers of two cells may not share one ratio; None where they may.

    Two different tests, or one under conditions that the sides never had in common and nothing bridges.
    """
    return other_test(a, b, bridged=bridged) or (None if bridged else not_bridged(a, b))


def not_bridged(a: Cell, b: Cell) -> Caveat | None:
    """That two machines were never run under the same conditions; None where they were."""
    if not (a.under and b.under and apart(a, b)):
        return None
    x, y = (plain(" and ".join(of.names)) for of in (a.under, b.under))
    words = f"measured under {x} on {{setups[0]}} and under {y} on {{setups[1]}}: no ratio may be formed"
    words += "; run one setup again under both, or measure both under one of them"
    if DRIVER in x and DRIVER in y:
        words += (
            "; if these are drivers of two makers, one for each machine, nothing changed: write each down "
            "as a stamp of its own name (“lantern driver”)"
        )
    return Caveat(key=NOT_BRIDGED, words=words, setups=(a.setup, b.setup))


def other_conditions(a: Cell, b: Cell, *, bridged: bool = False) -> Iterator[Caveat]:
    """Each condition (driver, system, power plan) under which one side was measured and the other not.

    What comes with a part or tells a clock, a voltage or a power of the machine is of the machine itself.
    What a bridge was run under both of is not in the difference.
    """
    fixed = {*a.fixes, *b.fixes} | (_conditions(a, b) if bridged else set())
    for name, x, y in _unlike(a, b):
        if name not in fixed and name not in COMES_WITH and not is_of_machine((*x, *y)):
            words = f"{_told(name, x, y)}: what that does is in the difference too"
            yield Caveat(key=OTHER_CONDITIONS, words=words, setups=(a.setup, b.setup))


DRIVER = "driver "  # as conditions begin that tell one
OTHER_TEST, OTHER_CONDITIONS = "other-test", "other-conditions"
NOT_BRIDGED = "not-bridged"
NO_RATIO = frozenset({OTHER_TEST, NOT_BRIDGED})
"""Caveats of numbers that may not share one ratio."""
VERSION = "version"


def _conditions(a: Cell, b: Cell) -> set[str]:
    """The stamps that tell the conditions of both apart."""
    return {name for of in (a.under, b.under) if of for name in of.changed}


def _unlike(a: Cell, b: Cell) -> Iterator[Both]:
    if not (a.observations and b.observations):
        return
    of_b = dict(b.says)
    for name, x in a.says:
        y = of_b.get(name, ())
        if y and not same_values(x, y):
            yield name, x, y


def _told(name: str, x: tuple[str, ...], y: tuple[str, ...]) -> str:
    """Both sides in words, the setups as slots; anybody's words stand as they are."""
    first, then = (plain(" and ".join(f"“{value}”" for value in side)) for side in (x, y))
    return f"{plain(name)} {first} on {{setups[0]}} and {then} on {{setups[1]}}"
