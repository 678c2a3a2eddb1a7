"""The brief tells all of a scripted test, not only its command."""

from __future__ import annotations

from evenhand.desk.pages.brief import script_told
from evenhand.records.tests import Direction, Measures, Script, Test


def told(script: Script | None) -> dict[str, str]:
    """What is told of a test with this script."""
    test = Test(
        key="sort", name="Sort", measures=Measures.SCORE, metric="score", unit="s",
        direction=Direction.LOWER, script=script,
    )  # fmt: skip
    return dict(script_told(test))


def test_command_pattern_folder_warm_up_and_time_out_are_told() -> None:
    script = Script(command="sort it", score=r"took (\d+)", warm_up=2, timeout_s=1800, folder="/jobs")
    assert told(script) == {
        "Command on a rig": "sort it",
        "Pattern of the score": r"took (\d+)",
        "Folder on the rig": "/jobs",
        "Warm-up runs": "2",
        "Ended after": "1,800\u00a0s",
    }


def test_what_is_left_empty_is_told_as_what_a_rig_makes_of_it() -> None:
    assert (
        told(Script(command="sort it"))["Pattern of the score"] == "none: the seconds that the command takes"
    )


def test_a_test_without_a_command_tells_nothing_of_one() -> None:
    assert told(None) == {}
