"""What setups are called: by their names, and by what sets them apart where several have one."""

from __future__ import annotations

import pytest

from evenhand.desk.names import machine_called, told_apart
from evenhand.records.builds import Setup


def setups(**stamps: dict[str, str]) -> dict[str, Setup]:
    return {key: Setup(key=key, name="Birch, stock", build="b", stamps=own) for key, own in stamps.items()}


@pytest.mark.parametrize(
    ("stamps", "told"),
    [
        ({"b1": {"driver": "1"}, "b2": {"driver": "2"}}, [", driver 1", ", driver 2"]),
        ({"b1": {"os": "9", "driver": "1"}, "b2": {"os": "9", "driver": "2"}}, [", driver 1", ", driver 2"]),
        ({"b1": {}, "b2": {}}, [" (b1)", " (b2)"]),
        ({"b1": {"driver": "1"}, "b2": {"driver": "1"}}, [" (b1)", " (b2)"]),
    ],
)
def test_setups_of_one_name_are_told_apart_by_a_stamp_or_their_key(
    stamps: dict[str, dict[str, str]], told: list[str]
) -> None:
    named = told_apart(dict.fromkeys(stamps, "Birch, stock"), setups(**stamps))
    assert list(named.values()) == [f"Birch, stock{each}" for each in told]


def test_names_that_differ_stay_as_they_are() -> None:
    called = {"b1": "Birch, stock", "b2": "Birch, tuned"}
    assert told_apart(called, setups(b1={"driver": "1"}, b2={"driver": "2"})) == called


def test_a_machine_under_two_drivers_keeps_its_own_name_where_the_change_is_spoken_of() -> None:
    called = dict.fromkeys(("b1", "b2"), "Birch, stock")
    own = setups(b1={"driver": "1"}, b2={"driver": "2"})
    assert machine_called("b1", "Birch, stock, driver 1", called, own) == "Birch, stock"
    apart = own | {"b2": Setup(key="b2", name="Birch, stock", build="c")}
    assert machine_called("b1", "Birch, stock (b1)", called, apart) == "", "another build is another machine"
    assert machine_called("b1", "Birch, stock", called, own) == ""
