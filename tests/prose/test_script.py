"""A script in pieces: nothing is lost, and every place points at its own text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.prose.rules import rules
from evenhand.prose.script import Sort, parse

ODD = st.text(alphabet=st.sampled_from('aB. !?\n#[]{}\\"”card:-*1>\t\u00a0é')) | st.text()


def sentences(text: str) -> list[str]:
    script = parse(text, abbreviations=rules().abbreviations)
    return [piece.text for piece in script.pieces if piece.sort is Sort.SENTENCE]


@given(ODD)
def test_all_pieces_together_are_the_source(text: str) -> None:
    assert "".join(piece.text for piece in parse(text).pieces) == text


@given(ODD)
def test_every_place_points_at_its_own_text(text: str) -> None:
    for piece in parse(text).pieces:
        place = piece.place
        assert text[place.start : place.end] == piece.text
        before = text[: place.start]
        assert (place.line, place.column) == (
            before.count("\n") + 1,
            len(before) - (before.rfind("\n") + 1) + 1,
        )
        for reference in piece.references:
            assert text[reference.start : reference.end][0] in "{}"


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("One. Two! Three?", ["One.", "Two!", "Three?"]),
        ("It took 3.5 s. Then 4.", ["It took 3.5 s.", "Then 4."]),
        ("See e.g. Wren. Or not.", ["See e.g. Wren.", "Or not."]),
        ('"Is it stable?", he asked. No.', ['"Is it stable?", he asked.', "No."]),
        ('"Stop." Then on.', ['"Stop."', "Then on."]),
        ("A line\nthat goes on.", ["A line\nthat goes on."]),
        ("- one\n- two", ["one", "two"]),
        ("By {lead of a. b}. Next.", ["By {lead of a. b}.", "Next."]),
    ],
)
def test_sentences_end_where_people_end_them(text: str, cut: list[str]) -> None:
    assert sentences(text) == cut


def test_headings_begin_chapters_and_cards_are_cues() -> None:
    script = parse("# Title\n\nHi.\n\n## One ##\n\n[card: headline]\nA.\n\n### Inner\nB.\n\n## Two\nC.")
    assert [(p.text, p.chapter) for p in script.pieces if p.sort is Sort.HEADING] == [
        ("Title", 0), ("One", 1), ("Inner", 1), ("Two", 2),
    ]  # fmt: skip
    assert [p.text for p in script.pieces if p.sort is Sort.CUE] == ["headline"]
    assert [p.chapter for p in script.pieces if p.sort is Sort.SENTENCE] == [0, 1, 1, 2]
