"""Whether a study that was exported and imported into a fresh workbench is the same study."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from tests.desk.small_folder import LATER, NOW, digest

from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.study.photos import shown
from evenhand.records.builds import Part
from evenhand.records.layouts import Layout
from evenhand.store import decisions, originals, photos, prices, shelves, sound
from evenhand.store.workbench import Workbench, open_workbench


def content(wb: Workbench, study: str) -> Mapping[str, Any]:
    """Everything a workbench holds of a study, as far as it is the reviewer's and not the file's."""
    record = load_study(wb, study)
    digests = {mark for each in record.runs for mark in (each.run.log, each.run.sensors) if mark}
    parts = [shelves.one(wb, Part, key) for build in record.builds.values() for key in build.parts]
    layouts = {each.run.log_layout for each in record.runs if each.run.log_layout}
    return {
        "study": record.study,
        "parts": parts,
        "builds": record.builds,
        "setups": record.setups,
        "tests": record.tests,
        "layouts": {mark: shelves.one(wb, Layout, mark).columns for mark in layouts},
        "runs": [each.run for each in record.runs],
        "states": {each.run.id: each.state for each in record.runs},
        "metrics": {each.run.id: each.metrics for each in record.runs},
        "faults": {each.run.id: each.faults for each in record.runs},
        "decisions": {e.run.id: decisions.decisions_of_run(wb, e.run.id) for e in record.runs},
        "prices": [replace(price, id=0) for price in prices.prices_of(wb, record.builds)],
        "sound": [replace(reading, id=0) for reading in sound.readings_of(wb, record.setups)],
        "photos": [
            (photo.build, photo.media, photo.words, shown(wb, photo))
            for photo in photos.photos_of(wb, record.builds)
        ],
        "originals": {mark: digest(originals.original(wb, mark)) for mark in digests},
        "findings": comparison_answer(compare(wb, study, now=NOW).comparison),
    }


def assert_comes_back_the_same(wb: Workbench, study: str, tmp_path: Path) -> None:
    export_study(wb, study, tmp_path / "out")
    with open_workbench(tmp_path / "fresh.evenhand") as fresh:
        report = import_folder(fresh, tmp_path / "out", now=LATER)
        was, now = content(wb, study), content(fresh, study)
        for part in was:
            assert now[part] == was[part], part
        again = import_folder(fresh, tmp_path / "out", now=LATER)
        assert (report.new, again.new, again.changed, again.decisions) == (len(was["runs"]), 0, 0, 0)
