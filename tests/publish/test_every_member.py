"""Whatever can be found has words: no map of words lacks a member of what it is keyed by."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from dataclasses import replace
from enum import Enum
from typing import Any

import pytest

from evenhand import publish
from evenhand.publish.flip_words import becomes_word, effect_words
from evenhand.publish.names import Names
from evenhand.verdicts.moves import Aspect, Flip


def keyed_by_members() -> Iterator[Any]:
    for found in pkgutil.walk_packages(publish.__path__, "evenhand.publish."):
        for name, value in vars(importlib.import_module(found.name)).items():
            if isinstance(value, dict) and value and all(isinstance(key, Enum) for key in value):
                yield pytest.param(value, id=f"{found.name}.{name}")


@pytest.mark.parametrize("words", list(keyed_by_members()))
def test_a_map_keyed_by_members_has_them_all(words: dict[Enum, object]) -> None:
    assert {*words} == {*type(next(iter(words)))}


CODES = {Aspect.ORDER: (-1, 0, 1), Aspect.OUTCOME: (-1, 0, 1, 2), Aspect.VALUE: (-1, 0, 1, 2)}
"""What each aspect of a verdict may become, as codes of `verdicts.standing`."""


@pytest.mark.parametrize("aspect", Aspect)
def test_whatever_a_flip_leads_to_has_words_of_its_own(aspect: Aspect) -> None:
    flips = [
        Flip(a="wren", b="plover", aspect=aspect, moves=(), was=1, becomes=code, ratio=1.0)
        for code in CODES[aspect]
    ]
    if aspect is Aspect.VALUE:
        opened = Flip(a="wren", b="plover", aspect=aspect, moves=(), was=1, becomes=0, ratio=1.0)
        flips.append(replace(opened, becomes_open=True))
    names = Names(setups={}, tests={})
    assert len({effect_words(flip, names) for flip in flips}) == len(flips)
    heard = {(becomes_word(aspect, flip.becomes), flip.becomes_open) for flip in flips}
    assert len(heard) == len(flips)
