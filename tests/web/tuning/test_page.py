"""The tuning page: the sentence first, limits in plain sight, what it draws and whether it was worth it."""

from __future__ import annotations

import html
import re
from pathlib import Path

from playwright.sync_api import Page
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.desk.tuning.small_chip import TRIAL, lay_part, tried, walked
from tests.desk.tuning.test_watts import with_watts
from tests.desk.tuning.tuned_pair import PART, measured, pair
from tests.desk.tuning.warm_log import brought
from tests.web.conftest import client_of, serving
from tests.web.looking import sound
from tests.web.tuning.told import words

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk
from evenhand.desk.tuning.noting import note_limit, note_tuned
from evenhand.publish.tuning.advice import CAUTION, CAUTIONS, caution_for
from evenhand.publish.tuning.meanings import LOADS, WORDS
from evenhand.rig.loads import known as rig_loads
from evenhand.tuning.metered import LEAST_H

HERE = "/studies/quay/tuning"


def test_before_anything_is_tuned_it_says_what_to_do_first_and_every_caution(site: TestClient) -> None:
    said = words(site.get(HERE).text)
    assert "No part is tuned yet" in said
    assert said.index("What to do first") < said.index("Note a part") < said.index(CAUTIONS[0])
    assert all(caution in said for caution in CAUTIONS)


def test_a_study_without_setups_leads_to_its_builds(empty: Desk) -> None:
    with client_of(empty) as site:
        sent = site.post("/studies/new", data={"question": "Which one?", "title": "Bare", "margin": "3"})
        there = re.sub(r"/brief.*", "", str(sent.url.path))
        said = site.get(f"{there}/tuning").text
    assert "No setup is on record yet" in words(said)
    assert f'href="{there}/builds"' in said


def test_it_stands_after_the_builds_and_before_the_bench(site: TestClient) -> None:
    steps = re.findall(r'<li[^>]*><a href="/studies/quay/(\w+)"', site.get(HERE).text)
    assert steps[:4] == ["brief", "builds", "tuning", "bench"]


def test_it_opens_with_what_is_known_then_what_comes_next_with_its_caution(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    said = words(site.get(HERE).text)
    answer = "At 5,050 MHz the edge of the processor of Wren lies near"
    assert answer in said
    assert said.index(answer) < said.index("What to do next") < said.index(CAUTION)
    assert "in the firmware and run integers for" in said
    assert "1,250 mV (Brellow K6, data sheet, page 14, read on 4 May 2031)" in said


def test_hours_at_the_advised_point_are_claimed_first_and_the_bare_word_is_refused(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    (volts,) = re.findall(r"For 5,050 MHz set ([\d,]+) mV", words(site.get(HERE).text))[:1]
    advised = TRIAL | {"clock_mhz": 5050, "voltage_mv": float(volts.replace(",", "")), "hours": 24}
    tried(bench, [advised])
    text = site.get(HERE).text
    said = words(text)
    assert "mV: in 24 h of integers at 24 °C no failure; at 95 % fewer than one in 8 h." in said
    assert said.count("stable") == 1, "only where it is said that it may not be called so"
    assert "It may not be called “stable”" in said
    assert text.count("<svg") > 4


def test_every_picture_says_what_it_shows_and_is_there_for_wide_and_narrow_pages(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    text = site.get(HERE).text
    titles = re.findall(r"<title id=[^>]*>([^<]+)</title>", text)
    assert len(titles) == 4
    assert len(set(titles)) == 2
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))


def test_what_was_typed_brings_no_markup(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    tried(bench, [TRIAL | {"load": "<b>x</b>", "note": "<script>1</script>"}])
    text = site.get(HERE).text
    assert "<b>x</b>" not in text
    assert "<script>1" not in text


def test_what_it_draws_is_told_with_how_that_is_known_or_what_is_lacking(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    assert "No trial has watts on record" in words(site.get(HERE).text)
    tried(bench, with_watts(walked()))
    said = words(site.get(HERE).text)
    assert "By its own sensor" in said
    assert re.search(r"5,000 MHz at 1,050 mV takes 6\d\.\d+ W \(", said)
    assert "does the most work for a joule, by watts at the part" in said
    assert "How that is known" in said


def test_watts_and_work_for_a_joule_are_drawn_and_stand_in_a_table_too(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    tried(bench, with_watts(walked()))
    text = site.get(HERE).text
    (section,) = re.findall(r'<section class="part" id="watts">.*?</section>', text, re.DOTALL)
    (wide, narrow) = re.findall(r"<svg.*?</svg>", section, re.DOTALL)
    for drawn in (wide, narrow):
        assert re.search(
            r'role="img" aria-labelledby="(\w+) (\w+)"><title id="\1">.+?</title><desc id="\2">', drawn
        )
        assert "work for a joule" in drawn
    assert '<div class="scroll" tabindex="0" role="group" aria-label="Watts and work for a joule' in section
    rows = [words(row) for row in re.findall(r"<tr>.*?</tr>", section, re.DOTALL)]
    assert "stock, by the law" in rows[1]
    trials = [row for row in rows if re.search(r"trial \d+, (held|failed)", row)]
    assert len(trials) == len([each for each in with_watts(walked()) if each["hours"] >= LEAST_H])
    assert all(re.search(r"\d W \([\d.]+ to [\d.]+\) [+−]?[\d.]+ % \(", row) for row in trials)


def test_whether_it_was_worth_it_is_told_with_the_care_that_no_run_takes_off(
    empty: Desk, tmp_path: Path
) -> None:
    import_folder(empty, measured(pair()).write(tmp_path / "tuned"), now=NOW)
    note_tuned(empty, PART, now=NOW)
    with client_of(empty) as site:
        text = site.get("/studies/mole/tuning").text
    said = words(text)
    assert "Was it worth it? Tuning Tern's processor buys 5.9 % (" in said
    assert said.count("Mild tune ahead") >= 3
    assert "0.60 % (" in said
    assert "At the wall it draws 24.0 W" in said
    assert "can end its warranty" in said
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))


def test_without_runs_at_stock_the_page_says_which_would_tell(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    tried(bench, walked())
    said = words(site.get(HERE).text)
    assert "Whether tuning Wren's processor is worth it is not known" in said
    assert "five runs of each of three tests on both" in said


def test_trials_under_another_load_are_another_series(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    tried(bench, [*walked(), TRIAL | {"load": "memory patterns"}])
    said = site.get(HERE).text
    assert "One trial, 5,000" in words(said).replace("\u00a0", " ")
    there = re.findall(r'<a class="chip" href="([^"]+load=1)"', said)
    assert "At 5,050 MHz the edge" in words(site.get(html.unescape(there[0])).text)


def test_it_has_no_barriers_wide_and_on_a_phone(bench: Desk, page: Page, phone: Page) -> None:
    with serving(bench) as served:
        page.goto(f"{served.url}{HERE}")
        sound(page)
        lay_part(bench)
        tried(bench, with_watts(walked()))
        for path in (HERE, f"{HERE}?edit=trial", f"{HERE}?edit=limit", f"{HERE}?edit=stock"):
            for each in (page, phone):
                each.goto(f"{served.url}{path}")
                sound(each)


def test_every_word_of_its_pictures_stands_within_them_at_every_width(bench: Desk, page: Page) -> None:
    lay_part(bench)
    tried(bench, with_watts(walked()))
    brought(bench)
    with serving(bench) as served:
        for width in (1440, 390, 360):
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(f"{served.url}{HERE}")
            drawn = page.evaluate(BEYOND)
            assert drawn["pictures"] == 4, "map, hours, watts, warmth"
            assert drawn["beyond"] == []


BEYOND = """document.fonts.ready.then(() => {
  const pictures = [...document.querySelectorAll(".drawn-twice svg")].filter((each) => each.clientWidth > 0);
  const beyond = pictures.flatMap((each) => {
    const room = each.getBoundingClientRect(), texts = [...each.querySelectorAll("text")];
    const boxes = texts.map((text) => [text.textContent, text.getBoundingClientRect()]);
    return boxes.filter(([, box]) => box.right > room.right + 0.5 || box.left < room.left - 0.5);
  });
  return {pictures: pictures.length, beyond: beyond.map(([words]) => words)};
})"""


def test_on_a_phone_trials_stand_below_each_other_and_none_is_cut(bench: Desk, phone: Page) -> None:
    lay_part(bench)
    tried(bench, walked())
    with serving(bench) as served:
        phone.goto(f"{served.url}{HERE}")
        wide = phone.eval_on_selector_all(
            "#trials .scroll", "els => els.map(e => e.scrollWidth - e.clientWidth)"
        )
        assert max(wide) <= 0
        row = phone.locator("#trials tbody tr").first
        assert row.locator("th").evaluate("e => getComputedStyle(e, '::before').content") == '"Trial "'
        box = row.get_by_role("link").bounding_box()
        assert box is not None
        assert box["height"] >= 44


def test_a_limit_of_ones_own_is_told_as_such(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    assert "what we allow ourselves" not in site.get(HERE).text
    given = {"quantity": "power", "most": 90.0, "source": "ourselves: quiet enough"}
    note_limit(bench, "wren", "processor", given, now=NOW, today=NOW.date())
    assert "Power at most 90 W (our own limit: quiet enough, set on" in words(site.get(HERE).text)
    assert "What the maker allows, and what we allow ourselves" in site.get(HERE).text


def test_the_gain_by_test_has_no_barriers(empty: Desk, tmp_path: Path, page: Page, phone: Page) -> None:
    import_folder(empty, measured(pair()).write(tmp_path / "tuned"), now=NOW)
    note_tuned(empty, PART, now=NOW)
    with serving(empty) as served:
        for each in (page, phone):
            each.goto(f"{served.url}/studies/mole/tuning")
            sound(each)


def test_it_names_the_rig_program_its_command_for_this_part_and_its_loads(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    text = site.get(HERE).text
    assert "<pre><code>python3 evenhand-rig.pyz try --setup wren --part processor</code></pre>" in text
    assert 'href="/devices"' in text
    assert set(LOADS) == set(rig_loads.LOADS), "each load of the rig program in a few words"
    assert all(f"{name} {does}" in words(text) for name, does in LOADS.items())


def test_words_of_the_claim_are_within_reach_and_two_promises_are_told_apart(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    tried(bench, walked())
    said = words(site.get(HERE).text)
    assert "is reckoned from failures" not in said, "what is advised has no hours yet"
    for nth in range(6):  # hours at what is advised may move it by a step
        volts = re.findall(r"For 5,050 MHz set ([\d,]+) mV", said)[0].replace(",", "")
        tried(
            bench,
            [{**TRIAL, "clock_mhz": 5050.0, "voltage_mv": float(volts), "hours": 24.0, "note": f"{nth}"}],
        )
        said = words(site.get(HERE).text)
        if "is reckoned from failures" in said:
            break
    assert "Integers: whole-number work with known answers, on every core." in said
    assert "only hours without a failure show a claim, and these show fewer than one in" in said
    assert "What these words mean" in said
    assert all(f"{word} {means[:1].upper()}{means[1:]}" in said for word, means in WORDS.items())


def test_beside_a_trial_of_hours_it_says_when_a_machine_may_be_left_alone() -> None:
    assert caution_for(0.2) == CAUTION
    assert "alone overnight only after it has held for hours under your eyes" in caution_for(8.0)
    assert any("overnight" in each for each in CAUTIONS)
    assert any("other drives off" in each for each in CAUTIONS)
