"""Browser contexts that one test after the other looks through, each as empty as a new one.

A context of one's own starts a process of its own for what it shows, which takes more than most tests look
at. Here one page of the site's address stays open in each, so that the next test's page finds the process
there. What a test leaves is cleared: its pages, cookies, storage and cache. No two tests share one at a
time, nor do two devices of one test.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any
from urllib.parse import urlsplit
from weakref import WeakKeyDictionary

from playwright.sync_api import Browser, BrowserContext, CDPSession, Error, Page

KEEPS_OPEN = "http://127.0.0.1:9/"  # of the same site as every server of a test; answered without a server
OUR_SIZE = {"width": 1440, "height": 900}
PHONE_SIZE = {"width": 390, "height": 844}


class Lent:
    """A context with the page that keeps its process alive."""

    def __init__(self, browser: Browser, *, touch: bool) -> None:
        size: Any = PHONE_SIZE if touch else OUR_SIZE
        self.context: BrowserContext = browser.new_context(
            viewport=size, has_touch=touch, is_mobile=touch, locale="en-GB"
        )
        self._anchor: Page = self.context.new_page()
        self._anchor.route("**/*", lambda route: route.fulfill(body="", content_type="text/html"))
        self._anchor.goto(KEEPS_OPEN)
        self._debugger: CDPSession = self.context.new_cdp_session(self._anchor)

    def clear(self) -> None:
        """Takes away all that a test left in it."""
        origins = set()
        for page in self.context.pages:
            if page != self._anchor:
                origins.add("{0.scheme}://{0.netloc}".format(urlsplit(page.url)))
                page.close()
        self.context.clear_cookies()
        self._debugger.send("Network.clearBrowserCache")
        for origin in origins:
            self._debugger.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})


_free: WeakKeyDictionary[Browser, defaultdict[bool, list[Lent]]] = WeakKeyDictionary()


@contextmanager
def lent(browser: Browser, *, touch: bool) -> Iterator[BrowserContext]:
    """A context with nothing in it, through which nobody else looks meanwhile; a broken one goes."""
    free = _free.setdefault(browser, defaultdict(list))[touch]
    mine = free.pop() if free else Lent(browser, touch=touch)
    try:
        yield mine.context
    finally:
        try:
            mine.clear()
            free.append(mine)
        except Error:
            with suppress(Error):
                mine.context.close()
