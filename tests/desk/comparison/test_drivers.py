"""Drivers of two machines: two versions of one are a change, one each of two makers are none."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.findings.finding import Finding
from evenhand.store.workbench import Workbench


def found(wb: Workbench, place: Path, *stamps: dict[str, str]) -> tuple[Finding, ...]:
    folder = small_folder()
    for setup, own in zip(folder.document["setups"], stamps, strict=True):
        setup["stamps"] = own
    import_folder(wb, folder.write(place / "study"), now=NOW)
    return findings_now(load_study(wb, "quay")).findings


def test_one_driver_in_two_versions_is_refused_and_says_what_to_do(wb: Workbench, tmp_path: Path) -> None:
    for finding in found(wb, tmp_path, {"driver": "31.4"}, {"driver": "31.6"}):
        assert finding.ratio is None
        assert (
            "if these are drivers of two makers, one for each machine, nothing changed"
            in finding.caveats[0].told()
        )


@pytest.mark.parametrize(
    "stamps", [({"lantern driver": "31.4"}, {"ash driver": "7.1"}), ({"driver": "31.4"},) * 2]
)
def test_drivers_of_two_makers_and_one_driver_alike_form_ratios(
    wb: Workbench, tmp_path: Path, stamps: tuple[dict[str, str], dict[str, str]]
) -> None:
    assert all(finding.ratio is not None for finding in found(wb, tmp_path, *stamps))
