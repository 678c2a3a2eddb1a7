"""docs/fit.md names every fact that there is, and none that there is not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from evenhand.fit.known import fact_kinds

PAGE = (Path(__file__).parents[2] / "docs" / "fit.md").read_text(encoding="utf-8")
FACTS = PAGE.split("## The facts")[1].split("\n## ")[0]


@pytest.mark.parametrize("kind", fact_kinds())
def test_every_fact_of_a_kind_is_named_with_what_it_is(kind: str) -> None:
    told = re.search(rf"^\*\*{kind}\*\*: (.*)$", FACTS, flags=re.MULTILINE)
    assert told
    named = re.findall(r"`(\w+)` ([^;`]+?) \(", told[1])
    assert dict(named) == {key: fact.name for key, fact in fact_kinds()[kind].items()}
