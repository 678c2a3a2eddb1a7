"""A log that appeared while the program was not running is told at its start, and never lies unmentioned."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.rig.conftest import joined, send_home
from tests.rig.test_day import frames, played_by_hand
from tests.web.looking import Served

from evenhand.desk.on_record import load_study
from evenhand.rig import left_over, session
from evenhand.rig.day import Day, by_hand
from evenhand.rig.left_over import send_left_over, watched
from evenhand.rig.operator import NobodyThere
from evenhand.rig.session import Rig


class Typing:
    """Somebody who answers so, one after the other; None is a terminal without a keyboard."""

    def __init__(self, *answers: str | None) -> None:
        self.answers, self.asked = list(answers), list[str]()

    def ask(self, words: str) -> str:
        self.asked.append(words)
        if not self.answers:
            raise KeyboardInterrupt
        answer = self.answers.pop(0)
        if answer is None:
            raise NobodyThere("nobody answers here")
        return answer


@pytest.fixture(autouse=True)
def quickly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("evenhand.rig.watching.STILL_S", 0.05)
    monkeypatch.setattr(left_over, "WAIT_S", 0.3)


@pytest.fixture
def rig(served: Served, tmp_path: Path) -> Rig:
    """A rig that was ended in the middle of a run that a person drove."""
    played_by_hand(served)
    found = joined(served, tmp_path / "rig")
    (tmp_path / "logs").mkdir()
    (tmp_path / "logs" / "old.csv").write_text("before we came\n")
    end_in_the_middle(found, tmp_path / "logs")
    return found


def end_in_the_middle(rig: Rig, logs: Path) -> None:
    nobody: Any = Typing("")
    day = Day(rig=rig, sender=nobody, operator=nobody, folder=watched(rig, logs))
    with pytest.raises(KeyboardInterrupt):
        by_hand(day, session.next_run(rig)["run"])


def sent(rig: Rig, logs: Path, *answers: str | None) -> Typing:
    who = Typing(*answers)
    operator: Any = who
    send_left_over(rig, watched(rig, logs), operator)
    return who


def test_it_is_the_run_that_was_cut_off_if_whoever_stands_there_says_so(
    rig: Rig, served: Served, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = session.next_run(rig)["run"]
    (tmp_path / "logs" / "walk.csv").write_text(frames(16.6))
    who = sent(rig, tmp_path / "logs", "yes")
    assert [wanted["words"] in asked and "walk.csv" in asked for asked in who.asked] == [True]
    said = capsys.readouterr().out
    assert "While I was not running, walk.csv appeared in" in said
    assert "old.csv" not in said
    (came,) = send_home(rig)
    assert came.told["state"] == "landed"
    (each,) = load_study(served.wb, "lab").runs
    assert (each.run.setup, each.run.order, each.run.boot) == (
        wanted["setup"], wanted["order"], wanted["boot"],
    )  # fmt: skip
    assert session.next_run(rig)["run"]["slot"] != wanted["slot"]


@pytest.mark.parametrize("answer", ["no", None])
def test_else_it_goes_as_a_file_of_no_run_and_the_run_comes_again(
    rig: Rig, tmp_path: Path, capsys: pytest.CaptureFixture[str], answer: str | None
) -> None:
    (tmp_path / "logs" / "walk.csv").write_text(frames(16.6))
    sent(rig, tmp_path / "logs", answer)
    (parcel,) = rig.state.spool.parcels()
    assert (parcel.name, parcel.facts) == ("walk.csv", {"astray": "yes"})
    said = capsys.readouterr().out
    assert "walk.csv is on its way. Where it is not clear whose it is, the inbox asks" in said
    assert "it is not kept, and comes again" in said


def test_without_a_file_it_is_said_which_run_was_cut_off_and_only_once(
    rig: Rig, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sent(rig, tmp_path / "logs").asked == []
    assert "I was ended during run 1 of" in capsys.readouterr().out
    sent(rig, tmp_path / "logs")
    assert capsys.readouterr().out == ""
    assert not list(rig.state.spool.parcels())


def test_a_file_is_asked_about_once_and_the_next_one_goes_without_a_run(rig: Rig, tmp_path: Path) -> None:
    for number, name in enumerate(("walk.csv", "again.csv")):
        (tmp_path / "logs" / name).write_text(frames(16.6, seed=number))
    who = sent(rig, tmp_path / "logs", "yes")
    assert len(who.asked) == 1
    assert ["astray" in parcel.facts for parcel in rig.state.spool.parcels()] == [False, True]


def test_a_file_that_is_no_news_is_sent_no_second_time(rig: Rig, tmp_path: Path) -> None:
    (tmp_path / "logs" / "walk.csv").write_text(frames(16.6))
    sent(rig, tmp_path / "logs", "no")
    sent(rig, tmp_path / "logs")
    assert len(list(rig.state.spool.parcels())) == 1
