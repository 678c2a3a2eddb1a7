"""The less is known of parts, the less is said: no answer turns into a fit, and no unknown into a misfit."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from tests.fit.test_proof import BUILDS, CATALOGUE

from evenhand.fit.answers import Answer
from evenhand.fit.asking import answer_of, fits
from evenhand.fit.reading import Item

DECIDES = {"way"}  # without it a rule is asked that would not have been


def answers(build: list[Item]) -> dict[str, Answer]:
    found: dict[str, list[object]] = {}
    for each in fits(build):
        found.setdefault(each.rule.key, []).append(each)
    return {rule: answer_of(every) for rule, every in found.items()}  # type: ignore[arg-type]


def with_less(build: list[Item], rng: Random, share: float) -> list[Item]:
    """The same parts, each fact forgotten with some chance; parts of one key forget alike."""
    kept: dict[str, Item] = {}
    for part in build:
        facts = {name: value for name, value in part.facts.items() if name in DECIDES or rng.random() > share}
        kept.setdefault(part.key, replace(part, facts=facts))
    return [kept[part.key] for part in build]


@pytest.mark.parametrize("share", [0.05, 0.3])
def test_forgetting_makes_no_answer_surer(share: float) -> None:
    rng = Random(7)
    for build in BUILDS:
        parts = [CATALOGUE[key] for key in build["parts"]]
        whole = answers(parts)
        for rule, answer in answers(with_less(parts, rng, share)).items():
            allowed = {whole[rule], Answer.UNKNOWN}
            assert answer in allowed, (build["name"], rule, answer.value, whole[rule].value)


def test_of_a_part_of_which_nothing_is_known_nothing_fits() -> None:
    bare = [replace(CATALOGUE[key], facts={}) for key in BUILDS[0]["parts"]]
    assert Answer.FITS not in set(answers(bare).values())
