"""What differs between two setups, and what that difference is to the question."""

import math

import pytest
from tests.findings.bench import machine, run

from evenhand.findings.factors import factors_of
from evenhand.findings.fairness import NO_PARTS, NOTHING_DIFFERS, SAME_SETUP, fairness
from evenhand.findings.unlikes import Aspect, Mark


def marks(found):
    return {unlike.name: unlike.mark for unlike in found.unlikes}


def test_parts_that_differ_are_the_question_and_parts_alike_are_named():
    found = fairness(machine("wren", "p0", "b0", "g0"), machine("plover", "p1", "b0", "g1"))
    assert marks(found) == {"processor": Mark.QUESTION, "graphics": Mark.QUESTION}
    assert found.alike == ("board", "state")


@pytest.mark.parametrize("name", ["driver", "os", "firmware", "power plan"])
def test_a_stamp_is_an_accident_where_parts_differ_too(name):
    a, b = machine("a", "g0", stamps={name: "1"}), machine("b", "g1", stamps={name: "2"})
    assert marks(fairness(a, b))[name] is Mark.ACCIDENT


def test_firmware_comes_with_another_board_but_not_with_the_same():
    a, b = machine("a", "b0", stamps={"firmware": "F1"}), machine("b", "b1", stamps={"firmware": "K7"})
    assert marks(fairness(a, b))["firmware"] is Mark.QUESTION
    b = machine("b", "b0", "g1", stamps={"firmware": "F2"})
    assert marks(fairness(a, b))["firmware"] is Mark.ACCIDENT


def test_a_state_is_the_question_where_the_parts_are_the_same():
    a, b = machine("a", "p0", state="mild tune", build="x"), machine("b", "p0", build="x")
    assert marks(fairness(a, b)) == {"state": Mark.QUESTION}
    assert marks(fairness(a, machine("b", "p1")))["state"] is Mark.ACCIDENT


def test_clocks_come_with_state_or_parts_and_are_an_accident_without():
    fast, slow = {"processor clock": "4.7 GHz"}, {"processor clock": "4500 MHz"}
    tuned = fairness(machine("a", "p0", state="mild tune", stamps=fast), machine("b", "p0", stamps=slow))
    clock = next(u for u in tuned.unlikes if u.name == "processor clock")
    assert (clock.mark, clock.log_ratio) == (Mark.QUESTION, pytest.approx(math.log(4.7 / 4.5)))
    unsaid = fairness(machine("a", "p0", stamps=fast), machine("b", "p0", stamps=slow))
    assert marks(unsaid) == {"processor clock": Mark.ACCIDENT}


@pytest.mark.parametrize("name", ["processor clock", "processor voltage", "processor power", "power limit"])
def test_a_clock_of_a_part_that_is_the_same_does_not_come_with_another_one(name):
    unit = {"clock": "GHz", "voltage": "V"}.get(name.split()[1], "W")
    a, b = (machine(k, "p0", g, stamps={name: f"{n} {unit}"}) for k, g, n in (("a", "g0", 4), ("b", "g1", 5)))
    assert marks(fairness(a, b)) == {"graphics": Mark.QUESTION, name: Mark.ACCIDENT}
    assert set(factors_of([a, b]).design.factors) == {"graphics", name}
    own = fairness(machine("a", "p0", stamps={name: "4 W"}), machine("b", "p1", stamps={name: "5 W"}))
    assert marks(own)[name] is (Mark.ACCIDENT if name == "power limit" else Mark.QUESTION)


def test_one_clock_in_two_units_is_alike():
    a = machine("a", "p0", stamps={"processor clock": "4.7 GHz"})
    assert "processor clock" in fairness(a, machine("b", "p1", stamps={"processor_clock": "4700 MHz"})).alike


def test_a_stamp_that_one_side_lacks_could_not_be_read():
    found = fairness(machine("a", "p0", stamps={"driver": "31.4"}), machine("b", "p1"))
    driver = next(u for u in found.unlikes if u.name == "driver")
    assert (driver.mark, driver.lacking, driver.b) == (Mark.UNREAD, ("b",), ())


def test_a_part_and_a_stamp_of_the_same_name_are_told_apart():
    a, b = (machine(x, kit, stamps={"memory": said}) for x, kit, said in (("a", "m0", "1"), ("b", "m1", "2")))
    unlikes = fairness(a, b).unlikes
    assert [(u.name, u.a, u.b) for u in unlikes] == [
        ("memory", ("m0",), ("m1",)), ("memory setting", ("1",), ("2",))
    ]  # fmt: skip


def test_runs_speak_before_their_setup_and_may_disagree():
    a = machine(
        "a", "p0", stamps={"driver": "31.4"}, runs=[run("a", i, stamps={"driver": "31.6"}) for i in (0, 2)]
    )
    b = machine("b", "p1", stamps={"driver": "31.6"})
    assert "driver" in fairness(a, b).alike
    mixed = machine("a", "p0", runs=[run("a", i, stamps={"driver": f"31.{i}"}) for i in (4, 6)])
    driver = next(u for u in fairness(mixed, b).unlikes if u.name == "driver")
    assert (driver.mark, driver.lacking) == (Mark.UNREAD, ("a",))


def test_version_and_resolution_are_left_to_the_test():
    a = machine("a", "p0", runs=[run("a", 0, stamps={"resolution": "1920 × 1080", "version": "1"})])
    b = machine("b", "p1", runs=[run("b", 1, stamps={"resolution": "2560 × 1440", "version": "2"})])
    assert not {"resolution", "version"} & set(marks(fairness(a, b)))


def both(**how):
    a = machine("a", "p0", runs=[run("a", i) for i in (0, 3, 4)])
    return a, machine("b", "p1", runs=[run("b", i, **how) for i in (1, 2, 5)])


def test_rooms_boots_and_turns_are_alike_where_they_were_kept():
    assert {"room", "boots", "order"} <= set(fairness(*both()).alike)


def test_a_warmer_room_a_single_boot_and_a_late_side_are_accidents():
    a, _ = both()
    b = machine("b", "p1", runs=[run("b", i, boot="one", ambient=29.0) for i in (11, 12, 13)])
    found = {u.aspect: u for u in fairness(a, b).unlikes if u.aspect is not Aspect.PART}
    assert {aspect: u.mark for aspect, u in found.items()} == dict.fromkeys(
        (Aspect.ROOM, Aspect.BOOTS, Aspect.ORDER), Mark.ACCIDENT
    )
    assert found[Aspect.BOOTS].lacking == ("b",)


def test_a_room_that_nobody_wrote_down_could_not_be_read():
    found = fairness(*both(ambient=None))
    room = next(u for u in found.unlikes if u.aspect is Aspect.ROOM)
    assert (room.mark, room.lacking) == (Mark.UNREAD, ("b",))


def test_unknown_parts_are_told_by_setup():
    found = fairness(machine("a", "p0", "{odd}"), machine("b"))
    assert [c.told() for c in found.caveats] == [
        "a: parts that nobody described: {odd}",
        "b: no parts on record, so that no part can be named as a cause",
    ]
    assert marks(found)["processor"] is Mark.UNREAD


def test_two_setups_in_which_nothing_differs_and_one_against_itself_are_told():
    a, b = machine("a", "p0"), machine("b", "p0")
    assert [c.key for c in fairness(a, b).caveats] == [NOTHING_DIFFERS]
    assert [c.key for c in fairness(a, a).caveats] == [SAME_SETUP]


def test_two_builds_of_which_one_lists_no_parts_are_not_called_one_machine_twice():
    a, b = machine("a", "p0"), machine("b")
    assert NOTHING_DIFFERS not in [c.key for c in fairness(a, b).caveats]
    assert [c.key for c in fairness(machine("a"), machine("b")).caveats] == [NO_PARTS, NO_PARTS]


@pytest.mark.parametrize("stamps", [({"driver": "1"}, {"driver": "2"}), ({}, {"driver": "2"}), ({}, {})])
def test_whoever_comes_first_the_same_things_differ(stamps):
    a, b = machine("a", "p0", "g0", stamps=stamps[0]), machine("b", "p1", "g0", stamps=stamps[1])
    there, back = fairness(a, b), fairness(b, a)
    assert marks(there) == marks(back)
    assert [(u.a, u.b) for u in there.unlikes] == [(u.b, u.a) for u in back.unlikes]
