"""A snapshot is text and back; what is none, or newer, is refused in words."""

from __future__ import annotations

import json

import pytest

from evenhand.editions.snapshot import Snapshot, as_text, from_stranger, from_text
from evenhand.errors import BadRecord

SMALL = Snapshot(
    study={"key": "quay", "title": "Quay"}, setups=[], tests=[], definitions={}, figures={},
    findings={"findings": [], "index": []}, verdicts={"audiences": []},
    claims={"test-a": {"words": "A is ahead.", "kind": "one test", "pair": ["a", "b"]}},
    refusals=[], prices={}, disclosures=[], runs=[],
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


def damaged(**entries: object) -> bytes:
    return json.dumps({**json.loads(as_text(SMALL)), **entries}).encode()


def test_a_stranger_s_snapshot_of_the_right_shape_is_read_as_our_own() -> None:
    assert from_stranger(as_text(SMALL).encode(), where="here") == from_text(as_text(SMALL), where="here")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (damaged(findings={}), "findings has no findings"),
        (damaged(findings={"findings": [3], "index": []}), r"findings.findings\[0\] is no table"),
        (damaged(runs={}), "runs is no list"),
        (damaged(study={"key": "quay", "title": 3}), "study.title is no text"),
        (damaged(verdicts={"audiences": [{"audience": {}, "verdicts": []}]}), "audience has no key"),
        (damaged(claims={"a": None}), "claims.a is no table"),
        (damaged(imprint={"name": 10**30}), "imprint.name is a number that no table holds"),
        (damaged(caveats=["\ud800"]), r"caveats\[0\] holds half a sign"),
        (damaged(imprint={"a": float("nan")}), "imprint.a is a number that no table holds"),
        (b'{"form": 1, "study": ' + b"[" * 100_000, "no snapshot of a study"),
        (as_text(SMALL).encode("utf-16"), "no UTF-8 text"),
    ],
)
def test_a_stranger_s_snapshot_of_another_shape_is_refused_and_the_place_named(
    data: bytes, said: str
) -> None:
    with pytest.raises(BadRecord, match=said):
        from_stranger(data, where="here")


@pytest.mark.parametrize("name", ["setups", "findings", "verdicts", "prices", "refusals", "tests"])
def test_a_snapshot_without_one_of_its_tables_is_not_whole(name: str) -> None:
    told = json.loads(as_text(SMALL))
    del told[name]
    with pytest.raises(BadRecord, match="not whole"):
        from_text(json.dumps(told), where="here")
