"""One build, tuned and at stock: nobody buys one in place of the other, what tuning buys is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.conftest import NOW
from tests.desk.tuning.tuned_pair import PART, measured, pair

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.tuning.noting import note_tuned
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_answers import judgement_answer
from evenhand.money.break_even import Value
from evenhand.store.workbench import Workbench
from evenhand.verdicts.claims import Kind
from evenhand.verdicts.moves import Aspect

BOUGHT = (
    "tuning Tern's processor buys 5.9 % on average of three tests for 24 W more at the wall and 3.1 dB more"
)


@pytest.fixture
def bench(wb: Workbench, tmp_path: Path) -> Workbench:
    """A study of the two states alone, of a build that has a price."""
    folder = measured(pair())
    folder.document["study"] |= {"setups": ["tuned", "stock"], "currency": {"symbol": "dl", "decimals": 0}}
    folder.document["prices"] = [{"build": "tern", "price": 998, "on": NOW.date()}]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    return wb


def plain(words: str) -> str:
    return words.replace("\u00a0", " ").replace("\u2068", "").replace("\u2069", "")


def tuned(bench: Workbench) -> Workbench:
    note_tuned(bench, PART, now=NOW)
    return bench


def test_before_a_part_is_noted_as_tuned_the_money_is_told_as_of_any_two(bench: Workbench) -> None:
    (here,) = judged_for(bench, load_study(bench, "mole")).audiences
    assert here.verdicts[0].value is Value.A
    assert any(flip.aspect is Aspect.VALUE for flip in here.flips)


def test_a_verdict_on_both_says_what_tuning_buys_and_for_what_and_nothing_of_value(bench: Workbench) -> None:
    (here,) = judged_for(tuned(bench), load_study(bench, "mole")).audiences
    (verdict,) = here.verdicts
    assert (verdict.value, verdict.prices, verdict.break_even) == (Value.UNKNOWN, None, None)
    assert plain(verdict.bought) == BOUGHT
    assert not any(flip.aspect is Aspect.VALUE for flip in here.flips)


def test_every_place_that_tells_it_says_the_price_in_the_same_breath(bench: Workbench) -> None:
    record = load_study(tuned(bench), "mole")
    judgement = judged_for(bench, record)
    told = judgement_answer(judgement, record)["audiences"][0]["verdicts"][0]["words"]
    page = verdict_page(bench, "mole", Looked())
    cards = {each.name: each.picture for each in cards_of(bench, record)}
    headline = next(each for name, each in cards.items() if name.startswith("headline"))
    for said in (told, page.answer, page.read, headline.description):
        assert BOUGHT in plain(said).replace("Tuning Tern", "tuning Tern")
        assert "better value" not in said
    assert page.money is not None
    assert "bought once" in page.money.lacking
    assert not {"price-performance", "break-even"} & set(cards)


def test_a_sentence_on_value_is_refused_with_that_reason(bench: Workbench) -> None:
    snapshot = snapshot_now(bench, load_study(tuned(bench), "mole"))
    assert not any(row["kind"] == Kind.VALUE.value for row in snapshot.claims.values())
    refused = [row["why"] for row in snapshot.refusals if row["kind"] == Kind.VALUE.value]
    assert refused
    assert all("one build, bought once" in why for why in refused)
