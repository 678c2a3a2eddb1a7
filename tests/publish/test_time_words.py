"""Across time in words: a pair joined over an anchor, and intervals with the allowance that they claim."""

from __future__ import annotations

from dataclasses import replace

from evenhand.findings.bridges import Bridged
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Caveat, Outcome
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.time_words import bridge_sentence, change_words

NAMES = Names(
    setups={"a": SetupName(name="Tern", slot=1), "b": SetupName(name="Gull", slot=2)},
    tests={"quay": TestName(name="Quay")},
)
SHARED = Caveat(key="allowance", words="allowance for errors that the runs of one boot share: 2.01 % in all")
BEHIND = Effect(
    ratio=0.9, low=0.89, high=0.91, outcome=Outcome.BEHIND, method="t", runs=10, bound_low=0.88,
    bound_high=0.92, caveats=(SHARED,),
)  # fmt: skip


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def test_a_bridged_pair_is_told_of_whoever_is_in_front_with_what_is_claimed() -> None:
    joined = Bridged(test="quay", a="a", b="b", anchor="a", effect=BEHIND)
    assert plain(bridge_sentence(joined, NAMES)) == (
        "Quay: Gull +11.1 % (+9.9 to +12.4) over Tern, ahead; with its allowance +8.7 to +13.6 (90 %); "
        "its own bridge, as it was run under both."
    )


def test_what_a_change_did_says_that_its_allowance_comes_on_top() -> None:
    assert (
        plain(change_words(BEHIND))
        == "−10.0 % (−11.0 to −9.0), worse; with its allowance −12.0 to −8.0 (90 %)"
    )
    assert plain(change_words(replace(BEHIND, caveats=()))) == "−10.0 % (−11.0 to −9.0), worse"
