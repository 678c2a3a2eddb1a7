"""Between a phone and a desktop the runs in doubt are still read: words have room and lie under no button."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser
from tests.web.conftest import looking_at
from tests.web.looking import Served, too_wide


@pytest.mark.parametrize("width", [980, 1120, 1300])
def test_what_was_found_in_a_run_has_room(browser: Browser, served: Served, width: int) -> None:
    with looking_at(browser, width=width, height=800) as page:
        page.goto(f"{served.url}/studies/saltmarsh/runs?show=wait")
        for card in page.locator("ul.runs > li").all():
            words, acts = card.locator("> :nth-child(3)").bounding_box(), card.locator(".acts").bounding_box()
            assert words is not None
            assert acts is not None
            assert words["width"] >= 300
            assert words["x"] + words["width"] <= acts["x"]
        assert not too_wide(page)
        page.goto("about:blank")
