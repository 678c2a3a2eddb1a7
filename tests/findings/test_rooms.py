"""Room, boots and turns of two setups, as the bench left them on record."""

from dataclasses import replace
from datetime import UTC, datetime

from tests.findings.bench import around, cell, machine, run

from evenhand.findings.rooms import ROOM_APART_C, bench_differences, days_caveat, room_of, rooms_caveat
from evenhand.findings.unlikes import Aspect, Mark


def test_a_room_is_the_range_of_its_runs_and_counts_those_that_tell_none():
    room = room_of([run("a", 0, ambient=23.0), run("a", 1, ambient=25.0), run("a", 2, ambient=None)])
    assert (room.low_c, room.high_c, room.mean_c, room.untold) == (23.0, 25.0, 24.0, 1)
    assert room_of([run("a", 0, ambient=None)]) is None


def sides(warmer):
    a = machine("a", "p0", runs=[run("a", i) for i in (0, 3, 4)])
    return a, machine("b", "p1", runs=[run("b", i, ambient=24.0 + warmer) for i in (1, 2, 5)])


def test_rooms_are_alike_up_to_what_two_thermometers_may_differ():
    assert "room" in list(bench_differences(*sides(ROOM_APART_C)))
    told = next(iter(bench_differences(*sides(ROOM_APART_C + 0.1))))
    assert (told.aspect, told.mark, told.a) == (Aspect.ROOM, Mark.ACCIDENT, ("24 to 24 °C",))


def test_setups_without_runs_have_no_bench_to_differ():
    assert list(bench_differences(machine("a", "p0"), sides(0.0)[1])) == []


def test_turns_are_told_by_test_where_tests_differ():
    a = machine(
        "a", "p0", runs=[*(run("a", i) for i in (0, 3)), *(run("a", i, test="mole") for i in (10, 11))]
    )
    b = machine(
        "b", "p1", runs=[*(run("b", i) for i in (1, 2)), *(run("b", i, test="mole") for i in (12, 13))]
    )
    found = list(bench_differences(a, b))
    order = next(u for u in found if not isinstance(u, str) and u.aspect is Aspect.ORDER)
    assert (order.tests, "order" in found) == (("mole",), True)


def test_an_order_that_nobody_wrote_down_could_not_be_read():
    a, b = sides(0.0)
    bare = replace(b, runs=tuple(replace(r, order=None) for r in b.runs))
    order = next(u for u in bench_differences(a, bare) if not isinstance(u, str))
    assert (order.aspect, order.mark) == (Aspect.ORDER, Mark.UNREAD)


def on_days(key, *days):
    at = [
        replace(run(key, i), started_at=datetime(2031, 3, day, 9, i, tzinfo=UTC))
        for i, day in enumerate(days)
    ]
    return machine(key, "p0", runs=at)


def test_a_machine_that_was_run_mostly_on_other_days_is_told_with_them():
    anchor, other = on_days("b", 2, 2, 5, 5, 9, 9), on_days("a", 2, 2)
    days = [u for u in bench_differences(other, anchor) if not isinstance(u, str) and u.aspect is Aspect.DAYS]
    assert [(u.a, u.b, u.mark) for u in days] == [(("1 bench day",), ("3 bench days",), Mark.ACCIDENT)]
    told = days_caveat(other, anchor)
    assert told is not None
    assert told.told().startswith("b was also run on 2 days without a: what changes from day to day is in")


def test_days_in_common_or_none_in_common_are_no_other_days():
    assert days_caveat(on_days("a", 2, 2, 5), on_days("b", 2, 5, 5)) is None
    assert days_caveat(on_days("a", 2, 2, 5), on_days("b", 2, 2)) is None
    assert days_caveat(on_days("a", 2), on_days("b", 5)) is None


def in_room(setup, *rooms):
    made = cell(setup, around(0.0))
    seen = tuple(replace(o, ambient_c=rooms[i % len(rooms)]) for i, o in enumerate(made.observations))
    return replace(made, observations=seen)


def test_sides_from_unlike_rooms_are_told_the_warmer_one_first():
    cool, warm = in_room("a", 22.5, 23.5), in_room("b", 31.0)
    for pair in ([(1.0, cool), (-1.0, warm)], [(1.0, warm), (-1.0, cool)]):
        told = rooms_caveat(pair)
        assert told is not None
        assert (told.setups, told.words) == (
            ("b", "a"),
            "{setups[0]} was run in a room 8 °C warmer than that of {setups[1]}: a warm part may run slower",
        )
    assert rooms_caveat([(1.0, cool), (-1.0, in_room("b", 25.0))]) is None
    assert rooms_caveat([(1.0, cool), (-1.0, in_room("b", None))]) is None


def test_of_a_sum_of_four_cells_only_the_warmth_that_is_left_in_it_counts():
    cool, warm = in_room("a", 22.0), in_room("b", 30.0)
    assert rooms_caveat([(0.5, cool), (0.5, warm), (-0.5, cool), (-0.5, warm)]) is None
    told = rooms_caveat([(0.5, warm), (0.5, warm), (-0.5, cool), (-0.5, warm)])
    assert told is not None
    assert told.words == "rooms were 4 °C apart: a warm part may run slower"
