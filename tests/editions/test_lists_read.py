"""Lists of a bundle that somebody may have altered: read whole, or refused with what, where and what next."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.editions.test_snapshot import SMALL

from evenhand.editions import card_list as cards
from evenhand.editions import logs_exchanged as logs
from evenhand.editions.card_list import card_list
from evenhand.editions.logs_exchanged import logs_exchanged, masked_before
from evenhand.errors import BadRecord

CARD = {
    "name": "headline-1", "medium": "wide", "file": "cards/wide/headline-1.svg", "width": 1920,
    "height": 1080, "title": "Plover is ahead.", "alt": "A picture.",
}  # fmt: skip
LOG = {"path": "study/logs/a.csv", "sha256_before": "9f", "sha256": "3c", "places": {"mail": 1}}
FILES = {CARD["file"]}

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
)


def rows(*, like: dict[str, Any]) -> st.SearchStrategy[list[Any]]:
    """Lists of entries in which some keys are missing, or hold anything."""
    other = st.dictionaries(st.sampled_from(sorted(like)), ANYTHING).map(lambda wrong: {**like, **wrong})
    short = st.sets(st.sampled_from(sorted(like))).map(lambda keys: {k: like[k] for k in keys})
    return st.lists(other | short | ANYTHING, max_size=4)


def texts(*, like: dict[str, Any]) -> st.SearchStrategy[bytes]:
    """Bytes that are no JSON, JSON of anything, entries gone wrong, and a sound list cut off somewhere."""
    sound = json.dumps([like, like]).encode()
    told = (ANYTHING | rows(like=like)).map(lambda each: json.dumps(each).encode())
    cut = st.integers(0, len(sound)).map(lambda at: sound[:at])
    return st.binary(max_size=80) | told | cut


@given(texts(like=CARD))
def test_a_list_of_cards_is_read_whole_or_refused_in_words(data: bytes) -> None:
    refused = None
    try:
        found = card_list(data, where="edition 1, cards/cards.json", files=FILES)
    except BadRecord as trouble:
        found, refused = (), trouble
    assert all(row["file"] in FILES and isinstance(row["width"], int) for row in found)
    if refused is not None:
        assert all((refused.found, refused.where == "edition 1, cards/cards.json", refused.todo))


@given(texts(like=LOG))
def test_a_list_of_masked_files_is_read_whole_or_told_in_one_sentence(data: bytes) -> None:
    try:
        assert all(
            all(isinstance(each, str) for each in (at, *told)) for at, told in masked_before(data).items()
        )
    except ValueError:
        (told,) = logs_exchanged(SMALL, SMALL, listed=data, sums={})
        assert told.startswith("masked.json is no list of masked files (")
        assert told.endswith("take it from where it was published")


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"name": "../../etc/passwd"}, "entry 2: '../../etc/passwd' is no name of a file"),
        ({"file": "cards/wide/gone.svg"}, "entry 2: 'cards/wide/gone.svg' is not there"),
        ({"width": "wide"}, "entry 2: 'width' is missing, or no number"),
        ({"title": None}, "entry 2: 'title' is missing, or no text"),
    ],
)
def test_a_card_that_is_wrong_is_named(wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(BadRecord) as refused:
        card_list(json.dumps([CARD, {**CARD, **wrong}]).encode(), where="here", files=FILES)
    assert refused.value.found == told


def test_what_is_too_long_or_too_deep_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    deep = b"[" * 200_000
    for reader in (lambda: card_list(deep, where="here", files=()), lambda: masked_before(deep)):
        with pytest.raises((BadRecord, ValueError)):
            reader()
    monkeypatch.setattr(cards, "MOST_BYTES", 2_000_000)
    monkeypatch.setattr(logs, "MOST_BYTES", 2_000_000)
    long = b" " * 2_000_001
    with pytest.raises(BadRecord, match="more than 2 MB"):
        card_list(long, where="here", files=())
    with pytest.raises(ValueError, match="more than 2 MB"):
        masked_before(long)


def test_sound_lists_are_read() -> None:
    assert card_list(json.dumps([CARD]).encode(), where="here", files=FILES) == (CARD,)
    assert masked_before(json.dumps([LOG]).encode()) == {"study/logs/a.csv": ("9f", "3c")}
    assert masked_before(b"[]") == {}
