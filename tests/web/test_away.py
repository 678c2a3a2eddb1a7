"""A study put away in the browser: out of the list, read everywhere, changed nowhere, and brought back."""

from __future__ import annotations

import hashlib
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER, NOW, changed_tables, everything, small_folder
from tests.web.conftest import client_of
from tests.web.looking import Served, axe_violations, sound, too_wide
from tests.web.test_every_route import UNSAFE, filled, walk

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.hiding import hide_names
from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.study.away import away_now, bring_study_back, put_study_away
from evenhand.desk.study.away_waiting import waiting_for
from evenhand.records.devices import Scope
from evenhand.web.app import make_app
from evenhand.web.served import OWN_NAMES, Site
from evenhand.web.work import Works

FACTS = {"study": STUDY, "test": "causeway", "setup": "wren"}
HERE = f"/studies/{STUDY}"
AWAY = "This study is put away since"


@pytest.fixture
def site(quay: Desk) -> Iterator[TestClient]:
    with client_of(quay) as opened:
        yield opened


@pytest.fixture
def network(quay: Desk) -> Iterator[TestClient]:
    """The local network."""
    served = Site(
        wb=quay, now=lambda: NOW, hosts=OWN_NAMES | {"bench.local"}, network=("http://bench.local/",)
    )
    with TestClient(
        make_app(served), base_url="http://bench.local", client=("192.0.2.7", 50000), follow_redirects=False
    ) as opened:
        yield opened


def put_away(wb: Desk, note: str = "made twice", study: str = STUDY) -> None:
    put_study_away(wb, study, note=note, by="this computer", now=NOW)


def token(wb: Desk, scope: Scope) -> dict[str, str]:
    return {"authorization": f"Bearer {admit(wb, name=scope.value, scope=scope, now=NOW).token}"}


def upload(site: TestClient, data: bytes, **facts: Any) -> dict[str, Any]:
    """A log sent in pieces, as a rig sends it; what the workbench made of it."""
    mark = hashlib.sha256(data).hexdigest()
    assert site.patch(f"/api/uploads/{mark}", content=data, headers={"Upload-Offset": "0"}).status_code == 200
    told = site.post(f"/api/uploads/{mark}/land", json={"name": "a.csv", "facts": {**FACTS, **facts}})
    assert told.status_code == 200
    assert site.get(f"/api/uploads/{mark}").json()["done"]
    answer: dict[str, Any] = told.json()
    return answer


def test_it_leaves_the_list_for_a_quiet_group_with_the_way_back(quay: Desk, site: TestClient) -> None:
    page = site.post(f"{HERE}/put-away", data={"note": "made twice"}).text
    assert "is put away. Nothing of it is lost." in page
    assert "The one study here is put away." in page
    assert re.search(
        r"<summary>Put away: 1</summary>.*since 4.May.2031 09:30 UTC: made twice", page, re.DOTALL
    )
    assert page.count(f'action="{HERE}/bring-back"') == 2  # undo, and the group
    assert away_now(quay)[STUDY].by == "this computer"


def test_undo_takes_either_back(quay: Desk, site: TestClient) -> None:
    site.post(f"{HERE}/put-away", data={"note": "made twice"})
    page = site.post(f"{HERE}/bring-back").text
    assert "is back as it was." in page
    assert f'action="{HERE}/put-away"><input type="hidden" name="note" value="made twice">' in page
    assert STUDY not in away_now(quay)
    assert "Put away:" not in page


def test_every_page_of_it_can_be_read_and_says_so(quay: Desk, site: TestClient) -> None:
    run = load_study(quay, STUDY).runs[0].run.id
    pages = (
        "brief", "builds", "tuning", "bench", "bench/plan", "runs", f"runs/{run}", "compare", "causes",
        "money", "verdict", "publish",
    )  # fmt: skip
    for page in pages:
        assert AWAY not in site.get(f"{HERE}/{page}").text, page
    put_away(quay)
    for page in pages:
        told = site.get(f"{HERE}/{page}")
        assert told.status_code == 200, page
        assert AWAY in told.text, page
        assert f'action="{HERE}/bring-back"' in told.text, page
        assert "Put this study away" not in told.text, page


def test_no_part_of_it_turns_into_a_form(quay: Desk, site: TestClient) -> None:
    assert 'name="question"' in site.get(f"{HERE}/brief?edit=question").text
    put_away(quay)
    assert 'name="question"' not in site.get(f"{HERE}/brief?edit=question").text
    assert 'name="state"' not in site.get(f"{HERE}/builds?edit=setup-wren").text


def test_no_route_changes_it(quay: Desk, site: TestClient) -> None:
    put_away(quay)
    before = everything(quay.path)
    routes = [
        (method, filled(path.replace("{study}", STUDY)))
        for method, path in walk()
        if method in UNSAFE and "{study}" in path and "-away" not in path and "bring-back" not in path
    ]
    assert len(routes) > 25
    let_through = [
        (method, path)
        for method, path in routes
        if site.request(method, path, content=b"").status_code != 409
    ]
    assert let_through == []
    run = load_study(quay, STUDY).runs[0].run.id
    refused = site.post(f"/api/runs/{run}/set-aside", json={"reason": "rate-cap"})
    assert (refused.status_code, refused.json()["error"]["kind"]) == (409, "StudyIsAway")
    assert "is put away since" in refused.json()["error"]["found"]
    assert changed_tables(before, everything(quay.path)) == set()


def test_a_form_that_was_open_is_told_why(quay: Desk, site: TestClient) -> None:
    put_away(quay)
    page = site.post(f"{HERE}/brief/question", data={"question": "Which?", "title": "New"})
    assert page.status_code == 409
    assert "is put away since 4\N{NO-BREAK SPACE}May\N{NO-BREAK SPACE}2031 09:30 UTC: made twice" in page.text
    assert "bring it back first" in page.text


def test_what_a_rig_sends_is_kept_and_lands_when_it_is_back(quay: Desk, site: TestClient) -> None:
    runs = len(load_study(quay, STUDY).runs)
    put_away(quay)
    told = upload(site, log())
    assert "is put away since" in told["waits"]
    page = site.get("/inbox").text
    assert "Its study, “" in page
    assert f'value="{STUDY}/causeway"' not in page
    back = site.post(f"/api/studies/{STUDY}/bring-back").json()
    assert back == {"study": STUDY, "was_away": True, "landed": 1, "waiting": 0}
    assert len(load_study(quay, STUDY).runs) == runs + 1
    assert inbox(quay) == ()


def test_its_folder_dropped_again_says_so_and_brings_nothing_back(
    quay: Desk, site: TestClient, tmp_path: Path
) -> None:
    put_away(quay)
    before = everything(quay.path)
    dropped = [
        ("files", (path.relative_to(tmp_path).as_posix(), path.read_bytes()))
        for path in sorted(small_folder().write(tmp_path / "study").rglob("*"))
        if path.is_file()
    ]
    address = site.post("/drop", files=dropped).url.path
    until = time.monotonic() + 60
    while "could not be brought in" not in (page := site.get(address).text):
        assert time.monotonic() < until
        time.sleep(0.1)
    assert "is put away since" in page
    assert "bring it back first: on the first page" in page
    assert changed_tables(before, everything(quay.path)) == set()


def test_put_away_while_pieces_come_in_it_takes_the_rest(quay: Desk, site: TestClient) -> None:
    data = log()
    mark, half = hashlib.sha256(data).hexdigest(), len(data) // 2
    site.patch(f"/api/uploads/{mark}", content=data[:half], headers={"Upload-Offset": "0"})
    put_away(quay)
    rest = site.patch(f"/api/uploads/{mark}", content=data[half:], headers={"Upload-Offset": str(half)})
    assert rest.json()["have"] == len(data)
    told = site.post(f"/api/uploads/{mark}/land", json={"name": "a.csv", "facts": FACTS})
    assert told.status_code == 200
    assert len(waiting_for(quay, STUDY)) == 1


def test_brought_back_in_the_browser_what_waited_lands_beside_the_page(quay: Desk, site: TestClient) -> None:
    put_away(quay)
    upload(site, log())
    site.post(f"{HERE}/bring-back")
    works: Works = site.app.state.works  # type: ignore[attr-defined]
    work = works.of(f"back {STUDY}")
    assert work is not None
    work.wait(20)
    assert "The file that waited for it landed." in site.get(f"/?done={STUDY}").text
    assert waiting_for(quay, STUDY) == ()


def test_the_rig_is_told_that_its_plan_rests(quay: Desk, site: TestClient) -> None:
    make_plan(quay, STUDY, Terms(looks=(5,)), seed=4, now=NOW)
    assert site.get("/api/rig/next").json()["run"] is not None
    put_away(quay)
    told = site.get("/api/rig/next").json()
    assert told["run"] is None
    assert "is put away since" in told["words"]
    assert "wait until then; no rig is given any." in site.get(f"{HERE}/bench").text


def test_where_names_are_hidden_they_stay_so(quay: Desk, site: TestClient) -> None:
    plan = make_plan(quay, STUDY, Terms(looks=(5,)), seed=4, now=NOW)
    hide_names(quay, plan.id, by="me", now=NOW)
    put_away(quay)
    page = site.get(f"{HERE}/compare").text
    assert "Names are hidden until the plan is done" in page
    assert AWAY in page
    assert site.post(f"{HERE}/bench/mask", data={"plan": str(plan.id)}).status_code == 409
    bring_study_back(quay, STUDY, by="me", now=LATER)
    assert "Names are hidden until the plan is done" in site.get(f"{HERE}/compare").text


def test_programs_put_it_away_and_find_it_so(site: TestClient) -> None:
    away = {"since": NOW.isoformat(), "by": "this computer", "note": "made twice"}
    told = site.post(f"/api/studies/{STUDY}/put-away", json={"note": "made twice"}).json()
    assert told == {"study": STUDY, "away": away}
    assert site.get("/api/studies").json()["studies"][0]["away"] == away
    again = site.post(f"/api/studies/{STUDY}/put-away", json={"note": "me too"}).json()
    assert again["away"]["note"] == "made twice"
    assert site.post("/api/studies/quai/put-away", json={}).status_code == 404


@pytest.mark.parametrize(("scope", "status"), [(Scope.RIG, 403), (Scope.PHONE, 403), (Scope.FULL, 303)])
def test_only_who_may_do_all_puts_a_study_away(
    quay: Desk, network: TestClient, scope: Scope, status: int
) -> None:
    headers = token(quay, scope)
    assert network.post(f"{HERE}/put-away", headers=headers).status_code == status
    assert (STUDY in away_now(quay)) == (scope is Scope.FULL)
    put_away(quay)
    assert network.post(f"{HERE}/bring-back", headers=headers).status_code == status
    assert (STUDY in away_now(quay)) == (scope is not Scope.FULL)
    assert network.post(f"/api/studies/{STUDY}/put-away", headers=headers, json={}).status_code != 303


def test_a_phone_reads_that_it_is_away_and_is_offered_no_way_that_it_may_not_go(
    quay: Desk, network: TestClient
) -> None:
    put_away(quay)
    headers = token(quay, Scope.PHONE)
    for page in (f"{HERE}/bench", f"{HERE}/away"):
        told = network.get(page, headers=headers).text
        assert AWAY in told
        assert "bring-back" not in told
    assert "bring-back" not in network.get("/", headers=headers).text


def test_what_is_written_of_it_is_shown_as_it_was_written(quay: Desk, site: TestClient) -> None:
    put_away(quay, "<b>not bold</b>")
    for page in ("/", f"/?done={STUDY}", f"{HERE}/brief"):
        assert "&lt;b&gt;not bold&lt;/b&gt;" in site.get(page).text
        assert "<b>not bold</b>" not in site.get(page).text


def test_a_second_device_sees_at_once_what_the_first_did(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/runs?show=waits")
    expect(page.locator("#runs .acts summary, #runs .acts .btn").first).to_be_visible()
    put_away(served.wb, "lent out", "saltmarsh")
    expect(page.locator("#away")).to_contain_text("lent out")
    expect(page.locator('#runs form[method="post"]:visible')).to_have_count(0)
    assert axe_violations(page) == []
    bring_study_back(served.wb, "saltmarsh", by="me", now=LATER)
    expect(page.locator("#away")).to_have_text("")
    expect(page.locator("#runs .acts summary, #runs .acts .btn").first).to_be_visible()


def test_it_is_put_away_and_brought_back_by_keyboard_and_is_sound(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/brief")
    page.get_by_text("Put this study away").press("Enter")
    page.get_by_label("Why, in a few words").fill("made twice")
    page.get_by_role("button", name="Put it away").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("The one study here is put away.")
    page.get_by_text("Put away: 1").press("Enter")
    sound(page)
    page.get_by_role("button", name="Bring back").press("Enter")
    expect(page.locator(".done")).to_contain_text("is back as it was")
    assert STUDY not in away_now(served.wb)


def test_it_fits_a_phone(served: Served, phone: Page) -> None:
    put_away(served.wb, "a note as long as" + " notes" * 60, "saltmarsh")
    for place in ("/?done=saltmarsh", "/studies/saltmarsh/bench"):
        phone.goto(served.url + place)
        if place.startswith("/?"):
            phone.get_by_text("Put away: 1").tap()
        assert not too_wide(phone)
        assert axe_violations(phone) == []
