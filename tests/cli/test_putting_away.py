"""A study is put away and brought back on the command line; meanwhile it answers, says so, and is closed."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command
from tests.desk.landing_cases import log
from tests.desk.small_folder import Folder

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.uploading import take_in
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk, present

SAID = "quay is put away since"


def a_run(place: Path) -> str:
    with open_desk(place) as wb:
        return load_study(wb, "quay").runs[0].run.id


@pytest.fixture
def away(stocked: Command, place: Path) -> Command:
    """The small study with a result frozen, put away."""
    assert stocked("compare", "quay").code == 0
    said = stocked("put-away", "quay", "--note", "made twice")
    assert said.code == 0
    return stocked


def test_it_is_put_away_and_brought_back(stocked: Command) -> None:
    said = stocked("put-away", "quay", "--note", "made twice")
    assert said.out == "quay is put away.\nNext, if it is wanted again: evenhand bring-back quay\n"
    back = stocked("bring-back", "quay")
    assert (back.code, back.out) == (0, "quay is back.\n")
    told = stocked("history", "quay").out
    assert "put away by this computer: made twice" in told
    assert "brought back by this computer" in told


def test_twice_is_once(away: Command) -> None:
    assert "was put away already; that stands" in away("put-away", "quay", "--note", "me too").out
    again = away("put-away", "quay", "--json").json
    assert (again["was_away"], again["away"]["note"]) == (True, "made twice")
    assert away("bring-back", "quay", "--json").json == {
        "study": "quay", "was_away": True, "landed": 0, "waiting": 0,
    }  # fmt: skip
    assert away("bring-back", "quay").out == "quay was not put away; nothing was changed.\n"


def test_a_plan_that_goes_on_is_told_of(stocked: Command) -> None:
    stocked("plan", "quay", "--looks", "5", "--make")
    assert "planned runs wait until then; no rig is given any." in stocked("put-away", "quay").out


def test_it_stands_apart_in_the_list(away: Command) -> None:
    listed = away("studies").out
    assert listed.index("Put away:") < listed.index("quay")
    assert "made twice" in listed
    (study,) = away("studies", "--json").json["studies"]
    assert (study["study"], study["away"]["note"]) == ("quay", "made twice")


ANSWERS = (
    "runs quay", "runs quay --masked", "run RUN", "compare quay", "verdict quay", "plan quay --looks 12",
    "results quay", "history quay", "export quay OUT",
)  # fmt: skip


@pytest.mark.parametrize("asked", ANSWERS)
def test_it_still_answers_by_name_and_says_that_it_is_away(
    away: Command, place: Path, tmp_path: Path, asked: str
) -> None:
    words = asked.replace("RUN", a_run(place)).replace("OUT", str(tmp_path / "out")).split()
    said = away(*words)
    assert said.code == 0
    assert said.out.startswith(SAID)
    assert "made twice. Bring it back: evenhand bring-back quay" in said.out
    words = [word.replace(str(tmp_path / "out"), str(tmp_path / "again")) for word in words]
    for_script = away(*words, "--json")
    assert for_script.json
    assert for_script.err.startswith(SAID)


CLOSED = (
    "keep RUN", "set-aside RUN --reason rate-cap", "cut RUN --from 0.5", "plan quay --make",
    "import FOLDER",
)  # fmt: skip


@pytest.mark.parametrize("asked", CLOSED)
def test_what_would_change_it_is_refused_with_the_way_on(
    away: Command, place: Path, tmp_path: Path, folder: Folder, asked: str
) -> None:
    written = folder.without("wren causeway 3").write(tmp_path / "study")
    said = away(*asked.replace("RUN", a_run(place)).replace("FOLDER", str(written)).split())
    assert (said.code, said.out) == (2, "")
    assert "is put away since" in said.err
    assert "evenhand bring-back quay" in said.err


def test_what_came_in_meanwhile_lands_with_it(away: Command, place: Path) -> None:
    facts = {"study": "quay", "test": "causeway", "setup": "wren"}
    with open_desk(place) as wb:
        for data, name in ((log(), "a.csv"), (b"no log at all", "b.csv")):
            take_in(wb, data, name=name, facts=facts, by="Wren", now=present())
    said = away("bring-back", "quay")
    assert said.code == 1
    assert "Of the files that waited for it, 1 landed." in said.out
    assert "1 of them wait" in said.out
    with open_desk(place) as wb:
        assert [waits.arrival.name for waits in inbox(wb)] == ["b.csv"]


def test_a_study_that_is_not_here_is_told_with_the_nearest(stocked: Command) -> None:
    for verb in ("put-away", "bring-back"):
        said = stocked(verb, "quai")
        assert said.code == 2
        assert "did you mean 'quay'?" in said.err
