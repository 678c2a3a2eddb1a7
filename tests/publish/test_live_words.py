"""The words of a bench day: where a pair stands, and what comes next."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.findings.finding import Outcome, Settle
from evenhand.findings.live_finding import LiveFinding, LiveIndex
from evenhand.publish.live_words import not_in_it, stands_words, until_settled, waiting_words, where_words
from evenhand.publish.names import Names, SetupName, TestName

NAMES = Names(
    setups={"p": SetupName(name="Plover", slot=2), "d": SetupName(name="Dunlin", slot=3)},
    tests={"quay": TestName(name="Salt Causeway", unit="fps")},
    groups={"games": "games"},
    terms="",
)
ROOM = "boots or order of its runs leave room for a shared error"
OPEN = LiveFinding(
    test="quay", a="p", b="d", group="games", outcome=Outcome.UNSETTLED, n=3, look=3, next_look=5,
    ratio=1.041, low=1.018, high=1.064, level=0.9795, settle=Settle(more_runs=2, minutes=34.0),
)  # fmt: skip
INDEX = LiveIndex(
    group="games", a="p", b="d", outcome=Outcome.LEVEL, tests=("quay", "x", "y"), used=("quay", "x", "y"),
    n=5, look=5, next_look=None, ratio=1.004, low=0.986, high=1.022, level=0.9795,
)  # fmt: skip


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (OPEN, "unsettled, Plover +4.1\u00a0%\u00a0±\u00a02.3"),
        (replace(OPEN, outcome=Outcome.AHEAD), "Plover ahead of Dunlin, +4.1\u00a0%\u00a0±\u00a02.3"),
        (
            replace(OPEN, outcome=Outcome.BEHIND, ratio=0.96, low=0.937, high=0.983),
            "Plover behind Dunlin, −4.0\u00a0%\u00a0±\u00a02.3",
        ),
        (replace(OPEN, ratio=1.062, low=0.861, high=1.309), "unsettled, Plover +6\u00a0% (−14 to +31)"),
        (INDEX, "level, Plover +0.4\u00a0%\u00a0±\u00a01.8"),
    ],
)
def test_where_a_pair_stands(found: LiveFinding | LiveIndex, words: str) -> None:
    assert stands_words(found, NAMES) == words


@pytest.mark.parametrize(
    ("lacking", "why"),
    [
        (["d"], ": Dunlin has no run that counts"),
        (["p", "d"], ": neither has a run that counts"),
        ([], ""),
    ],
)
def test_what_cannot_be_compared_yet_says_which_has_no_run(lacking: list[str], why: str) -> None:
    said = stands_words(replace(OPEN, ratio=None), NAMES, lacking=lacking)
    assert said == f"Dunlin and Plover cannot be compared yet{why}"


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (OPEN, "Two more runs of each, about 34\u00a0min, would settle it."),
        (
            replace(OPEN, n=4, settle=None),
            "Between looks: the next one is at five runs of each, one more.",
        ),
        (replace(OPEN, settle=Settle(more_runs=None)), "No declared look would settle it as it stands."),
        (
            replace(OPEN, settle=Settle(more_runs=None), allowance=0.0199),
            f"No declared look would settle it as it stands: {ROOM} of 2.0\u00a0%.",
        ),
        (replace(OPEN, next_look=None, settle=None), "No further look was declared."),
        (INDEX, "Settled at the look at five runs of each: stop."),
        (replace(INDEX, next_look=8), "Settled at the look at five runs of each; its tests go on."),
    ],
)
def test_what_comes_next(found: LiveFinding | LiveIndex, words: str) -> None:
    assert until_settled(found) == words


def test_of_what_it_speaks() -> None:
    assert where_words(OPEN, NAMES) == "Salt Causeway"
    assert where_words(INDEX, NAMES) == "Games"
    assert where_words(replace(INDEX, group=""), NAMES) == "All three tests"
    assert not_in_it(INDEX, NAMES) == not_in_it(OPEN, NAMES) == ""


def test_an_index_never_speaks_of_tests_that_are_not_in_it() -> None:
    two = replace(INDEX, used=("x", "y"))
    assert where_words(two, NAMES) == "Games, two of three tests"
    assert where_words(replace(two, group=""), NAMES) == "Two of three tests"
    assert not_in_it(two, NAMES) == "Not in it yet: Salt Causeway."


def test_runs_that_wait_are_told() -> None:
    assert waiting_words(3) == "The three that wait are left out."
