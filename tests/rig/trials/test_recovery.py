"""A trial that nobody ended is found at the next start: how, when, and sent home once."""

from __future__ import annotations

import json
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from validation.killed_trials import Told, tries

from evenhand.errors import StoreProblem
from evenhand.rig.operator import Operator
from evenhand.rig.spool import Spool
from evenhand.rig.trials import journal, recovery
from evenhand.rig.trials.asked import Asked, header_of
from evenhand.rig.trials.journal import Journal, journals
from evenhand.rig.trials.recovery import Ask, asking, settle
from evenhand.rig.trials.running import Time

ASKED = Asked(
    setup="wren", part="processor", clock_mhz=5200.0, voltage_mv=1250.0, load="integers", planned_h=8.0,
    settings={"load-line": "level 4"}, room_c=22.5, note="second day", key="k1", boot="first",
    began_at="2033-05-04T08:00:00+00:00",
)  # fmt: skip
HOUR = 3600.0


def nobody(_: str) -> str:
    return ""


def cut_off(place: Path, *, held_s: float | None = 5400.0, errors: int = 0, gap_s: float = 1.0) -> Path:
    """The journal of a trial that was cut off after this beat; before any where it is None."""
    kept = Journal(place / "trials", "k1")
    kept.write(header_of(ASKED))
    if held_s is not None:
        beat = {
            "mono": 1000.0 + held_s,
            "held_s": held_s,
            "errors": errors,
            "gap_s": gap_s,
            "hottest_c": 81.5,
            "watts": 131.4,
        }
        kept.write({"beat": {"trial": "k1", "boot": "first", **beat}})
    kept.close()
    return kept.path


def found(place: Path, boot: str | None, *, ask: Ask = nobody, mono: float = 90_000.0) -> dict[str, object]:
    """The one record that is on its way after the next start."""
    clocks = Time(mono=lambda: mono, wall=lambda: datetime(2033, 5, 5, tzinfo=UTC))
    settle(place / "trials", Spool(place / "spool"), boot=boot, ask=ask, clocks=clocks)
    assert not list(journals(place / "trials"))
    (parcel,) = Spool(place / "spool").parcels()
    assert parcel.facts == {"kind": "trial", "key": "k1"}
    return json.loads(parcel.data.read_bytes())  # type: ignore[no-any-return]


def test_another_start_of_the_machine_is_a_reboot_just_after_the_last_beat(tmp_path: Path) -> None:
    cut_off(tmp_path)
    record = found(tmp_path, "second")
    assert record == {
        "key": "k1", "setup": "wren", "part": "processor", "clock_mhz": 5200.0, "voltage_mv": 1250.0,
        "load": "integers", "hours": 1.5, "outcome": "reboot", "planned_h": 8.0,
        "found_after_h": round((5400 + 60) / HOUR, 6), "errors": 0, "corrected": 0,
        "settings": {"load-line": "level 4"}, "room_c": 22.5, "hottest_c": 81.5, "watts": 131.4,
        "watts_at": "part", "at": "2033-05-04T08:00:00+00:00",
        "note": "second day. the machine has been started anew since its last beat. Found at the next start",
    }  # fmt: skip


def test_the_same_start_is_a_crash_and_says_that_the_program_was_killed(tmp_path: Path) -> None:
    cut_off(tmp_path)
    record = found(tmp_path, "first", mono=1000.0 + 5400 + 8)
    assert record["outcome"] == "crash"
    assert record["found_after_h"] == round(5408 / HOUR, 6)
    assert "the program was killed, by whom is not known" in str(record["note"])


@pytest.mark.parametrize(
    ("boot", "answer", "outcome"),
    [
        ("second", "", "reboot"), ("second", "h", "crash"), ("second", "p", "stopped"),
        ("first", "no", "crash"), ("first", "yes", "stopped"),
    ],
)  # fmt: skip
def test_whoever_stands_there_may_know_better(tmp_path: Path, boot: str, answer: str, outcome: str) -> None:
    cut_off(tmp_path)
    asked: list[str] = []

    def ask(words: str) -> str:
        asked.append(words)
        return answer

    record = found(tmp_path, boot, ask=ask)
    assert record["outcome"] == outcome
    assert (record["found_after_h"] is None) == (outcome == "stopped")
    assert record["hours"] == 1.5
    assert len(asked) == 1


def test_cut_off_before_its_first_beat_it_held_for_no_time(tmp_path: Path) -> None:
    """What hangs while a load is made ready has failed, too."""
    cut_off(tmp_path, held_s=None)
    record = found(tmp_path, "second")
    assert (record["outcome"], record["hours"]) == ("reboot", 0.0)
    assert record["found_after_h"] == round(60 / HOUR, 6)


def test_cut_off_in_its_first_line_nothing_had_begun(tmp_path: Path) -> None:
    place = cut_off(tmp_path)
    place.write_bytes(place.read_bytes()[:40])
    assert settle(tmp_path / "trials", Spool(tmp_path / "spool"), boot="second", ask=nobody) == 0
    assert not list(journals(tmp_path / "trials"))
    assert not list(Spool(tmp_path / "spool").parcels())


def test_a_journal_that_is_damaged_is_kept_and_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = cut_off(tmp_path)
    data = bytearray(place.read_bytes())
    data[5] ^= 0xFF
    place.write_bytes(data)
    settle(tmp_path / "trials", Spool(tmp_path / "spool"), boot="second", ask=nobody)
    assert (tmp_path / "trials" / "k1.unreadable").read_bytes() == data
    assert "write that trial down by hand" in capsys.readouterr().out
    assert not list(journals(tmp_path / "trials"))


def test_where_starts_have_no_name_the_clock_that_never_jumps_tells(tmp_path: Path) -> None:
    cut_off(tmp_path)
    assert found(tmp_path, None, mono=30.0)["outcome"] == "reboot"


def test_without_a_name_a_clock_that_went_on_is_the_same_start(tmp_path: Path) -> None:
    cut_off(tmp_path)
    assert found(tmp_path, None, mono=9000.0)["outcome"] == "crash"


def test_a_disk_that_was_slow_widens_when_it_may_have_failed(tmp_path: Path) -> None:
    cut_off(tmp_path, gap_s=50.0)
    assert found(tmp_path, "second")["found_after_h"] == round((5400 + 150) / HOUR, 6)


def test_killed_between_any_two_steps_it_is_on_its_way_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = cut_off(tmp_path)

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(recovery, "put_on_its_way", killed)
        with pytest.raises(KeyboardInterrupt):
            found(tmp_path, "second")
    kept = place.read_bytes()
    assert found(tmp_path, "third", ask=pytest.fail)["outcome"] == "reboot"  # nobody is asked twice
    place.write_bytes(kept)  # killed once more before the journal was taken away
    assert found(tmp_path, "third", ask=pytest.fail)["outcome"] == "reboot"


def test_a_full_disk_leaves_the_journal_for_the_next_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut_off(tmp_path)

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, "write", full)
        with pytest.raises(StoreProblem, match="how a trial ended cannot be kept"):
            found(tmp_path, "second")
    assert found(tmp_path, "second")["outcome"] == "reboot"


def test_nobody_at_the_terminal_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(recovery, "ANSWER_S", 0.02)
    monkeypatch.setattr("evenhand.rig.operator.Keys.line", lambda *_: time.sleep(1))
    assert asking(Operator())("How?") == ""


def test_a_program_that_is_ended_at_any_moment_leaves_a_right_record() -> None:
    """The real program; `python -m validation.killed_trials` makes a hundred."""
    told = Told()
    tries(5, seed=11, told=told, longest_s=0.2)
    assert told.right == 5
    assert set(told.tries.values()) == {1}
