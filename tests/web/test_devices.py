"""The page of devices lets others in by links shown once, and shuts them out."""

from __future__ import annotations

import re
from hashlib import sha256

import httpx2
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.bench.admitting import all_devices, hash_of
from evenhand.desk.opening import Desk


def test_a_rig_gets_its_commands(wb: Desk, client: TestClient) -> None:
    page = client.post("/devices", data={"name": "left bench", "scope": "rig", "build": "plover"}).text
    token = re.search(r"--token ([\w-]+)<", page)
    assert token
    assert "evenhand-rig.pyz" in page
    (device,) = all_devices(wb)
    assert (device.name, device.build, device.token_hash) == ("left bench", "plover", hash_of(token[1]))


def test_the_commands_name_the_address_that_the_page_was_asked_under(served: Served) -> None:
    page = httpx2.post(
        f"{served.url}/devices", data={"name": "left", "scope": "rig"}, headers={"origin": served.url}
    ).text
    assert f"curl -O {served.url}/rig/evenhand-rig.pyz" in page
    assert re.search(rf"python3 evenhand-rig.pyz {served.url} --token [\w-]{{20,}}<", page)


def test_the_page_of_a_rig_shows_its_program_and_commands_before_there_is_one(client: TestClient) -> None:
    page = client.get("/rig").text
    assert '<a href="/rig/evenhand-rig.pyz">' in page
    assert "python3 evenhand-rig.pyz http://127.0.0.1 --token TOKEN" in page
    assert '<option value="rig" selected>' in page
    assert '<option value="rig" selected>' in client.get("/devices?kind=rig").text
    assert '<option value="phone" selected>' in client.get("/devices").text


def test_the_hash_of_the_program_stands_beside_the_command_that_fetches_it(client: TestClient) -> None:
    fetched = sha256(client.get("/rig/evenhand-rig.pyz").content).hexdigest()
    assert fetched in client.get("/rig").text
    made = client.post("/devices", data={"name": "left", "scope": "rig"}).text
    assert fetched in made.partition('id="link"')[2].partition("</section>")[0]


def test_which_machine_it_is_is_asked_of_a_rig_alone(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/devices")
    machine = page.get_by_label("The machine that this rig is")
    expect(machine).to_be_hidden()
    page.get_by_label("It may").select_option("rig")
    expect(machine).to_be_visible()


def test_a_phone_gets_a_link_and_its_code(client: TestClient) -> None:
    page = client.post("/devices", data={"name": "phone", "scope": "phone"}).text
    assert "/join?token=" in page
    assert '<svg viewBox="0 0' in page.partition("code-for-camera")[2]


def test_a_rig_gets_the_address_of_its_program_as_a_code(client: TestClient) -> None:
    page = client.post("/devices", data={"name": "left", "scope": "rig"}).text
    assert '<svg viewBox="0 0' in page.partition("code-for-camera")[2]


def test_there_is_a_way_back_to_the_study_that_one_came_from(client: TestClient) -> None:
    bench = "/studies/saltmarsh/bench"
    back = f'href="{bench}">Back to the study'
    assert back in client.get("/rig", headers={"referer": f"http://127.0.0.1{bench}"}).text
    assert back in client.post("/devices", data={"name": "left", "scope": "rig", "back": bench}).text
    assert back in client.post("/devices", data={"name": "", "scope": "rig", "back": bench}).text
    answer = client.post("/devices", data={"name": "x", "back": "https://elsewhere.example/a"}).text
    assert "Back to" not in answer
    assert "elsewhere" not in answer


def test_the_link_is_shown_once(client: TestClient) -> None:
    client.post("/devices", data={"name": "phone", "scope": "phone"})
    assert "token=" not in client.get("/devices").text


def test_a_device_without_a_name_is_refused_and_nothing_is_lost(wb: Desk, client: TestClient) -> None:
    answer = client.post("/devices", data={"name": "  ", "scope": "rig", "build": "wren"})
    assert answer.status_code == 422
    assert "a device needs a name" in answer.text
    assert '<option value="wren" selected>' in answer.text
    assert all_devices(wb) == ()


def test_shutting_out(wb: Desk, client: TestClient) -> None:
    client.post("/devices", data={"name": "phone", "scope": "phone"})
    (device,) = all_devices(wb)
    assert client.post(f"/devices/{device.id}/end", follow_redirects=False).status_code == 303
    assert "shut out on 4 May 2031" in client.get("/devices").text
    assert client.post("/devices/nobody/end").status_code == 404


def test_a_name_is_shown_as_it_was_written(client: TestClient) -> None:
    page = client.post("/devices", data={"name": "<script>alert(1)</script>", "scope": "phone"}).text
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_the_rig_program_is_handed_out_whole(client: TestClient) -> None:
    answer = client.get("/rig/evenhand-rig.pyz")
    assert answer.content.startswith(b"#!/usr/bin/env python3\nPK")
    assert answer.content == client.get("/rig/evenhand-rig.pyz").content


def test_it_is_sound_in_a_browser(page: Page, served: Served) -> None:
    page.goto(f"{served.url}/devices")
    page.get_by_label("Name").fill("phone")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="phone gets in like this")).to_be_visible()
    sound(page)


def test_it_fits_a_phone(phone: Page, served: Served) -> None:
    phone.goto(f"{served.url}/devices")
    phone.get_by_label("Name").fill("left bench")
    phone.get_by_label("It may").select_option("rig")
    phone.get_by_role("button", name="Make its link").click()
    expect(phone.get_by_role("heading", name="left bench gets in like this")).to_be_visible()
    assert axe_violations(phone) == []
    assert not too_wide(phone)
