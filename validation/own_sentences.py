"""A script made of the record's own sentences and figures, so that it is known which of them stand later."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from evenhand.editions.snapshot import Snapshot
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import WITH_RANGE, written

_NUMBER = r"[−+]?\d[\d.,]*"
_LEAD = re.compile(rf"{_NUMBER}[ \u00a0](?:%|dB|K)(?: \({_NUMBER} to {_NUMBER}\))")
_BY = re.compile(rf",? by {_LEAD.pattern}(?=[ .,;])")
_WHILE = re.compile(rf" while \w+ costs (?:more|less) than {_NUMBER}[ \u00a0]\w+(?=,)")
_DAY = r"\d{1,2} [A-Z][a-z]+ \d{4}"
_PRICES = re.compile(rf"(?:, prices of| at the prices of) (?:\d{{1,2}} and )?{_DAY}(?: and {_DAY})*(?=[.;])")
MARGIN = "{margin}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A sentence of the script, and `key`: what the record has to say for it to stand.

    `key` is "" for a sentence that tells a figure and claims nothing.
    """

    words: str
    key: str = ""


def script_of(lines: tuple[Line, ...]) -> str:
    """The script, each sentence a paragraph of its own."""
    return "\n\n".join(each.words for each in lines)


def line_number(at: int) -> int:
    """In which line of the script a sentence stands, by its place among them."""
    return 2 * at + 1


def lines_of(snapshot: Snapshot, figures: Quotables) -> Iterator[Line]:
    """Every figure that may be quoted, and every sentence of the record, without and with its numbers."""
    margin = margin_of(snapshot)
    for figure in figures.figures.values():
        yield Line(words=f"On record: {written(figure, figures, WITH_RANGE)}.")
    for row in snapshot.claims.values():
        yield Line(words=bare(row["words"]), key=key(row["words"]))
    for row in snapshot.claims.values():
        bound = with_references(row, figures, margin)
        if bound is not None and bound != row["words"]:
            yield Line(words=bound, key=key(row["words"], margin))


def keys_of(snapshot: Snapshot) -> frozenset[str]:
    """What a snapshot bears: the keys of every line that stands by it."""
    margin, told = margin_of(snapshot), [row["words"] for row in snapshot.claims.values()]
    return frozenset((*map(key, told), *(key(words, margin) for words in told)))


def margin_of(snapshot: Snapshot) -> str:
    """The margin in words."""
    return str(snapshot.figures["margin"]["ranged"])


def bare(words: str, margin: str = "") -> str:
    """A sentence of the record without its numbers; the margin stays where none is given to be taken out.

    >>> said = "In Hay, Ayre is ahead of Wye by 2.7 % (1.9 to 3.4), perhaps by less than the 3 % that matter."
    >>> bare(said)
    'In Hay, Ayre is ahead of Wye, perhaps by less than the 3 % that matter.'
    >>> bare(said, "3 %")
    'In Hay, Ayre is ahead of Wye, perhaps by less than the {margin} that matter.'
    """
    told = _WHILE.sub("", _BY.sub("", words))
    return told.replace(margin, MARGIN) if margin else told


def key(words: str, margin: str = "") -> str:
    """What has to be said for a sentence to stand: its prices may be of other days.

    >>> key("For All, Wye is better value than Ayre, prices of 4 May 2031.")
    'For All, Wye is better value than Ayre.'
    """
    return _PRICES.sub("", bare(words, margin))


def praised(words: str, names: Mapping[str, str]) -> str:
    """Which setup a sentence puts ahead in anything, by the names of all; "" where none.

    >>> names = {"a": "Ayre", "w": "Wye"}
    >>> [praised(f"In Hay, Ayre {each}.", names) for each in ("draws more, than Wye", "is as Wye")]
    ['w', '']
    """
    for setup, name in names.items():
        ahead = rf"{name} (?:is (?:ahead|better|quieter)|draws less|takes less)|puts {name} ahead"
        if re.search(rf"{ahead}|of {name} is cooler|(?:draws|takes) more.* than {name}", words):
            return setup
    return ""


def with_references(row: Mapping[str, Any], figures: Quotables, margin: str) -> str | None:
    """A sentence of the record with its numbers as references; None where one of them is no figure."""

    def reference(found: re.Match[str]) -> str:
        own = [
            each for each in figures.figures.values()
            if each.ranged == found[0] and set(each.setups) == set(row["pair"])
        ]  # fmt: skip
        return written(min(own, key=lambda each: len(each.address)), figures, WITH_RANGE) if own else found[0]

    told = _LEAD.sub(reference, _WHILE.sub("", row["words"]))
    return None if _LEAD.search(told) else told.replace(margin, MARGIN)
