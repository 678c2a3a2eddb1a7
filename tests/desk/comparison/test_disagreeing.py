"""Whether two frozen answers say the same."""

from __future__ import annotations

import pytest

from evenhand.desk.comparison.disagreeing import same_answer


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ('{"a": [1.0, null, "x", true]}', '{"a": [1.0000000001, null, "x", true]}', True),
        ('{"a": 1.25}', '{"a": 1.2501}', False),
        ('{"a": 1.25}', '{"b": 1.25}', False),
        ('{"a": 1.25}', '{"a": 1.25, "since": []}', True),
        ('{"a": 1.25}', '{"a": 1.25, "since": ["wren"]}', False),
        ('{"a": true}', '{"a": 1}', False),
        ('{"a": [1]}', '{"a": [1, 2]}', False),
        ('{"a": "ahead"}', '{"a": "level"}', False),
        ('{"a": 1.25}', "no JSON", False),
        ("[" * 100_000, "[]", False),
        ("1" + "0" * 400, "1.5", False),
    ],
)
def test_numbers_may_differ_in_their_last_digits_and_nothing_else_may(
    one: str, other: str, same: bool
) -> None:
    assert same_answer(one, other) is same
