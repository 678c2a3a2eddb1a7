"""What holds each test back, as far as clocks and resolutions on record tell, and what tuning gained."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

from evenhand.desk.comparison.causing import Grounds
from evenhand.desk.comparison.doubting import rose
from evenhand.findings.finding import Cell
from evenhand.findings.machines import Machine
from evenhand.findings.scaling import (
    Limit,
    Point,
    Slope,
    elasticities,
    limits,
    resolution_slopes,
    tuned_gains,
)
from evenhand.findings.settings import clock_points, clocks_of, pixel_points
from evenhand.publish.direction import isolated
from evenhand.records.tests import Test
from evenhand.triage.stamp_words import plain_stamps

CLOCKED = {"graphics": "graphics", "gpu": "graphics", "processor": "processor", "cpu": "processor"}
"""Words in the name of a clock, and the part whose clock it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tuned:
    """What a tuned setup gained over stock, by test, as a share of the clock that rose most."""

    tuned: str
    stock: str
    gains: tuple[Slope, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnMachine:
    """What holds the tests back on one build; `setups` are those that tell."""

    build: str
    setups: tuple[str, ...]
    limits: tuple[Limit, ...]
    tuned: tuple[Tuned, ...] = ()

    @property
    def tells(self) -> bool:
        """Whether a clock or a resolution was varied on it."""
        return any(limit.evidence for limit in self.limits) or bool(self.tuned)


def limits_of(grounds: Grounds, builds: Sequence[str]) -> tuple[OnMachine, ...]:
    """For each of these builds, what its clocks and resolutions on record say of every test compared."""
    return tuple(_on(build, grounds) for build in dict.fromkeys(builds))


def _on(build: str, grounds: Grounds) -> OnMachine:
    machines = [machine for machine in grounds.bench.machines if machine.build.key == build]
    own = {machine.key for machine in machines}
    cells = [cell for cell in grounds.bench.cells if cell.setup in own]
    allowance = grounds.record.study.boot_allowance
    points = clock_points(machines, cells) if machines else ()
    pixels = tuple(slope for m in machines for slope in _pixels(m, cells, grounds, named=len(machines) > 1))
    names = dict.fromkeys(name for point in points for name in point.settings)
    parts = {name: part for name in names if (part := part_of(name))}
    return OnMachine(
        build=build, setups=tuple(machine.key for machine in machines),
        limits=limits(
            grounds.record.study.tests, clocks=elasticities(points, boot_allowance=allowance),
            pixels=pixels, parts=parts,
        ),
        tuned=tuple(_tuned(machines, points, allowance=allowance)),
    )  # fmt: skip


def part_of(clock: str) -> str:
    """The part whose clock goes by this name, or "".

    >>> part_of("graphics clock"), part_of("memory clock")
    ('graphics', '')
    """
    return next((CLOCKED[word] for word in clock.lower().split() if word in CLOCKED), "")


def _pixels(machine: Machine, cells: Sequence[Cell], grounds: Grounds, *, named: bool) -> Iterator[Slope]:
    """The slopes over pixels of a setup, told of every test of a scene; `named` where others tell too."""
    scenes = scenes_of(grounds.record.compared_tests)
    points = pixel_points(machine.key, scenes, cells)
    for slope in resolution_slopes(points, boot_allowance=grounds.record.study.boot_allowance):
        setting = f"{slope.setting} on {isolated(machine.setup.name)}" if named else slope.setting
        yield from (replace(slope, test=test.key, setting=setting) for test in scenes[slope.test])


def scenes_of(tests: Sequence[Test]) -> dict[str, tuple[Test, ...]]:
    """Tests of one scene at several resolutions, by scene."""
    found: dict[str, list[Test]] = {}
    for test in tests:
        if test.scene:
            found.setdefault(test.scene, []).append(test)
    return {scene: tuple(own) for scene, own in found.items() if len(_resolutions(own)) > 1}


def _resolutions(tests: Sequence[Test]) -> set[str]:
    said = (plain_stamps(test.settings).get("resolution", "") for test in tests)
    return {resolution for resolution in said if resolution}


def _tuned(machines: Sequence[Machine], points: Sequence[Point], *, allowance: float) -> Iterator[Tuned]:
    """Every two states of one build between which clocks rose and none fell."""
    there = {point.cell.setup for point in points}
    clocked = [machine for machine in machines if machine.key in there]
    for tuned, stock in permutations(clocked, 2):
        if rose(clocks_of(stock), clocks_of(tuned)):
            gains = tuned_gains(tuned.key, stock.key, points, boot_allowance=allowance)
            if gains:
                yield Tuned(tuned=tuned.key, stock=stock.key, gains=gains)
