"""Looking at pages: where the browser is, what axe finds, and screenshots of every page to be looked at.

`python -m tests.web.looking URL FOLDER /studies/saltmarsh/runs …` takes pages of an open site at desktop and
phone size, light and dark.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from playwright.sync_api import Browser, Page, sync_playwright

from evenhand.desk.opening import Desk

CHROMIUM_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--process-per-site",  # what tests look at one after the other shares a process (`contexts`)
)
AXE = (Path(__file__).parent / "vendor" / "axe-core-4.14.1" / "axe.min.js").read_text(encoding="utf-8")
# Colours that still change from one scheme to the other are those of neither. A page that is not drawn just
# now, behind another one, never ends what it animates: it is not waited for longer.
SETTLED = """Promise.race([
    Promise.allSettled(document.getAnimations().map((each) => each.finished)),
    new Promise((done) => setTimeout(done, 2000)),
])"""
SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
# Those of axe's rules that look at colours, of all that it asks unless told otherwise.
COLOUR_RULES = ("color-contrast", "link-in-text-block")
# Style sheets are fetched once more for a single rule, which is not among those that it asks unless told.
AXE_OPTIONS: dict[str, Any] = {"resultTypes": ["violations"], "preload": {"assets": ["media"]}}
SIZES = {"desk": (1440, 900), "phone": (390, 844)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A workbench and the address at which it answers."""

    url: str
    wb: Desk


def chromium() -> str | None:
    """Where Chromium is, if it is installed: the one without windows by preference, as it takes less."""
    named = os.environ.get("EVENHAND_CHROMIUM")
    known = ("chromium-headless-shell", "chromium", "chromium-browser")
    return named or next(filter(None, map(shutil.which, known)), None)


def axe_violations(page: Page, *, rules: tuple[str, ...] = ()) -> list[str]:
    """What axe finds wrong with a page by some of its rules, or else by all of them; one line each."""
    page.wait_for_load_state()  # half a page has no main part yet, and no heading
    page.evaluate(SETTLED)
    # The page's own policy lets nobody add a script; the browser's debugger may run one all the same.
    if page.evaluate("!window.axe?.run"):
        page.evaluate(AXE)
    asked = AXE_OPTIONS | ({"runOnly": list(rules)} if rules else {})
    found: dict[str, Any] = page.evaluate("(asked) => axe.run(document, asked)", asked)
    return [
        f"{one['id']}: {node['html'][:160]} ({node.get('failureSummary', '')})"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def sound(page: Page) -> None:
    """A page as it stands is as good for everybody, light and dark, and needs no scrolling sideways.

    From one scheme to the other nothing but colours changes (`test_schemes`): axe is asked once of the rest.
    """
    page.wait_for_load_state()
    for scheme, rules in zip(SCHEMES, ((), COLOUR_RULES), strict=True):
        page.emulate_media(color_scheme=scheme)
        found = axe_violations(page, rules=rules)
        assert not found, found
    assert not too_wide(page)


def too_wide(page: Page) -> bool:
    """Whether a page must be scrolled sideways."""
    return bool(page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"))


def shoot(browser: Browser, url: str, paths: dict[str, str], folder: Path) -> Iterator[Path]:
    """Screenshots of pages by name, at both sizes, light and dark."""
    folder.mkdir(parents=True, exist_ok=True)
    for size, (width, height) in SIZES.items():
        for scheme in SCHEMES:
            context = browser.new_context(
                viewport={"width": width, "height": height}, color_scheme=scheme, locale="en-GB"
            )
            page = context.new_page()
            for name, path in paths.items():
                page.goto(url + path)
                page.wait_for_load_state("load")
                target = folder / f"{name}-{size}-{scheme}.png"
                page.screenshot(path=target, full_page=True)
                yield target
            context.close()


def main(url: str, folder: Path, paths: list[str]) -> None:
    """Take the pages at these paths of a site that is open already."""
    named = {path.strip("/").replace("/", "-") or "home": path for path in paths}
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(CHROMIUM_FLAGS))
        for target in shoot(browser, url, named, folder):
            print(target)
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1].rstrip("/"), Path(sys.argv[2]), sys.argv[3:])
