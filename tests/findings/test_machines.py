"""What is on record of a setup, read the same whatever words or units it was written in."""

import pytest
from tests.findings.bench import machine, run

from evenhand.findings.machines import is_of_machine, quantity, same_value, same_values


def test_parts_stand_by_kind_and_undescribed_ones_apart():
    made = machine("a", "p0", "g1", "g0", "hidden")
    assert made.by_kind() == {"processor": ("p0",), "graphics": ("g0", "g1")}
    assert made.unknown == ("hidden",)


def test_stamps_of_one_test_are_those_of_its_runs():
    runs = [run("a", 0, stamps={"driver": "1"}), run("a", 1, test="mole", stamps={"driver": "2"})]
    made = machine("a", "p0", stamps={"driver": "0", "os": "x"}, runs=runs)
    assert made.stamps("mole") == {"driver": ("2",), "os": ("x",)}
    assert made.stamps() == {"driver": ("1", "2"), "os": ("x",)}


@pytest.mark.parametrize(
    ("text", "value"),
    [("1.1 V", 1.1), ("95W", 95.0), ("-20 mV", -0.02), ("fast", None), ("12", None), ("3 widgets", None)],
)
def test_a_quantity_is_a_number_with_a_unit_of_the_table(text, value):
    read = quantity(text)
    assert (read.value if read else None) == (None if value is None else pytest.approx(value))


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Tern 9", "tern 9", True),
        ("4.5 GHz", "4500MHz", True),
        ("4.5 GHz", "4501 MHz", False),
        ("100 W", "100 V", False),
    ],
)
def test_the_same_value_in_other_words(one, other, same):
    assert same_value(one, other) is same_value(other, one) is same


def test_two_sides_say_the_same_only_where_neither_says_more():
    assert same_values(("1 GHz", "2 GHz"), ("2000 MHz", "1000 MHz"))
    assert not same_values(("1",), ("1", "2"))


def test_clocks_and_voltages_are_of_the_machine_and_versions_are_not():
    assert is_of_machine(("4.5 GHz", "4.7 GHz"))
    assert not is_of_machine(("4.5 GHz", "unlimited"))
    assert not is_of_machine(())
