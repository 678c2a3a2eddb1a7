"""A claim keeps its address from edition to edition, and an address that was published leads on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.editions.test_bundle import small

from evenhand.editions.lasting import former_claims, lasting
from evenhand.editions.moved import Of, moved

TEST, CAUSE = "a test's result", "because of a part"


@pytest.mark.parametrize(
    ("address", "kind", "pair", "told"),
    [
        ("test-causeway-wren-plover", TEST, ["wren", "plover"], "test-causeway-plover-wren"),
        ("test-causeway-plover-wren", TEST, ["plover", "wren"], "test-causeway-plover-wren"),
        ("cause-graphics-ahead-w-p", CAUSE, ["w", "p"], "cause-graphics-behind-p-w"),
        ("cause-graphics-joint-w-p", CAUSE, ["w", "p"], "cause-graphics-joint-p-w"),
        ("test-look-ahead-w-p", TEST, ["w", "p"], "test-look-ahead-p-w"),
    ],
)
def test_whoever_is_named_first_the_address_is_the_same(
    address: str, kind: str, pair: list[str], told: str
) -> None:
    assert lasting(address, {"kind": kind, "pair": pair}) == told


def said(address: str, words: str, pair: list[str]) -> dict[str, dict[str, object]]:
    return {address: {"words": words, "kind": TEST, "rung": 1, "pair": pair, "why": "settled"}}


def test_an_address_that_was_published_leads_to_what_stands_now_or_says_that_nothing_does() -> None:
    first = replace(
        small(),
        claims=said("test-c-w-p", "W is ahead in C.", ["w", "p"]) | said("test-t-p-w", "In T.", ["p", "w"]),
    )
    now = replace(small(), claims=said("test-c-p-w", "W is ahead in C.", ["p", "w"]))
    former = {
        each.address: each for each in former_claims(now, [("edition 1", "edition-1/index.html", first)])
    }
    assert former["test-c-w-p"].now == "test-c-p-w"
    assert former["test-t-p-w"].now == ""
    assert former["test-t-p-w"].at == "edition-1/index.html#test-t-p-w"
    moves = [(move.name, move.after) for move in moved(first, now) if move.of is Of.CLAIM and move.in_print]
    assert moves == [("test-t-p-w", None)]
