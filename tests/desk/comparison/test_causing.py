"""Causes stand on what is on record now: a part that was written down later is seen."""

from __future__ import annotations

from pathlib import Path

from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.causing import causes_of, grounds_of
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import present
from evenhand.desk.study.building import change_build
from evenhand.findings.cause import Standing
from evenhand.store.workbench import Workbench


def test_a_part_that_was_written_down_later_is_seen_at_once(wb: Workbench, tmp_path: Path) -> None:
    tern = Made(key="tern", parts=("p1", "g1"), logs={"quay": 4.1})
    gull = Made(key="gull", parts=("p0",), logs={"quay": 4.0})
    import_folder(wb, swapped(tern, gull).write(tmp_path / "study"), now=present())
    (unread,) = causes_of(grounds_of(wb, load_study(wb, "mole")), "tern", "gull")
    assert (unread.standing, unread.factors) == (Standing.BUNDLED, ("processor", "graphics"))
    change_build(wb, "gull", {"parts": ["p0", "g1"]}, now=present())
    (told,) = causes_of(grounds_of(wb, load_study(wb, "mole")), "tern", "gull")
    assert (told.standing, told.factors) == (Standing.SHOWN, ("processor",))
