"""The comparison in the browser: answer first, every number one press away, every part of it leads on."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import NOW, client_of, serving
from tests.web.looking import Served, axe_violations, sound, too_wide

from evenhand.desk.comparison.comparing import look
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import shelves

HERE = "/studies/saltmarsh/compare"


@pytest.fixture
def asking(decided: Desk) -> Iterator[TestClient]:
    with client_of(decided) as opened:
        yield opened


@pytest.fixture
def there(decided: Desk) -> Iterator[Served]:
    with serving(decided) as at:
        yield at


def test_it_opens_with_the_answer_and_its_terms(asking: TestClient) -> None:
    text = asking.get(HERE).text.replace("\xa0", " ")
    assert "Plover is ahead in four tests, Dunlin in three, and two are level." in text
    assert "ratio of Plover to Dunlin, 95 % intervals, all 42 findings counted as one family" in text
    assert "Nine of nine tests settled, if these runs are all that were meant." in text


def test_every_row_ends_in_words_with_the_interval(asking: TestClient) -> None:
    text = asking.get(HERE).text.replace("\xa0", " ")
    assert "Plover ahead 10.7 %" in text
    assert "9.1 to 12.3" in text
    assert "Plover +0.4 % (90 %: −0.9 to +1.7)" in text


def test_another_pair_and_another_number_are_links(asking: TestClient) -> None:
    text = asking.get(HERE).text
    for asked in ("pair=plover-mild~wren-mild", "pair=plover-mild~dunlin-mild&amp;metric=low_1pct"):
        assert f'href="{HERE}?{asked}' in text.replace("%7E", "~")
    lows = asking.get(f"{HERE}?metric=low_1pct").text
    assert "1% low: Plover is ahead" in lows


def test_the_run_that_was_left_out_stands_in_the_plot_of_its_test(asking: TestClient) -> None:
    text = asking.get(f"{HERE}?test=regatta").text
    assert "Hollow Regatta: ten runs behind one row" in text
    assert ">143.9</text>" in text
    assert "capped" in text


def test_with_and_without_is_told_for_every_left_out_run(asking: TestClient) -> None:
    text = asking.get(f"{HERE}/left-out").text.replace("\xa0", " ")
    assert text.count('class="let-in"') == 5
    assert "from ahead at +11.5 % to unsettled at +8.5 %" in text
    assert "A result of its own, and no part of the comparison." in text


def test_pages_of_a_study_without_runs_are_whole_sentences(asking: TestClient, decided: Desk) -> None:
    bare = replace(shelves.one(decided, Study, "saltmarsh"), key="bare", title="Bare")
    shelves.save(decided, bare, now=NOW)
    shelves.save(decided, Study(key="none", title="None", setups=(), tests=()), now=NOW)
    for study in ("bare", "none"):
        left = asking.get(f"/studies/{study}/compare/left-out").text
        assert "No run was left out." in left
        assert "let in again" not in left
        two = asking.get(f"/studies/{study}/verdict/two").text
        assert "no verdict is due yet, so there is none that two changes could turn." in two
        assert "Two changes at once" not in two


def test_an_address_that_names_no_pair_says_which_there_are(asking: TestClient) -> None:
    answer = asking.get(f"{HERE}?pair=a~b")
    assert answer.status_code == 404
    assert "choose one of: plover-mild and dunlin-mild" in answer.text


def test_nothing_is_frozen_by_looking(asking: TestClient, decided: Desk) -> None:
    before = decided.path.stat().st_size, look(decided, "saltmarsh").frozen
    for path in (HERE, f"{HERE}/left-out", f"{HERE}/cards", "/api/studies/saltmarsh/findings"):
        assert asking.get(path).status_code == 200
    assert (decided.path.stat().st_size, look(decided, "saltmarsh").frozen) == before


def test_findings_for_programs_have_the_shape_of_the_command(asking: TestClient, decided: Desk) -> None:
    answer = asking.get("/api/studies/saltmarsh/findings").json()
    assert answer["frozen"] is None
    assert len(answer["findings"]) == 42
    assert {"study", "margin", "index", "exclusions", "study_notes", "changed_terms"} <= set(answer)


def test_findings_for_a_spreadsheet(asking: TestClient) -> None:
    answer = asking.get("/api/studies/saltmarsh/findings.csv")
    assert answer.headers["content-type"] == "text/csv; charset=utf-8"
    assert "saltmarsh-findings.csv" in answer.headers["content-disposition"]
    assert len(list(csv.DictReader(io.StringIO(answer.text)))) == 42


def test_a_study_that_is_not_there_is_told_as_json(asking: TestClient) -> None:
    answer = asking.get("/api/studies/saltmash/findings")
    assert answer.status_code == 404
    assert "saltmarsh" in answer.json()["error"]["todo"]


def test_cards_are_shown_and_taken_away(asking: TestClient) -> None:
    page = asking.get(f"{HERE}/cards?whole=1")
    assert f'src="{HERE}/cards/intervals-plover-mild-dunlin-mild-1.svg"' in page.text
    svg = asking.get(f"{HERE}/cards/intervals-plover-mild-dunlin-mild-1.svg")
    assert svg.headers["content-type"] == "image/svg+xml"
    assert asking.get(f"{HERE}/cards/none.png").status_code == 404


def test_cards_are_waited_for_only_until_they_are_drawn(asking: TestClient) -> None:
    tall = f"{HERE}/cards?medium=tall"
    before = asking.get(tall).text
    assert ("are being drawn" in before, "<img" in before) == (True, False)
    assert f'href="{tall}&amp;whole=1"' in before
    drawn = asking.get(f"{tall}&whole=1").text
    assert "cards of the study as it stands" in drawn
    assert asking.get(tall).text.count("<img") == drawn.count("<img") > 0


def test_another_medium_keeps_the_pair_that_was_asked_for(asking: TestClient) -> None:
    page = asking.get(f"{HERE}/cards?pair=plover-mild~wren-mild&medium=square&whole=1").text
    assert f'href="{HERE}/cards?medium=tall&amp;pair=plover-mild~wren-mild"' in page.replace("%7E", "~")
    assert f'href="{HERE}/cards?pair=plover-mild~wren-mild"' in page.replace("%7E", "~")


def test_cards_come_by_themselves(page: Page, there: Served) -> None:
    page.goto(f"{there.url}{HERE}/cards?medium=square")
    expect(page.get_by_role("heading", level=1)).to_contain_text("cards of the study as it stands")
    expect(page.locator(".cards img").first).to_be_visible()
    sound(page)


def test_a_scene_laid_over_itself_is_a_page_of_its_own_too(page: Page, there: Served) -> None:
    page.goto(f"{there.url}{HERE}/laid-over?test=regatta")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Hollow Regatta")
    assert page.locator("#laid-over h2").is_hidden()
    assert axe_violations(page) == []
    page.goto(f"{there.url}{HERE}?test=regatta")
    expect(page.locator("#laid-over h2")).to_be_visible()


def test_it_is_sound_in_a_browser(page: Page, there: Served) -> None:
    page.goto(f"{there.url}{HERE}?test=regatta")
    expect(page.locator("#laid-over p.gap-above")).to_contain_text("No place of a second or more")
    page.locator("#left-out").scroll_into_view_if_needed()
    expect(page.locator(".let-in")).to_have_count(5)
    assert re.fullmatch("Compare · .+ · Evenhand", page.title())  # not that of a part which was fetched
    page.get_by_role("button", name="Plover ahead 11.5").first.press("Enter")
    expect(page.locator(".more:popover-open")).to_contain_text("moderated t over boots")
    sound(page)
    page.keyboard.press("Escape")
    expect(page.locator(".more:popover-open")).to_have_count(0)


def test_it_fits_a_phone(phone: Page, there: Served) -> None:
    phone.goto(f"{there.url}{HERE}")
    assert axe_violations(phone) == []
    assert not too_wide(phone)


def test_it_reads_without_javascript(browser: Browser, there: Served) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{there.url}{HERE}")
    page.get_by_role("link", name="What the study would say with each").click()
    expect(page.locator(".let-in")).to_have_count(5)
    page.get_by_role("link", name="Back to the comparison").click()
    page.get_by_role("link", name="Nine Tramlines").first.click()
    expect(page.get_by_role("heading", name="Nine Tramlines: eleven runs behind one row")).to_be_visible()
    context.close()


def test_the_strip_follows_a_decision_by_itself(page: Page, served: Served) -> None:
    page.goto(f"{served.url}{HERE}")
    expect(page.locator("#strip")).to_contain_text("Five wait for a decision.")
    waiting = [each for each in load_study(served.wb, "saltmarsh").runs if each.state is RunState.IN_DOUBT]
    set_aside(served.wb, waiting[0].run.id, reason="rate-cap", said=Said(note="", now=NOW))
    expect(page.locator("#strip")).to_contain_text("Four wait for a decision.")
    page.goto("about:blank")  # or it asks a server that is gone


def test_the_strip_is_asked_for_a_page_that_there_is(client: TestClient) -> None:
    assert "Five wait" in client.get("/studies/saltmarsh/strip?page=runs&at=/nowhere").text
    assert client.get("/studies/saltmarsh/strip?page=else&at=/").status_code == 422
