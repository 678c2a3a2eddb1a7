"""The watched folder while the site is open: halves waited for and said, new files filed, trouble told."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.desk.bench.test_matching import planned
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import NOW, digest
from tests.web.conftest import client_of, serving
from tests.web.looking import axe_violations, too_wide

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.plan_standing import SlotNow
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.bench.watching import watch_folder, watched_now
from evenhand.desk.logs import settling
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.devices import Scope
from evenhand.web.app import make_app
from evenhand.web.served import Site

PAGE = f"/studies/{STUDY}/bench/watch"


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
            for width in (1440, 360):
                page.set_viewport_size({"width": width, "height": 844})
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


@pytest.fixture
def planned_web(quay: Desk, logs: Path) -> Iterator[TestClient]:
    """The small study with a plan and a watched folder, no file in which counts as whole."""
    planned(quay)
    watch_folder(quay, str(logs), study=STUDY, by="me", now=NOW)
    with client_of(quay) as opened:
        until(lambda: "Nothing is on its way." in opened.get(PAGE).text)
        yield opened


def first_due(quay: Desk) -> SlotNow:
    plan = plan_now(quay, STUDY)
    assert plan
    return plan.due[0]


WAITED_FOR = "A file is on its way and waited for"


@contextmanager
def watching(quay: Desk, logs: Path) -> Iterator[str]:
    """The address of a bench day whose folder is watched."""
    planned(quay)
    watch_folder(quay, str(logs), study=STUDY, by="me", now=NOW)
    with serving(quay) as site:
        yield f"{site.url}/studies/{STUDY}/bench"


def begin_file(page: Page, logs: Path, name: str) -> None:
    """A log that is still being written, once the open page says that it is waited for."""
    expect(page.get_by_text("Nothing is on its way.")).to_be_visible(timeout=20_000)
    (logs / name).write_bytes(log(9)[:-3])  # within its last line
    expect(page.locator("#coming")).to_contain_text(f"{WAITED_FOR}: {name}.", timeout=20_000)


def test_the_bench_says_that_a_file_is_waited_for_as_soon_as_it_is(
    quay: Desk, logs: Path, page: Page
) -> None:
    with watching(quay, logs) as bench:
        page.goto(bench)
        begin_file(page, logs, "wren 1.csv")
        expect(page.locator(".next-run .coming-too").first).to_contain_text(WAITED_FOR)
        assert axe_violations(page) == []
        (logs / "wren 1.csv").write_bytes(log(9))
        expect(page.locator("#coming")).to_be_empty(timeout=30_000)
        expect(page.locator(".next-run .coming-too").first).to_be_empty()
        assert page.title().startswith("Bench · ")  # not that of the part which was fetched


def test_a_skip_says_that_a_log_is_on_its_way_and_asks(
    planned_web: TestClient, quay: Desk, logs: Path
) -> None:
    due, bench = first_due(quay), f"/studies/{STUDY}/bench"
    plan = plan_now(quay, STUDY)
    assert plan
    (logs / f"{due.rig} 1.csv").write_bytes(log(9)[:-3])  # within its last line
    until(lambda: WAITED_FOR in planned_web.get(bench).text)
    assert planned_web.get(bench).text.count(WAITED_FOR) == 2  # and on the next card
    skipping = {"plan": str(plan.plan.id), "slot": str(due.slot.number), "reason": "cable broke"}
    answer = planned_web.post(f"{bench}/skip", data=skipping)
    assert answer.status_code == 409
    assert "A file is on its way that may be the log of this run. Nothing is skipped yet" in answer.text
    assert 'value="cable broke"' in answer.text
    assert 'name="although" value="yes"' in answer.text
    assert first_due(quay).slot.number == due.slot.number
    assert planned_web.post(f"{bench}/skip", data={**skipping, "although": "yes"}).status_code == 200
    assert first_due(quay).slot.number != due.slot.number
    with (logs / f"{due.rig} 1.csv").open("ab") as file:
        file.write(log(9)[-3:])
    until(lambda: any("was skipped while it was on its way" in each.why for each in inbox(quay)))
    assert runs(quay) == 18


def test_a_skip_says_that_a_file_in_the_inbox_may_be_its_log_and_asks(
    planned_web: TestClient, quay: Desk
) -> None:
    due, bench = first_due(quay), f"/studies/{STUDY}/bench"
    plan = plan_now(quay, STUDY)
    assert plan
    arrive(quay, log(9), name=f"{due.rig} 1.csv", by="folder", about={"study": STUDY}, now=NOW)
    skipping = {"plan": str(plan.plan.id), "slot": str(due.slot.number), "reason": "cable broke"}
    answer = planned_web.post(f"{bench}/skip", data=skipping)
    assert answer.status_code == 409
    assert f"{due.rig} 1.csv waits in the inbox and may be the log of this run. Nothing is skipped yet" in (
        answer.text
    )
    assert 'value="cable broke"' in answer.text
    assert planned_web.post(f"{bench}/skip", data={**skipping, "although": "yes"}).status_code == 200
    assert first_due(quay).slot.number != due.slot.number
    assert len(inbox(quay)) == 1
    other = {**skipping, "slot": str(first_due(quay).slot.number)}
    assert planned_web.post(f"{bench}/skip", data=other).status_code == 200  # of another machine


def test_what_is_asked_before_a_skip_is_in_sight_on_a_phone_and_its_sign_is_small(
    browser: Browser, quay: Desk, logs: Path
) -> None:
    with watching(quay, logs) as bench:
        phone = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True)
        phone.goto(bench)
        begin_file(phone, logs, f"{first_due(quay).rig} 1.csv")
        phone.locator("#next summary", has_text="Skip").tap()
        phone.get_by_label("Why it is left out").fill("cable broke")
        phone.get_by_role("button", name="Skip this run").tap()
        asked = phone.get_by_role("alert").filter(has_text="Nothing is skipped yet")
        expect(asked).to_be_in_viewport()
        expect(phone.get_by_role("button", name="Skip it all the same")).to_be_in_viewport()
        assert asked.locator("svg").evaluate("sign => sign.getBoundingClientRect().width") < 30
        assert axe_violations(phone) == []
        phone.close()
