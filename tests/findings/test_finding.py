"""Cells as keys: equal ones are one key, and whatever tells two apart keeps them apart."""

from dataclasses import fields, replace

from tests.findings.bench import around, cell

from evenhand.findings.finding import Caveat, Under, Unsteady

OTHERWISE = {
    "test": "mole", "setup": "other", "metric": "wall_w", "better": "lower", "observations": (),
    "group": "sea", "headline": False, "version": "2", "locked": True, "waiting": 1, "set_aside": 1,
    "unjudged": 1, "cut_otherwise": ("late",), "says": (("driver", ("1",)),), "fixes": ("driver",),
    "under": Under(machine="wren", names=("one",)), "doubt": Caveat(key="k", words="w"),
    "unsteady": Unsteady(machine="wren", day=1.0, a_day=0.1),
}  # fmt: skip


def test_equal_cells_are_one_key():
    one, same = cell("wren", around(0.1)), cell("wren", around(0.1))
    assert one is not same
    assert {one: "found"}[same] == "found"


def test_cells_that_differ_in_anything_are_two_keys():
    own = cell("wren", around(0.1))
    assert OTHERWISE.keys() == {field.name for field in fields(own)}
    for name, value in OTHERWISE.items():
        assert len({own, replace(own, **{name: value})}) == 2, name
