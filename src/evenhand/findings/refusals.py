"""Runs that may not share one ratio, each refusal told as a value so that a page can say it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from evenhand.errors import NotComparable
from evenhand.findings.finding import Cell
from evenhand.findings.machines import Machine, same_values
from evenhand.findings.rows import check_alike
from evenhand.records.tests import Test
from evenhand.triage.kinds.stamps import plain_stamps


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
    every setting that it declares. A stamp that one side lacks is no refusal; `fairness` tells it.
    """
    return (*_by_definition(cells), *_by_stamps(machines, tests))


def _by_definition(cells: Sequence[Cell]) -> Iterator[Refusal]:
    for test in dict.fromkeys(cell.test for cell in cells):
        of_test = [cell for cell in cells if cell.test == test]
        try:
            check_alike(of_test)
        except NotComparable as error:
            setups = tuple(dict.fromkeys(cell.setup for cell in of_test))
            yield Refusal(key="definition", test=test, setups=setups, words=error.found, todo=error.todo)


def _by_stamps(machines: Sequence[Machine], tests: Sequence[Test]) -> Iterator[Refusal]:
    for test in tests:
        fixed = fixed_names(test)
        said = {machine.key: _said(machine, test, fixed) for machine in machines}
        for a, b in combinations(said, 2):
            for name in fixed:
                x, y = said[a].get(name, ()), said[b].get(name, ())
                if x and y and not same_values(x, y):
                    yield _stamp_refusal(test, name, (a, x), (b, y))


def fixed_names(test: Test) -> tuple[str, ...]:
    """What a test fixes, by plain name."""
    return tuple(dict.fromkeys(["version", "resolution", "quality", "scene", *plain_stamps(test.settings)]))


def _said(machine: Machine, test: Test, fixed: Sequence[str]) -> Mapping[str, tuple[str, ...]]:
    if not any(run.test == test.key for run in machine.runs):
        return {}
    return {name: values for name, values in machine.stamps(test.key).items() if name in fixed}


def _stamp_refusal(
    test: Test, name: str, a: tuple[str, tuple[str, ...]], b: tuple[str, tuple[str, ...]]
) -> Refusal:
    told = " and ".join(f"“{value}”" for value in a[1]), " and ".join(f"“{value}”" for value in b[1])
    return Refusal(
        key="stamp", test=test.key, setups=(a[0], b[0]), name=name, a=a[1], b=b[1],
        words=f"the {name} is {told[0]} on one side, {told[1]} on the other: two different tests",
        todo=f"measure both with one {name}, or bridge them with a setup that was run under both",
    )  # fmt: skip
