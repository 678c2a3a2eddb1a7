"""The verdict page: for whom, how surely, what the money says, what flips it; sliders that need no server."""

from __future__ import annotations

import json
import random
import re
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.desk.small_folder import small_folder
from tests.web.conftest import NOW, serving
from tests.web.looking import Served, sound

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_ground import tried

PAGE = "/studies/saltmarsh/verdict"
PAIR = ("plover-mild", "dunlin-mild")


@pytest.fixture
def judged(decided: Desk) -> Iterator[Served]:
    with serving(decided) as served:
        yield served


def test_it_opens_with_who_leads_all_three_and_tells_the_pair_for_two_audiences_that_differ(
    decided: Desk, page: Page
) -> None:
    with serving(decided) as served:
        page.goto(f"{served.url}{PAGE}")
        answer = page.locator("h1.answer").inner_text()
        of_pair = page.locator(".of-pair").inner_text().replace("\u00a0", " ")
        expect(page.locator("main")).to_contain_text("Shown first: Plover and Dunlin are closest")
        page.goto(f"{served.url}{PAGE}?pair=plover-mild~wren-mild")
        expect(page.locator("main")).not_to_contain_text("Shown first")
    assert answer.startswith("Mostly play: Plover and Dunlin are level and ahead of Wren, ")
    assert of_pair == (
        "Mostly play: Plover and Dunlin are level, measurably Plover by 1.4 %, and Plover is the better "
        "value at 998 dl. Mostly editing: level, measurably Dunlin by 2.3 %, and Dunlin is the better value "
        "at 1,012 dl."
    )


def test_planted_flips_are_all_shown(judged: Served, page: Page) -> None:
    page.goto(f"{judged.url}{PAGE}")
    said = page.locator("main").inner_text().replace("\u00a0", " ")
    figure = page.locator(".lead-by-weight").text_content() or ""
    assert "turns at 56.8 % games" in figure.replace("\u00a0", " ")
    assert "Plover is worth 1,026 dl" in said
    assert "Salt Causeway is left out" in said
    assert "Sentences this study refuses" in said
    assert page.locator(".sentences .refused").count() >= 3


def test_it_has_no_barriers_and_fits_a_phone(judged: Served, phone: Page) -> None:
    phone.goto(f"{judged.url}{PAGE}")
    sound(phone)


def test_a_slider_answers_in_the_page_as_the_server_does(judged: Served, decided: Desk, page: Page) -> None:
    record = load_study(decided, "saltmarsh")
    here = judged_for(decided, record).audiences[0]
    page.goto(f"{judged.url}{PAGE}")
    rng = random.Random(5)
    for games in [0.5, 57.0, 99.5, *(rng.uniform(0, 100) for _ in range(20))]:
        one = page.evaluate(
            """async (games) => {
                const { judge } = await import("/static/weighing.js");
                const ground = JSON.parse(document.querySelector("#weights").dataset.ground);
                const found = judge(ground, { games, work: 100 - games });
                return found.find((p) => p.a === ground.pair[0] && p.b === ground.pair[1]);
            }""",
            games,
        )
        told = tried(here, {"games": games}, PAIR)
        assert told is not None
        assert told.break_even is not None
        assert one["outcome"] == told.outcome.value
        assert one["value"] == told.value.value
        assert 2.718281828459045 ** one["d"] == pytest.approx(told.ratio, rel=1e-9)
        assert 2.718281828459045 ** (one["d"] + one["shown"]) == pytest.approx(told.high, rel=1e-9)
        assert 2.718281828459045 ** (one["d"] - one["bounds"]) == pytest.approx(told.bound_low, rel=1e-9)
        assert one["adjusted"] == pytest.approx(told.p_holm, rel=1e-6, abs=1e-12)


def test_the_slider_is_moved_by_keys_and_says_what_holds_then(judged: Served, page: Page) -> None:
    page.goto(f"{judged.url}{PAGE}")
    slider = page.get_by_role("slider", name="Share of games")
    slider.focus()
    for _ in range(40):
        page.keyboard.press("ArrowLeft")
    expect(page.locator("#weights output")).to_have_text("40\u00a0%")
    expect(slider).to_have_attribute("aria-valuetext", "40\u00a0%")
    read = page.locator("#weights-read")
    expect(read).to_contain_text("are level within ±3\u00a0%: measurably Dunlin +1.0")
    expect(page.locator("#lead-here")).to_have_attribute("visibility", "visible")


def test_what_first_answers_cost_is_paid_while_nobody_moves(judged: Served, page: Page) -> None:
    page.add_init_script(
        "let idle = 0; window.requestIdleCallback = (then) => {"
        " document.documentElement.dataset.idle = idle += 1; setTimeout(then); };"
    )
    page.goto(f"{judged.url}{PAGE}")
    expect(page.locator("html")).to_have_attribute("data-idle", "40")
    expect(page.locator("#weights-read")).to_contain_text("As written down: ")
    expect(page.locator("#lead-here")).to_have_attribute("visibility", "hidden")


def test_the_curve_shows_each_width_its_own_words(judged: Served, page: Page, phone: Page) -> None:
    for one, shown, hidden in ((page, ".broad", ".slim"), (phone, ".slim", ".broad")):
        one.goto(f"{judged.url}{PAGE}")
        figure = one.locator(".lead-by-weight")
        assert all(each.is_hidden() for each in figure.locator(hidden).all())
        assert all(each.is_visible() for each in figure.locator(f"text{shown}").all())
        subtitle = one.locator("figure:has(.lead-by-weight) > p").bounding_box()
        first = one.locator(f".lead-by-weight text{shown}").first.bounding_box()
        assert subtitle
        assert first
        assert first["y"] - subtitle["y"] - subtitle["height"] < 36


TOUCHING = """() => {
  const texts = [...document.querySelectorAll('#judged figure svg text')];
  const words = texts.filter(e => e.getClientRects().length);
  const across = (a, b) => a.left < b.right - 1 && b.left < a.right - 1;
  const touch = (a, b) => across(a, b) && a.top < b.bottom - 4 && b.top < a.bottom - 4;
  const boxes = words.map(e => [e.textContent, e.getBoundingClientRect()]);
  return boxes.flatMap(([a, p], i) => boxes.slice(i + 1).filter(([, q]) => touch(p, q)).map(([b]) => [a, b]));
}"""


@pytest.mark.parametrize("wide", [360, 700, 970, 1100, 1440])
def test_no_two_words_of_a_figure_touch_as_they_are_drawn(judged: Served, page: Page, wide: int) -> None:
    page.set_viewport_size({"width": wide, "height": 900})
    page.goto(f"{judged.url}{PAGE}")
    assert page.evaluate(TOUCHING) == []


def test_without_scripts_the_form_asks_the_server(judged: Served) -> None:
    said = asked(judged, "?weight-games=40")
    assert "With these weights: Plover and Dunlin are level within ±3 %" in said


def test_another_pair_and_audience_may_be_looked_at(judged: Served) -> None:
    said = asked(judged, "?pair=plover-mild~wren-mild&audience=new-seats")
    assert "Mostly play: Plover is ahead of Wren by 30.6 %, but Wren is the better value at 742 dl." in said
    assert "Mostly play, new seats" in said


def test_only_a_pair_that_was_asked_for_is_carried_to_other_audiences(judged: Served) -> None:
    links = re.compile(rf'href="({PAGE}\?[^"]*audience=new-seats[^"]*)"')
    assert "pair=" not in next(iter(links.findall(asked(judged, ""))))
    assert "pair=" in next(iter(links.findall(asked(judged, "?pair=plover-mild~wren-mild"))))


def asked(served: Served, query: str) -> str:
    """The page as it comes without a browser."""
    with urllib.request.urlopen(f"{served.url}{PAGE}{query}") as answer:
        return str(answer.read().decode()).replace("\u00a0", " ")


def test_the_page_of_two_changes_opens_with_the_smallest_of_them(judged: Served) -> None:
    said = asked(judged, "/two?whole=1")
    answer = re.search(r'<h1 class="answer">(.*?)</h1>', said)
    assert answer
    assert answer[1].startswith("For Mostly play, Plover and Dunlin are level by value once ")
    assert re.search(r"\d+ larger changes would flip something too\.", said)


def test_two_changes_are_waited_for_only_until_they_are_tried(judged: Served, page: Page) -> None:
    page.goto(f"{judged.url}{PAGE}/two?audience=new-seats")
    expect(page.locator("#two h2")).to_be_visible()
    sound(page)
    assert 'id="two"' in asked(judged, "/two?audience=new-seats")


def test_where_what_takes_longer_does_not_come_the_page_stays_and_leads_to_it(
    judged: Served, browser: Browser
) -> None:
    page = browser.new_page()  # one whose console may tell of trouble
    page.route("**whole=1**", lambda route: route.fulfill(status=503, body="not now"))
    with page.expect_response("**whole=1**"):
        page.goto(f"{judged.url}{PAGE}/two?audience=mostly-editing")
    expect(page.get_by_role("heading", level=1)).to_contain_text("every two changes are being tried")
    expect(page.get_by_role("link", name="See what they turn")).to_be_visible()
    page.close()


def test_every_change_is_on_the_page_the_larger_ones_when_asked_for(judged: Served) -> None:
    said = asked(judged, "")
    assert "`" not in said
    fold = re.search(
        r"<summary>(\w+) larger changes? would flip something too</summary>(.*?)</details>", said, re.S
    )
    assert fold
    assert {"One": 1, "Two": 2, "Three": 3}[fold[1]] == fold[2].count("<li>")


def test_two_changes_together_come_once_they_are_scrolled_to(judged: Served, page: Page) -> None:
    page.goto(f"{judged.url}{PAGE}")
    page.locator("#two").scroll_into_view_if_needed()
    expect(page.locator("#two h2")).to_have_text("What two changes together would flip")
    expect(page.locator("#two .flips li")).to_have_count(7)


def test_programs_have_the_same_verdicts(judged: Served) -> None:
    with urllib.request.urlopen(f"{judged.url}/api/studies/saltmarsh/verdict?two=true") as answer:
        told = json.load(answer)
    first = told["audiences"][0]
    assert first["audience"]["key"] == "mostly-play"
    assert first["verdicts"][0]["outcome"] == "level"
    assert round(first["verdicts"][0]["break_even"]["at"]) == 1026
    assert any(f["moves"][0]["name"] == "games" and f["aspect"] == "order" for f in first["flips"])
    assert first["two_changes"]


@pytest.fixture
def odd(empty: Desk, tmp_path: Path) -> Desk:
    """Weights of 0.5, 0.2 and 0.1, and no price."""
    folder = small_folder()
    tests = {"causeway": 0.5, "tramlines": 0.2, "render": 0.1}
    folder.document["study"]["audiences"] = [{"key": "odd", "name": "Odd", "tests": tests}]
    import_folder(empty, folder.write(tmp_path / "study"), now=NOW)
    return empty


def test_sliders_hold_weights_to_the_tenth_of_a_point(odd: Desk, page: Page) -> None:
    with serving(odd) as served:
        page.goto(f"{served.url}/studies/quay/verdict")
        told = [one.replace("\u00a0", " ") for one in page.locator("#weights output").all_inner_texts()]
        assert told == ["62.5 %", "25 %", "12.5 %"]
        values = page.locator("#weights input[type=range]").evaluate_all("all => all.map(e => e.value)")
        assert [float(value) for value in values] == [62.5, 25, 12.5]
        written = page.locator("#weights-read").inner_text()
        page.locator("#weight-1").dispatch_event("input")
        read = page.locator("#weights-read").inner_text().replace("\u00a0", " ")
        assert read.startswith("With Salt Causeway 62.5 %, Nine Tramlines 25 %, Night render 12.5 %: ")
        assert read.partition(": ")[2] == written.replace("\u00a0", " ").partition(": ")[2]


def test_without_prices_the_curve_takes_the_whole_width(odd: Desk, page: Page) -> None:
    with serving(odd) as served:
        page.goto(f"{served.url}/studies/quay/verdict")
        figure = page.locator(".lead-by-weight").bounding_box()
        main = page.locator("#judged").bounding_box()
        assert figure
        assert main
        assert figure["width"] > 0.95 * main["width"]
        assert (page.locator("main").inner_text()).count("No currency is on record") == 1
