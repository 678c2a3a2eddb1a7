"""Old and new results meet only over an anchor that was run under both."""

import math

import pytest
from tests.findings.bench import around, cell

from evenhand.findings.bridges import Bridged, NoBridge, Period, bridged, shifts
from evenhand.findings.finding import Outcome
from evenhand.records.studies import Study

STUDY = Study(key="s", title="S", setups=("wren", "plover"), tests=("quay", "mole"))


def period(name, *, shift=0.0, version="", tests=("quay", "mole"), **logs):
    cells = (
        cell(setup, around(mean + shift), test=test, place=i, version=version)
        for test in tests
        for i, (setup, mean) in enumerate(logs.items())
    )
    return Period(name=name, cells=tuple(cells))


OLD = period("driver 31.4", anchor=4.0, wren=4.10, version="1")
NEW = period("driver 31.6", shift=0.03, anchor=4.0, plover=4.15, version="2")


def test_the_shift_is_what_the_anchor_shows_in_every_test():
    found = shifts("anchor", old=OLD, new=NEW, study=STUDY)
    assert [(s.test, s.old, s.new) for s in found] == [(t, OLD.name, NEW.name) for t in STUDY.tests]
    assert [math.log(s.effect.ratio) for s in found] == pytest.approx([0.03, 0.03])
    assert all(s.effect.outcome is Outcome.AHEAD for s in found)


def test_two_periods_never_took_turns_so_a_shift_is_allowed_for():
    (first, _) = shifts("anchor", old=OLD, new=NEW, study=STUDY)
    assert {"not-interleaved", "allowance"} <= {c.key for c in first.effect.caveats}


def test_a_bridged_comparison_takes_the_shift_out_and_carries_its_error():
    found = bridged(("plover", NEW), ("wren", OLD), anchors=["anchor"], study=STUDY)
    assert [type(f) for f in found] == [Bridged, Bridged]
    effect = found[0].effect
    assert math.log(effect.ratio) == pytest.approx(0.05)
    (shift, _) = shifts("anchor", old=OLD, new=NEW, study=STUDY)
    width = math.log(effect.high / effect.low)
    assert width > math.log(shift.effect.high / shift.effect.low)
    (told,) = (c.told() for c in effect.caveats if c.key == "bridged")
    assert told.startswith(
        "bridged by anchor, run under driver 31.4 and under driver 31.6: taken for granted"
    )
    assert told.endswith("the change moves wren as it moved anchor")


def test_what_a_setup_and_the_anchor_share_of_a_session_cancels():
    found = bridged(("plover", NEW), ("wren", OLD), anchors=["anchor"], study=STUDY)
    assert "allowance" not in {c.key for c in found[0].effect.caveats}


def test_turned_round_the_ratio_is_inverted():
    there = bridged(("plover", NEW), ("wren", OLD), anchors=["anchor"], study=STUDY)
    back = bridged(("wren", OLD), ("plover", NEW), anchors=["anchor"], study=STUDY)
    assert there[0].effect.ratio * back[0].effect.ratio == pytest.approx(1.0)


def test_without_a_bridge_nothing_is_mixed():
    found = bridged(("plover", NEW), ("wren", OLD), anchors=["nobody"], study=STUDY)
    assert [type(f) for f in found] == [NoBridge, NoBridge]
    assert (
        found[0].words == "measured under driver 31.4 and under driver 31.6, and no setup was run under both"
    )


def test_an_anchor_that_was_run_in_one_test_bridges_that_alone():
    old = Period(name="old", cells=(*OLD.cells[:2], OLD.cells[3]))
    assert [type(f) for f in bridged(("plover", NEW), ("wren", old), anchors=["anchor"], study=STUDY)] == [
        Bridged, NoBridge,
    ]  # fmt: skip


def test_a_setup_that_was_run_in_both_periods_is_its_own_bridge():
    new = period("new", shift=0.03, wren=4.10, plover=4.15)
    (first, _) = bridged(("plover", new), ("wren", OLD), anchors=["anchor"], study=STUDY)
    assert (first.anchor, math.log(first.effect.ratio)) == ("wren", pytest.approx(0.05))
    assert first.effect.caveats == ()


def test_an_anchor_measured_under_another_definition_is_no_bridge():
    turned = tuple(cell("anchor", around(4.0), test=t, better="lower") for t in STUDY.tests)
    old = Period(name="old", cells=(*turned, *(c for c in OLD.cells if c.setup == "wren")))
    found = bridged(("plover", NEW), ("wren", old), anchors=["anchor"], study=STUDY)
    assert {type(f) for f in found} == {NoBridge}
