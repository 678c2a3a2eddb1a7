"""Where every pair stands: its tests under its name, what they all wait for said once."""

from __future__ import annotations

import pytest

from evenhand.desk.bench.live_finding import LiveLine
from evenhand.desk.pages.live_pairs import live_pairs


def line(where: str, pair: str, small: str = "") -> LiveLine:
    a, b = pair.split("/")
    return LiveLine(
        key=where, where=where, a=a, b=b, outcome="unsettled", sentence="", stands="", small=small, bar=None
    )


def test_lines_come_under_their_pair_in_the_order_in_which_they_came() -> None:
    pairs = live_pairs([line("Pier", "Wren/Crake"), line("Fog", "Wren/Crake"), line("Pier", "Auk/Wren")])
    assert [(p.a, p.b, [each.where for each in p.lines]) for p in pairs] == [
        ("Wren", "Crake", ["Pier", "Fog"]),
        ("Auk", "Wren", ["Pier"]),
    ]


def test_what_all_that_wait_wait_for_is_said_once_beside_the_pair() -> None:
    (pair,) = live_pairs(
        [line("Pier", "Wren/Crake"), *(line(w, "Wren/Crake", "Two more.") for w in ("Fog", "Sail"))]
    )
    assert pair.small == "Two more."
    assert not pair.waits


@pytest.mark.parametrize("said", [("Two more.",), ("Two more.", "One more.")])
def test_what_one_alone_waits_for_stands_in_its_own_line(said: tuple[str, ...]) -> None:
    (pair,) = live_pairs([line(words, "Wren/Crake", words) for words in said])
    assert not pair.small
    assert [each.small for each in pair.lines] == list(said)
    assert pair.waits
