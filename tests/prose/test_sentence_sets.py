"""The test set of the sentence check is labelled throughout, balanced, and of the same mix in both halves.

No failure prints a sentence, since one half is not to be read by whoever writes rules.
"""

from __future__ import annotations

import tomllib
from collections import Counter

import pytest
from tests.prose.sentence_sets import HALVES, HOW, LATER, LATER_WAYS, PARTS, WAYS, Labelled, sentences

from evenhand.demo.saltmarsh import saltmarsh

ALL = tuple(labelled for part in PARTS for labelled in sentences(part))
FEWEST = 100
FEWEST_OF_A_WAY = 6


def places(wrong: list[bool]) -> list[int]:
    """Where something is wrong, counted from 1 over all parts."""
    return [place for place, is_wrong in enumerate(wrong, start=1) if is_wrong]


def chief(half: str) -> Counter[str]:
    return Counter(each.ways[0] for each in sentences(half) if not each.sound)


@pytest.mark.parametrize("parts", [HALVES, *((later,) for later in LATER)], ids="-".join)
def test_no_sentence_is_there_twice(parts: tuple[str, ...]) -> None:
    """Whoever wrote a later set had read no other: a short sentence may stand in two."""
    plain = [" ".join(each.text.casefold().split()) for part in parts for each in sentences(part)]
    assert not places([text in plain[:before] for before, text in enumerate(plain)])


def test_every_sentence_says_why_it_is_labelled_so() -> None:
    assert not places([not (each.text.strip() and each.why.strip()) for each in ALL])


def test_a_sentence_goes_too_far_in_a_known_way_or_in_none() -> None:
    assert not places([each.sound is bool(each.ways) for each in ALL])
    assert {way for each in ALL for way in each.ways} == {*WAYS, *LATER_WAYS}


def test_there_are_enough_of_both_kinds_and_nearly_as_many() -> None:
    sound = sum(each.sound for each in ALL)
    assert sound >= FEWEST
    assert len(ALL) - sound >= FEWEST
    assert abs(2 * sound - len(ALL)) <= 0.1 * len(ALL)


def test_every_way_is_there_often_enough_in_each_half() -> None:
    first, second = (chief(half) for half in HALVES)
    assert [way for way in WAYS if first[way] + second[way] < FEWEST_OF_A_WAY] == []
    assert [way for way in WAYS if abs(first[way] - second[way]) > 1] == []


def test_both_halves_have_as_many_sound_sentences() -> None:
    first, second = (sum(each.sound for each in sentences(half)) for half in HALVES)
    assert abs(first - second) <= 2


@pytest.fixture(scope="module")
def builds() -> dict[str, list[str]]:
    """The parts of each setup's build in the example."""
    study = tomllib.loads(saltmarsh()["study.toml"].decode())
    parts = {build["key"]: build["parts"] for build in study["builds"]}
    return {setup["key"]: parts[setup["build"]] for setup in study["setups"]}


def test_what_is_to_be_disclosed_is_a_part_of_the_setup_in_the_example(builds: dict[str, list[str]]) -> None:
    def is_wrong(each: Labelled) -> bool:
        return any(d["part"] not in builds[d["setup"]] or d["how"] not in HOW for d in each.disclosures)

    assert not places([is_wrong(each) for each in ALL])


def test_a_disclosure_is_in_force_wherever_one_is_missed() -> None:
    assert not places(["undisclosed" in each.ways and not each.disclosures for each in ALL])
