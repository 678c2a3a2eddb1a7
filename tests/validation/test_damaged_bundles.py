"""A few damages of a bundle's study, each told in words that name the file."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from validation.damaged_bundles import DAMAGES, Ended, bundle_folder, damaged


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return bundle_folder(tmp_path_factory.mktemp("bundle"))


def test_a_bundle_that_nobody_damaged_comes_out(whole: Path, tmp_path: Path) -> None:
    assert damaged(whole, tmp_path, random.Random(1), damage=lambda *_: "as it was").how == "passed"


def test_damage_is_told_in_words_that_name_the_file(whole: Path, tmp_path: Path) -> None:
    rng = random.Random(20310504)
    ends: list[Ended] = [
        damaged(whole, tmp_path, rng, damage=DAMAGES[n % len(DAMAGES)]) for n in range(2 * len(DAMAGES))
    ]
    assert [one for one in ends if one.how == "broken" or not one.named] == []
    assert sum(one.how != "passed" for one in ends) > len(DAMAGES)
