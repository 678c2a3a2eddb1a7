"""A snapshot is text and back; what is none, or newer, is refused in words."""

from __future__ import annotations

import json

import pytest

from evenhand.editions.snapshot import Snapshot, as_text, from_text
from evenhand.errors import BadRecord

SMALL = Snapshot(
    study={"key": "quay"}, setups=[], tests=[], definitions={}, figures={}, findings={}, verdicts={},
    claims={"test-a": {"words": "A is ahead."}}, refusals=[], prices={}, disclosures=[], runs=[],
)  # fmt: skip


def test_it_comes_back_as_it_was() -> None:
    text = as_text(SMALL)
    again = from_text(text, where="here")
    assert again.claims == SMALL.claims
    assert as_text(again) == text


@pytest.mark.parametrize("text", ["", "[]", "{}", "null", "3", '{"form": 1}', "\x00"])
def test_what_is_no_snapshot_is_refused(text: str) -> None:
    with pytest.raises(BadRecord):
        from_text(text, where="here")


def test_a_newer_form_is_refused() -> None:
    newer = json.dumps({**json.loads(as_text(SMALL)), "form": 2})
    with pytest.raises(BadRecord, match="newer than this Evenhand"):
        from_text(newer, where="here")


def test_a_key_that_is_not_known_is_refused() -> None:
    more = json.dumps({**json.loads(as_text(SMALL)), "further": 1})
    with pytest.raises(BadRecord, match="not whole"):
        from_text(more, where="here")
