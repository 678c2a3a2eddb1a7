"""Numbers as a reader types them, read by how the page writes its own; `looks/typed.js` does the same."""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenhand.publish.written import SIGNS
from evenhand.records.publications import Numbers

LONGEST = 30  # signs of what was typed that are told back
_SPACES = re.compile("[\u00a0\u2007\u2009\u202f ]")
_MINUSES = "-\u2212\u2013"


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was read: a number from 0 on, or else why nothing was, as a sentence. Both are empty where nothing
    was typed.
    """

    value: float | None = None
    trouble: str = ""


def typed(text: str, numbers: Numbers, *, decimals: int | None = None) -> Typed:
    """A number as it is typed on a page that writes numbers so; `decimals` is how many are meant at most.

    Spaces part thousands everywhere. A sign that parts thousands does so by threes or is not understood, so
    that nobody's thousand becomes a one.

    >>> typed("1,019", Numbers.POINT).value, typed("1.019", Numbers.COMMA).value
    (1019.0, 1019.0)
    >>> typed("0,32", Numbers.POINT).trouble
    '“0,32” was not understood: write 1,019 for thousands and 0.32 for a part.'
    """
    plain = text.strip()
    if not plain:
        return Typed()
    told = plain if len(plain) <= LONGEST else f"{plain[:LONGEST]}…"
    grouping, point = SIGNS[numbers]
    thousands = "1 019" if numbers is Numbers.SPACED else f"1{grouping}019"
    bare = _SPACES.sub(" ", plain)
    group = " " if numbers is Numbers.SPACED else rf"[ {re.escape(grouping)}]"
    shape = rf"(\d{{1,3}}(?:{group}\d{{3}})+|\d+)(?:{re.escape(point)}(\d*))?|{re.escape(point)}(\d+)"
    found = re.fullmatch(shape, bare, flags=re.ASCII)
    if found is None:
        if bare[0] in _MINUSES and re.fullmatch(shape, bare[1:].strip(), flags=re.ASCII):
            return Typed(trouble=f"“{told}” is below 0.")
        part = f"0{point}32"
        return Typed(
            trouble=f"“{told}” was not understood: write {thousands} for thousands and {part} for a part."
        )
    whole, rest = re.sub(r"\D", "", found[1] or "0"), found[2] or found[3] or ""
    if decimals is not None and len(rest.rstrip("0")) > decimals:
        return Typed(
            trouble=f"“{told}” has smaller parts than this money: write {thousands} for thousands."
        )  # fmt: skip
    return Typed(value=float(f"{whole}.{rest or '0'}"))
