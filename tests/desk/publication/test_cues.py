"""Cues that ask for a card which there is not: objected to wherever the script is checked."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.comparison.charting import Set
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.publish import publish_page
from evenhand.desk.publication import cards
from evenhand.desk.publication.card_ground import CardGround, ground_for
from evenhand.desk.publication.card_pairs import pairs_cued
from evenhand.desk.publication.cues import unanswered
from evenhand.desk.publication.house import house_now
from evenhand.desk.publication.narrating import keep_script
from evenhand.desk.publication.publishing import Told, editions_of, opened, publish
from evenhand.desk.publication.scripts import check_script
from evenhand.desk.publication.touching import digest_of_card
from evenhand.errors import BadRecord
from evenhand.prose.objection import Rule
from evenhand.prose.script import Sort, parse
from evenhand.publish.style import Medium, Style, for_medium
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


def test_an_edition_takes_the_wide_cards_that_its_cues_were_held_against(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[int] = []

    def counted(ground: CardGround, style: Style) -> Iterator[Set]:
        drawn.append(style.width)
        yield from own(ground, style)

    own = cards._sets
    monkeypatch.setattr(cards, "_sets", counted)
    keep_script(bench, "quay", "Hello.\n\n[card: methud]\n", by="me", now=NOW)
    made = publish(bench, "quay", Told(override="nobody reads it"), now=NOW).edition
    assert sorted(drawn) == sorted(for_medium(medium).width for medium in Medium)
    record = load_study(bench, "quay")
    ground = replace(ground_for(bench, record, pairs_cued(record, ["methud"])), excused=opened(made).excused)
    anew = cards.cards_from(ground, for_medium(Medium.WIDE), house_now(bench))
    kept = {path: made.files[path] for path in made.files if path.startswith("bundle/cards/wide/")}
    assert kept == {f"bundle/cards/wide/{one.name}.svg": digest_of_card(one) for one in anew}
