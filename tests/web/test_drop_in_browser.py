"""Files and folders dropped in a real browser: counted, told, stopped, and looked at in both schemes."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import small_folder
from tests.web.conftest import looking_at, serving
from tests.web.looking import Served, axe_violations, sound

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.store.originals import names


@pytest.fixture
def site(quay_file: Path, tmp_path: Path) -> Iterator[Served]:
    """The small study at a real address."""
    shutil.copy(quay_file, tmp_path / "bench.evenhand")
    with open_desk(tmp_path / "bench.evenhand") as wb, serving(wb) as there:
        yield there


# Notes that the page once showed itself as a place to let go, however short that was.
WATCH_FOR_OVER = """window.over = 0;
new MutationObserver(() => { if (document.documentElement.matches('.dropping')) over = 1; })
  .observe(document.documentElement, {attributes: true});"""


class Hand:
    """A hand that drags files of this computer over a page, as the system does."""

    def __init__(self, page: Page, *paths: Path) -> None:
        self.cdp = page.context.new_cdp_session(page)
        self.data: dict[str, Any] = {
            "items": [],
            "files": [str(path) for path in paths],
            "dragOperationsMask": 1,
        }

    def do(self, kind: str) -> None:
        about = {"type": kind, "x": 200, "y": 200, "data": self.data}
        self.cdp.send("Input.dispatchDragEvent", about)

    def drop(self) -> None:
        for kind in ("dragEnter", "dragOver", "drop"):
            self.do(kind)


def day(tmp_path: Path) -> Path:
    """A folder of a bench day: two logs that say what they are, one that does not, and what systems leave."""
    folder = tmp_path / "day"
    (folder / "evening").mkdir(parents=True)
    (folder / "wren causeway 8.csv").write_bytes(log(8))
    (folder / "evening" / "plover causeway 9.csv").write_bytes(log(9, fps=125))
    (folder / "evening" / "<b>capture.csv").write_bytes(log(10))
    (folder / ".DS_Store").write_bytes(b"x")
    return folder


def test_a_folder_dropped_on_any_page_is_read_file_by_file(site: Served, page: Page, tmp_path: Path) -> None:
    page.goto(f"{site.url}/studies/{STUDY}/runs")
    hand = Hand(page, day(tmp_path))
    page.evaluate(WATCH_FOR_OVER)
    hand.drop()
    expect(page.get_by_role("status").filter(has_text="3 files: 2 filed, 1 in the inbox.")).to_be_visible()
    assert page.evaluate("over") == 1
    expect(page.locator("html.dropping")).to_have_count(0)
    expect(page.locator(".tray .waits b")).to_have_text("day/evening/<b>capture.csv")
    assert axe_violations(page) == []
    page.get_by_role("link", name="Say in the inbox").click()
    expect(page.get_by_role("heading", name="One file waits")).to_be_visible()
    assert len(load_study(site.wb, STUDY).runs) == 20
    assert inbox(site.wb)[0].arrival.about == {"study": STUDY}


def test_the_logs_of_a_folder_are_filed_in_the_order_in_which_they_were_made(
    site: Served, page: Page, tmp_path: Path
) -> None:
    folder = tmp_path / "day"
    folder.mkdir()
    for at, name in enumerate(["wren causeway 10", "wren causeway 9", "wren causeway 1"]):
        (folder / f"{name}.csv").write_bytes(log(70 + at))
        os.utime(folder / f"{name}.csv", (1_000_000_000 + at,) * 2)
    for name in ("wren causeway 12", "wren causeway 11"):
        (folder / f"{name}.csv").write_bytes(log(len(name) + int(name[-1])))
        os.utime(folder / f"{name}.csv", (1_000_000_010,) * 2)
    page.goto(f"{site.url}/")
    Hand(page, folder).drop()
    expect(page.locator("#tray-says")).to_contain_text("5 files: 5 filed", timeout=20_000)
    told = [names(site.wb, each.run.log or "")[0] for each in load_study(site.wb, STUDY).runs[-5:]]
    assert told == [f"day/wren causeway {n}.csv" for n in (10, 9, 1, 11, 12)]


def test_a_drag_that_leaves_again_leaves_the_page_as_it_was(site: Served, page: Page, tmp_path: Path) -> None:
    page.goto(f"{site.url}/drop")
    page.evaluate(WATCH_FOR_OVER)
    hand = Hand(page, day(tmp_path))
    for kind in ("dragEnter", "dragOver", "dragCancel"):
        hand.do(kind)
    assert page.evaluate("over") == 1
    expect(page.locator("html.dropping")).to_have_count(0)
    expect(page.locator(".tray")).to_have_count(0)


def test_a_study_folder_that_is_dropped_comes_in_as_a_study(
    served_empty: Served, page: Page, tmp_path: Path
) -> None:
    folder = small_folder().write(tmp_path / "quay")
    (folder / "film of the day.mp4").write_bytes(b"not named by the study")
    page.goto(served_empty.url)
    Hand(page, folder).drop()
    expect(page.get_by_role("heading", name="The study quay: 18 runs came in.")).to_be_visible(timeout=30_000)
    assert axe_violations(page) == []
    page.get_by_role("link", name="Look at its runs").click()
    page.wait_for_url("**/studies/quay/runs")


def test_what_a_study_folder_lacks_is_told_before_anything_is_sent(
    served_empty: Served, page: Page, tmp_path: Path
) -> None:
    folder = small_folder().write(tmp_path / "quay")
    (folder / "logs/wren-causeway-1.csv").unlink()
    page.goto(served_empty.url)
    Hand(page, folder).drop()
    told = page.locator(".tray .refused")
    expect(told).to_contain_text("1 file that the study file names is not in the folder")
    expect(told).to_contain_text("logs/wren-causeway-1.csv")


def test_without_a_script_the_form_does_the_same(site: Served, browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site.url}/drop")
    page.set_input_files("#drop-files", str(day(tmp_path) / "wren causeway 8.csv"))
    page.get_by_role("button", name="Bring them in").click()
    expect(page.get_by_role("heading", name="One file: one filed as a run.")).to_be_visible()
    context.close()


def test_long_work_is_counted_and_can_be_stopped(site: Served, page: Page) -> None:
    page.goto(f"{site.url}/drop")
    files = [
        {"name": f"wren causeway {n}.csv", "mimeType": "text/csv", "buffer": log(100 + n)} for n in range(8)
    ]
    held: list[Any] = []

    def after_the_second(route: Any) -> None:
        held.append(route)
        if len(held) <= 2:
            route.continue_()

    page.route("**/drop", after_the_second)
    page.set_input_files("#drop-files", files)  # type: ignore[arg-type]
    expect(page.locator("#tray-says")).to_have_text(re.compile("2 of 8 read"))
    page.locator(".tray").get_by_role("button", name="Stop").click()
    expect(page.locator("#tray-says")).to_have_text("Stopped: 2 of 8 read, 2 filed.")
    assert len(load_study(site.wb, STUDY).runs) == 20
    page.get_by_role("button", name="Close").click()
    expect(page.locator(".tray")).to_have_count(0)


def slow_page(site: Served, page: Page) -> None:
    """A drop page whose every file takes half a second."""
    page.goto(f"{site.url}/drop")

    def late(route: Route) -> None:
        page.wait_for_timeout(500)
        route.continue_()

    page.route("**/drop", lambda route: late(route) if route.request.method == "POST" else route.continue_())


def logs_named(folder: Path, *names: str) -> list[str]:
    for at, name in enumerate(names):
        (folder / name).write_bytes(log(40 + at + len(name)))
    return [str(folder / name) for name in names]


def choose(page: Page, folder: Path, *names: str) -> None:
    page.locator(".drop input[type=file]").first.set_input_files(logs_named(folder, *names))


def choose_two(site: Served, page: Page, folder: Path, *names: str) -> None:
    """Two files that are on their way, each for a while."""
    slow_page(site, page)
    choose(page, folder, *names)
    expect(page.locator("#tray-says")).to_contain_text("of 2 read")


def test_files_chosen_while_others_are_on_their_way_follow_them(
    site: Served, page: Page, tmp_path: Path
) -> None:
    choose_two(site, page, tmp_path, "what is this.csv", "wren causeway 20.csv")
    choose(page, tmp_path, "wren causeway 21.csv")
    expect(page.locator(".tray .following")).to_have_text("1 more comes after these.")
    expect(page.locator("#tray-says")).to_contain_text("1 file: 1 filed", timeout=20_000)
    expect(page.locator(".tray .came")).to_contain_text("what is this.csv")
    expect(page.locator(".tray .following")).to_have_count(0)
    assert len(load_study(site.wb, STUDY).runs) == 20


def test_what_was_to_follow_is_told_where_those_before_it_are_stopped(
    site: Served, page: Page, tmp_path: Path
) -> None:
    choose_two(site, page, tmp_path, "wren causeway 20.csv", "wren causeway 21.csv")
    choose(page, tmp_path, "wren causeway 22.csv")
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#tray-says")).to_contain_text("Stopped", timeout=20_000)
    expect(page.locator(".tray .came")).to_contain_text("wren causeway 22.csv It was not read")
    page.unroute_all(behavior="wait")


def test_the_zone_and_its_tray_are_sound_on_a_phone(site: Served, browser: Browser, tmp_path: Path) -> None:
    with looking_at(browser, width=390, height=844, touch=True) as phone:
        phone.goto(f"{site.url}/drop")
        phone.set_input_files("#drop-files", str(day(tmp_path) / "evening" / "<b>capture.csv"))
        expect(phone.locator(".tray .waits")).to_be_visible()
        sound(phone)
