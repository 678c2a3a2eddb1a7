"""Runs that may not share one ratio, each refusal told as a value so that a page can say it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from evenhand.errors import NotComparable
from evenhand.findings.crossing import cross
from evenhand.findings.finding import Cell
from evenhand.findings.machines import Machine, same_values
from evenhand.findings.rows import check_alike
from evenhand.findings.stamps import VERSION
from evenhand.records.tests import Test
from evenhand.triage.stamp_words import plain_stamps


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Numbers of a test that must not be put in one ratio: which, why, and what to do next.

    `key` is stable: "definition", "stamp". `name` is the stamp; `a` and `b` what both setups say of it.
    """

    key: str
    test: str
    setups: tuple[str, ...]
    words: str
    todo: str
    name: str = ""
    a: tuple[str, ...] = ()
    b: tuple[str, ...] = ()


def refusals(
    machines: Sequence[Machine], cells: Sequence[Cell], tests: Sequence[Test]
) -> tuple[Refusal, ...]:
    """Why runs of a test may not be compared: by definition (`rows.check_alike`), or by their stamps.

    What a test fixes must be the same in all runs of both setups: its version, resolution and quality, and
    every setting that it declares. A stamp that one side lacks is no refusal; `fairness` tells it. Nor is a
    version that a machine run under both bridges: it is then a factor of its own.
    """
    return (*_by_definition(cells), *_by_stamps(machines, cells, tests))


def apart_from(pair: tuple[str, str], test: str, refused: Sequence[Refusal]) -> frozenset[str]:
    """Other setups that may not be compared with these two in a test.

    Of others that may not be compared among themselves neither is known to have run it as the two did.
    """
    named = [set(r.setups) for r in refused if r.test == test]
    apart = {setup for of in named if of & set(pair) for setup in of} - set(pair)
    apart |= {setup for of in named if not of & (apart | set(pair)) for setup in of}
    return frozenset(apart)


def _by_definition(cells: Sequence[Cell]) -> Iterator[Refusal]:
    for test in dict.fromkeys(cell.test for cell in cells):
        of_test = [cell for cell in cells if cell.test == test]
        try:
            check_alike(of_test)
        except NotComparable as error:
            setups = tuple(dict.fromkeys(cell.setup for cell in of_test))
            yield Refusal(key="definition", test=test, setups=setups, words=error.found, todo=error.todo)


def _by_stamps(
    machines: Sequence[Machine], cells: Sequence[Cell], tests: Sequence[Test]
) -> Iterator[Refusal]:
    for test in tests:
        fixed = fixed_names(test)
        said = {machine.key: _said(machine, test, fixed) for machine in machines}
        own = {cell.setup: cell for cell in cells if cell.test == test.key and cell.headline}
        for a, b in combinations(said, 2):
            for name in fixed:
                x, y = said[a].get(name, ()), said[b].get(name, ())
                bridged = name == VERSION and a in own and b in own and _meet(own[a], own[b])
                if x and y and not bridged and not same_values(x, y):
                    yield _stamp_refusal(test, name, (a, x), (b, y))


def _meet(a: Cell, b: Cell) -> bool:
    """Whether a machine was run under the conditions of both: one of the two, or another."""
    alike = a.under is not None and b.under is not None and a.under.machine == b.under.machine
    return alike or cross(a, b) is not None


def fixed_names(test: Test) -> tuple[str, ...]:
    """What a test fixes, by plain name."""
    return tuple(dict.fromkeys(["version", "resolution", "quality", "scene", *plain_stamps(test.settings)]))


def _said(machine: Machine, test: Test, fixed: Sequence[str]) -> Mapping[str, tuple[str, ...]]:
    if not any(run.test == test.key for run in machine.runs):
        return {}
    return {name: values for name, values in machine.stamps(test.key).items() if name in fixed}


_OR_BRIDGE = ", or bridge them with a setup that was run under both"


def _stamp_refusal(
    test: Test, name: str, a: tuple[str, tuple[str, ...]], b: tuple[str, tuple[str, ...]]
) -> Refusal:
    told = " and ".join(f"“{value}”" for value in a[1]), " and ".join(f"“{value}”" for value in b[1])
    return Refusal(
        key="stamp", test=test.key, setups=(a[0], b[0]), name=name, a=a[1], b=b[1],
        words=f"the {name} is {told[0]} on one side, {told[1]} on the other: two different tests",
        todo=f"measure both with one {name}{_OR_BRIDGE if name == VERSION else ''}",
    )  # fmt: skip
