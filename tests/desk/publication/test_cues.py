"""Cues that ask for a card which there is not: objected to wherever the script is checked."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.pages.publish import publish_page
from evenhand.desk.publication.cues import unanswered
from evenhand.desk.publication.narrating import keep_script
from evenhand.desk.publication.publishing import Told, editions_of, opened, publish
from evenhand.desk.publication.scripts import check_script
from evenhand.errors import BadRecord
from evenhand.prose.objection import Rule
from evenhand.prose.script import Sort, parse
from evenhand.store.workbench import Workbench, open_workbench

CARDS = ("headline-plover-wren-1", "headline-plover-wren-2", "break-even-plover-wren", "rates-fps", "method")


@pytest.fixture
def bench(weighed_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(weighed_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def told(script: str) -> list[tuple[str, str]]:
    cues = [piece for piece in parse(script).pieces if piece.sort is Sort.CUE]
    return [(each.reason, each.instead) for each in unanswered(cues, CARDS)]


def test_a_cue_that_a_card_answers_is_not_objected_to() -> None:
    assert told("[card: Headline]\n\n[card: break even]\n\n[card: rates-fps]\n") == []


def test_one_that_none_answers_is_told_with_the_names_that_are_nearest() -> None:
    assert told("[card: headlin]\n") == [
        ("no card is called 'headlin'", "Did you mean 'headline', 'headline-plover-wren' or 'break-even'?")
    ]


def test_script_and_page_object_to_it_where_it_stands(bench: Workbench) -> None:
    text = "## So\n\n[card: headline]\n\nHello.\n\n[card: methud]\n"
    (found,) = check_script(bench, "quay", text).objections
    assert (found.rule, found.place.line, found.excerpt) == (Rule.CUE, 7, "methud")
    assert "'method'" in found.would_stand
    keep_script(bench, "quay", text, by="me", now=NOW)
    page = publish_page(bench, "quay", today=NOW.date())
    assert [(row.where, row.rule) for row in page.script.objections] == [("line 7", "card not there")]
    assert page.script.objections[0].instead.startswith("Did you mean")
    assert page.needs_override


def test_it_goes_out_only_with_a_reason_that_is_told(bench: Workbench) -> None:
    keep_script(bench, "quay", "Hello.\n\n[card: methud]\n", by="me", now=NOW)
    with pytest.raises(BadRecord, match="one objection; the first, line 3: no card is called 'methud'"):
        publish(bench, "quay", now=NOW)
    publish(bench, "quay", Told(override="drawn by hand"), now=NOW)
    (edition,) = editions_of(bench, "quay")
    assert "drawn by hand" in opened(edition).excused
