"""A folder whose tuned parts or trials are otherwise than on record: told as changes, or refused."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW
from tests.desk.tuning.small_chip import TRIAL, tried

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.study.histories import study_history
from evenhand.errors import BadRecord
from evenhand.store import trials as trial_store
from evenhand.store.tuned import tuned_parts
from evenhand.store.workbench import Workbench

Change = Callable[[str], str]


@pytest.fixture
def bench(bench: Workbench) -> Workbench:
    tried(bench, [TRIAL | {"key": "first"}])
    return bench


def brought(wb: Workbench, place: Path, change: Change) -> ImportReport:
    """The study's own folder once more, its file changed."""
    export_study(wb, "quay", place)
    file = place / "study.toml"
    before = file.read_text(encoding="utf-8")
    after = change(before)
    assert after != before
    file.write_text(after, encoding="utf-8")
    return import_folder(wb, place, now=NOW + timedelta(days=1))


def another_study(text: str) -> str:
    return text.replace('key = "quay"', 'key = "pier"', 1)


def test_another_stock_or_step_is_told_and_the_folder_stands(bench: Workbench, tmp_path: Path) -> None:
    report = brought(
        bench, tmp_path / "out",
        lambda text: text.replace("hottest_room_c = 24", "hottest_room_c = 31").replace(
            "stock_voltage_mv = 1050", "stock_voltage_mv = 1060"
        ),
    )  # fmt: skip
    told = [(each.record, each.key, each.field, each.before, each.after) for each in report.changes]
    assert told == [
        ("tuned part", "wren processor", "stock_voltage_mv", 1050.0, 1060.0),
        ("tuned part", "wren processor", "hottest_room_c", 24.0, 31.0),
    ]
    (part,) = tuned_parts(bench, ["wren"])
    assert (part.stock_voltage_mv, part.hottest_room_c) == (1060.0, 31.0)
    history = study_history(bench, "quay").changes
    assert [(each.record, each.field, each.before) for each in history][-2:] == [
        ("tuned part", "stock_voltage_mv", 1050.0), ("tuned part", "hottest_room_c", 24.0),
    ], "what was before stays on record"  # fmt: skip


def test_another_limit_is_told_and_the_lowest_counts(bench: Workbench, tmp_path: Path) -> None:
    report = brought(bench, tmp_path / "out", lambda text: text.replace("most = 1250", "most = 1300"))
    (change,) = report.changes
    assert (change.record, change.field) == ("tuned part", "limits of voltage")
    assert "1,250" in change.before
    assert change.after.endswith("the lowest counts")
    (part,) = tuned_parts(bench, ["wren"])
    assert sorted(limit.most for limit in part.limits) == [1250.0, 1300.0]


def test_the_same_folder_again_tells_nothing(bench: Workbench, tmp_path: Path) -> None:
    export_study(bench, "quay", tmp_path / "out")
    assert import_folder(bench, tmp_path / "out", now=NOW).changes == ()


def test_a_trial_told_otherwise_under_its_key_is_refused_before_anything_is_stored(
    bench: Workbench, tmp_path: Path
) -> None:
    before = trial_store.trials_of(bench, ["wren"])
    with pytest.raises(BadRecord, match="'first' is on record otherwise, as number 1"):
        brought(
            bench, tmp_path / "out",
            lambda text: text.replace('outcome = "passed"', 'outcome = "crash"').replace(
                "hottest_room_c = 24", "hottest_room_c = 31"
            ),
        )  # fmt: skip
    assert trial_store.trials_of(bench, ["wren"]) == before
    assert tuned_parts(bench, ["wren"])[0].hottest_room_c == 24.0


def test_a_tuned_part_that_another_study_is_about_is_not_changed_for_it(
    bench: Workbench, tmp_path: Path
) -> None:
    with pytest.raises(BadRecord, match="the tuned processor of wren differs from what study 'quay' uses"):
        brought(
            bench, tmp_path / "out",
            lambda text: another_study(text).replace("hottest_room_c = 24", "hottest_room_c = 31"),
        )  # fmt: skip
    assert tuned_parts(bench, ["wren"])[0].hottest_room_c == 24.0
