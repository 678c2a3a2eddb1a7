"""The inbox says what waits and why, files it as a person says, puts it away and brings it back."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.small_folder import day_log, frame_log, frames
from tests.web.conftest import NOW
from tests.web.looking import Served, sound, too_wide

from evenhand.desk.bench.landing import arrive
from evenhand.desk.bench.placing import put_away
from evenhand.desk.logs.layouts import remembered
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.layouts import LogKind
from evenhand.store import arrivals

HEADER = "time [s],frame time [ms]"
LOG = frame_log(frames(88.0, seed=3), header=HEADER)


def come(wb: Desk, data: bytes = LOG, name: str = "unknown.csv", **about: str) -> int:
    return arrive(wb, data, name=name, by="left bench", about=about, now=NOW).id


def first(wb: Desk) -> dict[str, str]:
    """The first test of frames and the first setup of the study, as the form sends them."""
    record = load_study(wb, "saltmarsh")
    test = next(t for t in record.compared_tests if t.measures.value == "frames")
    return {"test": f"saltmarsh/{test.key}", "setup": f"saltmarsh/{record.study.setups[0]}"}


def columns(*roles: str, kind: str = "frames", header: str = HEADER, **more: str) -> dict[str, str]:
    sent = {"kind": kind, "columns": str(len(roles))}
    for at, (role, name) in enumerate(zip(roles, header.split(","), strict=True)):
        sent |= {f"role-{at}": role, f"header-{at}": name, f"unit-{at}": "", f"about-{at}": ""}
    return sent | more


def test_an_empty_inbox_says_so(client: TestClient) -> None:
    page = client.get("/inbox").text
    assert "The inbox is empty: every file that came in is a run." in page


def test_what_waits_stands_there_with_its_rows_and_a_reason_for_every_column(
    wb: Desk, client: TestClient
) -> None:
    come(wb, ambient_c="24.1", boot="wren-9")
    page = client.get("/inbox").text
    assert "One file waits for a word on what it is." in page
    for words in ("unknown.csv", "From left bench", "Nobody has said yet", "frame time [ms]", "24.1\xa0°C"):
        assert words in page
    assert "header names frame and time" in page
    assert LOG.decode().splitlines()[1].split(",")[1] in page


def test_what_came_with_a_file_is_said_as_people_say_it(wb: Desk, client: TestClient) -> None:
    came = {"build": "plover", "started_at": "2026-11-28T14:26:47.947722+00:00"}
    arrive(wb, LOG, name="a.csv", by="folder", about={"folder": "/home/me/logs", **came}, now=NOW)
    page = client.get("/inbox").text
    assert "From the watched folder /home/me/logs" in page
    assert "<dt>Brought by the rig</dt><dd>Plover</dd>" in page
    assert "<dt>Began</dt><dd>28\u00a0Nov 14:26</dd>" in page


def test_a_guess_is_chosen_beforehand_with_its_reason(wb: Desk, client: TestClient) -> None:
    come(wb, name="Wren/causeway 07.csv")
    page = client.get("/inbox").text
    assert '<option value="saltmarsh/causeway" selected>' in page
    assert '<option value="saltmarsh/wren-mild" selected>' in page
    assert "Chosen beforehand: its name says test &#39;causeway&#39;; its name says setup" in page


def test_filing_confirms_the_columns_and_lands_the_run(wb: Desk, client: TestClient) -> None:
    number = come(wb)
    sent = {**first(wb), **columns("elapsed time", "frame time", **{"unit-1": "ms"}), "ambient_c": "23,5"}
    answer = client.post(f"/inbox/{number}/file", data=sent)
    assert answer.url.path == "/inbox"
    placed = arrivals.placings_of(wb, number)[-1]
    run = load_study(wb, "saltmarsh").run(str(placed.run)).run
    assert f"unknown.csv is filed as {run.label}." in answer.text
    assert run.label.endswith(", run 6")
    assert (run.ambient_c, run.study) == (23.5, "saltmarsh")
    assert any(each.kind is LogKind.FRAMES and len(each.columns) == 2 for each in remembered(wb))


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"test": ""}, "nobody has said its test"),
        ({"setup": "other/wren"}, "are of two studies"),
        ({"ambient_c": "warm"}, "is not a number"),
        ({"role-0": "not used", "role-1": "not used"}, "a frames layout needs"),
        ({"unit-1": "MHz"}, "is not measured in it"),
        ({"order": "1.5"}, "no whole number"),
    ],
)
def test_what_cannot_be_is_told_at_the_file_and_what_was_typed_stays(
    wb: Desk, client: TestClient, sent: dict[str, str], said: str
) -> None:
    number = come(wb)
    whole = {**first(wb), **columns("elapsed time", "frame time"), "label": "my own words", **sent}
    answer = client.post(f"/inbox/{number}/file", data=whole)
    assert answer.status_code == 422
    assert said in answer.text
    assert 'value="my own words"' in answer.text
    assert len(arrivals.waiting(wb)) == 1


def test_a_file_that_somebody_else_filed_meanwhile_is_not_filed_again(wb: Desk, client: TestClient) -> None:
    number = come(wb)
    sent: dict[str, Any] = {**first(wb), **columns("elapsed time", "frame time")}
    client.post(f"/inbox/{number}/file", data=sent)
    second = client.post(f"/inbox/{number}/file", data=sent)
    assert second.status_code == 422
    assert "meanwhile" in second.text
    assert client.post(f"/inbox/{number}/away", data={"note": "x"}).status_code == 422


def test_putting_away_and_bringing_back(wb: Desk, client: TestClient) -> None:
    number = come(wb, b"a picture", "cat.png")
    away = client.post(f"/inbox/{number}/away", data={"note": "not ours"})
    assert "cat.png was put away: not ours" in away.text
    assert "The inbox is empty" in away.text
    back = client.post(f"/inbox/{number}/back")
    assert "cat.png is back in the inbox" in back.text
    assert "One file waits" in back.text


def test_the_columns_of_a_sensor_log_are_learned_and_it_waits_outside(wb: Desk, client: TestClient) -> None:
    number = come(wb, day_log(hot_from_s=9e9, hours=0.02), "sensors.csv")
    assert "It looks like a sensor log" in client.get("/inbox").text.replace("it looks", "It looks")
    header = "time,board [°C],core [MHz]"
    roles = columns("time of day", "temperature", "clock", kind="sensors", header=header)
    client.post(f"/inbox/{number}/file", data=roles)
    assert arrivals.waiting(wb) == ()
    assert any(each.kind is LogKind.SENSORS and len(each.columns) == 3 for each in remembered(wb))


def test_names_of_files_are_shown_as_they_were_written(wb: Desk, client: TestClient) -> None:
    come(wb, name="<b>bold</b>.csv")
    page = client.get("/inbox").text
    assert "<b>bold" not in page


def test_what_nobody_knows_is_not_found(client: TestClient) -> None:
    assert client.post("/inbox/999/away").status_code == 404


def test_in_a_browser_it_can_be_filed_by_keyboard_and_is_sound_in_both_schemes(
    served: Served, page: Page, phone: Page
) -> None:
    come(served.wb)
    come(served.wb, b"a picture", "cat.png")
    page.goto(f"{served.url}/inbox")
    sound(page)
    page.get_by_label("Test").last.select_option(index=1)
    page.get_by_label("Setup").last.select_option(index=1)
    page.get_by_role("button", name="File it unknown.csv").press("Enter")
    expect(page.get_by_text(re.compile("unknown.csv is filed as"))).to_be_visible()
    phone.goto(f"{served.url}/inbox")
    assert not too_wide(phone)


def test_files_that_come_and_go_are_followed_and_what_is_typed_stays(page: Page, served: Served) -> None:
    kept, gone = come(served.wb), come(served.wb, b"nothing to read", "gone.bin")
    page.goto(f"{served.url}/inbox")
    page.locator(f"#note-{kept}").fill("of the other d")
    put_away(served.wb, gone, note="", by="", now=NOW)
    late = come(served.wb, b"nothing to read either", "late.bin")
    expect(page.locator(f"#file-{late}")).to_be_visible()
    expect(page.locator(f"#file-{gone}")).to_have_count(0)
    expect(page.locator(f"#note-{kept}")).to_have_value("of the other d")
