"""A pattern is tried on pasted output, and says which number it takes or why none."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Page, expect
from tests.web.looking import Served

from evenhand.web.pattern_trial import tried

CHECK = "/studies/saltmarsh/brief/new-test?check=1&tried=1"


@pytest.mark.parametrize(
    ("pattern", "output", "said"),
    [
        (r"score: ([\d.]+)", "score: 12.5", "Takes 12.5, by the first group."),
        (r"(\d) of (?P<score>[\d,]+)", "3 of 7,5", "Takes 7.5, by the group ‘score’."),
        (r"[\d.]+", "12.5", "Takes 12.5, from the whole match, as the pattern has no group."),
        (r"^pass (\d+)$", "pass 1\r\npass 2\r\n", "It fits 2 times; the last one counts."),
        (r"score: (\d+)", "no result", "Nothing in this output fits"),
        (r"score: (\w+)", "score: good", "found 'good', which is no number"),
        (r"score: (\d+)", "score: 0", "a score is more than nothing"),
        (r"pass(?: (\d+))?", "pass", "took no part"),
        (r"score: ([", "score: 1", "The pattern cannot be read"),
        ("", "score: 1", "the seconds that it took"),
        (r"(a+)+$", "a" * 60 + "b", "was not done with this output after 2 s"),
    ],
)
def test_it_says_what_a_rig_would_take(pattern: str, output: str, said: str) -> None:
    assert said in tried(pattern, output)


def test_the_form_shows_what_is_taken_without_scripts_and_keeps_what_was_pasted(client: TestClient) -> None:
    sent = {"name": "Sort", "measures": "score", "unit": "s", "script_command": "sort it"}
    sent |= {"script_score": r"took (\S+)", "script_sample": "took <b>9</b>"}
    page = client.post(CHECK, data=sent).text
    assert "found &#39;&lt;b&gt;9&lt;/b&gt;&#39;, which is no number" in page
    assert "<b>9</b>" not in page
    assert ">took &lt;b&gt;9&lt;/b&gt;</textarea>" in page


def test_trying_saves_nothing(client: TestClient) -> None:
    sent = {"name": "Sort", "measures": "score", "unit": "s", "script_sample": "took 9"}
    client.post(CHECK, data=sent)
    assert "Sort" not in client.get("/studies/saltmarsh/brief").text


def test_the_button_says_it_in_place_and_enter_still_saves(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/brief?edit=new-test")
    page.get_by_label("Name", exact=False).first.fill("Sorting")
    page.get_by_label("A score").check()
    page.get_by_label("Unit of the score").fill("s")
    page.get_by_text("A command that runs it on a rig by itself").click()
    page.get_by_label("Command", exact=True).fill("sort it")
    page.get_by_label("Pattern of the score").fill(r"took (\d+)")
    page.get_by_label("Try the pattern").fill("took 9\ntook 8")
    page.get_by_role("button", name="Try it").click()
    expect(page.get_by_text("Takes 8, by the first group. It fits 2 times")).to_be_visible()
    page.get_by_label("Command", exact=True).press("Enter")
    expect(page.locator(".tests").first).to_contain_text("sort it")


def test_what_was_said_of_other_words_is_taken_away(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/studies/saltmarsh/brief?edit=new-test")
    page.get_by_text("A command that runs it on a rig by itself").click()
    pattern, sample = page.get_by_label("Pattern of the score"), page.get_by_label("Try the pattern")
    pattern.fill(r"took (\d+)")
    sample.fill("took 9")
    page.get_by_role("button", name="Try it").click()
    told = page.locator("#test-script_sample-says")
    expect(told).to_contain_text("Takes 9, by the first group")
    pattern.press("End")
    pattern.press_sequentially("+")
    expect(told).to_have_text("")
    page.get_by_role("button", name="Try it").click()
    expect(told).to_contain_text("Takes 9, by the first group")
    pattern.fill(r"(a+)+$")
    sample.fill("a" * 60 + "b")
    page.get_by_role("button", name="Try it").click()
    expect(told).to_have_text("Being tried on this output.")
    expect(told).to_contain_text("was not done with this output after 2 s")


def test_filling_in_the_form_tries_nothing_by_itself(client: TestClient) -> None:
    sent = {"name": "Sort", "measures": "score", "unit": "s", "script_score": "9", "script_sample": "took 9"}
    assert "Takes 9" not in client.post(CHECK.removesuffix("&tried=1"), data=sent).text
    assert "Takes 9" in client.post(CHECK, data=sent).text


def test_a_trial_without_an_answer_says_so(served: Served, phone: Page) -> None:
    phone.goto(f"{served.url}/studies/saltmarsh/brief?edit=new-test")
    phone.get_by_text("A command that runs it on a rig by itself").click()
    phone.get_by_label("Try the pattern").fill("took 9")
    phone.evaluate(
        """document.addEventListener("htmx:before:request", (event) => {
             event.detail.ctx.fetch = () => Promise.reject(new TypeError("Failed to fetch"));
           })"""
    )
    phone.get_by_role("button", name="Try it").click()
    expect(phone.locator("#test-script_sample-says")).to_contain_text("It was not tried")
