"""Findings for a spreadsheet: every finding a row, and nothing that a spreadsheet would work out."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.comparison.findings_table import HEADER, findings_csv
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.publish.spreadsheets import neutral
from evenhand.store.workbench import Workbench


def table(wb: Workbench, study: str) -> list[dict[str, str]]:
    record = load_study(wb, study)
    return list(csv.DictReader(io.StringIO(findings_csv(record, findings_now(record)))))


def test_every_finding_is_a_row_under_the_names_of_the_json(stocked: Workbench) -> None:
    rows, found = table(stocked, "quay"), findings_now(load_study(stocked, "quay")).findings
    assert tuple(rows[0]) == HEADER
    assert [(row["test"], row["metric"]) for row in rows] == [(f.test, f.metric) for f in found]
    assert [float(row["ratio"]) for row in rows] == [f.ratio for f in found]


@pytest.mark.parametrize("begins", ["=", "+", "-", "@", "\t", "\r"])
def test_a_name_that_a_spreadsheet_would_work_out_gets_an_apostrophe(
    wb: Workbench, tmp_path: Path, begins: str
) -> None:
    folder = small_folder()
    folder.document["tests"][0]["name"] = f"{begins}cmd|' /C calc'!A0"
    if begins in "\t\r":
        assert neutral(f"{begins}x") == f"'{begins}x"
        return
    import_folder(wb, folder.write(tmp_path / "quay"), now=NOW)
    assert table(wb, "quay")[0]["test_name"].startswith(f"'{begins}cmd")


@pytest.mark.parametrize(
    ("cell", "written"), [(-0.5, -0.5), (None, ""), (True, True), ("a-b", "a-b"), (3, 3)]
)
def test_numbers_and_plain_words_stay_as_they_are(cell: object, written: object) -> None:
    assert neutral(cell) == written
