"""A whole bench day in the browser: planned at a desk, run by rigs that join, judged on phones."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect
from tests.images.drawn import png
from tests.web.conftest import NOW, looking_at, serving
from tests.web.looking import Served, sound

from evenhand.demo.frames import capped_run, free_run, scene
from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan, plan_now
from evenhand.desk.logs.layouts import remember
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.records.builds import Build, Setup
from evenhand.records.devices import Scope
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.rig import session
from evenhand.rig.asking import Address
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.state import State
from evenhand.rig.uploading import Arrived, drain
from evenhand.store import shelves
from evenhand.traces.fingerprints import fingerprint

BENCH = "/studies/day/bench"
HEADER = "frame time [ms]"
RATES = {"gannet": 118.0, "fulmar": 96.0, "petrel": 97.0}
SECONDS = 40.0
WALK = Test(
    key="walk", name="Harbour walk", measures=Measures.FRAMES, metric="average_fps", unit="fps",
    direction=Direction.HIGHER, minutes=SECONDS / 60,
)  # fmt: skip
PIXEL = png()


def lay_table(wb: Desk, builds: tuple[str, ...]) -> None:
    """A study of these machines and one walk through a harbour, its logs' columns known, nothing planned."""
    for slot, key in enumerate(builds, start=1):
        shelves.save(wb, Build(key=key, name=key.title(), slot=slot), now=NOW)
        shelves.save(wb, Setup(key=key, name=key.title(), build=key), now=NOW)
    shelves.save(wb, WALK, now=NOW)
    shelves.save(wb, Study(key="day", title="A bench day", setups=builds, tests=("walk",)), now=NOW)
    column = Column(header=HEADER, role=Role.FRAME_TIME, unit="ms")
    layout = Layout(fingerprint=fingerprint((HEADER,)), kind=LogKind.FRAMES, columns=(column,))
    remember(wb, layout, now=NOW)


@pytest.fixture
def table(tmp_path: Path) -> Iterator[Served]:
    """Three machines, served, nothing planned yet."""
    with open_desk(tmp_path / "day.evenhand") as wb:
        lay_table(wb, tuple(RATES))
        with serving(wb) as served:
            yield served


@pytest.fixture
def pair(tmp_path: Path) -> Iterator[Served]:
    """Two machines, served, with a plan of three looks."""
    with open_desk(tmp_path / "day.evenhand") as wb:
        lay_table(wb, ("gannet", "fulmar"))
        make_plan(wb, "day", Terms(looks=(3, 5, 8)), seed=3, now=NOW)
        with serving(wb) as served:
            yield served


@pytest.fixture
def tablet(browser: Browser, pair: Served) -> Iterator[Page]:
    """A second device at the bench, which comes too late once: its browser tells of the answer 409."""
    looking = looking_at(browser, width=390, height=844, touch=True)
    with looking as opened:
        yield opened
        looking.troubles[:] = [told for told in looking.troubles if "409 (Conflict)" not in told]


@pytest.fixture
def hand(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """The phone in the reviewer's hand; closed before the site that it shows."""
    request.getfixturevalue("pair" if "pair" in request.fixturenames else "table")
    with looking_at(browser, width=390, height=844, touch=True) as opened:
        yield opened


@pytest.fixture
def desk(browser: Browser, table: Served) -> Iterator[Page]:
    """The reviewer's desktop."""
    with looking_at(browser, width=1440, height=900) as opened:
        yield opened


def times(build: str, *, seed: int, spoilt: str = "") -> list[float]:
    """Frame times in ms of a walk by a machine; held at a rate, or stuttering throughout, where spoilt."""
    rng = np.random.default_rng(seed)
    course = scene(0.12, np.random.default_rng(1))
    free = free_run(course, RATES[build] * (1 + rng.normal(0.0, 0.003)), SECONDS, rng)
    if spoilt == "capped":
        free = capped_run(free, 60.0, rng)
    if spoilt == "stutters":
        free[rng.integers(0, free.size, 60)] *= 9.0
    return [float(each) for each in free]


@dataclass(slots=True)
class Player:
    """A rig that joined by its token, and somebody who drives its runs."""

    rig: session.Rig
    build: str
    folder: Path
    made: int = 0

    def play(self, spoilt: str = "") -> str | None:
        """Makes the run that is next for this rig, if it is its turn; the state in which it landed."""
        wanted = session.next_run(self.rig)["run"]
        if wanted is None:
            return None
        self.made += 1
        log = self.folder / f"{self.build}-{self.made}.csv"
        seed = 100 * list(RATES).index(self.build) + self.made
        rows = "".join(f"{ms:.4f}\n" for ms in times(self.build, seed=seed, spoilt=spoilt))
        log.write_text(f"{HEADER}\n{rows}")
        facts = {key: wanted[key] for key in session.RUN_FACTS}
        session.send_log(self.rig, log, facts)
        told: list[Arrived] = []
        assert drain(self.rig.address, self.rig.state.spool, told.append) == 0
        return str(told[-1].told["state"])


def join(served: Served, build: str, folder: Path) -> Player:
    """Lets a machine in by a token, and says hello for it."""
    clock = Sensor(role="clock", about="processor", source="here", read=lambda: 4700.0)
    machine = Machine(found=Found(sensors=(clock,)), stamps={"os": "Tidewater 4"}, boot=f"{build}-1")
    token = admit(served.wb, name=f"rig {build}", scope=Scope.RIG, build=build, now=NOW).token
    place = folder / build
    place.mkdir()
    rig = session.hello(Address(url=served.url, token=token), State(folder=place / "state"), machine)
    return Player(rig=rig, build=build, folder=place)


def turn(players: list[Player], spoilt: str = "") -> tuple[Player, str]:
    """Whoever's turn it is makes a run; who that was, and how it landed."""
    for player in players:
        state = player.play(spoilt)
        if state is not None:
            return player, state
    raise AssertionError("nobody has a turn")


def test_a_plan_made_at_the_desk_is_run_from_a_phone(
    desk: Page, hand: Page, table: Served, tmp_path: Path
) -> None:
    hand.goto(f"{table.url}{BENCH}")
    expect(hand.get_by_role("link", name="Plan the bench day")).to_be_visible()
    sound(hand)
    desk.goto(f"{table.url}{BENCH}/plan")
    desk.get_by_label("Warm-up before a run").fill("2")
    desk.get_by_role("button", name="See that plan").click()
    sound(desk)
    desk.get_by_role("button", name="Make this plan").click()
    expect(desk.get_by_text("This plan stands now.")).to_be_visible()

    hand.reload()
    upcoming = hand.locator("#next .next-run").first
    expect(upcoming.get_by_role("heading", level=2)).to_contain_text("Harbour walk")
    expect(upcoming).to_contain_text("run 1 of")
    upcoming.get_by_role("button", name="Begin the warm-up").tap()
    expect(upcoming.get_by_role("timer")).to_have_text(re.compile(r"1:5\d"))
    upcoming.get_by_label("Room").fill("23.5")
    with hand.expect_response("**/bench/note"):
        upcoming.get_by_label("Room").blur()
    upcoming.get_by_text("Photo of the settings").tap()
    picture = {"name": "settings.png", "mimeType": "image/png", "buffer": PIXEL}
    upcoming.get_by_label("Take or choose one").set_input_files(picture)  # type: ignore[arg-type]
    upcoming.get_by_role("button", name="Keep the photo").tap()
    expect(upcoming.get_by_text("Photo of the settings (1)")).to_be_visible()
    expect(upcoming.get_by_label("Room")).to_have_value("23.5")
    sound(hand)

    players = [join(table, key, tmp_path) for key in RATES]
    first, state = turn(players)
    assert state == "landed"
    expect(hand.locator("#landed")).to_contain_text(first.build.title())
    (run,) = load_study(table.wb, "day").runs
    assert run.run.ambient_c == 23.5

    desk.reload()
    desk.get_by_role("group", name="Rigs that cannot run now").get_by_label("Petrel").check()
    desk.get_by_role("button", name="Plan the rest anew").click()
    expect(desk.get_by_text("This plan stands now.")).to_be_visible()
    again = plan_now(table.wb, "day")
    assert again
    assert "petrel" not in {now.rig for now in again.coming}
    expect(hand.locator("#list .is-later", has_text="Petrel")).to_have_count(0)
    expect(hand.locator("#list .is-later")).not_to_have_count(0)
    sound(desk)


def test_what_is_typed_survives_what_lands_meanwhile(hand: Page, pair: Served, tmp_path: Path) -> None:
    players = [join(pair, key, tmp_path) for key in ("gannet", "fulmar")]
    turn(players)
    hand.goto(f"{pair.url}{BENCH}")
    watts = hand.get_by_label("At the wall").first
    watts.focus()
    hand.keyboard.type("31")
    turn(players)
    expect(hand.locator("#list tbody tr", has_text="counts")).to_have_count(2)
    expect(watts).to_have_value("31")
    hand.keyboard.type("2")
    expect(watts).to_have_value("312")


def test_bad_runs_are_found_and_decided_by_thumb_and_two_phones_agree(
    hand: Page, tablet: Page, pair: Served, tmp_path: Path
) -> None:
    players = [join(pair, key, tmp_path) for key in ("gannet", "fulmar")]
    for _ in range(4):
        assert turn(players)[1] == "landed"
    for each in (hand, tablet):
        each.goto(f"{pair.url}{BENCH}")
    _, state = turn(players, "capped")
    assert state == "in doubt"
    for each in (hand, tablet):
        expect(each.locator("#landed .fault").first).to_be_visible()
        expect(each.locator("#thumbs")).to_be_visible()
    sound(hand)

    tablet.locator(".thumbs summary", has_text="Set aside").tap()
    tablet.get_by_label("Note, if there is more to say").last.fill("it looked smooth")
    hand.locator(".thumbs summary", has_text="Redo").tap()
    hand.locator(".thumb[open] .reasons button").first.tap()
    expect(hand.get_by_role("button", name="Undo")).to_be_visible()
    sound(hand)
    expect(tablet.get_by_role("alert")).to_contain_text("This run was decided about meanwhile, elsewhere.")
    expect(tablet.locator(".thumb[open] .reasons button").first).to_be_disabled()
    expect(tablet.get_by_label("Note, if there is more to say").last).to_have_value("it looked smooth")

    hand.get_by_role("button", name="Undo").tap()
    expect(hand.locator(".thumbs summary", has_text="Set aside")).to_be_visible()
    hand.locator(".thumbs summary", has_text="Redo").tap()
    hand.locator(".thumb[open] .reasons button").first.tap()
    expect(hand.locator("#next")).to_contain_text(re.compile("again", re.I))

    _, state = turn(players, "stutters")
    assert state == "in doubt"
    expect(hand.locator("#landed .fault").first).to_be_visible()
    hand.locator(".thumbs summary", has_text="Set aside").tap()
    hand.locator(".thumb[open] .reasons button").first.tap()
    expect(hand.locator("#thumbs .done")).to_be_visible()
    states = [each.state for each in load_study(pair.wb, "day").runs]
    assert states.count(RunState.SET_ASIDE) == 2


def test_names_are_masked_until_it_is_settled_and_the_day_ends(
    hand: Page, pair: Served, tmp_path: Path
) -> None:
    players = [join(pair, key, tmp_path) for key in ("gannet", "fulmar")]
    turn(players)
    hand.goto(f"{pair.url}{BENCH}")
    hand.get_by_role("button", name="Hide names until the plan is done").tap()
    expect(hand.locator("#live")).to_contain_text("Names are hidden until the plan is done.")
    # Whoever makes the next run has to know whose it is; what was made already tells nobody's name.
    for part in (hand.locator("#landed"), hand.locator("#list tbody tr").first):
        expect(part).to_contain_text(re.compile("a build", re.I))
        expect(part).not_to_contain_text(re.compile("gannet|fulmar", re.I))
    sound(hand)
    while (plan := plan_now(pair.wb, "day")) and not plan.finished:
        turn(players)  # what its rig is told says nothing of how it landed
    assert {each.state for each in load_study(pair.wb, "day").runs} == {RunState.LANDED}
    expect(hand.locator("#next")).to_contain_text("The plan is done.")
    expect(hand.locator("#live")).to_contain_text("Gannet ahead of Fulmar")
    expect(hand.locator("#live")).to_contain_text("stop")
    assert len(load_study(pair.wb, "day").runs) < 16, "settled early, it stops early"
    sound(hand)
