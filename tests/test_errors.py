"""What is near to a misspelt name: the same as holding it against every name, found without doing so."""

from __future__ import annotations

import difflib
import random

from evenhand.errors import nearest_few

WORDS = (
    "rate",
    "lead",
    "low",
    "plover",
    "dunlin",
    "wren",
    "salt-causeway",
    "export",
    "over",
    "of",
    "in",
    "price",
)


def plainly(word: str, names: list[str], most: int) -> list[str]:
    return difflib.get_close_matches(word, names, n=most, cutoff=0.0)


def test_the_nearest_are_those_of_all_that_are_likest() -> None:
    rng = random.Random(4)
    names = sorted({" ".join(rng.sample(WORDS, rng.randint(1, 6))) for _ in range(200)})
    for most in (1, 3):
        for _ in range(60):
            word = "".join(c for c in rng.choice(names) if rng.random() < 0.9)
            told = [each for i, each in enumerate(nearest_few(word, names, most=most).split("'")) if i % 2]
            assert told == plainly(word, names, most)


def test_only_what_is_near_is_taken_for_meant() -> None:
    assert nearest_few("pric of plover", ["price of plover", "margin"]).startswith("did you mean 'price")
    assert nearest_few("zzz", ["price of plover", "margin"]).startswith("nearest: ")
    assert nearest_few("zzz", []) == "there is none yet"
