"""What the bench says of the run that came in last: also while older ones wait, and before it is judged."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.conftest import NOW, serving
from tests.web.looking import sound
from tests.web.spring import BENCH, plan_id, slots_of

from evenhand.desk.bench import landing
from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.planning import skip
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.runs import RunState
from evenhand.web.app import make_app
from evenhand.web.served import Site

GOOD = (61.0, 61.3, 60.8)
LATER = NOW + timedelta(hours=1)  # while the plan is followed


def land(wb: Desk, score: float, *, ago: int, in_plan: bool = True) -> RunState:
    """A run of Plover's export that came in so many minutes ago, under its next open slot or under none."""
    setup = load_study(wb, "spring").study.setups[0]
    filing = Filing(study="spring", test="export", setup=setup, score=score)
    if in_plan:
        wanted = ("export", setup)
        slot = next(n.slot for n in slots_of(wb) if (n.slot.test, n.slot.setup) == wanted and n.state.open)
        filing = Filing(
            study="spring", test="export", setup=setup, score=score, plan=plan_id(wb), slot=slot.number,
            boot=slot.boot,
        )  # fmt: skip
    return land_score(wb, filing, by="rig", now=LATER - timedelta(minutes=ago)).run.state


@pytest.fixture
def one_waits(planned: Desk) -> Desk:
    """Three runs that agree, and one that does not."""
    for at, score in enumerate(GOOD):
        land(planned, score, ago=30 - at)
    assert land(planned, 40.0, ago=4) is RunState.IN_DOUBT
    return planned


@pytest.fixture
def bench(planned: Desk) -> TestClient:
    """The pages alone, without what judges in the background as long as the site is open."""
    site = Site(wb=planned, now=lambda: LATER)
    return TestClient(make_app(site), base_url="http://127.0.0.1", client=("127.0.0.1", 50000))


def landed_part(client: TestClient) -> str:
    page = client.get(BENCH).text.replace("\u00a0", " ")
    return page.partition('id="landed"')[2].partition("</section>")[0]


def test_a_clean_run_has_its_own_card_while_an_older_one_waits(one_waits: Desk, bench: TestClient) -> None:
    assert land(one_waits, 61.1, ago=0) is RunState.LANDED
    part = landed_part(bench)
    fresh, _, waits = part.partition("</article>")
    assert "Landed just now" in fresh
    assert re.search(r"Timeline export, run 5</a> matches its siblings\.", fresh)
    assert "<dt>Score</dt><dd>61.10" in fresh
    assert "Waits for a decision, landed 4 minutes ago" in waits
    assert "Timeline export, run 4 does not match its siblings." in waits
    assert "<dt>Score</dt><dd>40.00" in waits


def test_what_is_decided_by_thumb_is_named_where_two_runs_are_shown(
    one_waits: Desk, bench: TestClient
) -> None:
    def named() -> list[str]:
        return re.findall(r'<p class="whose">([^<]+)</p>', bench.get(BENCH).text)

    assert named() == []
    land(one_waits, 61.1, ago=0)
    assert [re.sub("^.*, run", "run", each) for each in named()] == ["run 4: Stands apart from its siblings"]


def test_while_the_run_that_came_last_waits_it_alone_is_shown(one_waits: Desk, bench: TestClient) -> None:
    land(one_waits, 61.1, ago=2)
    assert land(one_waits, 41.0, ago=0) is RunState.IN_DOUBT
    part = landed_part(bench)
    assert "fresh-run" not in part
    assert "run 6 does not match its siblings." in part
    assert "1 more waits" in part


def test_both_cards_are_sound_on_a_phone(phone: Page, one_waits: Desk) -> None:
    land(one_waits, 61.1, ago=0)
    with serving(one_waits) as served:
        phone.goto(f"{served.url}{BENCH}")
        expect(phone.locator(".fresh-run")).to_be_visible()
        sound(phone)


def test_a_run_that_is_being_judged_is_called_neither_odd_nor_sound(
    one_waits: Desk, bench: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(landing, "judge_landed", lambda *_, **__: None)
    land(one_waits, 61.1, ago=0)
    page, part = bench.get(BENCH).text, landed_part(bench)
    fresh = part.partition("</article>")[0]
    assert re.search(r"run 5</a> has landed and is being judged\.", fresh)
    assert "Not judged yet" not in fresh
    assert "One run waits, " in page
    assert "run 4 does not match its siblings." in part


def test_a_run_that_was_never_judged_waits_and_says_so(
    one_waits: Desk, bench: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(landing, "judge_landed", lambda *_, **__: None)
    land(one_waits, 61.1, ago=3)
    part = landed_part(bench)
    assert "run 5 has not been judged yet." in part
    assert "1 more waits" in part


def test_where_the_plan_is_done_it_says_what_still_waits(one_waits: Desk, bench: TestClient) -> None:
    for now in slots_of(one_waits):
        if now.state.open:
            skip(one_waits, plan_id(one_waits), now.slot.number, "no time", by="desk", now=NOW)
    assert (
        "The plan is done. One run waits for a decision, and nothing is left to run." in bench.get(BENCH).text
    )


def test_a_run_that_is_not_in_the_plan_has_its_number_and_says_when_it_landed(
    one_waits: Desk, bench: TestClient
) -> None:
    land(one_waits, 42.0, ago=2, in_plan=False)
    page = bench.get(BENCH).text.replace("\u00a0", " ")
    listed = page.partition("<h3>Not in the plan</h3>")[2].partition("</li>")[0]
    assert re.search(r", Timeline export, run 5</a>, 42\.00 [^,]+, landed 2 minutes ago: waits", listed)
    assert "Landed 2 minutes ago" in landed_part(bench)
