"""Of which pairs cards are: those that are asked for, on the page, in editions and by a script."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW
from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.comparison.pair_names import pair_word
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_cards import cards_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.publish import publish_page
from evenhand.desk.publication.card_answers import cards_answer, set_asked
from evenhand.desk.publication.card_pairs import KINDS, pairs_cued, pairs_in, pairs_named, pairs_shown
from evenhand.desk.publication.edition_cards import card_rows
from evenhand.desk.publication.narrating import keep_script
from evenhand.desk.publication.publishing import Told, publish
from evenhand.desk.publication.shots import shots_of
from evenhand.desk.publication.touching import touched_cards
from evenhand.errors import BadRecord, NotFound
from evenhand.store.workbench import Workbench

NAMES = ("tern", "gull", "smew", "rail")
LAST = ("gull", "smew")  # of none of those that matter most: Tern is in front, and Rail behind all
SCRIPT = f"[card: flips {' '.join(LAST)}]\n\nNothing is said here."


@pytest.fixture
def four(wb: Workbench, tmp_path: Path) -> Workbench:
    """Four machines, so that six pairs are compared, of which three have cards by themselves."""
    made = [Made(key=key, logs={"quay": 4.3 - 0.1 * i}) for i, key in enumerate(NAMES)]
    import_folder(wb, swapped(*made).write(tmp_path / "study"), now=NOW)
    return wb


def on_record(wb: Workbench) -> StudyOnRecord:
    return load_study(wb, "mole")


def pair_cards(names: list[str]) -> set[str]:
    """What comes after the kind in the names of cards of pairs."""
    return {name.removeprefix(f"{kind}-") for name in names for kind in KINDS if name.startswith(f"{kind}-")}


def test_without_a_choice_the_pair_in_front_comes_first_and_a_choice_leaves_no_other(four: Workbench) -> None:
    record = on_record(four)
    assert pairs_shown(record) == (("tern", "gull"), ("tern", "smew"), ("tern", "rail"))
    assert pairs_shown(record, [LAST]) == (LAST,)
    assert pairs_named(record, [LAST[::-1], LAST]) == (LAST,)
    with pytest.raises(NotFound, match="gull and wren are no pair of this study"):
        pairs_named(record, [("gull", "wren")])


def test_a_set_is_drawn_for_the_pairs_asked_for_each_named_where_it_cannot_be_seen(four: Workbench) -> None:
    asked = set_asked(four, "mole", pairs=[("smew", "gull"), ("rail", "tern")])
    answer = cards_answer(asked, [str(i) for i in range(2 * len(asked.drawn))])
    assert answer["pairs"] == [["tern", "rail"], ["gull", "smew"]]
    assert answer["pairs_left"] == 4
    own = [card for card in answer["cards"] if card["name"].startswith(KINDS)]
    assert pair_cards([card["name"] for card in own]) == {"tern-rail", "gull-smew"}
    for card in own:
        told = f"{card['title']} {card['alt']}"
        assert all(key.capitalize() in told for key in card["pair"]), card["name"]


def test_names_of_cards_of_two_pairs_are_never_the_same() -> None:
    setups = ("a", "a-b", "b-c", "c", "c-2")
    pairs = [(a, b) for i, a in enumerate(setups) for b in setups[i + 1 :]]
    words = [pair_word(pair, setups) for pair in pairs]
    numbered = [f"{word}{ending}" for word in words for ending in ("", "-1", "-2")]
    assert len(set(numbered)) == len(numbered)


def test_the_page_draws_the_pair_that_is_chosen_and_keeps_it_in_its_links(four: Workbench) -> None:
    page = cards_page(four, "mole", Asked(pair="~".join(LAST)))
    assert pair_cards([card.name for card in page.cards]) == {"gull-smew"}
    assert [chip.here for chip in page.pairs] == [False, False, False, True, False, False]
    every = [link for card in page.cards for link in (card.svg, card.png, card.dark_svg, card.dark_png)]
    every += [medium.address for medium in page.media]
    assert all("pair=gull~smew" in link for link in every)
    assert page.left.startswith("Five more pairs have their headline")


def test_a_pair_that_matters_is_there_without_being_asked_for(four: Workbench) -> None:
    page = cards_page(four, "mole", Asked(pair="tern~rail"))
    assert pair_cards([card.name for card in page.cards]) == {"tern-gull", "tern-smew", "tern-rail"}
    assert page.cards[0].name == "headline-tern-rail"
    assert not any("pair=" in card.svg for card in page.cards)


def test_a_script_that_names_the_card_of_a_pair_has_it_in_its_shot_list(four: Workbench) -> None:
    found = shots_of(four, "mole", SCRIPT)
    assert "flips-gull-smew  What would flip it: All tests alike, Gull and Smew" in found.text
    assert not found.missing
    assert "headline-tern-gull" in found.text
    assert shots_of(four, "mole", "[card: flips gull rail]").missing is False
    only = shots_of(four, "mole", "[card: headline]", pairs=[LAST])
    assert [shot.cards[0].name for shot in only.shots] == ["headline-gull-smew"]


def test_a_cue_for_a_kind_alone_asks_for_no_further_pair(four: Workbench) -> None:
    record = on_record(four)
    assert pairs_cued(record, ["headline", "headline tern", "method"]) == pairs_shown(record)


def test_an_edition_has_cards_of_the_pairs_asked_for_and_of_those_its_script_shows(four: Workbench) -> None:
    keep_script(four, "mole", SCRIPT, by="me", now=LATER)
    made = publish(four, "mole", Told(pairs=[("rail", "tern")]), now=LATER)
    rows = card_rows(four, made.edition)
    assert set(pairs_in(rows)) == {("tern", "rail"), LAST}
    assert len({row["file"] for row in rows}) == len(rows)
    assert publish(four, "mole", Told(pairs=[("tern", "rail")]), now=LATER).again
    assert publish(four, "mole", now=LATER).again
    with pytest.raises(BadRecord, match="its cards are of other pairs"):
        publish(four, "mole", Told(pairs=[("tern", "gull")]), now=LATER)
    second = publish(four, "mole", Told(pairs=[("tern", "gull")], reason="the other two"), now=LATER)
    assert set(pairs_in(card_rows(four, second.edition))) == {("tern", "gull"), LAST}
    ticks = {tick.value for tick in publish_page(four, "mole", today=LATER.date()).pairs if tick.ticked}
    assert ticks == {"tern~gull", "gull~smew"}


def test_what_moved_is_looked_for_on_the_cards_of_the_edition_and_not_on_todays(four: Workbench) -> None:
    edition = publish(four, "mole", Told(pairs=[LAST]), now=LATER).edition
    touched = list(touched_cards(four, on_record(four), edition, ()))
    assert [card.name for card in touched if card.after is None] == []
