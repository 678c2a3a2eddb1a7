"""The test set of the sentence check: two halves, one kept from writers of rules, and later sets likewise."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "sentences"
HALVES = ("first_half", "second_half")
LATER = (
    "third_set", "fourth_set", "fifth_set", "seventh_set", "eighth_set", "ninth_set", "tenth_set",
    "twelfth_set",
)  # fmt: skip
KEPT = ("kept_half", "sixth_set", "eleventh_set")
"""Twins of the fourth, fifth and tenth set, and as the second half not to be read by whoever writes rules."""
PARTS = (*HALVES, *LATER, *KEPT)

WAYS = {
    "bare-number": "the figure of a result, bound to none",
    "contrary-number": "a number that the record contradicts",
    "contrary-direction": "the one that is behind is said to be ahead",
    "superlative": "first of all, where nobody is called ahead of all others",
    "no-difference": "no difference, identical, the same, where at most level is shown",
    "level-not-shown": "level, where one is ahead or nothing is settled",
    "ahead-where-level": "one ahead, where the two are level",
    "cause": "a part as the cause, where several changed or its effect is another",
    "untested-titles": "games or jobs that nobody tested",
    "lasting": "it will last, is stable, needs no upgrade",
    "value": "value for money that prices and audience do not bear",
    "undated-price": "a price, or a difference of prices, without its day",
    "undefined-metric": "a metric whose meaning is said nowhere",
    "noise-heat-power": "noise, heat or power that was not read, is unsettled, or goes the other way",
    "everyone": "an audience that is not on record",
    "undisclosed": "a part with a disclosure on record that is said nowhere",
}
"""The ways in which a sentence of the set goes too far."""

LATER_WAYS = {
    "disclosure-not-on-record": "a loan, gift or payment of which the record has nothing",
    "tuned-figure": "a figure of a tuned part that its trials or logs contradict, or that nothing tells",
    "tuned-word": "of a tuned part what no hours bear out, or what is told of other parts by it",
}
"""Ways that came with later sets."""

HOW = ("loan", "gift", "payment", "affiliate link")


@dataclass(frozen=True, slots=True, kw_only=True)
class Labelled:
    """A sentence as it may be said, the script before it, and whether the example's record bears it."""

    text: str
    sound: bool
    why: str
    ways: tuple[str, ...] = ()
    before: str = ""
    disclosures: tuple[dict[str, str], ...] = ()


def sentences(half: str) -> tuple[Labelled, ...]:
    """All sentences of a half, "first_half" or "second_half", or of a later set, as "third_set"."""
    document = tomllib.loads((FOLDER / f"{half}.toml").read_text(encoding="utf-8"))
    return tuple(_labelled(entry) for entry in document["sentence"])


def _labelled(entry: dict[str, Any]) -> Labelled:
    lists = {key: tuple(entry.get(key, ())) for key in ("ways", "disclosures")}
    return Labelled(**{**entry, **lists})
