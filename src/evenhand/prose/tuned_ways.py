"""Which way an amount is said to lie: above or below, more or less, faster or slower, and than what."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.reading import Reading
from evenhand.prose.tuned_amounts import Amount, stretch_of
from evenhand.prose.tuned_said import Span

OTHERS = ("stock", "limit", "edge")
TUNED = "tuned"
SIGNS = {"more": 1, "less": -1}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """The way that is said, as the sign of what is tuned less what it is held against, and where that stands.

    `against` is what it is held against: one of OTHERS, "that", or "" where no words say it.
    """

    sign: int
    span: Span
    against: str = ""


def way_of(amount: Amount, amounts: tuple[Amount, ...], reading: Reading) -> Way | None:
    """The way that the words around an amount say; None where they say none."""
    text, rules = reading.sentence.text, reading.rules
    start, end = stretch_of(amount, amounts, reading)
    end = min([end, *(each.span[0] for each in amounts if each.span[0] >= amount.span[1])])
    head, tail = text[start : amount.span[0]], text[amount.span[1] : end]
    for found, sign in sorted(_behind(tail, amount, reading), key=lambda each: each[0].start()):
        span = (amount.span[0], amount.span[1] + found.end())
        said = _Said(
            head=head, tail=tail[found.end() :],
            placed=rules["tuning.way.placed"].search(found[0]) is not None,
            fronted=rules["tuning.way.fronted"].search(text[: amount.span[0]]) is not None,
        )  # fmt: skip
        return _held(sign, span, said, reading)
    for name, sign in SIGNS.items():
        paid = rules[f"tuning.way.pays_{name}"].search(head)
        if paid is not None:
            less = amount.unit == "%" and rules["tuning.way.costs"].search(paid[0]) is not None
            span = (start + paid.start(), amount.span[1])
            return _held(-1 if less else sign, span, _Said(head=head, tail=tail), reading)
        moved = rules[f"tuning.way.moves_{name}"].search(head)
        if moved is not None:
            back = -1 if rules["tuning.way.to_stock"].search(head) else 1
            return Way(sign=back * sign, span=(start + moved.start(), amount.span[1]), against="stock")
    if amount.first.value < 0:
        return Way(sign=-1, span=amount.span)
    return None


def _behind(tail: str, amount: Amount, reading: Reading) -> Iterator[tuple[re.Match[str], int]]:
    """The words behind an amount that say a way, each with its sign."""
    for name, sign in SIGNS.items():
        found = reading.rules[f"tuning.way.{name}"].search(tail)
        if found is None or len(tail[: found.start()].split()) > int(reading.rules.plain["tuning"]["reach"]):
            continue
        if amount.unit == "%" and reading.rules["tuning.way.spent"].match(tail, found.end()):
            continue  # more joules for the same work are less work for a joule
        yield found, sign


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """What stands before an amount and behind the words of its way.

    `placed` says that these are "above" and the like; `fronted` that "at stock," went before.
    """

    head: str
    tail: str
    placed: bool = False
    fronted: bool = False


def _held(sign: int, span: Span, said: _Said, reading: Reading) -> Way:
    """The way as it is of what is tuned: turned where the sentence says it of stock, limit or edge."""
    _, than, held = said.tail.rpartition("than ")
    held, rest = (held, "") if than else (said.tail, "") if said.placed else ("", said.tail)
    behind = next(_named(held, reading), "")
    before = [*reversed(list(_subjects(said.head, reading))), *_subjects(rest, reading)]
    subject = before[0] if before else "stock" if said.fronted else ""
    if reading.rules["tuning.way.that"].match(held):
        subject, behind = subject or behind, "that"
    turned = behind == TUNED or (behind not in OTHERS and subject in OTHERS)
    against = subject if turned else behind
    return Way(sign=-sign if turned else sign, span=span, against=against)


def _named(text: str, reading: Reading) -> Iterator[str]:
    """What is tuned and what it is held against, as they are named in a text, in their order."""
    found = [
        (each.start(), name)
        for name in (*OTHERS, TUNED) for each in reading.rules[f"tuning.way.{name}"].finditer(text)
    ]  # fmt: skip
    yield from (name for _, name in sorted(found))


def _subjects(text: str, reading: Reading) -> Iterator[str]:
    """The same of what an amount is said of: none behind "over" or "against", which it is held to."""
    yield from _named(reading.rules["tuning.way.held_to"].sub(" ", text), reading)
