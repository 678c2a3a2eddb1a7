"""What the device that asks may open, so that no page leads it to a refusal."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeAlias

from starlette.requests import Request

from evenhand.records.devices import Device
from evenhand.web.admission import LOOPBACK, Refusal, refusal

Opens: TypeAlias = Callable[..., bool]

LINK = re.compile(r'<a\b([^>]*?)\shref="(/[^"]*)"([^>]*)>(.*?)</a>', re.DOTALL)
BUTTON = re.compile(r'\bclass="[^"]*\bbtn\b')


def reaching(client: str, token: str | None, known: Callable[[str], Device | None]) -> Opens | None:
    """Tells whether whoever asks may open an address; None for this computer, which may open all."""
    if client in LOOPBACK:
        return None

    def opens(address: str, method: str = "GET") -> bool:
        path = re.split("[?#]", address, maxsplit=1)[0]
        return not isinstance(refusal(method, path, client=client, token=token, known=known), Refusal)

    return opens


def opens_of(request: Request) -> Opens | None:
    """The same for a request that was let in."""
    return getattr(request.state, "opens", None)


def within_reach(text: str, opens: Opens) -> str:
    """A page without the links that this device may not follow: their words stay, buttons go.

    >>> shut = lambda address: address == "/"
    >>> within_reach('<a class="brand" href="/">Home</a> <a href="/inbox">Inbox</a>', shut)
    '<a class="brand" href="/">Home</a> Inbox'
    >>> within_reach('See <a class="btn main" href="/rig">Let one in</a>.', shut)
    'See .'
    """
    return LINK.sub(lambda found: _kept(found, opens), text)


def _kept(found: re.Match[str], opens: Opens) -> str:
    before, address, after, words = found.groups()
    if opens(address.replace("&amp;", "&")):
        return found[0]
    return "" if BUTTON.search(before) or BUTTON.search(after) else words
