"""Errors that a command counts are found by the user's own patterns, added up, and go home with the trial."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from tests.rig.trials.test_running import ASKED, watch

from evenhand.errors import BadRecord
from evenhand.rig.trials.asked import End, record_of
from evenhand.rig.trials.commands import Command
from evenhand.rig.trials.counting import Count, Counted
from evenhand.rig.trials.journal import journals, read
from evenhand.rig.trials.running import Trial
from evenhand.rig.trials.stopping import Stop

SAID = "pass 1: differs at 7\npass 2: differs at 9\nwrong in all: 2, put right: 1\n"


@pytest.mark.parametrize(
    ("count", "found"),
    [
        (Count(errors=r"in all: (\d+)"), Counted(errors=2)),
        (Count(errors="differs"), Counted(errors=2)),
        (Count(errors=r"in all: (\d+)", corrected=r"right: (\d+)"), Counted(errors=2, corrected=1)),
        (Count(corrected=r"right: (\d+)"), Counted(errors=1, corrected=1)),
        (Count(errors="no such words"), Counted()),
        (Count(), Counted()),
    ],
)
def test_a_number_by_a_group_or_every_match_is_one(count: Count, found: Counted) -> None:
    assert count.of(SAID) == found


def test_what_is_no_count_and_no_pattern_is_said() -> None:
    assert "'at 7'" in Count(errors=r"differs (at \d)$").of("differs at 7").trouble
    with pytest.raises(BadRecord, match="cannot be read"):
        Count(errors="(").check()
    with pytest.raises(BadRecord, match="cannot be read"):
        Count(corrected="[").check()


def made(words: str, count: Count, tmp_path: Path, *, seconds: float) -> End:
    asked = replace(ASKED, planned_h=seconds / 3600)
    doing = Command(f'"{sys.executable}" -S -E -c "{words}"', "", count)
    return Trial(asked, doing, watch(), folder=tmp_path, stop=Stop(tmp_path), every_s=0.05).run()


def test_a_load_that_counts_errors_goes_on_and_ends_with_their_sum(tmp_path: Path) -> None:
    words = "print('wrong: 3, right: 2'); raise SystemExit(1)"
    count = Count(errors=r"wrong: (\d+)", corrected=r"right: (\d+)")
    end = made(words, count, tmp_path, seconds=1.5)
    assert end.outcome == "error"
    assert end.errors >= 6
    assert end.corrected == end.errors * 2 / 3
    assert (
        end.why
        == f"it ran to its end, and counted {end.errors} errors, of which {end.corrected} were corrected"
    )
    assert end.held_s >= 1.5
    (path,) = journals(tmp_path)
    last = read(path)
    assert (last.end["errors"], last.end["corrected"]) == (end.errors, end.corrected)
    assert record_of(ASKED, end)["corrected"] == end.corrected


def test_another_exit_code_without_a_counted_error_ends_the_trial(tmp_path: Path) -> None:
    end = made("raise SystemExit(4)", Count(errors=r"wrong: (\d+)"), tmp_path, seconds=30.0)
    assert (end.outcome, end.errors) == ("error", 1)


def test_a_pattern_that_finds_no_count_stops_the_trial_and_keeps_its_hours(tmp_path: Path) -> None:
    end = made("print('wrong: some')", Count(errors=r"wrong: (\w+)"), tmp_path, seconds=30.0)
    assert end.outcome == "stopped"
    assert "'some'" in end.why
