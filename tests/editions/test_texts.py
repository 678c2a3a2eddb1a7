"""What stands below a video: everything a viewer is owed, nothing that the record does not bear."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.editions.test_snapshot import SMALL

from evenhand.editions.article import Correction
from evenhand.editions.texts import Beside, Chapter, SaidBefore, description, pinned_comment
from evenhand.records.publications import Imprint, Link

PARTS = [
    {"key": "l40", "kind": "graphics", "name": "Lantern 40"},
    {"key": "a6", "kind": "processor", "name": "Ash 6"},
]
SAYS = replace(
    SMALL,
    study={"key": "quay", "title": "Two", "margin": 0.03, "currency": {"symbol": "dl", "decimals": 0}},
    setups=[
        {"key": "plover", "build_name": "Plover", "parts": PARTS},
        {"key": "wren", "build_name": "Wren", "parts": []},
    ],
    tests=[{"key": "causeway"}],
    verdicts={"audiences": [{"verdicts": [
        {"a": "plover", "b": "wren", "words": "Mostly play: Plover is ahead of Wren by 10 % (8 to 12)."},
        {"a": "plover", "b": "dunlin", "words": "Another pair."},
    ]}]},
    prices={"plover": {"build": "plover", "minor": 998, "on": "2031-05-04", "note": ""}},
    disclosures=[{"part": "l40", "how": "loan", "by": "Harrowfen", "note": ""}],
    runs=[{"state": "landed"}, {"state": "set aside"}],
    refusals=[{"words": "Plover will last.", "why": "no ageing trials"}],
)  # fmt: skip
BESIDE = Beside(imprint=Imprint(), number=1, day="4 May 2031")
CORRECTED = replace(
    BESIDE, number=2,
    corrections=[
        Correction(number=2, day="6 May 2031", reason="a price was wrong", moved=tuple("abcdefghij"))
    ],
)  # fmt: skip


def test_the_answer_is_of_the_pair_that_the_study_is_about() -> None:
    told = description(SAYS, BESIDE)
    assert told.startswith("Mostly play: Plover is ahead of Wren by 10 % (8 to 12).")
    assert "Another pair" not in told


def test_of_three_machines_the_answer_is_over_all_of_them() -> None:
    verdicts = {"audiences": [
        {**each, "audience": {"name": "Mostly play"}, "among": {"words": "Wren is the better value"}}
        for each in SAYS.verdicts["audiences"]
    ]}  # fmt: skip
    told = description(replace(SAYS, verdicts=verdicts), BESIDE)
    assert told.startswith("Mostly play: Wren is the better value.")
    assert "Plover is ahead of Wren by" not in told


def test_a_price_carries_its_day_and_a_machine_without_one_says_so() -> None:
    told = description(SAYS, BESIDE)
    assert "Plover: 998\u00a0dl, asked on 4 May 2031" in told
    assert "Wren: no price on record" in told


def test_every_disclosure_stands_in_words_and_silence_is_told() -> None:
    told = description(SAYS, BESIDE)
    assert "Lantern 40: lent, to be given back by Harrowfen" in told
    assert "Nothing is said of one other part." in told


def test_that_nothing_is_said_of_the_parts_is_told() -> None:
    told = description(replace(SAYS, disclosures=[]), BESIDE)
    assert "Nothing is said of how these parts came here." in told


def test_the_first_chapter_begins_at_nought() -> None:
    told = description(
        SAYS, replace(BESIDE, chapters=[Chapter(at_s=2.5, title="A"), Chapter(at_s=75, title="B")])
    )
    assert "Chapters\n0:00 A\n1:15 B" in told
    assert "Chapters" not in description(SAYS, BESIDE)


@pytest.mark.parametrize("paid", [True, False])
def test_a_link_that_pays_is_said_to(*, paid: bool) -> None:
    links = (
        Link(name="Shop", to="https://a.example", part="l40", paid=paid),
        Link(name="More", to="https://b.example"),
    )
    told = description(SAYS, replace(BESIDE, imprint=Imprint(links=links)))
    assert ("Lantern 40, https://a.example (pays the reviewer)" in told) is paid
    assert "More: https://b.example" in told


def test_the_method_takes_three_lines() -> None:
    method = description(SAYS, BESIDE).split("Method\n")[1].split("\n\n")[0].splitlines()
    assert len(method) == 3
    assert "1 of 2 runs count" in method[0]


def test_a_correction_is_pinned_with_what_moved() -> None:
    told = pinned_comment(SAYS, CORRECTED)
    assert told.startswith("Correction, 6 May 2031: a price was wrong.\nNo verdict turned.\na\nb")
    assert "… and two further things moved; all are on the corrections page." in told
    assert "Corrections\n  6 May 2031: a price was wrong." in description(SAYS, CORRECTED)


def test_without_corrections_the_answer_and_its_first_limit_are_pinned() -> None:
    told = pinned_comment(SAYS, BESIDE)
    assert "Plover is ahead of Wren" in told
    assert "“Plover will last.” (no ageing trials)" in told


def test_a_correction_names_the_time_at_which_the_video_says_otherwise() -> None:
    said = [
        SaidBefore(at_s=75, chapter="Prices", before="998 dl", after="1,040 dl"),
        SaidBefore(at_s=5, chapter="", before="5 %", after=None),
    ]
    told = pinned_comment(SAYS, replace(CORRECTED, said_before=said)).splitlines()
    assert told[2:4] == ["1:15 Prices: 998 dl → 1,040 dl", "0:05: 5 % → no longer on record"]


def test_that_a_verdict_turned_is_pinned_before_any_number_and_never_cut_off() -> None:
    (newest,) = CORRECTED.corrections
    beside = replace(CORRECTED, corrections=[replace(newest, turned=("Plover is ahead. → Wren is ahead.",))])
    told = pinned_comment(
        SAYS, replace(beside, said_before=[SaidBefore(at_s=5, chapter="", before="5 %", after="6 %")])
    )
    assert told.splitlines()[1:4] == [
        "One verdict turned:",
        "  Plover is ahead. → Wren is ahead.",
        "0:05: 5 % → 6 %",
    ]


def moving(at_s: float, words: str, **more: object) -> SaidBefore:
    return replace(SaidBefore(at_s=at_s, chapter="", before=words, after="another"), **more)  # type: ignore[arg-type]


def test_at_most_eight_lines_tell_what_moved_the_weightiest_first() -> None:
    (newest,) = CORRECTED.corrections
    corrections = [replace(newest, turned=("Plover is ahead. → Wren is ahead.",))]
    said = [
        moving(1, "a card", card=True), moving(2, "a figure"), moving(3, "a sentence", why="stands no more"),
        moving(4, "slight", within=True), moving(5, "slighter", within=True),
    ]  # fmt: skip
    told = pinned_comment(SAYS, replace(CORRECTED, corrections=corrections, said_before=said)).splitlines()
    assert told[2:6] == [
        "  Plover is ahead. → Wren is ahead.",
        "0:03: “a sentence” stands no more → another",
        "0:02: a figure → another",
        "0:01: a card → another",
    ]
    assert told[6:10] == list("abcd")
    (rest,) = told[10:]
    assert rest.startswith("… and six further things moved, and two figures by less than their interval; ")
    assert rest.endswith("all are on the corrections page.")


def test_figures_that_stay_within_their_interval_are_counted_alone() -> None:
    (newest,) = CORRECTED.corrections
    beside = replace(CORRECTED, corrections=[replace(newest, moved=())])
    told = pinned_comment(SAYS, replace(beside, said_before=[moving(4, "slight", within=True)]))
    assert told.splitlines()[2:] == [
        "… and one further figure moved by less than its interval; all are on the corrections page."
    ]
