"""Runs by id, by the beginning of an id, and by study."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from tests.store.small_study import NOW, STUDY, run_named

from evenhand.errors import BadRecord, NotFound
from evenhand.records.runs import Run
from evenhand.records.windows import Window
from evenhand.store.history import history_of
from evenhand.store.rows import Saved
from evenhand.store.runs import labelled, run, runs_of, save_run, share_run, studies_of
from evenhand.store.shelves import save
from evenhand.store.workbench import Workbench

FULL = run_named(
    "3fa9c1",
    score=4.05,
    score_row=("render", "3"),
    boot="b2",
    order=4,
    started_at=datetime(2031, 5, 4, 10, tzinfo=UTC),
    duration_s=612.25,
    ambient_c=24.5,
    wall_w=311.0,
    stamps={"driver": "7.1", "os": "Tidewater 4"},
    window=Window(start_s=5.0, end_s=65.0, reason="the door stuck", by="Ada"),
)


@pytest.mark.parametrize(
    "record",
    [
        FULL,
        run_named("bare"),
        replace(FULL, score_row=("Night render", "3")),
        replace(FULL, started_at=datetime(2031, 5, 4, 10)),  # noqa: DTZ001 (a log's own clock)
    ],
    ids=["everything", "bare", "from a table", "no zone"],
)
def test_a_run_comes_back_as_it_went_in(wb: Workbench, record: Run) -> None:
    assert save_run(wb, record, now=NOW) is Saved.NEW
    assert run(wb, record.id) == record
    assert save_run(wb, record, now=NOW) is Saved.SAME


def test_a_changed_run_is_history(wb: Workbench) -> None:
    save_run(wb, FULL, now=NOW)
    assert save_run(wb, replace(FULL, ambient_c=25.0), now=NOW) is Saved.CHANGED
    _, second = history_of(wb, "runs", "3fa9c1")
    assert second.before is not None
    assert (second.before["ambient_c"], second.after["ambient_c"]) == (24.5, 25.0)


def test_runs_of_a_study_come_in_order_of_arrival(wb: Workbench) -> None:
    for name in ("c", "a", "b"):
        save_run(wb, run_named(name), now=NOW)
    save_run(wb, run_named("c", boot="b9"), now=NOW)
    assert [each.id for each in runs_of(wb, "saltmarsh")] == ["c", "a", "b"]
    assert runs_of(wb, "autumn") == ()


def test_a_run_may_be_named_by_the_beginning_of_its_id(wb: Workbench) -> None:
    for name in ("3fa9c1", "3fb000", "91"):
        save_run(wb, run_named(name), now=NOW)
    assert run(wb, "3fa").id == "3fa9c1"
    assert run(wb, "9").id == "91"


def test_an_exact_id_wins_over_longer_ones(wb: Workbench) -> None:
    for name in ("3f", "3fa"):
        save_run(wb, run_named(name), now=NOW)
    assert run(wb, "3f").id == "3f"


def test_an_ambiguous_beginning_lists_the_first_few(wb: Workbench) -> None:
    for name in "abcdefg":
        save_run(wb, run_named(f"3f{name}"), now=NOW)
    with pytest.raises(NotFound, match=r"more than one run begins with '3f': 3fa \(3fa\), .* and more"):
        run(wb, "3f")


def test_runs_may_share_a_label(wb: Workbench) -> None:
    for name in ("c", "a", "b"):
        save_run(wb, run_named(name, label="other" if name == "b" else "evening"), now=NOW)
    assert [each.id for each in labelled(wb, "evening")] == ["c", "a"]
    assert labelled(wb, "Evening") == ()


@pytest.mark.parametrize("name", ["", "%", "_f", "3F", "zz"])
def test_what_no_id_begins_with_is_not_found(wb: Workbench, name: str) -> None:
    save_run(wb, run_named("3fa9c1"), now=NOW)
    with pytest.raises(NotFound, match=f"no run is called '{name}'"):
        run(wb, name)


def test_a_misspelt_id_is_answered_with_the_nearest(wb: Workbench) -> None:
    save_run(wb, run_named("3fa9c1"), now=NOW)
    with pytest.raises(NotFound) as missing:
        run(wb, "3fa9d1")
    assert missing.value.todo == "did you mean '3fa9c1'?"


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("study", "study 'nowhere' is not among the studies on record"),
        ("test", "test 'nowhere' is not among the tests on record"),
        ("setup", "setup 'nowhere' is not among the setups on record"),
        ("log", "log 'nowhere' is not among the originals on record"),
        ("sensor_layout", "sensor_layout 'nowhere' is not among the layouts on record"),
    ],
)
def test_a_run_that_names_something_unknown_is_refused(wb: Workbench, field: str, words: str) -> None:
    with pytest.raises(BadRecord, match=words):
        save_run(wb, run_named("r", **{field: "nowhere"}), now=NOW)
    assert runs_of(wb, "saltmarsh") == ()


def test_an_anchor_run_serves_another_study_without_leaving_its_own(wb: Workbench) -> None:
    save(wb, replace(STUDY, key="autumn"), now=NOW)
    save_run(wb, run_named("anchor"), now=NOW)
    assert save_run(wb, run_named("anchor", study="autumn"), now=NOW) is Saved.CHANGED
    assert save_run(wb, run_named("anchor", study="autumn"), now=NOW) is Saved.SAME
    assert share_run(wb, "anchor", study="autumn", now=NOW) is Saved.SAME
    assert studies_of(wb, "anchor") == ("saltmarsh", "autumn")
    assert run(wb, "anchor").study == "saltmarsh"
    assert [(each.id, each.study) for each in runs_of(wb, "autumn")] == [("anchor", "autumn")]
    assert [(each.id, each.study) for each in runs_of(wb, "saltmarsh")] == [("anchor", "saltmarsh")]
