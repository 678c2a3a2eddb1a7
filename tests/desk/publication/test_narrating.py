"""The script of a study: kept, gone out with an edition only where it stands, and touched by what moves."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.pages.publish import publish_page
from evenhand.desk.publication.article_files import texts_of, write_article
from evenhand.desk.publication.edition_cards import card_rows
from evenhand.desk.publication.imprint import put_link
from evenhand.desk.publication.narrating import checked_now, keep_script, script_now, spoken_of, touched_since
from evenhand.desk.publication.publishing import Told, editions_of, opened, publish
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.publication.touching import drawn_from_the_same, ripple
from evenhand.desk.study.away import put_study_away
from evenhand.desk.study.disclosing import disclose
from evenhand.editions.moved import REWORDED
from evenhand.errors import BadRecord, EvenhandError
from evenhand.records.prices import Price
from evenhand.records.publications import How, Link
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.prices import add_price
from evenhand.store.workbench import Workbench, open_workbench
from evenhand.verdicts import claim_words

SOUND = """## What was asked

Two machines went over the quay.

## What they cost

Plover costs {price of plover, with range}, and Wren {price of wren, with range}.
"""
UNSOUND = "## So\n\nPlover is future-proof, by 12 %.\n"


@pytest.fixture
def bench(weighed_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(weighed_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def dearer(wb: Workbench) -> None:
    currency = load_study(wb, "quay").study.currency
    assert currency is not None
    add_price(
        wb,
        Price(build="plover", minor=1100, currency=currency, on=date(2031, 5, 9)),
        at=LATER + timedelta(days=4),
    )


def test_every_state_of_a_script_is_kept_and_the_last_stands(bench: Workbench) -> None:
    assert script_now(bench, "quay") is None
    assert checked_now(bench, "quay") is None
    keep_script(bench, "quay", UNSOUND, by="me", now=NOW)
    keep_script(bench, "quay", SOUND, by="me", now=LATER)
    stands = script_now(bench, "quay")
    assert stands is not None
    assert stands.text == SOUND


def test_a_script_that_stands_goes_out_with_its_figures_and_chapters(
    bench: Workbench, tmp_path: Path
) -> None:
    keep_script(bench, "quay", SOUND, by="me", now=NOW)
    publish(bench, "quay", now=NOW)
    page = (write_article(bench, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert "998\u00a0dl on 4 May 2031</data>" in page
    assert "Chapters\n0:00 What was asked\n0:0" in texts_of(bench, "quay")[1]["description.txt"]


def test_a_script_that_does_not_stand_goes_out_only_with_a_reason_that_is_told(bench: Workbench) -> None:
    keep_script(bench, "quay", UNSOUND, by="me", now=NOW)
    with pytest.raises(BadRecord, match="the check of the script has"):
        publish(bench, "quay", now=NOW)
    publish(bench, "quay", Told(override="a joke that everybody knows"), now=NOW)
    (edition,) = editions_of(bench, "quay")
    assert "a joke that everybody knows" in opened(edition).excused
    assert "a joke that everybody knows" in method_of(bench, 1)
    keep_script(bench, "quay", SOUND, by="me", now=LATER)
    publish(bench, "quay", Told(reason="without the joke"), now=LATER)
    assert "a joke" not in method_of(bench, 2)
    assert "a joke that everybody knows" in method_of(bench, 1)


def test_a_lent_part_that_no_sentence_names_stops_nothing_and_is_told(bench: Workbench) -> None:
    keep_script(bench, "quay", SOUND, by="me", now=NOW)
    assert publish(bench, "quay", now=NOW).untold == ()
    disclose(bench, "k6", How.LOAN, by="Brellow", note="", now=NOW)
    put_link(bench, Link(name="The shop", to="https://shop.example/k6", part="k6", paid=True), now=NOW)
    checked = checked_now(bench, "quay")
    assert checked is not None
    assert checked.objections == ()
    assert checked.untold == (
        "Brellow K6 (processor): lent, and to be given back. No sentence says so.",
        "Brellow K6: the link “The shop” pays you, and its disclosures have no word of that.",
    )
    assert publish(bench, "quay", Told(reason="a loan"), now=LATER).untold == checked.untold
    keep_script(bench, "quay", f"{SOUND}\n\nThe Brellow K6 is on loan.\n", by="me", now=LATER)
    told = publish(bench, "quay", Told(reason="the loan is said"), now=LATER).untold
    assert [each for each in told if "lent" in each] == []


def test_a_paid_link_of_a_part_is_marked_on_the_page(bench: Workbench, tmp_path: Path) -> None:
    put_link(bench, Link(name="The shop", to="https://shop.example/k6", part="k6", paid=True), now=NOW)
    put_link(bench, Link(name="Its maker", to="https://maker.example/", part="k6"), now=NOW)
    keep_script(bench, "quay", f"{SOUND}\n\nThe [shop](https://shop.example/k6).\n", by="me", now=NOW)
    publish(bench, "quay", Told(override="a link alone"), now=NOW)
    page = (write_article(bench, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert page.count('rel="sponsored"') == 2
    assert page.count("(pays the reviewer)") == 2
    assert '<a href="https://maker.example/">Its maker</a><td>' in page, "and says nothing after it"


def method_of(wb: Workbench, number: int) -> str:
    """What the method cards of an edition say to who cannot see them."""
    rows = card_rows(wb, editions_of(wb, "quay")[number - 1])
    return " ".join(row["alt"] for row in rows if row["name"].startswith("method"))


def test_what_moves_touches_the_figures_that_tell_it_and_no_other(bench: Workbench) -> None:
    keep_script(bench, "quay", SOUND, by="me", now=NOW)
    publish(bench, "quay", now=NOW)
    before = opened(editions_of(bench, "quay")[0])
    record = load_study(bench, "quay")
    assert touched_since(record, spoken_of(record, before, 150), snapshot_now(bench, record)) == ()
    dearer(bench)
    record = load_study(bench, "quay")
    (touched,) = touched_since(record, spoken_of(record, before, 150), snapshot_now(bench, record))
    assert touched.address == "price of plover"
    assert touched.chapter == "What they cost"
    assert (touched.before, touched.after) == ("998\u00a0dl on 4 May 2031", "1,100\u00a0dl on 9 May 2031")
    assert touched.line == 7


def test_the_comment_to_be_pinned_names_the_chapter_that_a_correction_is_of(bench: Workbench) -> None:
    keep_script(bench, "quay", SOUND, by="me", now=NOW)
    publish(bench, "quay", now=NOW)
    dearer(bench)
    publish(bench, "quay", Told(reason="another price"), now=LATER)
    told = texts_of(bench, "quay")[1]["pinned-comment.txt"].replace("\N{NO-BREAK SPACE}", " ")
    assert "What they cost: 998 dl on 4 May 2031 → 1,100 dl on 9 May 2031" in told
    assert "Price of Plover: 998 dl on 4 May 2031" in told


def test_a_study_that_is_put_away_keeps_its_script(bench: Workbench) -> None:
    put_study_away(bench, "quay", note="", by="", now=NOW)
    with pytest.raises(EvenhandError, match="put away"):
        keep_script(bench, "quay", SOUND, by="me", now=NOW)


LEADS = """## What was measured

[card: headline]

In Salt Causeway Plover is ahead of Wren.
Plover costs {price of plover, with range}.
"""


def spoken(bench: Workbench) -> None:
    """An edition whose script stands, and then a margin under which one of its sentences stands no more."""
    keep_script(bench, "quay", LEADS, by="me", now=NOW)
    publish(bench, "quay", now=NOW)
    shelves.save(bench, replace(shelves.one(bench, Study, "quay"), margin=0.4), now=LATER)


def test_a_sentence_that_stood_and_stands_no_more_is_touched_and_no_other(bench: Workbench) -> None:
    spoken(bench)
    (sentence,) = ripple(bench, "quay").sentences
    assert sentence.words == "In Salt Causeway Plover is ahead of Wren."
    assert (sentence.line, sentence.chapter, sentence.start_s) == (5, "What was measured", 0.0)
    assert sentence.why
    assert "level" in sentence.would_stand
    keep_script(bench, "quay", "Another script.", by="me", now=LATER)
    assert ripple(bench, "quay").sentences == (sentence,)


def test_nothing_is_touched_of_what_was_objected_to_before_or_still_stands(bench: Workbench) -> None:
    keep_script(bench, "quay", UNSOUND, by="me", now=NOW)
    publish(bench, "quay", Told(override="a joke"), now=NOW)
    assert opened(editions_of(bench, "quay")[0]).objected
    dearer(bench)
    assert ripple(bench, "quay").moves
    assert ripple(bench, "quay").sentences == ()


def test_a_newer_wording_of_the_program_is_told_once_and_leaves_the_script_alone(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = load_study(bench, "quay")
    own = [row["words"] for row in snapshot_now(bench, record).claims.values()]
    keep_script(bench, "quay", "\n\n".join(own), by="me", now=NOW)
    publish(bench, "quay", Told(override="as the record has it"), now=NOW)
    for key, words in claim_words.SENTENCES.items():
        monkeypatch.setitem(claim_words.SENTENCES, key, words.replace(" is ahead of ", " leads "))
    found = ripple(bench, "quay")
    assert (found.moves, found.figures, found.sentences) == ((REWORDED,), (), ())
    page = publish_page(bench, "quay", today=date(2031, 5, 9))
    assert page.answer.endswith("today; since then the program's own wording changed, and nothing else did.")
    assert [row.after for row in page.moved] == ["the program's own wording changed, and nothing else did"]
    with pytest.raises(BadRecord, match="edition 1 is out, and the program's own wording changed"):
        publish(bench, "quay", now=LATER)
    publish(bench, "quay", Told(reason="in plainer words"), now=LATER)
    assert "stand no more" not in opened(editions_of(bench, "quay")[1]).excused
    assert "stands no more" not in texts_of(bench, "quay")[1]["pinned-comment.txt"]


AGAINST = LEADS.replace("of Wren.", "of Wren by 12 %.")


def test_a_sentence_that_went_out_against_an_objection_is_told_once_as_that_where_its_ground_moved(
    bench: Workbench,
) -> None:
    keep_script(bench, "quay", AGAINST, by="me", now=NOW)
    publish(bench, "quay", Told(override="the figure is set by hand"), now=NOW)
    (then,) = opened(editions_of(bench, "quay")[0]).objected
    shelves.save(bench, replace(shelves.one(bench, Study, "quay"), margin=0.4), now=LATER)
    (sentence,) = ripple(bench, "quay").sentences
    assert sentence.against == then["reason"]
    assert sentence.why not in ("", then["reason"])
    assert sentence.told == f"went out against an objection ({sentence.against}); now: {sentence.why}"
    publish(bench, "quay", Told(reason="another margin"), now=LATER)
    assert ripple(bench, "quay").sentences == ()
    excused = opened(editions_of(bench, "quay")[1]).excused
    assert "stands no more" not in excused  # it never stood
    comment = texts_of(bench, "quay")[1]["pinned-comment.txt"]
    assert "by 12 %.” went out against an objection (" in comment


def test_an_objection_that_is_gone_is_told_and_one_that_stays_is_not(bench: Workbench) -> None:
    keep_script(bench, "quay", f"{AGAINST}\nWren costs 1 dl on 9 May 2031.\n", by="me", now=NOW)
    publish(bench, "quay", Told(override="as it is"), now=NOW)
    tramlines = next(t for t in load_study(bench, "quay").compared_tests if t.key == "tramlines")
    shelves.save(bench, replace(tramlines, name="Ten Tramlines"), now=LATER)
    assert ripple(bench, "quay").moves
    assert ripple(bench, "quay").sentences == ()  # neither names it
    study = shelves.one(bench, Study, "quay")
    assert study.currency is not None
    add_price(
        bench,
        Price(build="wren", minor=1, currency=study.currency, on=date(2031, 5, 9)),
        at=LATER + timedelta(days=4),
    )
    (sentence,) = ripple(bench, "quay").sentences
    assert sentence.words == "Wren costs 1 dl on 9 May 2031."
    assert sentence.against
    assert sentence.why == "nothing is objected to in it"


def test_a_change_after_the_script_was_spoken_needs_no_excuse_and_the_edition_tells_it(
    bench: Workbench,
) -> None:
    spoken(bench)
    publish(bench, "quay", Told(reason="another margin"), now=LATER)
    told = "The script was spoken for edition 1; one sentence of it stands no more."
    assert opened(editions_of(bench, "quay")[1]).excused == told
    assert told in method_of(bench, 2)
    assert ripple(bench, "quay").sentences == ()
    keep_script(bench, "quay", f"{LEADS}\nBoth are as they were.\n", by="me", now=LATER)
    with pytest.raises(BadRecord, match="the check of the script has"):
        publish(bench, "quay", Told(reason="more words"), now=LATER)


def test_the_comment_tells_when_a_sentence_is_said_and_a_card_shown_that_turned(bench: Workbench) -> None:
    spoken(bench)
    cards = {card.name: card for card in ripple(bench, "quay").cards}
    headline = next(card for name, card in cards.items() if name.startswith("headline"))
    assert headline.shown == ("0:00",)
    assert "ahead" in headline.was
    assert "level" in headline.now
    assert all(card.change for card in cards.values())
    publish(bench, "quay", Told(reason="another margin"), now=LATER)
    told = texts_of(bench, "quay")[1]["pinned-comment.txt"]
    assert "0:00 What was measured: “In Salt Causeway Plover is ahead of Wren.” stands no more (" in told
    assert f"0:00 on the card: {headline.was} → {headline.now}" in told


def test_a_loan_that_is_not_on_record_says_what_to_do(bench: Workbench) -> None:
    keep_script(bench, "quay", "The Brellow K6 is on loan.\n", by="me", now=NOW)
    checked = checked_now(bench, "quay")
    assert checked is not None
    (objection,) = checked.objections
    told = "Brellow K6 is not on record as a loan: put it on record, or leave it out"
    assert objection.reason == told


def test_sentences_in_the_records_own_words_are_touched_where_it_has_them_no_more(bench: Workbench) -> None:
    record = load_study(bench, "quay")
    rows = snapshot_now(bench, record).claims.values()
    (level,) = [row["words"] for row in rows if row["words"].startswith("In Nine Tramlines")]
    keep_script(bench, "quay", f"{level}\n\nSalt Causeway is the one to see.\n", by="me", now=NOW)
    publish(bench, "quay", Told(override="as it is"), now=NOW)
    assert ripple(bench, "quay").sentences == ()
    causeway = next(each for each in record.compared_tests if each.key == "causeway")
    shelves.save(bench, replace(causeway, name="Pepper Causeway"), now=LATER)
    (named,) = ripple(bench, "quay").sentences
    assert named.words == "Salt Causeway is the one to see."
    assert named.why == "“Salt Causeway” is called “Pepper Causeway” now"
    tramlines = next(each for each in record.compared_tests if each.key == "tramlines")
    shelves.save(bench, replace(tramlines, name="Ten Tramlines"), now=LATER)
    told, _ = ripple(bench, "quay").sentences
    assert told.words == level.replace("\N{NO-BREAK SPACE}", " ")
    assert told.would_stand == level.replace("Nine", "Ten")


def test_cards_are_drawn_from_the_same_until_an_input_is_another(bench: Workbench) -> None:
    edition = publish(bench, "quay", now=NOW).edition
    assert drawn_from_the_same(bench, edition)
    assert not drawn_from_the_same(bench, replace(edition, input_hash="another"))
