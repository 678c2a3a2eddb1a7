"""What is to be known of two machines themselves goes with their verdict for every audience."""

from __future__ import annotations

from pathlib import Path

from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import present
from evenhand.desk.study.building import change_build
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.store.workbench import Workbench

MACHINES = ("nothing-differs", "unread-parts", "no-parts")


def told(wb: Workbench) -> list[tuple[str, str]]:
    """Keys and words of the caveats of the one verdict that are of the machines."""
    (audience,) = judged_for(wb, load_study(wb, "mole")).audiences
    (verdict,) = audience.verdicts
    return [(c.key, c.told()) for c in verdict.caveats if c.key in MACHINES]


def study(wb: Workbench, tmp_path: Path, *parts: tuple[str, ...]) -> None:
    made = [Made(key=key, parts=own, logs={"quay": log, "mole": log})
            for key, own, log in zip(("tern", "gull"), parts, (4.1, 4.0), strict=True)]  # fmt: skip
    import_folder(wb, swapped(*made).write(tmp_path / "study"), now=present())


def test_two_of_which_nothing_on_record_differs_are_told_as_that(wb: Workbench, tmp_path: Path) -> None:
    study(wb, tmp_path, ("p0", "g0"), ("p0", "g0"))
    ((key, words),) = told(wb)
    assert key == "nothing-differs"
    assert words.startswith("nothing on record differs between tern and gull: one machine twice")


def test_kinds_of_part_that_one_side_does_not_list_are_told_of_that_side(
    wb: Workbench, tmp_path: Path
) -> None:
    study(wb, tmp_path, ("p1", "b0", "g0"), ("p0",))
    words = "of gull no board or graphics is on record: which part made a difference cannot be said"
    assert told(wb) == [("unread-parts", words)]


def test_once_they_are_written_down_nothing_is_told_of_them(wb: Workbench, tmp_path: Path) -> None:
    study(wb, tmp_path, ("p1", "g0"), ("p0",))
    assert told(wb)
    change_build(wb, "gull", {"parts": ["p0", "g0"]}, now=present())
    assert told(wb) == []


def test_two_builds_without_any_list_of_parts_are_told_as_that_and_not_as_alike(
    wb: Workbench, tmp_path: Path
) -> None:
    study(wb, tmp_path, (), ())
    words = "tern and gull, each: no parts on record, so that no part can be named as a cause"
    assert told(wb) == [("no-parts", words)]
