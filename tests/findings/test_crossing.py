"""Cells measured apart meet over a machine that was run under both, and over nothing else."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.findings.bench import around, cell

from evenhand.findings.bridges import Bridged, Period, bridged
from evenhand.findings.compare import compare_study
from evenhand.findings.crossing import BRIDGED, OWN_BRIDGE, apart, cross
from evenhand.findings.finding import Cell, Comparison, Joint, Outcome, Under
from evenhand.findings.stamps import NOT_BRIDGED, OTHER_CONDITIONS, OTHER_TEST
from evenhand.records.studies import Study

TESTS = ("quay", "mole", "pier")
STUDY = Study(key="s", title="S", setups=("tern", "gull"), tests=TESTS)
OLD, NEW, SHIFT, TRUTH = "driver 1", "driver 2", 0.03, 0.05


def runs(setup: str, mean: float, test: str, *, place: int = 0) -> Cell:
    return cell(setup, around(mean), test=test, place=place)


def joint(test: str, *, machine: str = "wren", turned: bool = False) -> Joint:
    """Wren, shifted by the change; from the old conditions, or back from the new ones."""
    old = runs(machine, 3.0, test, place=20).observations
    new = runs(machine, 3.0 + SHIFT, test, place=20).observations
    here, there = ((NEW, new), (OLD, old)) if turned else ((OLD, old), (NEW, new))
    return Joint(machine=machine, here=here[0], there=there[0], beside=here[1], across=there[1])


def study_cells(*joints: Joint, tests: tuple[str, ...] = TESTS) -> list[Cell]:
    """Tern under the old driver, Gull under the new one, which gives it `SHIFT` for nothing."""
    made = []
    for test in tests:
        back = tuple(replace(j, here=j.there, there=j.here, beside=j.across, across=j.beside) for j in joints)
        old = Under(machine="tern", names=(OLD,), changed=("driver",), joined=joints)
        new = Under(machine="gull", names=(NEW,), changed=("driver",), joined=back)
        made.append(replace(runs("tern", 4.0 + TRUTH, test), under=old))
        made.append(replace(cell("gull", _turned(around(4.0 + SHIFT)), test=test), under=new))
    return made


def _turned(logs: list[float]) -> list[float]:
    """The same logs so that they do not rise and fall with others in their blocks."""
    return [logs[1], logs[0], logs[3], logs[2]]


def compared(*joints: Joint) -> Comparison:
    return compare_study(study_cells(*joints), study=STUDY)


def test_the_shift_is_taken_out_of_every_finding_and_of_the_index() -> None:
    found = compared(joint("quay"))
    assert [math.log(f.ratio or 0) for f in found.findings] == pytest.approx([TRUTH] * 3)
    assert math.log(found.indexes[0].ratio) == pytest.approx(TRUTH)
    assert {f.outcome for f in found.findings} == {Outcome.AHEAD}


def test_who_bridges_is_named_in_finding_index_and_reservation() -> None:
    found = compared(joint("quay"))
    assert {f.bridged_by for f in found.findings} == {("wren",)}
    assert found.indexes[0].bridged_by == ("wren",)
    told = found.findings[0].caveats[0]
    assert (told.key, told.setups) == (BRIDGED, ("tern", "gull", "wren"))
    assert "measured under driver 1 on tern, under driver 2 on gull, bridged by wren" in told.told()


def test_an_index_of_which_a_part_is_bridged_says_which() -> None:
    cells = [replace(c, under=None) if c.test == "pier" else c for c in study_cells(joint("quay"))]
    index = compare_study(cells, study=STUDY).indexes[0]
    (told,) = (c for c in index.caveats if c.key == BRIDGED)
    assert told.told() == "measured apart and bridged by wren: quay, mole"
    assert BRIDGED not in {c.key for c in compared(joint("quay")).indexes[0].caveats}


def test_the_interval_holds_the_error_of_the_bridge() -> None:
    def width(found: Comparison) -> float:
        first = found.findings[0]
        return math.log((first.high or 0) / (first.low or 1))

    same = compare_study([replace(c, under=None) for c in study_cells()], study=STUDY)
    assert width(compared(joint("quay"))) > 1.2 * width(same)
    index, plain = compared(joint("quay")).indexes[0], same.indexes[0]
    assert (index.high or 0) / (index.low or 1) > (plain.high or 0) / (plain.low or 1)


def test_a_finding_is_what_causes_says_of_the_same_bridge() -> None:
    found = compared(joint("quay"))
    old = Period(name=OLD, cells=tuple(c for t in TESTS for c in _period(t, "tern", 4.0 + TRUTH, 3.0)))
    new = Period(
        name=NEW, cells=tuple(c for t in TESTS for c in _period(t, "gull", 4.0 + SHIFT, 3.0 + SHIFT))
    )
    told = bridged(("tern", old), ("gull", new), anchors=["wren"], study=STUDY)
    for finding, cause in zip(found.findings, told, strict=True):
        assert isinstance(cause, Bridged)
        assert (finding.ratio, finding.low, finding.high) == pytest.approx(
            (cause.effect.ratio, cause.effect.low, cause.effect.high)
        )


def _period(test: str, setup: str, mean: float, anchor: float) -> tuple[Cell, Cell]:
    return cell(setup, _turned(around(mean)), test=test), runs("wren", anchor, test, place=20)


def test_turned_round_the_ratio_is_inverted() -> None:
    there = compared(joint("quay")).findings[0]
    study = replace(STUDY, setups=("gull", "tern"))
    back = compare_study(study_cells(joint("quay")), study=study).findings[0]
    assert (there.ratio or 0) * (back.ratio or 0) == pytest.approx(1.0)
    assert (there.low or 0) * (back.high or 0) == pytest.approx(1.0)


def test_a_machine_that_leads_elsewhere_or_nobody_is_no_bridge() -> None:
    for joints in ((), (replace(joint("quay"), there="driver 3"),)):
        found = compared(*joints)
        assert [f.ratio for f in found.findings] == [None] * 3
        assert {f.caveats[0].key for f in found.findings} == {NOT_BRIDGED}
        assert found.indexes == ()


def test_a_machine_that_was_itself_run_under_the_other_conditions_is_held_there() -> None:
    own = Joint(
        machine="tern", here=OLD, there=NEW, beside=runs("tern", 4.0 + TRUTH, "quay").observations,
        across=runs("tern", 4.0 + TRUTH + SHIFT, "quay", place=20).observations,
    )  # fmt: skip
    found = compared(joint("quay"), own).findings[0]
    assert math.log(found.ratio or 0) == pytest.approx(TRUTH)
    assert (found.bridged_by, found.caveats[0].key) == ((), OWN_BRIDGE)


def test_runs_under_conditions_that_the_bridge_does_not_know_are_left_out() -> None:
    (a, b, *_) = study_cells(joint("quay"), tests=("quay",))
    odd = tuple(replace(o, run=f"odd{i}", value=3 * o.value) for i, o in enumerate(a.observations))
    of = (*((o.run, "driver 0") for o in odd), *((o.run, OLD) for o in a.observations))
    assert a.under
    mixed = replace(
        a, observations=(*odd, *a.observations), under=replace(a.under, names=("driver 0", OLD), of=of)
    )
    crossed = cross(mixed, b)
    assert crossed
    assert crossed.a.observations == a.observations


def test_a_version_may_be_bridged_and_a_resolution_never() -> None:
    def saying(name: str) -> Comparison:
        values = {"tern": "1.0", "gull": "1.1"}
        cells = [
            replace(c, says=((name, (values[c.setup],)),), fixes=(name,),
                    under=replace(c.under, changed=(name,)) if c.under else None)
            for c in study_cells(joint("quay"))
        ]  # fmt: skip
        return compare_study(cells, study=STUDY)

    assert None not in [f.ratio for f in saying("version").findings]
    assert {f.caveats[0].key for f in saying("resolution").findings} == {OTHER_TEST}


def test_what_the_bridge_takes_out_is_not_told_as_in_the_difference() -> None:
    values = {"tern": "1", "gull": "2"}
    cells = [replace(c, says=(("driver", (values[c.setup],)),)) for c in study_cells(joint("quay"))]
    found = compare_study(cells, study=STUDY).findings[0]
    assert OTHER_CONDITIONS not in {c.key for c in found.caveats}


def test_a_bridge_of_one_run_calls_nothing() -> None:
    whole = joint("quay")
    found = compared(replace(whole, beside=whole.beside[:1])).findings[0]
    assert found.outcome is Outcome.UNSETTLED
    assert "wren: one run" in " ".join(c.told() for c in found.caveats)


def test_one_machine_is_never_apart_from_itself() -> None:
    a, b, *_ = study_cells(joint("quay"))
    assert apart(a, b)
    assert b.under
    assert not apart(a, replace(b, under=replace(b.under, machine="tern")))
    assert not apart(a, replace(b, under=replace(b.under, names=(OLD, NEW))))
    assert not apart(a, replace(b, under=None))


def test_bridged_indexes_cover_the_truth_where_boots_share_an_error() -> None:
    rng = np.random.default_rng(20311)
    kept = sum(_covers(rng) for _ in range(400))
    assert 0.92 <= kept / 400 <= 0.98


def _covers(rng: np.random.Generator) -> bool:
    """A study of four boots a cell, whose error all tests of a boot share, beside one of each run."""
    shared = {name: rng.normal(0, 0.006, 4) for name in ("tern", "gull", "old", "new")}

    def drawn(setup: str, mean: float, name: str, test: str, place: int) -> Cell:
        return cell(setup, list(mean + shared[name] + rng.normal(0, 0.006, 4)), test=test, place=place)

    cells = []
    for test, at in zip(TESTS, study_cells(joint("quay"))[::2], strict=True):
        old, new = drawn("wren", 3.0, "old", test, 20), drawn("wren", 3.0 + SHIFT, "new", test, 20)
        there = Joint(machine="wren", here=OLD, there=NEW, beside=old.observations, across=new.observations)
        assert at.under
        cells.append(
            replace(drawn("tern", 4.0 + TRUTH, "tern", test, 0), under=replace(at.under, joined=(there,)))
        )
        own = Under(machine="gull", names=(NEW,), changed=("driver",))
        cells.append(replace(drawn("gull", 4.0 + SHIFT, "gull", test, 0), under=own))
    index = compare_study(cells, study=STUDY).indexes[0]
    return (index.low or 0) <= math.exp(TRUTH) <= (index.high or 0)
