"""A number that a reader types is read as the page writes numbers, or said not to be understood."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from evenhand.publish.typed import Typed, typed
from evenhand.records.publications import Numbers

VECTORS = json.loads(Path(__file__).with_name("typed_numbers.json").read_text("utf-8"))


@pytest.mark.parametrize(("text", "numbers", "decimals", "value", "trouble"), VECTORS)
def test_what_is_typed_is_read_by_the_pages_own_way_of_writing(
    text: str, numbers: str, decimals: int | None, value: float | None, trouble: str
) -> None:
    """The page in the browser reads the same vectors: tests/web/test_article.py."""
    assert typed(text, Numbers(numbers), decimals=decimals) == Typed(value=value, trouble=trouble)
