"""The whole set of a study's cards: which there are, in which order, and what is not shown said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, weighed
from tests.publish.svg_reading import texts
from tests.publish.test_media import LEAST, SIZES, faults

from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.publication import card_ground
from evenhand.desk.publication.card_answers import cards_answer, set_asked
from evenhand.desk.publication.card_ground import ground_for, not_drawn
from evenhand.desk.publication.card_pairs import MOST_PAIRS, pairs_left, pairs_shown
from evenhand.desk.publication.card_parts import disclosure_words
from evenhand.desk.publication.card_scenes import dated
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.narrating import keep_script
from evenhand.desk.publication.publishing import Told, publish
from evenhand.desk.study.disclosing import disclose
from evenhand.publish.picture import standalone
from evenhand.publish.style import Medium
from evenhand.records.publications import Disclosure, How
from evenhand.store.workbench import Workbench


def drawn(wb: Workbench, medium: Medium = Medium.WIDE) -> tuple[Drawn, ...]:
    return cards_of(wb, load_study(wb, "quay"), medium=medium)


def kinds(found: tuple[Drawn, ...]) -> list[str]:
    return list(dict.fromkeys(one.name.split("-")[0] for one in found))


def words(found: tuple[Drawn, ...], name: str) -> str:
    own = [t.words.text for one in found if one.name.startswith(name) for t in texts(one.picture)]
    return " ".join(own).replace("\u00a0", " ")


def imported(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    return wb


def test_a_study_without_prices_or_audiences_has_the_cards_that_it_can_have(stocked: Workbench) -> None:
    found = drawn(stocked)
    assert kinds(found) == ["headline", "intervals", "rates", "flips", "beside", "parts", "runs", "method"]
    assert words(found, "beside").count("not measured") == 3
    assert "no price on record" in words(found, "parts")


def test_prices_and_audiences_bring_cards_of_money(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    weighed(folder)
    found = drawn(imported(wb, folder, tmp_path))
    assert kinds(found)[:6] == ["headline", "intervals", "rates", "price", "owning", "break"]
    assert "Without electricity" in words(found, "owning"), "no meter was read"
    assert "better value" in words(found, "price") or "level by value" in words(found, "price")


@pytest.mark.parametrize("medium", Medium)
def test_each_medium_has_the_same_kinds_of_cards_in_its_own_size(
    wb: Workbench, folder: Folder, tmp_path: Path, medium: Medium
) -> None:
    weighed(folder)
    imported(wb, folder, tmp_path)
    found = drawn(wb, medium)
    assert kinds(found) == kinds(drawn(wb))
    for one in found:
        assert (one.picture.width, one.picture.height) == SIZES[medium]
        assert faults(one.picture, LEAST[medium]) == [], one.name
        assert "<title" in standalone(one.picture)


def test_the_headline_is_a_sentence_that_may_be_published(stocked: Workbench) -> None:
    assert "Over these three tests" in words(drawn(stocked), "headline")


def test_a_disclosure_is_told_with_its_part(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    part = record.builds["wren"].parts[0]
    disclose(stocked, part, How.LOAN, by="Osk & Dunsolt", note="", now=LATER)
    assert "on loan from Osk & Dunsolt" in words(drawn(stocked), "parts-wren")


def test_the_method_names_every_run_that_was_left_out(stocked: Workbench) -> None:
    told = words(drawn(stocked), "method")
    assert "runs that count" in told
    assert "Left out" in told
    assert "from the record" in told


def test_of_many_builds_the_first_pairs_have_cards_and_the_rest_are_counted(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    like, keys = record.setups[record.study.setups[0]], tuple(f"s{i}" for i in range(12))
    setups = {**record.setups, **{key: replace(like, key=key) for key in keys}}
    many = replace(record, study=replace(record.study, setups=keys), setups=setups)
    assert len(pairs_shown(many)) == MOST_PAIRS
    assert pairs_left(many, pairs_shown(many)) == 66 - MOST_PAIRS
    assert pairs_left(record, pairs_shown(record)) == 0


def test_a_study_of_one_build_still_says_how_it_was_measured(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["setups"] = ["wren"]
    found = drawn(imported(wb, folder, tmp_path))
    assert "method" in kinds(found)
    assert "headline" not in kinds(found)


def test_the_answer_lists_each_card_with_its_alt_text(stocked: Workbench) -> None:
    asked = set_asked(stocked, "quay", medium="square", dark=True)
    files = [f"{one.name}.{ending}" for one in asked.drawn for ending in ("svg", "png")]
    answer = cards_answer(asked, files)
    assert (answer["medium"], answer["theme"], answer["pairs_left"]) == ("square", "dark", 0)
    assert answer["cards"][0]["files"] == [f"{asked.drawn[0].name}.svg", f"{asked.drawn[0].name}.png"]
    assert all(len(card["alt"]) > 20 for card in answer["cards"])


def test_a_script_that_went_out_though_it_does_not_stand_is_told(stocked: Workbench) -> None:
    keep_script(stocked, "quay", "Wren is future-proof.", by="me", now=LATER)
    publish(stocked, "quay", Told(override="a joke that everybody knows"), now=LATER)
    assert "a joke that everybody knows" in words(drawn(stocked), "method")


def test_a_pairs_foot_tells_the_days_of_its_own_prices_alone(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    weighed(folder)
    ground = ground_for(imported(wb, folder, tmp_path), load_study(wb, "quay"))
    paid = ground.judgement.paid
    third = replace(paid.by_setup["wren"], build="dunlin", on=date(2031, 6, 1))
    wider = replace(paid, by_setup={**paid.by_setup, "dunlin": third})
    ground = replace(ground, judgement=replace(ground.judgement, paid=wider))
    assert dated(ground, ("wren", "plover")) == ("Prices of 4 May 2031.",)
    assert dated(ground, ("wren", "dunlin")) == ("Prices of 4 May 2031 and 1 June 2031.",)


def test_names_in_letters_that_the_fonts_lack_give_way_to_keys_and_that_is_told_beforehand(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    weighed(folder)
    folder.document["parts"][0]["name"] = "معالج بريلو K6"
    folder.document["tests"][0]["name"] = "מסילת המלח"
    folder.document["study"]["audiences"][0]["name"] = "बहुत खेलने वाले"
    found = drawn(imported(wb, folder, tmp_path))
    assert not any("?" in each.words.text for one in found for each in texts(one.picture))
    assert "For play," in words(found, "headline")
    assert "k6" in words(found, "parts-wren")
    assert "causeway" in words(found, "method")
    told = " ".join(not_drawn(wb, load_study(wb, "quay")))
    for key in ("play", "k6", "causeway"):
        assert f"{key} stands for" in told
    assert publish(wb, "quay", now=NOW).undrawn == not_drawn(wb, load_study(wb, "quay"))


def test_cards_that_write_out_every_name_say_nothing_of_it(stocked: Workbench) -> None:
    assert not_drawn(stocked, load_study(stocked, "quay")) == ()


@pytest.mark.parametrize(
    ("how", "told"),
    [
        (How.LINK, "with a link for which Harrowfen pays"),
        (How.LOAN, "on loan from Harrowfen"),
        (How.PAYMENT, "shown for payment by Harrowfen"),
    ],
)
def test_whose_a_loan_a_payment_and_a_link_is_reads_as_people_say_it(how: How, told: str) -> None:
    said = Disclosure(part="lantern-40", how=how, by="Harrowfen", at=NOW)
    assert disclosure_words(said) == told


def test_what_cards_cannot_write_out_is_told_without_finding_or_judging_anything(
    stocked: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    for dear in ("comparison_now", "judged_for", "other_evidence"):
        monkeypatch.setattr(card_ground, dear, lambda *_, asked=dear: pytest.fail(f"{asked} was asked for"))
    assert not_drawn(stocked, load_study(stocked, "quay")) == ()
