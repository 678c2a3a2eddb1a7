"""Setups as rows of a design: parts, state, named stamps, and accidents as one factor of their own."""

from tests.findings.bench import machine, run

from evenhand.findings.factors import NOT_ON_RECORD, factors_of


def test_only_what_differs_is_a_factor():
    found = factors_of([machine("a", "p0", "b0"), machine("b", "p1", "b0")])
    assert (found.design.factors, found.design.rows) == (("processor",), (("p0",), ("p1",)))
    assert found.kinds == {"processor"}


def test_accidents_that_differ_are_one_factor_together():
    stamps = [{"driver": "1", "os": "x"}, {"driver": "2", "os": "y"}, {"driver": "1", "os": "y"}]
    found = factors_of([machine(f"s{i}", "p0", stamps=s) for i, s in enumerate(stamps)])
    assert found.design.factors == ("driver and os",)
    assert found.accidents == {"driver and os"}
    assert len(set(found.design.rows)) == 3


def test_accidents_are_told_apart_whatever_commas_stand_in_them():
    stamps = [{"driver": "1, 2", "os": "3"}, {"driver": "1", "os": "2, 3"}]
    found = factors_of([machine(f"s{i}", "p0", stamps=s) for i, s in enumerate(stamps)])
    assert len(set(found.design.rows)) == 2
    assert [found.by_itself(found.levels(setup)) for setup in found.setups] == stamps


def test_a_stamp_that_goes_by_the_name_of_a_kind_of_part_takes_no_part_away():
    """Both differ: the kit of the second, and how fast the third was set."""
    stamps = ("6,000 MT/s", "6,000 MT/s", "6,400 MT/s")
    found = factors_of([
        machine(f"s{i}", kit, stamps={"memory": said})
        for i, (kit, said) in enumerate(zip(("m0", "m1", "m0"), stamps, strict=True))
    ])  # fmt: skip
    assert found.design.factors == ("memory", "memory setting")
    assert (found.kinds, found.accidents) == ({"memory"}, {"memory setting"})
    assert found.levels("s1") == {"memory": "m1", "memory setting": "6,000 MT/s"}


def test_a_named_stamp_is_a_factor_by_itself():
    machines = [machine(f"s{i}", "p0", stamps={"driver": str(i), "os": "x"}) for i in range(2)]
    found = factors_of(machines, named=frozenset({"driver"}))
    assert (found.design.factors, found.accidents) == (("driver",), frozenset())


def test_what_is_not_on_record_is_never_taken_to_be_that_of_the_others():
    found = factors_of([machine("a", "p0", stamps={"driver": "1"}), machine("b", "p0")])
    assert found.design.rows == (("1",), (NOT_ON_RECORD,))
    assert found.unread == {"driver": ("b",)}


def test_firmware_and_clocks_that_come_with_parts_and_state_are_no_factors():
    a = machine("a", "b0", "p0", stamps={"firmware": "F1", "processor clock": "4.7 GHz"})
    b = machine("b", "b1", "p1", stamps={"firmware": "K1", "processor clock": "4.5 GHz"})
    assert factors_of([a, b]).design.factors == ("board", "processor")
    c = machine("c", "b1", "p1", stamps={"firmware": "K2", "processor clock": "4.5 GHz"})
    assert factors_of([a, b, c]).design.factors == ("board", "processor", "firmware")


def test_the_runs_of_a_test_say_under_what_it_was_recorded():
    a = machine("a", "p0", runs=[run("a", 0, stamps={"driver": "1"})])
    runs = [run("b", 0, stamps={"driver": "1"}), run("b", 1, test="mole", stamps={"driver": "2"})]
    b = machine("b", "p1", runs=runs)
    assert factors_of([a, b], test="quay").accidents == frozenset()


def test_setups_in_which_nothing_differs_have_no_factor():
    found = factors_of([machine("a", "p0"), machine("b", "p0")])
    assert (found.design.factors, found.design.rows) == ((), ((), ()))
