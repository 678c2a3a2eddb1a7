"""A part is named as a cause only where setups on record tell it apart, and then with its interval."""

import math
from dataclasses import replace

import pytest
from tests.findings.bench import around, cell, machine, run

from evenhand.findings.cause import Sort, Standing
from evenhand.findings.causes import Bench, causes
from evenhand.findings.finding import Outcome, Under
from evenhand.findings.refusals import Refusal
from evenhand.findings.squares import SWAP_OTHERWISE
from evenhand.findings.stamps import NOT_BRIDGED
from evenhand.publish.cause_words import Told, cause_name, effect_words
from evenhand.publish.names import Names
from evenhand.records.studies import Study

CORNERS = {"y00": ("p0", "g0"), "y10": ("p1", "g0"), "y01": ("p0", "g1"), "y11": ("p1", "g1")}


def study(*setups, tests=("quay",)):
    return Study(key="s", title="S", setups=setups, tests=tests)


def square(*, processor=0.05, graphics=0.10, both=0.0, leave=(), stamps=None, tests=("quay",), sd=0.001):
    """The corners of a 2×2 swap with these effects in logs."""
    names = [name for name in CORNERS if name not in leave]
    of = {"y00": 4.0, "y10": 4 + processor, "y01": 4 + graphics, "y11": 4 + processor + graphics + both}
    machines = tuple(
        machine(n, *CORNERS[n], "b0", stamps=(stamps or {}).get(n, {"driver": "1"})) for n in names
    )
    cells = tuple(cell(n, around(of[n], sd), test=t, place=i) for t in tests for i, n in enumerate(names))
    return Bench(machines=machines, cells=cells)


def told(a, b, bench, **how):
    return causes(a, b, bench=bench, study=study(a, b, **how))


def by_factors(found):
    return {(c.sort, c.factors): c for c in found}


def test_a_full_swap_shows_both_parts_averaged_over_both_orders_and_their_interaction():
    found = by_factors(told("y11", "y00", square(both=0.02)))
    processor = found[Sort.EFFECT, ("processor",)]
    graphics = found[Sort.EFFECT, ("graphics",)]
    between = found[Sort.INTERACTION, ("processor", "graphics")]
    assert {c.standing for c in found.values()} == {Standing.SHOWN}
    assert math.log(processor.effect.ratio) == pytest.approx(0.05 + 0.01)
    assert math.log(graphics.effect.ratio) == pytest.approx(0.10 + 0.01)
    assert math.log(between.effect.ratio) == pytest.approx(0.02)
    assert processor.effect.outcome is Outcome.AHEAD
    assert processor.weights == pytest.approx({"y00": -0.5, "y10": 0.5, "y01": -0.5, "y11": 0.5})
    assert processor.depends_on == ("graphics",)
    assert processor.direct


def test_effects_that_only_multiply_depend_on_nothing():
    found = by_factors(told("y11", "y00", square(both=0.0)))
    assert found[Sort.EFFECT, ("processor",)].depends_on == ()
    assert found[Sort.INTERACTION, ("processor", "graphics")].effect.outcome is Outcome.LEVEL


def test_turning_the_pair_turns_every_effect_but_not_the_interaction():
    bench = square(both=0.02)
    there, back = by_factors(told("y11", "y00", bench)), by_factors(told("y00", "y11", bench))
    for key, cause in there.items():
        sign = 1 if key[0] is Sort.INTERACTION else -1
        assert math.log(back[key].effect.ratio) == pytest.approx(sign * math.log(cause.effect.ratio))


def test_two_machines_without_a_swap_are_one_bundle_with_their_joint_effect():
    (only,) = told("y11", "y00", square(leave=("y10", "y01")))
    assert (only.standing, only.factors) == (Standing.BUNDLED, ("processor", "graphics"))
    assert math.log(only.effect.ratio) == pytest.approx(0.15)
    assert [c.key for c in only.caveats] == ["bundle"]


def test_three_corners_show_both_parts_but_say_that_one_order_only_was_seen():
    found = by_factors(told("y11", "y00", square(leave=("y01",), both=0.02)))
    assert {key[0] for key in found} == {Sort.EFFECT}
    assert math.log(found[Sort.EFFECT, ("processor",)].effect.ratio) == pytest.approx(0.05)
    assert [c.key for c in found[Sort.EFFECT, ("processor",)].caveats] == ["one-order"]


def test_a_part_swapped_between_whole_machines_meets_the_rest_of_them_as_one():
    parts = {"y00": ("p0", "b0", "g0"), "y10": ("p1", "b1", "g0"), "y01": ("p0", "b0", "g1")}
    parts["y11"] = ("p1", "b1", "g1")
    of = {"y00": 4.0, "y10": 4.02, "y01": 4.1, "y11": 4.15}
    machines = tuple(machine(name, *own) for name, own in parts.items())
    cells = tuple(cell(name, around(of[name]), place=i) for i, name in enumerate(parts))
    found = by_factors(told("y11", "y00", Bench(machines=machines, cells=cells)))
    between = found[Sort.INTERACTION, ("processor", "board", "graphics")]
    assert {change.factor for change in between.against} == {"graphics"}
    assert math.log(between.effect.ratio) == pytest.approx(0.03)
    graphics = found[Sort.EFFECT, ("graphics",)]
    assert math.log(graphics.effect.ratio) == pytest.approx(0.115)
    assert graphics.caveats == ()
    assert graphics.depends_on == ("processor", "board")


def test_all_that_differs_as_one_bundle_is_the_difference_itself_whatever_adds_up_elsewhere():
    bench = square(both=0.08)
    other = machine("z", "p2", "g2", "b2", stamps={"driver": "1"})
    more = Bench(machines=(*bench.machines, other), cells=(*bench.cells, cell("z", around(3.9), place=9)))
    (only,) = told("y11", "z", more)
    assert only.standing is Standing.BUNDLED
    assert only.weights == {"y11": 1.0, "z": -1.0}
    assert math.log(only.effect.ratio) == pytest.approx(4.23 - 3.9)


def test_a_stamp_with_braces_in_its_name_is_told_as_it_is():
    stamps = {"y00": {"bus {gen}": "4"}, "y01": {"bus {gen}": "5"}}
    (only,) = told("y01", "y00", square(leave=("y10", "y11"), stamps=stamps))
    assert only.caveats[0].told().startswith("graphics and bus {gen} changed together")


def test_a_swap_recorded_with_another_driver_is_no_cause():
    stamps = {"y01": {"driver": "2"}}
    (only,) = told("y01", "y00", square(leave=("y10", "y11"), stamps=stamps))
    assert (only.standing, only.factors) == (Standing.BUNDLED, ("graphics", "driver"))
    assert only.caveats[0].key == "other-conditions"
    assert "recorded under another driver" in only.caveats[0].told()


def test_of_several_accidents_only_those_in_which_the_two_differ_are_told():
    stamps = {
        "y00": {"driver": "1", "power plan": "even"},
        "y11": {"driver": "1"},
        "y01": {"driver": "2", "power plan": "full"},
        "y10": {"driver": "3", "power plan": "odd"},
    }
    (only,) = told("y11", "y00", square(stamps=stamps))
    assert only.factors == ("processor", "graphics", "power plan")
    assert [(c.low, c.high) for c in only.changes][-1] == ("even", "not on record")
    assert only.caveats[0].told() == (
        "processor and graphics changed together, whether power plan did is not on record: recorded under "
        "another power plan, a swap shows no cause; not on record for y11"
    )


def test_accidents_that_differ_together_are_told_one_by_one():
    stamps = {"y01": {"driver": "2", "os": "b"}, "y00": {"driver": "1", "os": "a"}}
    (only,) = told("y01", "y00", square(leave=("y10", "y11"), stamps=stamps))
    assert only.factors == ("graphics", "driver", "os")
    assert only.caveats[0].told() == (
        "graphics, driver and os changed together: recorded under another driver or os, a swap shows no cause"
    )


def test_a_swap_under_another_driver_is_named_beside_the_bundle_that_it_would_split():
    stamps = {"y01": {"driver": "2"}}
    (only,) = told("y11", "y00", square(leave=("y10",), stamps=stamps))
    assert (only.standing, only.factors) == (Standing.BUNDLED, ("processor", "graphics"))
    (caveat,) = (c for c in only.caveats if c.key == SWAP_OTHERWISE)
    said = (
        "y01 would tell processor from graphics, but was run under driver 2: recorded under another driver, "
    )
    assert caveat.told() == f"{said}a swap shows no cause"


def test_an_anchor_under_another_driver_is_no_swap_that_is_lost():
    bench = square(leave=("y10", "y01"), stamps={"y11": {"driver": "2"}})
    anchors = tuple(machine(f"x{i}", "p9", "g9", "b0", stamps={"driver": i}) for i in ("1", "2"))
    cells = tuple(cell(each.key, around(3.9), place=7 + i) for i, each in enumerate(anchors))
    found = told("y11", "y00", Bench(machines=(*bench.machines, *anchors), cells=(*bench.cells, *cells)))
    assert (Sort.EFFECT, ("processor", "graphics")) in by_factors(found)
    assert SWAP_OTHERWISE not in {c.key for cause in found for c in cause.caveats}


def test_so_is_one_whose_driver_is_not_on_record_and_none_that_tells_nothing_more():
    (only,) = told("y11", "y00", square(leave=("y10",), stamps={"y01": {}}))
    (caveat,) = (c for c in only.caveats if c.key == SWAP_OTHERWISE)
    assert "but its driver is not on record" in caveat.told()
    (bare,) = told("y11", "y00", square(leave=("y10", "y01")))
    assert SWAP_OTHERWISE not in {c.key for c in bare.caveats}
    alike = {"y01": {"driver": "2"}}
    found = told("y01", "y00", square(leave=("y10", "y11"), stamps=alike))
    assert SWAP_OTHERWISE not in {c.key for cause in found for c in cause.caveats}


def test_a_driver_that_nobody_wrote_down_is_named_with_its_setup():
    (only,) = told("y01", "y00", square(leave=("y10", "y11"), stamps={"y01": {}}))
    assert only.standing is Standing.BUNDLED
    assert only.caveats[0].told().endswith("not on record for y01")


def test_one_corner_on_another_driver_leaves_main_effects_and_no_interaction():
    found = by_factors(told("y10", "y01", square(stamps={"y11": {"driver": "2"}}, both=0.3)))
    assert set(found) == {(Sort.EFFECT, ("processor",)), (Sort.EFFECT, ("graphics",))}
    assert math.log(found[Sort.EFFECT, ("processor",)].effect.ratio) == pytest.approx(0.05)


def test_a_driver_that_the_swaps_tell_apart_is_not_the_question():
    stamps = {"y01": {"driver": "2"}, "y11": {"driver": "2"}}
    bench = square(stamps=stamps)
    more = machine("z", "p0", "g0", "b0", stamps={"driver": "2"})
    bench = Bench(machines=(*bench.machines, more), cells=(*bench.cells, cell("z", around(4.03), place=9)))
    found = by_factors(told("y11", "y00", bench))
    assert found[Sort.EFFECT, ("driver",)].standing is Standing.BESIDE
    assert math.log(found[Sort.EFFECT, ("driver",)].effect.ratio) == pytest.approx(0.03)
    assert math.log(found[Sort.EFFECT, ("graphics",)].effect.ratio) == pytest.approx(0.07)


def test_causes_are_known_test_by_test():
    bench = square(tests=("quay", "mole"))
    cells = tuple(c for c in bench.cells if c.test == "quay" or c.setup in ("y00", "y11"))
    found = told("y11", "y00", Bench(machines=bench.machines, cells=cells), tests=("quay", "mole", "never"))
    standing = {}
    for cause in found:
        standing.setdefault(cause.test, set()).add(cause.standing)
    assert standing == {
        "quay": {Standing.SHOWN}, "mole": {Standing.BUNDLED}, "never": {Standing.NOT_MEASURED},
    }  # fmt: skip


def test_a_refused_test_says_why_and_nothing_else():
    refusal = Refusal(key="stamp", test="quay", setups=("y11", "y00"), words="two {versions}", todo="")
    bench = square()
    (only,) = told("y11", "y00", Bench(machines=bench.machines, cells=bench.cells, refused=(refusal,)))
    assert (only.standing, only.effect) == (Standing.REFUSED, None)
    assert only.caveats[0].told() == "two {versions}"


def test_two_that_ran_alike_keep_their_causes_where_a_third_ran_another_version():
    bench = square()
    apart = tuple(
        Refusal(key="stamp", test="quay", setups=("y10", other), words="two", todo="")
        for other in ("y11", "y00", "y01")
    )
    refused = Bench(machines=bench.machines, cells=bench.cells, refused=apart)
    without = Bench(
        machines=tuple(m for m in bench.machines if m.key != "y10"),
        cells=tuple(c for c in bench.cells if c.setup != "y10"),
    )
    assert told("y11", "y01", refused) == told("y11", "y01", without)
    assert [cause.standing for cause in told("y11", "y10", refused)] == [Standing.REFUSED]


def test_less_is_better_turns_the_ratio():
    machines = (machine("a", "p1", "b0"), machine("b", "p0", "b0"))
    cells = tuple(
        cell(s, around(v), better="lower", place=i) for i, (s, v) in enumerate([("a", 1.0), ("b", 1.1)])
    )
    (only,) = told("a", "b", Bench(machines=machines, cells=cells))
    assert only.effect.outcome is Outcome.AHEAD
    assert math.log(only.effect.ratio) == pytest.approx(0.1)


def test_a_single_run_shows_an_effect_but_settles_nothing():
    bench = square(leave=("y10", "y11"))
    cells = (bench.cells[0], cell("y01", [4.1], place=1))
    (only,) = told("y01", "y00", Bench(machines=bench.machines, cells=cells))
    assert (only.effect.outcome, only.effect.p) == (Outcome.UNSETTLED, None)


def test_holm_counts_everything_that_is_asked():
    few = by_factors(told("y10", "y00", square(leave=("y01", "y11"), processor=0.004, sd=0.002)))
    bench = square(processor=0.004, sd=0.002)
    many = by_factors(told("y11", "y00", bench))
    key = Sort.EFFECT, ("processor",)
    assert few[key].effect.p_holm == few[key].effect.p
    assert many[key].effect.p_holm > many[key].effect.p


def test_identical_setups_have_no_cause():
    machines = (machine("a", "p0"), machine("b", "p0"))
    cells = (cell("a", around(1.0)), cell("b", around(1.01), place=1))
    assert told("a", "b", Bench(machines=machines, cells=cells)) == ()


def test_a_part_that_nobody_wrote_down_is_no_cause():
    machines = (machine("a", "p0", "g1"), machine("b", "p0"), machine("c", "p0", "g0", "hidden"))
    cells = tuple(cell(name, around(1.0 + i / 10), place=i) for i, name in enumerate("abc"))
    bench = Bench(machines=machines, cells=cells)
    (only,) = told("a", "b", bench)
    assert (only.standing, only.factors) == (Standing.UNREAD, ("graphics",))
    assert only.caveats[0].told() == "b: no graphics on record"
    (other,) = told("a", "c", bench)
    assert (other.standing, other.factors) == (Standing.BUNDLED, ("graphics", "parts that nobody described"))


def test_two_that_differ_in_one_part_differ_by_what_the_comparison_says_and_its_dependence_is_told():
    found = by_factors(told("y10", "y00", square(both=0.02)))
    processor = found[Sort.EFFECT, ("processor",)]
    assert math.log(processor.effect.ratio) == pytest.approx(0.05)  # beside g0, which both have
    assert processor.weights == pytest.approx({"y10": 1.0, "y00": -1.0})
    between = found[Sort.INTERACTION, ("processor", "graphics")]
    assert math.log(between.effect.ratio) == pytest.approx(-0.02)  # less beside g0 than beside g1
    assert processor.depends_on == ("graphics",)


def test_a_dependence_is_told_of_what_the_first_has_from_whichever_pair_one_looks():
    whole = by_factors(told("y11", "y00", square(both=0.02)))[Sort.INTERACTION, ("processor", "graphics")]
    one = by_factors(told("y11", "y01", square(both=0.02)))[Sort.INTERACTION, ("processor", "graphics")]
    other = by_factors(told("y11", "y10", square(both=0.02)))[Sort.INTERACTION, ("graphics", "processor")]
    assert [math.log(c.effect.ratio) for c in (whole, one, other)] == pytest.approx([0.02] * 3)


def unbridged(bench, *, joined=()):
    """The same bench, y01 run under a driver of its own."""
    drivers = {name: ("driver 2" if name == "y01" else "driver 1") for name in CORNERS}
    cells = tuple(
        replace(
            c, under=Under(machine=c.setup, names=(drivers[c.setup],), changed=("driver",), joined=joined)
        )
        for c in bench.cells
    )
    return replace(bench, cells=cells)


def test_what_changed_with_a_driver_that_nothing_bridges_has_no_number():
    bench = unbridged(square(leave=("y10", "y11"), stamps={"y01": {"driver": "2"}}))
    (only,) = told("y01", "y00", bench)
    assert (only.standing, only.factors, only.effect) == (Standing.BUNDLED, ("graphics", "driver"), None)
    assert only.caveats[-1].key == NOT_BRIDGED
    words = effect_words(only, Told(names=Names(setups={}, tests={}), parts={}))
    assert (words.state, words.interval) == ("No ratio", "measured apart, and nothing bridges it")


def test_parts_that_swaps_under_one_driver_tell_apart_keep_their_number():
    bench = unbridged(square(leave=("y11",), stamps={"y01": {"driver": "2"}}))
    found = by_factors(told("y10", "y01", bench))
    assert found[Sort.EFFECT, ("processor",)].effect is not None
    assert found[Sort.EFFECT, ("graphics", "driver")].effect is None


def test_a_version_that_is_bridged_is_a_factor_of_its_own():
    stamps = {
        "y01": {"version": "2"},
        "y11": {"version": "2"},
        "y00": {"version": "1"},
        "y10": {"version": "1"},
    }
    bench = square(stamps=stamps)
    ran = tuple(replace(m, runs=(run(m.key, 0),)) for m in bench.machines)
    found = by_factors(told("y10", "y00", replace(bench, machines=ran)))
    assert (Sort.EFFECT, ("processor",)) in found
    found = by_factors(told("y01", "y00", replace(bench, machines=ran)))
    assert {factors for sort, factors in found if sort is Sort.EFFECT} == {("graphics", "version")}


@pytest.mark.parametrize(
    ("mine", "theirs", "caveat", "name"),
    [
        (
            ("p1", "g1"),
            ("p0",),
            "processor changed, whether graphics did is not on record",
            "processor, perhaps with graphics",
        ),
        (
            ("p1", "g1", "b1"),
            ("p0",),
            "processor changed, whether graphics or board did is not on record",
            "processor, perhaps with graphics or board",
        ),
        (
            ("p1", "g1"),
            ("p0", "g0"),
            "processor and graphics changed together",
            "processor and graphics together",
        ),
    ],
)
def test_what_is_not_on_record_only_may_have_changed(mine, theirs, caveat, name):
    machines = (machine("a", *mine), machine("b", *theirs))
    cells = (cell("a", around(4.1)), cell("b", around(4.0), place=1))
    (only,) = told("a", "b", Bench(machines=machines, cells=cells))
    assert only.caveats[0].told() == f"{caveat}: no setup on record tells them apart"
    assert cause_name(only) == name
