"""A served Saltmarsh workbench, a client without a browser, and a real browser."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.copies import copy_of
from tests.web.contexts import lent
from tests.web.looking import CHROMIUM_FLAGS, Served, chromium

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.opening import Desk
from evenhand.desk.study.moments import Clock, as_stamped
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.web import serving as serving_room
from evenhand.web.app import make_app
from evenhand.web.served import Site
from evenhand.web.serving import listen, serve

# How long a page may take to show what is expected of it: a busy machine is slow, not wrong.
expect.set_options(timeout=20_000)


@pytest.fixture
def wb(saltmarsh_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """A Saltmarsh workbench of one's own, five runs in doubt."""
    yield from copy_of(saltmarsh_file, tmp_path / "bench.evenhand")


@pytest.fixture
def decided(decided_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """The Saltmarsh study with every decision made."""
    yield from copy_of(decided_file, tmp_path / "decided.evenhand")


@pytest.fixture
def quay(quay_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """The small study on a workbench of its own."""
    yield from copy_of(quay_file, tmp_path / "quay.evenhand")


@pytest.fixture
def empty(bare_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """A workbench with nothing on it."""
    yield from copy_of(bare_file, tmp_path / "empty.evenhand")


def client_of(wb: Desk, *, clock: Clock = as_stamped) -> TestClient:
    """Asks the pages of a workbench without a browser."""
    site = Site(wb=wb, now=lambda: NOW, clock=clock)
    return TestClient(make_app(site), base_url="http://127.0.0.1", client=("127.0.0.1", 50000))


@pytest.fixture
def client(wb: Desk) -> Iterator[TestClient]:
    """Asks the pages of a Saltmarsh workbench."""
    with client_of(wb) as opened:
        yield opened


@pytest.fixture
def empty_client(empty: Desk) -> Iterator[TestClient]:
    """Asks the pages of an empty workbench."""
    with client_of(empty) as opened:
        yield opened


@pytest.fixture
def served(wb: Desk) -> Iterator[Served]:
    """A Saltmarsh workbench at a real address."""
    with serving(wb) as there:
        yield there


@pytest.fixture
def served_empty(empty: Desk) -> Iterator[Served]:
    """An empty workbench at a real address."""
    with serving(empty) as there:
        yield there


class serving:  # noqa: N801  (used as a `with` word)
    """Serves a workbench in a thread for as long as the block lasts.

    Nothing is worked out before somebody asks for it, unless it is to be `warmed`: most tests ask for less.
    """

    def __init__(self, wb: Desk, *, warmed: bool = False) -> None:
        self.wb = wb
        self.warm = serving_room.warm if warmed else lambda *_: None
        self.ready = threading.Event()

    def __enter__(self) -> Served:
        opened = listen(0)
        site = Site(wb=self.wb, now=lambda: datetime.now(UTC))
        self.stop = threading.Event()
        self.thread = threading.Thread(
            target=serve, args=(site, opened), kwargs={"ready": lambda _: self.ready.set(), "stop": self.stop}
        )
        with patch.object(serving_room, "warm", self.warm):
            self.thread.start()
            assert self.ready.wait(10)
        return Served(url=opened.url.rstrip("/"), wb=self.wb)

    def __exit__(self, *_: object) -> None:
        self.stop.set()
        self.thread.join(10)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium. Without it browser tests are skipped on a desk and fail in CI."""
    place = chromium()
    if place is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is not installed, and a browser test may not be skipped here")
        pytest.skip("no Chromium: `apt install chromium-headless-shell`, or set EVENHAND_CHROMIUM to it")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=place, args=list(CHROMIUM_FLAGS))
        yield opened
        opened.close()


@pytest.fixture
def site_first(request: pytest.FixtureRequest) -> None:
    """A page is closed before the site that it shows, in whichever order a test asks for the two."""
    for name in ("served", "served_empty"):
        if name in request.fixturenames:
            request.getfixturevalue(name)


@pytest.fixture
def page(browser: Browser, site_first: None) -> Iterator[Page]:
    """An empty page of desktop size. Trouble that it tells its console fails the test."""
    with looking_at(browser, width=1440, height=900) as opened:
        yield opened


@pytest.fixture
def phone(browser: Browser, site_first: None) -> Iterator[Page]:
    """An empty page of phone size, with touch."""
    with looking_at(browser, width=390, height=844, touch=True) as opened:
        yield opened


class looking_at:  # noqa: N801  (used as a `with` word)
    """A page of a size; leaving it fails where the browser's console told of trouble."""

    def __init__(self, browser: Browser, *, width: int, height: int, touch: bool = False) -> None:
        self.lent = lent(browser, touch=touch)
        self.size: Any = {"width": width, "height": height}
        self.troubles: list[str] = []

    def __enter__(self) -> Page:
        page = self.lent.__enter__().new_page()
        if page.viewport_size != self.size:
            page.set_viewport_size(self.size)
        page.on("console", lambda told: self.troubles.append(told.text) if told.type == "error" else None)
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        return page

    def __exit__(self, kind: object, *_: object) -> None:
        self.lent.__exit__(None, None, None)
        # A page that follows changes may still ask when the server of its test is gone already.
        gone = ("ERR_CONNECTION_REFUSED", "Failed to fetch")
        troubles = [told for told in self.troubles if not any(words in told for words in gone)]
        if kind is None:
            assert not troubles, troubles


@pytest.fixture
def planned(wb: Desk) -> Desk:
    """Spring: the Saltmarsh machines with a plan, two tests, two machines, and no run yet."""
    whole = shelves.one(wb, Study, "saltmarsh")
    spring = replace(
        whole,
        key="spring",
        title="In spring",
        setups=whole.setups[:2],
        tests=("regatta", "export"),
        weights={},
    )
    shelves.save(wb, spring, now=NOW)
    make_plan(wb, "spring", Terms(looks=(3, 5, 8)), seed=7, now=NOW)
    return wb


@pytest.fixture
def bench(planned: Desk) -> Iterator[TestClient]:
    with client_of(planned) as opened:
        yield opened
