"""What was set for a cell, as numbers: clocks from the stamps of its setup, pixels from its test."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from evenhand.findings.factors import factors_of
from evenhand.findings.finding import Cell
from evenhand.findings.machines import STATE, Machine, quantity
from evenhand.findings.scaling import Point
from evenhand.records.tests import Test
from evenhand.triage.stamp_words import plain_stamps

_PICTURE = re.compile(r"^\s*(\d{2,6})\s*[x×]\s*(\d{2,6})\s*$", re.IGNORECASE)


def pixels(text: str) -> float | None:
    """The pixels of a resolution, where it is one.

    >>> pixels("2560 × 1440"), pixels("high")
    (3686400.0, None)
    """
    found = _PICTURE.match(text)
    return float(found.group(1)) * float(found.group(2)) if found else None


def clocks_of(machine: Machine) -> dict[str, float]:
    """The clocks that a setup and its runs tell, in MHz by name; those on which runs disagree left out."""
    read = {name: quantity(values[0]) for name, values in machine.stamps().items() if len(values) == 1}
    return {name: q.value for name, q in read.items() if q is not None and q.unit.quantity == "clock"}


def clock_points(machines: Sequence[Machine], cells: Sequence[Cell]) -> tuple[Point, ...]:
    """Headline cells of one machine in several states, with the clocks of each, ready for `elasticities`.

    Setups with other parts than the first, or measured otherwise (driver, system, …), are left out; so are
    those that tell no clock. States and clocks may differ.
    """
    clocks = {machine.key: clocks_of(machine) for machine in machines}
    names = frozenset(name for of in clocks.values() for name in of)
    factors = factors_of(machines, named=names)
    other = [i for i, name in enumerate(factors.design.factors) if name != STATE and name not in names]
    first = factors.design.rows[0] if machines else ()
    alike = [
        setup
        for setup, row in zip(factors.setups, factors.design.rows, strict=True)
        if all(row[i] == first[i] for i in other) and clocks[setup]
    ]
    return tuple(
        Point(cell=cell, settings=clocks[cell.setup])
        for cell in cells
        if cell.setup in alike and cell.headline
    )


def pixel_points(
    setup: str, scenes: Mapping[str, Sequence[Test]], cells: Sequence[Cell]
) -> tuple[Point, ...]:
    """Headline cells of one setup in tests of one scene at several resolutions, for `resolution_slopes`.

    `scenes` names the tests of each scene. A test that declares no resolution is left out. In the points the
    test is the scene, and the setup names the test.
    """
    there = {cell.test: cell for cell in cells if cell.setup == setup and cell.headline}
    return tuple(
        Point(cell=replace(there[test.key], test=scene, setup=test.key), settings={"pixels": size})
        for scene, tests in scenes.items()
        for test in tests
        if test.key in there
        and (size := pixels(plain_stamps(test.settings).get("resolution", ""))) is not None
    )
