"""What triage judged reaches the picture: each kind of fault, drawn from its arrays to the last word."""

from __future__ import annotations

from itertools import combinations

import pytest
from tests.publish.svg_reading import texts
from tests.triage.one_of_each import CASES, shown

from evenhand.publish.figures.evidence import evidence_picture
from evenhand.publish.figures.evidence_views import Evidence
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style, card, page
from evenhand.publish.svg import Box

NAMES = Names(
    setups={"plover": SetupName(name="Plover", slot=2), "wren": SetupName(name="Wren", slot=1)},
    tests={"causeway": TestName(name="Salt Causeway", unit="fps"), "render": TestName(name="Night render")},
)
every = pytest.mark.parametrize("name", CASES)


def drawn(name: str, style: Style) -> Picture:
    told = shown(name)
    exhibit = told.exhibit
    setups = {run.id: "plover" for run in told.runs}
    setups |= {run.id: "wren" for peer in told.company.peers for run in peer}
    evidence = Evidence(
        test=told.company.test.key,
        setup="plover",
        run="Plover, Salt Causeway 1",
        fault=told.fault,
        trace=exhibit.trace,
        below=exhibit.below,
        setups=setups,
    )
    (picture,) = evidence_picture(evidence, NAMES, style=style)
    return picture


def said(picture: Picture) -> str:
    return " ".join(text.words.text for text in texts(picture)).replace("\u00a0", " ")


@every
def test_the_sentence_stands_whole_on_the_card_with_the_run_it_is_about(name: str) -> None:
    told = said(drawn(name, card()))
    assert shown(name).fault.evidence.replace("\u00a0", " ").replace("'", "’").rstrip(".") in told
    assert "Run: Plover, Salt Causeway 1." in told


@every
@pytest.mark.parametrize("style", [card(), page()], ids=["card", "page"])
def test_no_words_touch_or_leave_the_picture(name: str, style: Style) -> None:
    picture = drawn(name, style)
    room = Box(left=0, top=0, right=picture.width, bottom=picture.height)
    assert [text.words.text for text in texts(picture) if not text.box.inside(room)] == []
    meeting = [
        (one.words.text, other.words.text)
        for one, other in combinations(texts(picture), 2)
        if one.ink.meets(other.ink)
    ]
    assert meeting == []


@every
def test_it_is_small_enough_to_send_and_what_to_do_is_in_its_description(name: str) -> None:
    picture = drawn(name, card())
    assert len(picture.svg) < 110_000
    assert shown(name).fault.todo in picture.description
    assert "nan" not in picture.svg
