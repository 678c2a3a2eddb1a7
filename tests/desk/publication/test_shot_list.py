"""Which card is shown when: cues of a script against the cards that there are."""

from __future__ import annotations

import shutil
from pathlib import Path

from evenhand.demo.narration import checked_draft, first_draft
from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.publication.shot_list import (
    NO_CUE,
    never_shown,
    shot_list,
    shot_list_answer,
    shot_list_text,
)
from evenhand.desk.publication.shots import shots_of
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.store.workbench import open_workbench


def card(name: str) -> Drawn:
    picture = Picture(svg="<svg/>", width=1, height=1, title=f"What {name} shows", description="")
    return Drawn(name=name, picture=picture, theme=Theme.LIGHT)


NAMES = (
    "headline-plover-dunlin-1",
    "headline-plover-dunlin-2",
    "headline-plover-wren",
    "rates-fps",
    "method",
)
CARDS = tuple(map(card, NAMES))


def names(asked: str) -> list[str]:
    (shot,) = shot_list([(asked, "0:12")], CARDS)
    return [one.name for one in shot.cards]


def test_a_cue_names_a_card_or_the_first_set_that_begins_with_it() -> None:
    assert names("method") == ["method"]
    assert names("Headline") == ["headline-plover-dunlin-1", "headline-plover-dunlin-2"]
    assert names("headline plover wren") == ["headline-plover-wren"]
    assert names("headline-plover-dunlin-2") == ["headline-plover-dunlin-2"]


def test_a_cue_that_no_card_answers_says_what_is_near() -> None:
    (shot,) = shot_list([("methud", "1:05")], CARDS)
    assert not shot.cards
    assert shot.todo == "did you mean 'method'?"
    assert "1:05  no card is called 'methud': did you mean 'method'?" in shot_list_text([shot], CARDS)


def test_the_list_is_read_along_the_script_and_tells_what_is_never_shown() -> None:
    shots = shot_list([("headline", "0:00"), ("method", "4:30")], CARDS)
    lines = shot_list_text(shots, CARDS).splitlines()
    assert lines[0] == "0:00  headline-plover-dunlin-1  What headline-plover-dunlin-1 shows"
    assert lines[1].startswith("then  headline-plover-dunlin-2")
    assert lines[2].startswith("4:30  method")
    assert lines[3] == "Never shown: headline-plover-wren, rates-fps."
    assert never_shown(shots, CARDS) == ("headline-plover-wren", "rates-fps")


def test_a_script_without_cues_says_how_to_write_one() -> None:
    assert shot_list_text((), CARDS) == f"{NO_CUE}\n"


def test_the_same_for_programs() -> None:
    answer = shot_list_answer(shot_list([("rates", "0:40"), ("", "0:50")], CARDS), CARDS)
    assert answer["shots"][0] == {
        "at": "0:40", "asked": "rates", "cards": [{"name": "rates-fps", "title": "What rates-fps shows"}],
        "todo": "",
    }  # fmt: skip
    assert answer["shots"][1]["cards"] == []
    assert "method" in answer["never_shown"]


def test_every_cue_of_the_examples_own_script_shows_a_card(decided_file: Path, tmp_path: Path) -> None:
    shutil.copy(decided_file, tmp_path / "w.evenhand")
    with open_workbench(tmp_path / "w.evenhand") as wb:
        for text in (first_draft(), checked_draft()):
            assert all(shot.cards for shot in shots_of(wb, "saltmarsh", text).shots)
