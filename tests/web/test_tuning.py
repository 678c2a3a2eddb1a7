"""The tuning page: the sentence first, limits in plain sight; what is noted on it and taken back."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.desk.small_folder import small_folder
from tests.desk.tuning.small_chip import LIMIT, TRIAL, TUNED, lay_part, tried, walked
from tests.desk.tuning.test_watts import with_watts
from tests.desk.tuning.tuned_pair import PART, measured, pair
from tests.web.conftest import client_of, serving
from tests.web.looking import sound

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk
from evenhand.desk.tuning.noting import note_limit, note_tuned, tuned_part
from evenhand.publish.tuning_advice import CAUTION, CAUTIONS
from evenhand.store.trials import reasons, trials_of

HERE = "/studies/quay/tuning"
OF = "wren~processor"


@pytest.fixture
def bench(empty: Desk, tmp_path: Path) -> Desk:
    """The small study, nothing tuned."""
    import_folder(empty, small_folder().write(tmp_path / "study"), now=NOW)
    return empty


@pytest.fixture
def site(bench: Desk) -> Iterator[TestClient]:
    with client_of(bench) as opened:
        yield opened


def words(text: str) -> str:
    plain = re.sub(r"<svg.*?</svg>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", plain)).replace("\u00a0", " ").split())


def typed(given: dict[str, object], **more: str) -> dict[str, str]:
    return {"of": OF, **{key: str(value) for key, value in given.items()}, **more}


def at_field(text: str, name: str) -> str:
    """What stands under a field."""
    found = re.search(rf'id="[\w-]+-{name}-says"[^>]*>(.*?)</div>', text, flags=re.DOTALL)
    return words(found[1]) if found else ""


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


def test_a_part_a_limit_and_a_trial_are_noted_by_forms_alone(bench: Desk, site: TestClient) -> None:
    part = site.post(f"{HERE}/part", data=typed(TUNED) | {"of": ""})
    assert "The part is on record." in part.text
    assert "No limit of the maker" in words(part.text)
    limit = site.post(f"{HERE}/limit", data=typed(LIMIT, read_on="2031-05-04"))
    assert "On record: voltage at most 1,250 mV (Brellow K6, data sheet, page 14" in words(limit.text)
    watts = {"watts": "141,5", "watts_at": "part"}
    trial = site.post(f"{HERE}/trial", data=typed(TRIAL | {"hours": ""}, minutes="10", **watts))
    told = words(trial.text)
    assert "On record: 5,000 MHz at 1,050 mV, integers: held 10 min" in told
    assert "141.5 W at the part" in told
    (kept,) = trials_of(bench, ["wren"])
    assert kept.hours == pytest.approx(1 / 6)
    assert tuned_part(bench, "wren", "processor").hottest_room_c == 24.0


def test_a_part_whose_voltage_is_left_alone_is_noted_and_tried_by_its_clock(
    bench: Desk, site: TestClient
) -> None:
    alone = TUNED | {"voltage_step_mv": "0", "stock_voltage_mv": "", "of": ""}
    said = words(site.post(f"{HERE}/part", data=typed(alone)).text)
    assert "until one of the clock is noted" in said
    limit = {"quantity": "clock", "most": "5200", "source": "data sheet, page 3"}
    said = words(site.post(f"{HERE}/limit", data=typed(limit, read_on="2031-05-04")).text)
    assert "Set 5,000 MHz in the firmware, leave the voltage to the part and run" in said
    form = site.get(f"{HERE}?edit=trial").text
    assert 'name="clock_mhz"' in form
    assert 'name="voltage_mv"' not in form
    given = {key: value for key, value in TRIAL.items() if key != "voltage_mv"}
    counted = {"outcome": "error", "errors": "12", "corrected": "9", "hours": "1"}
    said = words(site.post(f"{HERE}/trial", data=typed(given | counted)).text)
    assert (
        "5,000 MHz at its own voltage, integers: ran 1 h, twelve counted errors, nine of them corrected"
        in said
    )
    (kept,) = trials_of(bench, ["wren"])
    assert (kept.voltage_mv, kept.errors, kept.corrected) == (0.0, 12, 9)


@pytest.mark.parametrize(
    ("place", "given", "field", "told"),
    [
        ("trial", TRIAL | {"errors": "2", "corrected": "3"}, "corrected", "counted in all"),
        ("part", TUNED | {"clock_step_mhz": ""}, "clock_step_mhz", "nothing stands here"),
        ("part", TUNED | {"of": "", "stock_clock_mhz": "fast"}, "stock_clock_mhz", "is not a number"),
        ("part", TUNED | {"of": "", "part": "graphics"}, "part", "has no part of the kind"),
        ("limit", LIMIT | {"source": ""}, "source", "where this is written"),
        ("limit", LIMIT | {"read_on": "2031-05-09"}, "read_on", "still to come"),
        ("trial", TRIAL | {"voltage_mv": 1300}, "voltage_mv", "page 14"),
        ("trial", TRIAL | {"hours": ""}, "hours", "missing"),
        ("trial", TRIAL | {"room_c": 300}, "room_c", "300"),
        ("trial", TRIAL | {"watts": "142"}, "watts_at", "not said where 142 W were read"),
        ("trial", TRIAL | {"watts_at": "wall"}, "watts", "not said how many"),
        ("trial", TRIAL | {"watts": "-3", "watts_at": "wall"}, "watts", "above 0"),
        ("trial", TRIAL | {"planned_h": "1"}, "planned_h", "passed, yet ran 10 min of 1 h that were planned"),
        ("trial", TRIAL | {"at": "yesterday"}, "at", "is no day"),
        ("trial", TRIAL | {"at": "2031-06-04"}, "at", "still to come"),
        ("trial", TRIAL | {"outcome": ""}, "outcome", "Nothing stands here; choose how it ended."),
        ("trial", TRIAL | {"load": ""}, "load", "Nothing stands here; write it."),
        (
            "trial",
            TRIAL | {"hottest_c": "20"},
            "sure",
            "its hottest reading of 20 °C is below the air of 24 °C",
        ),
        ("trial", TRIAL | {"clock_mhz": "5010"}, "sure", "5,010 MHz at 1,050 mV lies between the steps"),
        (
            "part",
            TUNED | {"of": "", "stock_clock_mhz": "4900"},
            "part",
            "is on record; choose it on this page",
        ),
        ("part", TUNED | {"stock_clock_mhz": "-5"}, "stock_clock_mhz", "-5 cannot be; write what is greater"),
        ("limit", LIMIT | {"most": "900"}, "most", "of 900 mV lies below stock, which is 1,050 mV"),
    ],
)
def test_a_slip_is_told_at_its_field_and_nothing_is_kept(
    bench: Desk, site: TestClient, place: str, given: dict[str, object], field: str, told: str
) -> None:
    lay_part(bench)
    before = tuned_part(bench, "wren", "processor")
    answer = site.post(f"{HERE}/{place}", data=typed(given))
    assert answer.status_code == 422
    assert told in at_field(answer.text, field)
    assert trials_of(bench, ["wren"]) == ()
    assert tuned_part(bench, "wren", "processor") == before


def test_a_trial_is_offered_with_its_day_and_no_hours_that_nobody_planned(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    form = site.get(f"{HERE}?edit=trial").text
    assert 'name="at" value="2031-05-04"' in form
    assert 'name="planned_h" value=""' in form
    assert " checked" not in form[form.index("How it ended") :], "a pass that nobody chose"
    assert re.search(r'name="clock_mhz"[^>]* autofocus', form)
    said = words(site.post(f"{HERE}/trial", data=typed(TRIAL, at="2031-05-03")).text)
    assert "3 May 2031" in said
    (kept,) = trials_of(bench, ["wren"])
    assert kept.at is not None
    assert kept.at.tzinfo is not None


def test_what_is_seldom_meant_is_kept_once_somebody_says_that_it_is_so(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    odd = TRIAL | {"clock_mhz": "5010"}
    asked = site.post(f"{HERE}/trial", data=typed(odd)).text
    assert "It is so: keep it" in words(asked)
    said = words(site.post(f"{HERE}/trial", data=typed(odd, sure="yes")).text)
    assert "On record: 5,010 MHz" in said
    assert "Some trials lie between the steps" in said


def test_of_a_pass_with_counted_errors_it_says_that_it_counts_as_failed(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    given = typed(TRIAL, errors="3")
    assert "it counts as failed" in at_field(site.post(f"{HERE}/trial?check=1", data=given).text, "errors")
    assert "With errors counted it counts as failed." in words(site.post(f"{HERE}/trial", data=given).text)


def test_the_same_form_sent_twice_is_one_trial(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    form = site.get(f"{HERE}?edit=trial").text
    (key,) = re.findall(r'name="key" value="(page-\w+)"', form)
    for _ in range(2):
        site.post(f"{HERE}/trial", data=typed(TRIAL, key=key))
    assert len(trials_of(bench, ["wren"])) == 1
    assert f'name="key" value="{key}"' not in site.get(f"{HERE}?edit=trial").text


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


def test_a_trial_is_taken_back_with_a_reason_and_stays_to_be_read(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    first, *_ = tried(bench, walked())
    asked = site.get(f"{HERE}?edit=back-trial-{first.id}").text
    assert f"Why trial {first.id} is taken back" in words(asked)
    refused = site.post(f"{HERE}/trials/{first.id}/take-back", data={"of": OF, "reason": " "})
    assert refused.status_code == 422
    assert "It is not said why" in at_field(refused.text, "reason")
    done = site.post(f"{HERE}/trials/{first.id}/take-back", data={"of": OF, "reason": "the fan was off"})
    assert "Taken back: 5,000 MHz at 1,050 mV" in words(done.text)
    assert reasons(bench) == {first.id: "the fan was off"}
    assert "the fan was off" in words(site.get(HERE).text)


def test_a_limit_is_taken_back_and_nothing_is_advised_from_then_on(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    tried(bench, walked())
    (limit,) = tuned_part(bench, "wren", "processor").limits
    done = site.post(f"{HERE}/limits/{limit.id}/take-back", data={"of": OF, "reason": "another revision"})
    said = words(done.text)
    assert f"Limit {limit.id} is taken back." in said
    assert "No limit of the maker’s is noted" in said
    assert "set 1," not in said


def test_a_part_of_another_study_is_not_reached(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    assert site.get(f"{HERE}?of=gull~processor").status_code == 404
    assert site.post(f"{HERE}/trial", data=typed(TRIAL) | {"of": "gull~processor"}).status_code == 404


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
        tried(bench, walked())
        for path in (HERE, f"{HERE}?edit=trial", f"{HERE}?edit=limit", f"{HERE}?edit=stock"):
            for each in (page, phone):
                each.goto(f"{served.url}{path}")
                sound(each)


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


def test_a_trial_and_a_limit_are_put_back_with_a_reason_and_every_turn_is_read(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    first, *_ = tried(bench, walked())
    (limit,) = tuned_part(bench, "wren", "processor").limits
    for thing, number, back in (("trials", first.id, "put-trial"), ("limits", limit.id, "put-limit")):
        there = f"{HERE}/{thing}/{number}"
        site.post(f"{there}/take-back", data={"of": OF, "reason": "the fan was off"})
        assert f"edit={back}-{number}" in site.get(HERE).text
        assert "It counts again" in words(site.get(f"{HERE}?edit={back}-{number}").text)
        refused = site.post(f"{there}/put-back", data={"of": OF, "reason": ""})
        assert refused.status_code == 422
        assert "It is not said why" in at_field(refused.text, "reason")
        done = words(site.post(f"{there}/put-back", data={"of": OF, "reason": "it was on"}).text)
        assert "counts again." in done
        assert "Taken back on 4 May 2031: the fan was off" in done
        assert "Put back on 4 May 2031: it was on" in done
    assert reasons(bench) == {}
    assert tuned_part(bench, "wren", "processor").limits == (limit,)


def test_a_field_is_looked_at_when_it_was_left_and_nothing_is_kept(bench: Desk, page: Page) -> None:
    lay_part(bench)
    tried(bench, walked())
    before = trials_of(bench, ["wren"])
    with serving(bench) as served:
        page.goto(f"{served.url}{HERE}?edit=trial")
        volts = page.get_by_label("Voltage that was set")
        volts.fill("1300")
        volts.press("Tab")
        expect(page.locator("#trial-voltage_mv-says")).to_contain_text("data sheet, page 14")
        volts.fill("1200")
        volts.press("Tab")
        expect(page.locator("#trial-voltage_mv-says")).to_be_empty()
        page.get_by_label("It held for").fill("2,5")
        page.get_by_label("It held for").press("Tab")
        expect(page.locator("#trial-hours-says")).to_contain_text("Read as 2.5 h.")
        expect(volts).to_have_value("1200")
        page.goto(f"{served.url}{HERE}?edit=limit")
        page.get_by_label("At most").fill("900")
        page.get_by_label("At most").press("Tab")
        expect(page.locator("#limit-most-says")).to_contain_text("below stock")
        page.goto(f"{served.url}{HERE}?edit=stock")
        page.get_by_label("Step of the clock").fill("fast")
        page.get_by_label("Step of the clock").press("Tab")
        expect(page.locator("#stock-clock_step_mhz-says")).to_contain_text("is not a number")
    assert trials_of(bench, ["wren"]) == before


@pytest.mark.parametrize(
    ("place", "given"), [("part", TUNED | {"of": ""}), ("limit", LIMIT), ("trial", TRIAL), ("part", TUNED)]
)
def test_a_form_that_is_only_looked_at_keeps_nothing(
    bench: Desk, site: TestClient, place: str, given: dict[str, object]
) -> None:
    if given.get("of") != "":
        lay_part(bench)
    before = bench.changes()
    looked = site.post(f"{HERE}/{place}?check=1", data=typed(given))
    assert looked.status_code == 200
    assert f"{HERE}/{place}?check=1" in looked.text
    assert bench.changes() == before
