"""Every rule held against builds whose answers were written before it: no false pass, and no false alarm."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from evenhand.fit.answers import Answer
from evenhand.fit.asking import Fit, answer_of, fits
from evenhand.fit.known import checked
from evenhand.fit.reading import Item

HERE = Path(__file__).parent
CATALOGUE = {
    each["key"]: Item(
        key=each["key"], kind=each["kind"], name=each["name"],
        facts=checked(each["kind"], each.get("facts", {}), where=each["key"]),
    )
    for each in tomllib.loads((HERE / "catalogue.toml").read_text(encoding="utf-8"))["parts"]
}  # fmt: skip
BUILDS = tomllib.loads((HERE / "builds.toml").read_text(encoding="utf-8"))["builds"]


def said_of(build: dict[str, Any]) -> dict[str, list[Fit]]:
    """What each rule that is asked says of a build."""
    found: dict[str, list[Fit]] = {}
    for each in fits([CATALOGUE[key] for key in build["parts"]]):
        found.setdefault(each.rule.key, []).append(each)
    return found


@pytest.mark.parametrize("build", BUILDS, ids=[build["name"] for build in BUILDS])
def test_every_answer_is_the_known_one(build: dict[str, Any]) -> None:
    said = said_of(build)
    known = {
        **dict.fromkeys(build.get("no", ()), Answer.MISFIT),
        **dict.fromkeys(build.get("unknown", ()), Answer.UNKNOWN),
    }
    assert {rule: answer_of(found) for rule, found in said.items()} == {
        **dict.fromkeys(said, Answer.FITS), **known
    }  # fmt: skip
    assert {rule for rule, found in said.items() if any(each.remark for each in found)} == set(
        build.get("remark", ())
    )
    assert not set(build.get("silent", ())) & set(said)


def test_an_unknown_says_what_to_look_up_or_has_it_in_its_parts() -> None:
    told = [each for build in BUILDS for found in said_of(build).values() for each in found]
    unknown = [each for each in told if each.answer is Answer.UNKNOWN]
    assert len(unknown) > 100
    bare = {each.rule.key for each in unknown if not each.missing}
    assert bare <= {"firmware", "memory-speed", "graphics-slot", "drive-places", "radiator", "picture"}
    assert not any(each.missing for each in told if each.answer is Answer.FITS)
