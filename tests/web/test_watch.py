"""The watched folder while the site is open: halves waited for and said, new files filed, trouble told."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import NOW, digest, small_folder
from tests.web.conftest import client_of, serving
from tests.web.looking import axe_violations, too_wide

from evenhand.desk import settling
from evenhand.desk.admitting import admit
from evenhand.desk.hiding import hide_names
from evenhand.desk.importing import import_folder
from evenhand.desk.inbox import inbox
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.desk.plan_needs import Terms
from evenhand.desk.planning import make_plan
from evenhand.desk.watching import watch_folder, watched_now
from evenhand.records.devices import Scope
from evenhand.web.app import make_app
from evenhand.web.served import Site

PAGE = f"/studies/{STUDY}/bench/watch"


@pytest.fixture
def quay(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "bench.evenhand") as opened:
        import_folder(opened, small_folder().write(tmp_path / STUDY), now=NOW)
        yield opened


@pytest.fixture
def web(quay: Desk) -> Iterator[TestClient]:
    with client_of(quay) as opened:
        yield opened


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "logs"
    folder.mkdir()
    return folder


def runs(quay: Desk) -> int:
    return len(load_study(quay, STUDY).runs)


def until(true: Callable[[], bool], seconds: float = 30.0) -> None:
    """Waits for something that must come to be."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


def test_a_folder_is_named_and_its_new_logs_come_in(web: TestClient, quay: Desk, logs: Path) -> None:
    (logs / "wren causeway old.csv").write_bytes(log(8))
    answer = web.post(PAGE, data={"folder": str(logs)})
    assert answer.status_code == 200
    assert str(logs) in answer.text
    (logs / "wren causeway new.csv").write_bytes(log(9))
    (logs / "odd.txt").write_bytes(b"a note\n")
    until(lambda: runs(quay) == 19 and len(inbox(quay)) == 1)
    until(lambda: "Nothing is on its way." in web.get(PAGE).text)
    assert "Filed as Wren, Salt Causeway, run 4" in web.get(PAGE).text
    assert [each.arrival.name for each in inbox(quay)] == ["odd.txt"]


def test_what_came_last_tells_no_build_and_no_number_while_names_are_hidden(
    web: TestClient, quay: Desk, logs: Path
) -> None:
    web.post(PAGE, data={"folder": str(logs)})
    (logs / "wren causeway new.csv").write_bytes(log(9))
    until(lambda: "Filed as Wren" in web.get(PAGE).text)
    plan = make_plan(quay, STUDY, Terms(looks=(20,)), seed=7, now=NOW)
    hide_names(quay, plan.id, by="me", now=NOW)
    page = web.get(PAGE).text
    assert "whose it is and its number are hidden" in page
    assert "wren" not in page.casefold()
    assert "fps" not in page
    (run,) = re.findall(r"/runs/(\w+)\?masked=1", page)
    assert web.get(f"/studies/{STUDY}/runs/{run}?masked=1").status_code == 200
    (logs / "wren nine.csv").write_bytes(log(10)[:-3])
    until(lambda: "still being written" in web.get(PAGE).text)
    assert "wren" not in web.get(PAGE).text.casefold()


def test_what_came_while_the_site_was_closed_is_found_at_the_next_start(quay: Desk, logs: Path) -> None:
    watch_folder(quay, str(logs), study=STUDY, by="me", now=NOW)
    (logs / "wren causeway.csv").write_bytes(log(9))
    assert runs(quay) == 18
    with client_of(quay):
        until(lambda: runs(quay) == 19)
    with client_of(quay) as again:
        until(lambda: "Nothing is on its way." in again.get(PAGE).text)
    assert runs(quay) == 19
    assert inbox(quay) == ()


def test_a_folder_that_goes_away_is_told_and_watched_again_once_it_is_back(
    web: TestClient, quay: Desk, logs: Path
) -> None:
    web.post(PAGE, data={"folder": str(logs)})
    shutil.rmtree(logs)
    until(lambda: "The folder is gone" in web.get(PAGE).text)
    logs.mkdir()
    (logs / "wren causeway.csv").write_bytes(log(9))
    until(lambda: runs(quay) == 19)
    assert "The folder is gone" not in web.get(PAGE).text


def test_stopping_leaves_what_came_in_and_takes_nothing_more(web: TestClient, quay: Desk, logs: Path) -> None:
    web.post(PAGE, data={"folder": str(logs)})
    answer = web.post(f"{PAGE}/end", data={})
    assert "No folder is watched" in answer.text
    assert watched_now(quay) == ()


def test_a_folder_that_cannot_be_watched_is_told_at_its_field(web: TestClient, quay: Desk) -> None:
    answer = web.post(PAGE, data={"folder": "/not/<b>there</b>"})
    assert answer.status_code == 422
    assert "There is no such folder" in answer.text
    assert 'value="/not/&lt;b&gt;there&lt;/b&gt;"' in answer.text
    assert watched_now(quay) == ()


def test_a_study_that_is_not_there_has_no_page(web: TestClient) -> None:
    assert web.get("/studies/none/bench/watch").status_code == 404
    assert web.post("/studies/none/bench/watch", data={"folder": "/"}).status_code == 404


def test_no_device_of_the_network_can_name_a_folder(quay: Desk, logs: Path) -> None:
    token = admit(quay, name="phone", scope=Scope.PHONE, now=NOW).token
    app = make_app(Site(wb=quay, now=lambda: NOW))
    with TestClient(app, base_url="http://127.0.0.1", client=("192.0.2.7", 50000)) as phone:
        phone.headers["Authorization"] = f"Bearer {token}"
        assert phone.get(PAGE).status_code == 200
        assert "Watch a folder" not in phone.get(PAGE).text
        assert phone.post(PAGE, data={"folder": str(logs)}).status_code == 403
    assert watched_now(quay) == ()


def test_a_phone_is_not_told_to_look_where_it_may_not(quay: Desk, logs: Path) -> None:
    token = admit(quay, name="phone", scope=Scope.PHONE, now=NOW).token
    watch_folder(quay, str(logs), study=STUDY, by="me", now=NOW)
    app = make_app(Site(wb=quay, now=lambda: NOW))
    with TestClient(app, base_url="http://127.0.0.1", client=("192.0.2.7", 50000)) as phone:
        phone.headers["Authorization"] = f"Bearer {token}"
        (logs / "odd.txt").write_bytes(b"a note\n")
        until(lambda: "odd.txt" in phone.get(PAGE).text.partition("What came last")[2])
        assert "Look at it" not in phone.get(PAGE).text


def test_a_file_written_in_halves_is_waited_for_and_said_so(
    quay: Desk, logs: Path, page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settling, "PAUSES", 1.0)  # so that the test need not wait for three of its own
    data = log(9)
    with serving(quay) as site:
        page.goto(f"{site.url}/studies/{STUDY}/bench")
        page.locator("#watched summary.btn").click()
        page.get_by_label("Folder on this computer").fill(str(logs))
        page.get_by_role("button", name="Watch it").click()
        expect(page.get_by_text("Nothing is on its way.")).to_be_visible(timeout=20_000)
        with (logs / "wren causeway.csv").open("wb") as file:
            file.write(data[: len(data) // 2])
            file.flush()
            told = page.get_by_text("One file is still being written: wren causeway.csv.")
            expect(told).to_be_visible(timeout=20_000)
            assert axe_violations(page) == []
            assert not too_wide(page)
            assert runs(quay) == 18
            file.write(data[len(data) // 2 :])
        expect(page.get_by_text("Filed as Wren, Salt Causeway, run 4")).to_be_visible(timeout=30_000)
    assert runs(quay) == 19
    assert inbox(quay) == ()


def test_a_whole_file_waits_for_one_of_its_build_that_was_begun_before(
    web: TestClient, quay: Desk, logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settling, "PAUSES", 1.0)  # so that the test need not wait for three of its own
    web.post(PAGE, data={"folder": str(logs)})
    until(lambda: "Nothing is on its way." in web.get(PAGE).text)
    first, second = log(9), log(10)
    (logs / "wren causeway b.csv").write_bytes(first[:-3])  # within its last line
    (logs / "wren causeway a.csv").write_bytes(second)
    until(lambda: "whole and waits its turn behind that: wren causeway a.csv" in web.get(PAGE).text)
    assert runs(quay) == 18
    with (logs / "wren causeway b.csv").open("ab") as file:
        file.write(first[-3:])
    until(lambda: runs(quay) == 20)
    *_, before, after = load_study(quay, STUDY).runs
    assert [each.run.log for each in (before, after)] == [digest(first), digest(second)]
    assert inbox(quay) == ()
