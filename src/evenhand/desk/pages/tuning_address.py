"""How addresses name a tuned part."""

from __future__ import annotations

from urllib.parse import urlencode

from evenhand.desk.pages.frame import address
from evenhand.records.trials import Tuned


def part_key(setup: str, part: str) -> str:
    """A tuned part in an address."""
    return f"{setup}~{part}"


def part_address(study: str, tuned: Tuned, **more: str | int) -> str:
    """The page with this part in view."""
    of = part_key(tuned.setup, tuned.part)
    return f"{address(study, 'tuning')}?{urlencode({'of': of, **more})}"
