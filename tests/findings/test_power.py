"""Watts and joules a frame: ratios like any other, fewer is better, and silence where nobody read."""

from dataclasses import replace

import pytest
from tests.findings.bench import cell

from evenhand.findings.finding import Outcome
from evenhand.findings.power import power_findings
from evenhand.records.studies import Study

STUDY = Study(key="s", title="S", setups=("wren", "plover"), tests=("quay", "weir"))


def watts(setup, logs, *, test="quay", metric="wall_w"):

    found = cell(setup, logs, test=test, place=0 if setup == "wren" else 1, better="lower", headline=False)
    return replace(found, metric=metric)


CALM = [5.0, 5.004, 4.996, 5.002]
MORE = [5.2, 5.204, 5.196, 5.202]


def test_who_draws_less_is_ahead():
    (found,) = power_findings([watts("wren", CALM), watts("plover", MORE)], study=STUDY).findings
    assert (found.outcome, found.metric) == (Outcome.AHEAD, "wall_w")
    assert found.ratio == pytest.approx(2.718281828**0.2)


def test_joules_a_frame_stand_beside_the_watts():
    cells = [
        watts(s, logs, metric=m)
        for s, logs in (("wren", CALM), ("plover", MORE))
        for m in ("wall_w", "joules_per_frame")
    ]
    assert {f.metric for f in power_findings(cells, study=STUDY).findings} == {"wall_w", "joules_per_frame"}


def test_a_side_that_nobody_read_is_told_and_not_compared():
    cells = [
        watts("wren", CALM),
        watts("plover", []),
        watts("wren", CALM, test="weir"),
        watts("plover", MORE, test="weir"),
    ]
    found = power_findings(cells, study=STUDY)
    assert [f.test for f in found.findings] == ["weir"]
    (unread,) = found.unread
    assert (unread.test, unread.why.told()) == (
        "quay",
        "plover: no run that counts has watts at the wall on record",
    )


def test_numbers_of_speed_take_no_part():
    speed = cell("wren", CALM), cell("plover", MORE, place=1)
    assert power_findings(speed, study=STUDY).findings == ()
