"""The proof set for the fit rules is sound: its parts, facts and rules are there, and each rule is tried."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

import evenhand.fit

HERE = Path(__file__).parent
RULES_AT = Path(evenhand.fit.__file__).parent


def read(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


FACTS = read(RULES_AT / "facts.toml")
RULES = {rule["key"]: rule["of"] for rule in read(RULES_AT / "rules.toml")["rules"]}
PARTS = {part["key"]: part for part in read(HERE / "catalogue.toml")["parts"]}
BUILDS = read(HERE / "builds.toml")["builds"]
ANSWERS = ("no", "unknown", "remark", "silent")


def words(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def count(value: Any) -> bool:
    return type(value) is int and value >= 0


def table(value: Any) -> bool:
    return isinstance(value, dict) and words(list(value.values()))


IS = {
    "word": lambda value: isinstance(value, str),
    "words": words,
    "number": lambda value: type(value) in (int, float) and value >= 0,
    "count": count,
    "yes": lambda value: isinstance(value, bool),
    "table": table,
}


def sound(value: Any, fact: dict[str, Any]) -> bool:
    """Is this a value of the fact's own sort, place by place for a list of places?"""
    if fact["value"] != "places":
        return bool(IS[fact["value"]](value))
    return isinstance(value, list) and all(
        name in fact["of"] and IS[fact["of"][name]](each) for place in value for name, each in place.items()
    )


def test_keys_and_names_come_once() -> None:
    assert len(PARTS) == len(read(HERE / "catalogue.toml")["parts"])
    assert max(Counter(build["name"] for build in BUILDS).values()) == 1


@pytest.mark.parametrize("key", PARTS)
def test_a_part_has_facts_of_its_kind_alone_each_of_its_sort(key: str) -> None:
    part = PARTS[key]
    wrong = {
        name: value
        for name, value in part["facts"].items()
        if name not in FACTS[part["kind"]] or not sound(value, FACTS[part["kind"]][name])
    }
    assert not wrong


@pytest.mark.parametrize("build", BUILDS, ids=lambda build: build["name"])
def test_a_build_names_parts_and_rules_that_there_are_each_rule_once(build: dict[str, Any]) -> None:
    kinds = {PARTS[key]["kind"] for key in build["parts"]}
    told = [rule for answer in ANSWERS for rule in build.get(answer, [])]
    assert max(Counter(told).values(), default=0) <= 1
    assert set(told) <= set(RULES)
    asked = [rule for answer in ANSWERS[:3] for rule in build.get(answer, [])]
    assert all(set(RULES[rule]) <= kinds for rule in asked)


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_is_tried_on_either_side(rule: str) -> None:
    told = Counter(answer for build in BUILDS for answer in ANSWERS if rule in build.get(answer, []))
    assert told["remark" if rule == "memory-speed" else "no"] >= 3
    assert told["unknown"] >= 2


def test_every_part_is_used() -> None:
    assert {key for build in BUILDS for key in build["parts"]} == set(PARTS)
