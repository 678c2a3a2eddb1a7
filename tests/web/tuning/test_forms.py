"""The forms of the tuning page: what is noted by them, refused at its field, taken back and put back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.tuning.small_chip import LIMIT, TRIAL, TUNED, lay_part, tried, walked
from tests.web.conftest import serving
from tests.web.tuning.told import at_field, words

from evenhand.desk.opening import Desk
from evenhand.desk.tuning.noting import tuned_part
from evenhand.records.trials import Quantity
from evenhand.store.trials import reasons, trials_of

HERE = "/studies/quay/tuning"
OF = "wren~processor"
MAKERS = {"whose": "maker"}


def typed(given: dict[str, object], **more: str) -> dict[str, str]:
    return {"of": OF, **{key: str(value) for key, value in given.items()}, **more}


def test_a_part_a_limit_and_a_trial_are_noted_by_forms_alone(bench: Desk, site: TestClient) -> None:
    part = site.post(f"{HERE}/part", data=typed(TUNED) | {"of": ""})
    assert "The part is on record." in part.text
    assert "No limit of the maker" in words(part.text)
    limit = site.post(f"{HERE}/limit", data=typed(LIMIT | MAKERS, read_on="2031-05-04"))
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
    limit = {"quantity": "clock", "most": "5200", "source": "data sheet, page 3", **MAKERS}
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
        ("limit", LIMIT | MAKERS | {"source": ""}, "source", "where this is written"),
        ("limit", LIMIT | MAKERS | {"read_on": "2031-05-09"}, "read_on", "still to come"),
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
        ("limit", LIMIT | MAKERS | {"most": "900"}, "most", "of 900 mV lies below stock, which is 1,050 mV"),
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


def test_a_pass_with_counted_errors_is_refused_with_what_to_write_instead(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    given = typed(TRIAL, errors="3")
    for way in ("?check=1", ""):
        answer = site.post(f"{HERE}/trial{way}", data=given)
        assert "yet 3 errors were counted" in words(answer.text)
        assert 'write "error" as its outcome' in words(answer.text)
    assert trials_of(bench, ["wren"]) == ()


def test_the_same_form_sent_twice_is_one_trial(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    form = site.get(f"{HERE}?edit=trial").text
    (key,) = re.findall(r'name="key" value="(page-\w+)"', form)
    for _ in range(2):
        site.post(f"{HERE}/trial", data=typed(TRIAL, key=key))
    assert len(trials_of(bench, ["wren"])) == 1
    assert f'name="key" value="{key}"' not in site.get(f"{HERE}?edit=trial").text


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
    ("place", "given"),
    [("part", TUNED | {"of": ""}), ("limit", LIMIT | MAKERS), ("trial", TRIAL), ("part", TUNED)],
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


def test_a_part_of_another_study_is_not_reached(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    assert site.get(f"{HERE}?of=gull~processor").status_code == 404
    assert site.post(f"{HERE}/trial", data=typed(TRIAL) | {"of": "gull~processor"}).status_code == 404


def test_a_limit_says_whose_it_is_and_what_a_forum_says_is_never_told_as_the_makers(
    bench: Desk, site: TestClient
) -> None:
    lay_part(bench)
    forum = {"quantity": "clock", "most": "5200", "source": "a forum thread"}
    asked = site.post(f"{HERE}/limit", data=typed(forum, read_on="2031-05-04"))
    assert asked.status_code == 422
    assert "choose whether the maker wrote it, or whether it is your own" in at_field(asked.text, "whose")
    said = words(site.post(f"{HERE}/limit", data=typed(forum | {"whose": "own"}, read_on="2031-05-04")).text)
    assert "clock at most 5,200 MHz (our own limit: a forum thread, set on 4 May 2031)" in said
    limit = tuned_part(bench, "wren", "processor").limit(Quantity.CLOCK)
    assert limit is not None
    assert limit.own


def test_one_of_ones_own_is_not_noted_as_the_makers(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    given = typed(LIMIT | MAKERS | {"source": "Ourselves: enough"}, read_on="2031-05-04")
    asked = site.post(f"{HERE}/limit", data=given)
    assert "choose that it is your own" in at_field(asked.text, "whose")


def test_an_error_with_none_counted_is_asked_about(bench: Desk, site: TestClient) -> None:
    lay_part(bench)
    given = typed(TRIAL, outcome="error", errors="0")
    asked = site.post(f"{HERE}/trial", data=given)
    assert "none was counted: it counts as one failure" in words(asked.text)
    assert trials_of(bench, ["wren"]) == ()
    site.post(f"{HERE}/trial", data=given | {"sure": "yes"})
    assert len(trials_of(bench, ["wren"])) == 1
    blank = site.post(f"{HERE}/trial", data=typed(TRIAL, outcome="error", errors="", key="b"))
    assert blank.status_code == 200, "where nobody counted there is nothing to ask"
