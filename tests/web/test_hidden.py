"""While names are hidden nothing of a study tells a build by its results; showing them early is told."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.once import once
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import axe_violations, too_wide

from evenhand.cli.main import run
from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.masking import masked_id
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now, replan
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk

STUDY = "/studies/saltmarsh"
API = "/api/studies/saltmarsh"
CAVEAT = "Names were shown before the plan was done"


@pytest.fixture
def wb(saltmarsh_file: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Saltmarsh with more runs planned than it has, and its names hidden until they are made."""

    def make(place: Path) -> None:
        shutil.copy(saltmarsh_file, place / "bench.evenhand")
        with open_desk(place / "bench.evenhand") as wb:
            make_plan(wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
            with client_of(wb) as client:
                say(client, wb, masked="yes")

    shutil.copy(once(tmp_path_factory, "hidden", make) / "bench.evenhand", tmp_path)
    with open_desk(tmp_path / "bench.evenhand") as opened:
        yield opened


@pytest.fixture
def hiding(client: TestClient) -> TestClient:
    """Asks the pages of it."""
    return client


def say(client: TestClient, wb: Desk, *, masked: str) -> None:
    """Hides the names, or with "" shows them."""
    plan = plan_now(wb, "saltmarsh")
    assert plan
    assert not plan.finished
    client.post(f"{STUDY}/bench/mask", data={"plan": str(plan.plan.id), "masked": masked})


def builds_of(wb: Desk) -> list[str]:
    record = load_study(wb, "saltmarsh")
    return [each.name for each in (*record.builds.values(), *record.setups.values())]


def a_run(wb: Desk) -> str:
    return load_study(wb, "saltmarsh").runs[0].run.id


CLOSED = (
    "compare",
    "causes",
    "tuning",
    "money",
    "compare/left-out",
    "compare/laid-over",
    "compare/cards",
    "runs/{run}",
    "runs/{run}/small",
)


@pytest.mark.parametrize("page", CLOSED)
def test_a_page_of_results_is_closed_and_leads_to_what_is_open(
    wb: Desk, hiding: TestClient, page: str
) -> None:
    answer = hiding.get(f"{STUDY}/{page.format(run=a_run(wb))}").text
    assert "Names are hidden until the plan is done, so this page is closed." in answer
    assert "left to make" in answer
    assert "Show names before the plan is done" in answer
    assert not [name for name in builds_of(wb) if name in answer]


@pytest.mark.parametrize("file", ["compare/cards/intervals.svg", "runs/{run}/trace.svg"])
def test_a_file_of_results_is_refused(wb: Desk, hiding: TestClient, file: str) -> None:
    assert hiding.get(f"{STUDY}/{file.format(run=a_run(wb))}").status_code == 409


RESULTS = (
    f"{API}/findings", f"{API}/findings.csv", f"{API}/live", f"{API}/runs", "/api/runs/{run}",
    "/api/runs/{run}/trace", "/api/runs/{run}/trace?masked=true", "/api/runs/{run}/window",
    "/api/runs/{run}/window/preview", f"{API}/money", f"{API}/money/grid", f"{API}/money/better",
    f"{API}/money/paths", f"{API}/tuning", f"{API}/tuning/plover-mild/heat", f"{API}/tuning/plover-mild/gain",
)  # fmt: skip


@pytest.mark.parametrize("asked", RESULTS)
def test_programs_are_refused_with_the_way_out(wb: Desk, hiding: TestClient, asked: str) -> None:
    answer = hiding.get(asked.format(run=a_run(wb)))
    assert answer.status_code == 409
    assert answer.json()["error"]["kind"] == "NamesHidden"
    assert "show the names early" in answer.json()["error"]["todo"]


def test_a_decision_by_the_open_id_is_refused_and_nothing_stored(wb: Desk, hiding: TestClient) -> None:
    run = a_run(wb)
    before = load_study(wb, "saltmarsh").run(run).decision
    sent = {"reason": "other", "note": "seen by name"}
    assert hiding.post(f"/api/runs/{run}/set-aside", json=sent).status_code == 409
    assert "so this page is closed" in hiding.post(f"{STUDY}/runs/{run}/set-aside", data=sent).text
    assert load_study(wb, "saltmarsh").run(run).decision == before


@pytest.mark.parametrize("command", ["heat", "watts"])
def test_commands_tell_nothing_of_how_tests_follow_a_clock(
    wb: Desk, hiding: TestClient, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    asked = ["--workbench", str(wb.path), command, "plover-mild", "processor", "--study", "saltmarsh"]
    assert run(asked) != 0
    assert "hidden" in capsys.readouterr().err


@pytest.mark.parametrize(("asked", "sent"), [("stop", None), ("give-up", {"reason": "the rig is gone"})])
def test_what_ends_a_trial_that_runs_is_never_refused_for_names(
    hiding: TestClient, asked: str, sent: dict[str, str] | None
) -> None:
    answer = hiding.post(f"{API}/tuning/plover-mild/{asked}", json=sent)
    assert answer.status_code == 404
    assert answer.json()["error"]["found"].startswith("no trial")


def test_the_list_of_runs_opens_without_names(wb: Desk, hiding: TestClient) -> None:
    answer = hiding.get(f"{STUDY}/runs?show=wait")
    assert answer.url.query == b"show=wait&masked=1"
    assert not [name for name in builds_of(wb) if name in answer.text]
    shown = hiding.get(f"{API}/runs?masked=true").json()["runs"]
    assert len(shown) == len(load_study(wb, "saltmarsh").runs)
    assert hiding.get(f"{STUDY}/runs/{masked_id(a_run(wb))}?masked=1").status_code == 200


def test_neither_the_plan_nor_the_first_page_tells_a_result(wb: Desk, hiding: TestClient) -> None:
    assert all(slot["run"] is None for slot in hiding.get(f"{API}/plan").json()["slots"])
    home = hiding.get("/").text
    assert "Names are hidden until the plan is done." in home
    assert "ahead" not in home


def test_brief_builds_and_the_rigs_page_keep_names(wb: Desk, hiding: TestClient) -> None:
    names = [build.name for build in load_study(wb, "saltmarsh").builds.values()]
    assert all(name in hiding.get(f"{STUDY}/builds").text for name in names)
    assert hiding.get("/rig").status_code == 200


def test_the_brief_explains_the_margin_by_an_example_alone(wb: Desk, hiding: TestClient) -> None:
    page = hiding.get(f"{STUDY}/brief").text
    assert "a test that runs at 60 fps, for example" in page
    assert "runs it" not in page


def test_planning_anew_keeps_names_hidden(wb: Desk, hiding: TestClient) -> None:
    replan(wb, "saltmarsh", seed=3, now=NOW)
    assert names_hidden(load_study(wb, "saltmarsh"))


def test_showing_them_early_opens_every_page_and_is_told_from_then_on(wb: Desk, hiding: TestClient) -> None:
    say(hiding, wb, masked="")
    page = hiding.get(f"{STUDY}/compare").text
    assert "so this page is closed" not in page
    assert CAVEAT in page
    notes = hiding.get(f"{API}/findings").json()["study_notes"]
    assert "names-shown-early" in [note["kind"] for note in notes]
    say(hiding, wb, masked="yes")
    say(hiding, wb, masked="")
    assert hiding.get(f"{STUDY}/compare").text.count(CAVEAT) == 1


def test_without_hiding_nothing_is_told(saltmarsh_file: Path, tmp_path: Path) -> None:
    shutil.copy(saltmarsh_file, tmp_path / "open.evenhand")
    with open_desk(tmp_path / "open.evenhand") as wb, client_of(wb) as client:
        make_plan(wb, "saltmarsh", Terms(looks=(20,)), seed=7, now=NOW)
        say(client, wb, masked="")
        assert CAVEAT not in client.get(f"{STUDY}/compare").text


def test_the_closed_page_holds_on_a_phone_and_leads_on(wb: Desk, hiding: TestClient, phone: Page) -> None:
    with serving(wb) as served:
        phone.goto(f"{served.url}{STUDY}/compare")
        assert not axe_violations(phone)
        assert not too_wide(phone)
        phone.get_by_role("button", name="Show names before the plan is done").tap()
        expect(phone).to_have_url(f"{served.url}{STUDY}/bench")
        phone.goto(f"{served.url}{STUDY}/compare")
        expect(phone.locator("#main")).to_contain_text(CAVEAT)
