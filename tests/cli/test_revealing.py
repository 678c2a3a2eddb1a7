"""While names are hidden the command line tells no build by its results, as the pages do not."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.cli.conftest import Command

from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk, present

CAVEAT = "Names were shown before the plan was done"
SAID = "the names of builds are hidden until the plan is done"


@pytest.fixture
def hiding(stocked: Command, place: Path) -> Command:
    """The small study with runs left to make, a result frozen, and its names hidden."""
    assert stocked("compare", "quay").code == 0
    assert stocked("plan", "quay", "--looks", "5", "--make").code == 0
    with open_desk(place) as wb:
        plan = plan_now(wb, "quay")
        assert plan
        hide_names(wb, plan.plan.id, by="bench", now=present())
    return stocked


def a_run(place: Path) -> str:
    with open_desk(place) as wb:
        return load_study(wb, "quay").runs[0].run.id


CLOSED = (
    "compare quay", "causes quay", "verdict quay", "script quay OUT", "results quay", "results quay 1",
    "history quay",
    "runs quay", "runs quay --in-doubt", "run RUN", "chart quay OUT", "chart quay OUT --run RUN",
    "export quay OUT", "cut RUN --from 0.5", "cut RUN --from 0.5 --look", "keep RUN",
    "set-aside RUN --reason rate-cap", "replace RUN --by RUN", "reopen RUN",
    "gain quay wren", "watts wren processor --study quay",
)  # fmt: skip


@pytest.mark.parametrize("asked", CLOSED)
def test_what_tells_a_build_by_its_results_is_refused(
    hiding: Command, place: Path, tmp_path: Path, asked: str
) -> None:
    words = asked.replace("RUN", a_run(place)).replace("OUT", str(tmp_path / "out")).split()
    said = hiding(*words)
    assert (said.code, said.out) == (2, "")
    assert SAID in said.err
    assert "evenhand show-names STUDY" in said.err
    assert not (tmp_path / "out").exists()
    assert hiding(*words, "--json").json["error"]["kind"] == "NamesHidden"


def test_runs_are_judged_without_names(hiding: Command, place: Path) -> None:
    shown = hiding("runs", "quay", "--masked")
    assert shown.code == 0
    assert masked_id(a_run(place)) in shown.out
    assert hiding("run", masked_id(a_run(place)), "--masked").code == 0


def test_the_plan_tells_no_run_of_a_slot(hiding: Command) -> None:
    assert {slot["run"] for slot in hiding("plan", "quay", "--json").json["slots"]} == {None}


def test_showing_them_early_opens_all_and_stays_on_record(hiding: Command) -> None:
    said = hiding("show-names", "quay")
    assert said.code == 0
    assert "names were shown before the plan was done" in said.out
    compared = hiding("compare", "quay")
    assert compared.code == 0
    assert CAVEAT in compared.out
    assert hiding("show-names", "quay", "--json").json == {"study": "quay", "shown": False}


def test_where_nothing_is_hidden_nothing_is_put_on_record(stocked: Command) -> None:
    assert stocked("show-names", "quay").out == "Names are not hidden; nothing was changed.\n"
    assert CAVEAT not in stocked("compare", "quay").out
    assert stocked("show-names", "quai").code == 2
