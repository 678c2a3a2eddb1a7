"""The example's ground, made once: what every script of these tests is held against."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from validation.sentences import example

from evenhand.prose.checking import check
from evenhand.prose.ground import Ground
from evenhand.prose.objection import Objection
from evenhand.prose.rules import rules
from evenhand.prose.script import parse

Check = Callable[[str], tuple[Objection, ...]]


@pytest.fixture(scope="session")
def ground() -> Ground:
    return example()


@pytest.fixture(scope="session")
def checked(ground: Ground) -> Check:
    """Everything that is objected to in a text."""
    own = rules()
    return lambda text: check(parse(text, abbreviations=own.abbreviations), ground, own)
