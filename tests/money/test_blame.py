"""Where no choice of parts is left, what bars every one of them is named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenhand.money.blame import Blame, blame
from evenhand.money.shelves import Candidate, Shelf, Terms

SMALL = Shelf(
    kinds=("processor", "board"),
    candidates=(
        Candidate(key="p", kind="processor", minor=200, score=1.0, uses={"watts": 90.0}),
        Candidate(key="b", kind="board", minor=120),
    ),
)


@pytest.mark.parametrize(
    ("shelf", "terms", "wanted"),
    [
        (SMALL, Terms(budget_minor=320), Blame()),
        (SMALL, Terms(budget_minor=300), Blame(least_minor=320)),
        (
            replace(SMALL, kinds=("processor", "board", "case")),
            Terms(budget_minor=900),
            Blame(empty=("case",)),
        ),
        (
            replace(SMALL, misfits={"socket": frozenset({frozenset("pb")})}),
            Terms(budget_minor=900),
            Blame(rules=("socket",)),
        ),
        (replace(SMALL, unsure=frozenset({frozenset("pb")})), Terms(budget_minor=900), Blame(unsure=True)),
        (
            SMALL,
            Terms(budget_minor=900, limits={"watts": 80.0}),
            Blame(limits=("watts",)),
        ),
    ],
)
def test_what_bars_every_choice_is_named(shelf: Shelf, terms: Terms, wanted: Blame) -> None:
    assert blame(shelf, terms) == wanted
