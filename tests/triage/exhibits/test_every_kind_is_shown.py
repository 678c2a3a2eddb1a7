"""Every kind that triage can find has something to look at, judged on the very cell it was found in."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import replace

import numpy as np
import pytest
from tests.triage import cells as c
from tests.triage.one_of_each import CASES, shown

from evenhand.records.faults import Fault, Severity
from evenhand.triage import kinds
from evenhand.triage.exhibits.by_kind import EXHIBITS, as_judged, exhibit
from evenhand.triage.exhibits.forms import Readings
from evenhand.triage.families import FAMILIES
from evenhand.triage.triage import triage_cell
from evenhand.triage.view import look

every = pytest.mark.parametrize("name", CASES)


def kinds_of_the_modules() -> set[str]:
    """The kinds that the modules of triage name as their own."""
    modules = [
        importlib.import_module(f"{kinds.__name__}.{m.name}") for m in pkgutil.iter_modules(kinds.__path__)
    ]
    return {getattr(m, name) for m in modules for name in ("KIND", "MIXED", "OTHER") if hasattr(m, name)}


def test_every_kind_of_every_family_has_an_exhibit() -> None:
    assert {kind for family in FAMILIES for kind in family.kinds} == set(EXHIBITS)


def test_every_kind_that_a_module_names_has_an_exhibit() -> None:
    assert kinds_of_the_modules() <= set(EXHIBITS)


def test_every_kind_is_planted_here_and_found() -> None:
    assert {case.kind for case in CASES.values()} == set(EXHIBITS)


@every
def test_more_than_the_trace_is_shown(name: str) -> None:
    found = shown(name).exhibit
    assert found.below is not None or (found.trace is not None and found.trace.density is not None)


@every
def test_every_place_lies_on_the_trace_and_in_the_readings(name: str) -> None:
    told = shown(name)
    trace, below = told.exhibit.trace, told.exhibit.below
    assert trace is not None or not told.fault.places
    if trace is not None and CASES[name].kind != "wrong-units":
        assert trace.frame_times_ms.sum() / 1000 >= max((p.from_s for p in told.fault.places), default=0)
    if isinstance(below, Readings):
        assert below.own.times_s[0] <= min((p.from_s for p in told.fault.places), default=np.inf)
        assert below.own.times_s[-1] >= max((p.from_s for p in told.fault.places), default=-np.inf)


@every
def test_whoever_it_was_judged_against_is_beside_it(name: str) -> None:
    told = shown(name)
    others = {r.id for r in told.runs} - {"1"}
    named = set(told.fault.siblings) & others or others
    if told.exhibit.trace is not None and CASES[name].kind not in ("throttling",):
        assert len(told.exhibit.trace.siblings) == len(named)


def test_a_fault_is_shown_on_the_cell_as_it_stood_when_it_was_found() -> None:
    runs = c.with_first(c.cell(), c.run("1", c.take(101)[200:]))
    before = as_judged(runs, c.ALONE, of=("1", "twin"))
    assert not before.has("1", "twin")
    after = as_judged(runs, c.ALONE, of=("1", "no such kind"))
    assert after.has("1", "twin")
    assert after.found == triage_cell(runs, c.ALONE)


def test_a_kind_of_no_family_is_shown_by_its_trace() -> None:
    view = look(c.cell(), c.ALONE, as_judged([], c.ALONE, of=("", "")).limits)
    plain = Fault(kind="no-headline-number", title="", severity=Severity.BLOCKS, evidence="", todo="")
    found = exhibit(view, "1", plain)
    assert found is not None
    assert found.trace is not None
    assert found.below is None
    assert exhibit(view, "no such run", plain) is None


def test_a_run_without_frames_and_without_more_leaves_nothing_to_see() -> None:
    view = as_judged(c.scores(10, 10, 10), c.ALONE, of=("", ""))
    plain = Fault(kind="no-headline-number", title="", severity=Severity.BLOCKS, evidence="", todo="")
    assert exhibit(view, "1", plain) is None


@every
def test_a_fault_that_an_older_program_told_with_fewer_numbers_is_shown_all_the_same(name: str) -> None:
    told = shown(name)
    view = as_judged(told.runs, told.company, of=("1", told.fault.kind))
    bare = replace(told.fault, numbers={}, siblings=())
    exhibit(view, "1", bare)


@pytest.mark.parametrize("kind", EXHIBITS)
@pytest.mark.parametrize("frames", [0, 1, 2, 10])
def test_a_run_of_hardly_any_frames_is_no_reason_to_crash(kind: str, frames: int) -> None:
    runs = (c.run("1", np.full(frames, 10.0)), *c.cell()[1:3])
    fault = Fault(
        kind=kind, title="Odd", severity=Severity.NOTE, evidence="It is odd.", todo="",
        numbers={"rate_fps": 100.0, "declared_fps": 60.0, "average_fps": 100.0, "period_ms": 10.0,
            "share_at_1": 1.0, "limit_ln": 0.1, "lag_frames": 3.0},
    )  # fmt: skip
    exhibit(as_judged(runs, c.ALONE, of=("", "")), "1", fault)
