"""Clocks and pixels are read where they are told, and machines that differ otherwise are left out."""

import pytest
from tests.findings.bench import around, cell, machine, run

from evenhand.findings.scaling import elasticities, resolution_slopes
from evenhand.findings.settings import clock_points, clocks_of, pixel_points, pixels
from evenhand.records.tests import Direction, Measures, Test


@pytest.mark.parametrize(
    ("text", "size"), [("1920x1080", 2073600.0), ("1920 X 1080", 2073600.0), ("4K", None)]
)
def test_pixels(text, size):
    assert pixels(text) == size


def test_clocks_are_stamps_in_a_unit_of_clocks():
    made = machine(
        "a", "p0", stamps={"processor clock": "4.7 GHz", "core voltage": "1.1 V", "driver": "31.4"}
    )
    assert clocks_of(made) == {"processor clock": pytest.approx(4700.0)}


def test_a_clock_on_which_runs_disagree_is_no_clock():
    runs = [run("a", i, stamps={"processor clock": f"4.{i} GHz"}) for i in (5, 7)]
    assert clocks_of(machine("a", "p0", runs=runs)) == {}


def test_only_states_of_one_machine_measured_alike_have_points():
    def state(key, clock, *parts, driver="1"):
        return machine(key, *parts, state=key, stamps={"graphics clock": clock, "driver": driver})

    machines = [
        state("stock", "2.0 GHz", "g0"), state("tuned", "2200 MHz", "g0"), state("part", "2.1 GHz", "g1"),
        state("other driver", "2.3 GHz", "g0", driver="2"), machine("silent", "g0", stamps={"driver": "1"}),
    ]  # fmt: skip
    cells = [cell(m.key, around(4.0 + 0.1 * i), place=i) for i, m in enumerate(machines)]
    points = clock_points(machines, cells)
    assert [p.cell.setup for p in points] == ["stock", "tuned"]
    (slope,) = elasticities(points, boot_allowance=0.0)
    assert (slope.setting, slope.value) == ("graphics clock", pytest.approx(0.1 / 0.0953101798))


def test_one_scene_at_two_resolutions_is_one_slope():
    def a_test(key, resolution):
        return Test(key=key, name=key, measures=Measures.FRAMES, metric="fps", unit="fps",
                    direction=Direction.HIGHER, settings={"Resolution": resolution})  # fmt: skip

    scenes = {"quay": (a_test("low", "1000 × 1000"), a_test("high", "2000 × 1000"), a_test("odd", "window"))}
    cells = [cell("a", around(4.0), test="low"), cell("a", around(3.5), test="high", place=1),
             cell("a", around(3.0), test="odd", place=2), cell("b", around(9.0), test="low")]  # fmt: skip
    (slope,) = resolution_slopes(pixel_points("a", scenes, cells), boot_allowance=0.0)
    assert (slope.test, slope.cells) == ("quay", ("low", "high"))
    assert slope.value == pytest.approx(-0.5 / 0.6931471806)


def test_no_machine_no_points():
    assert clock_points([], []) == ()
