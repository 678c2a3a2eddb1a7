"""What an edition says in the record's own words, and what of that the record says no more."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.editions.lasting import lasting_claims
from evenhand.editions.moved import ONE_OR_MORE_DAYS
from evenhand.editions.snapshot import Snapshot, Table

MARGIN = "{margin}"
_SPACE = re.compile(r"\s+")
_AMOUNT = r"[−+]?\d[\d.,]* (?:%|dB|K)(?: \([^()]*\))?"
_LED_BY = re.compile(rf",? by {_AMOUNT}(?=[ .,;])")
_WHILE = re.compile(r" while .{1,80}? costs (?:less|more) than .{1,40}?(?=, prices of )")
_PRICED = re.compile(rf"(?:, | at the )prices of {ONE_OR_MORE_DAYS}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """Why a sentence of an edition stands no more, and what would stand in its place, "" for nothing."""

    why: str
    would_stand: str = ""


def gist(words: str) -> str:
    r"""What a sentence says but for its numbers and the days of its prices, which move by themselves.

    >>> gist("Ayre is ahead of Wye by 2.7\xa0% (1.9 to 3.4), perhaps by less than the 3\xa0% that matter.")
    'Ayre is ahead of Wye, perhaps by less than the 3 % that matter.'
    >>> gist("Wye is better value than Ayre while Wye costs less than 1,019 dl, prices of 4 May 2031.")
    'Wye is better value than Ayre.'
    """
    told = _LED_BY.sub("", _SPACE.sub(" ", words).strip())
    return _PRICED.sub("", _WHILE.sub("", told))


def said_no_more(before: Snapshot, after: Snapshot) -> Mapping[str, Gone]:
    """The sentences of an edition that the record has no more, by their gist; the margin told or bound."""
    stand = {each for _, row in lasting_claims(after) for each in _gists(row, after)}
    now = dict(lasting_claims(after))
    gone: dict[str, Gone] = {}
    for address, row in lasting_claims(before):
        said = str(now[address]["words"]) if address in now else ""
        why = "the record says it otherwise now" if said else "the record bears no such sentence any more"
        for each in _gists(row, before):
            if each not in stand:
                gone[each] = Gone(why=why, would_stand=said)
    return gone


def _gists(row: Table, snapshot: Snapshot) -> Iterator[str]:
    told, margin = gist(row["words"]), snapshot.figures.get("margin", {}).get("ranged")
    yield told
    if margin:
        yield told.replace(_SPACE.sub(" ", margin), MARGIN)


def names_gone(before: Snapshot, after: Snapshot) -> Mapping[str, str]:
    """Names of an edition that the record has no more, each with what it says in their place."""
    now = _names(after)
    known = set(now.values())
    return {
        name: f"“{name}” is called “{now[of]}” now" if of in now else f"“{name}” is no longer compared"
        for of, name in _names(before).items() if name not in known
    }  # fmt: skip


def _names(snapshot: Snapshot) -> dict[tuple[str, str], str]:
    """What builds, parts, tests and audiences are called, by sort and key."""
    parts = (part for row in snapshot.setups for part in row.get("parts", ()))
    audiences = (each["audience"] for each in snapshot.verdicts["audiences"])
    named: dict[str, Iterator[Table]] = {
        "part": parts, "test": iter(snapshot.tests), "audience": iter(audiences),
    }  # fmt: skip
    found = {("build", row["build"]): row["build_name"] for row in snapshot.setups if row.get("build_name")}
    found |= {
        (sort, row["key"]): row["name"] for sort, rows in named.items() for row in rows if "name" in row
    }
    return found


def names_in(words: str, gone: Mapping[str, str]) -> Iterator[str]:
    """What is to be said of the names in a sentence that the record has no more.

    >>> list(names_in("In Hay, Ayre leads.", {"Hay": "“Hay” is called “Straw” now"}))
    ['“Hay” is called “Straw” now']
    """
    return (why for name, why in gone.items() if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", words))
