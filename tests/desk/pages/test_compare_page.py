"""What the comparison page shows: the chosen pair, its rows and index, runs behind a row, runs left out."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.compare import NOTHING, ComparePage, compare_page
from evenhand.desk.pages.compare_cards import card_file, cards_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.compare_laid_over import laid_over_page
from evenhand.desk.pages.compare_left_out import left_out_page
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.errors import NotFound
from evenhand.store.workbench import Workbench


def page(wb: Workbench, study: str = "quay", **asked: str) -> ComparePage:
    return compare_page(wb, study, Asked(**asked))


def test_it_opens_with_the_answer_of_the_first_pair(stocked: Workbench) -> None:
    shown = page(stocked)
    assert shown.answer.startswith("Plover is ahead in two tests, and one is level.")
    assert "ratio of Wren to Plover, 95 % intervals" in shown.terms.replace("\xa0", " ")
    assert "Lower is better in Night render; right of the middle Wren is better in every row." in shown.terms


def test_every_test_is_a_row_that_opens_its_runs(stocked: Workbench) -> None:
    rows = page(stocked).rows
    assert rows is not None
    assert [(row.name, row.sort) for row in rows.rows] == [
        ("Salt Causeway", "ahead"),
        ("Nine Tramlines", "level"),
        ("Night render", "ahead"),
    ]
    assert rows.rows[0].address == "/studies/quay/compare?pair=wren~plover&test=causeway#behind"
    assert [row.here for row in rows.rows] == [True, False, False]


def test_a_number_tells_its_definition_runs_interval_method_and_p(stocked: Workbench) -> None:
    rows = page(stocked).rows
    assert rows is not None
    told = dict(rows.rows[0].details)
    assert told["Average frame rate"].startswith("1000 times the number of frames")
    assert told["Plover"].endswith("three runs that count")
    assert {"Method", "p, two-sided"} <= set(told)


def test_further_numbers_are_a_choice_of_their_own(stocked: Workbench) -> None:
    shown = page(stocked, metric="low_1pct")
    assert [chip.name for chip in shown.metrics] == ["Headline numbers", "1% low"]
    assert shown.answer.startswith("1% low: ")
    assert shown.index is None


def test_the_index_shows_what_moves_it_and_what_it_foretells(stocked: Workbench) -> None:
    index = page(stocked).index
    assert index is not None
    assert index.shown.rows[0].name == "All three"
    assert "A test not run" in [row.name for row in index.shown.rows]
    assert dict(index.shown.rows[0].details)["Over"] == "Salt Causeway, Nine Tramlines and Night render"
    assert len(index.every) == 3


def test_what_stands_behind_a_row_are_its_runs(stocked: Workbench) -> None:
    behind = page(stocked, test="tramlines").behind
    assert behind is not None
    assert behind.heading == "Nine Tramlines: six runs behind one row"
    assert behind.figure is not None
    assert behind.figure.svg.count('class="dot b') == 6
    assert behind.left == ()


@pytest.mark.parametrize("asked", [{"pair": "a~b"}, {"metric": "hitches"}, {"test": "nowhere"}])
def test_what_is_not_there_is_told_with_what_is(stocked: Workbench, asked: dict[str, str]) -> None:
    with pytest.raises(NotFound) as told:
        page(stocked, **asked)
    assert told.value.todo


def test_a_pair_may_be_asked_for_the_other_way_round(stocked: Workbench) -> None:
    assert page(stocked, pair="plover~wren").answer == page(stocked).answer


def set_aside(wb: Workbench, label: str) -> None:
    run = next(each for each in load_study(wb, "quay").runs if each.run.label == label)
    deciding.set_aside(wb, run.run.id, reason="interrupted", said=Said(note="a download", now=LATER))


def test_a_run_that_was_left_out_is_shown_with_and_without(stocked: Workbench) -> None:
    set_aside(stocked, "plover tramlines 2")
    shown = left_out_page(stocked, "quay", Asked())
    assert shown.answer == "One run was left out; this is what it would change."
    (run,) = shown.runs
    assert (run.label, run.why) == ("plover tramlines 2", "interrupted")
    assert run.sentence.startswith("With it ")
    assert run.rows is not None
    without, with_it = run.rows.rows
    assert without.name == "Nine Tramlines"
    assert with_it.name.startswith("With the Plover run at")
    assert 'class="flag"' in with_it.picture.svg


def test_what_was_decided_masked_is_marked_so_where_it_was_left_out(stocked: Workbench) -> None:
    run = next(each for each in load_study(stocked, "quay").runs if each.run.label == "plover tramlines 2")
    blind = Said(note="a download", now=LATER, masked=True)
    deciding.set_aside(stocked, run.run.id, reason="interrupted", said=blind)
    (left,) = left_out_page(stocked, "quay", Asked()).runs
    behind = page(stocked, test="tramlines").behind
    assert behind is not None
    assert [left.why, behind.left[0].why] == ["interrupted, decided masked"] * 2


def test_the_page_counts_what_was_left_out_and_shows_it_among_the_runs(stocked: Workbench) -> None:
    set_aside(stocked, "plover tramlines 2")
    shown = page(stocked, test="tramlines")
    assert shown.left_out == 1
    assert shown.behind is not None
    assert [(run.label, run.why) for run in shown.behind.left] == [("plover tramlines 2", "interrupted")]
    assert "interrupted" in shown.behind.figure.description  # type: ignore[union-attr]


def test_after_a_decision_the_page_is_another_one(stocked: Workbench) -> None:
    before = page(stocked)
    assert page(stocked) is before
    set_aside(stocked, "plover tramlines 2")
    assert page(stocked) is not before


def test_a_study_without_runs_shows_how_much_matters_and_leads_on(wb: Workbench, tmp_path: Path) -> None:
    labels = [run["label"] for run in small_folder().runs]
    import_folder(wb, small_folder().without(*labels).write(tmp_path / "quay"), now=NOW)
    shown = page(wb)
    assert shown.answer == NOTHING
    assert not shown.measured
    assert shown.rows is not None
    assert 'class="band"' in shown.rows.rows[0].picture.svg


def test_with_one_side_measured_it_says_so(wb: Workbench, tmp_path: Path) -> None:
    labels = [run["label"] for run in small_folder().runs if run["setup"] == "wren"]
    import_folder(wb, small_folder().without(*labels).write(tmp_path / "quay"), now=NOW)
    assert page(wb).answer == "Wren and Plover have no test yet in which a run of each counts."


def test_one_run_of_each_is_unsettled_and_says_why(wb: Workbench, tmp_path: Path) -> None:
    labels = [run["label"] for run in small_folder().runs if not run["label"].endswith("1")]
    import_folder(wb, small_folder().without(*labels).write(tmp_path / "quay"), now=NOW)
    rows = page(wb).rows
    assert rows is not None
    assert {row.state for row in rows.rows} == {"Unsettled"}
    assert all(row.interval.startswith("one run: ") for row in rows.rows)


def test_a_scene_is_laid_over_itself(stocked: Workbench) -> None:
    shown = laid_over_page(stocked, "quay", Asked(test="causeway"))
    assert shown.heading == "Salt Causeway, laid over itself"
    assert shown.about.startswith("Three runs and three runs")
    assert shown.figure is not None


def test_a_test_of_scores_has_no_scene_to_lay_over(stocked: Workbench) -> None:
    shown = laid_over_page(stocked, "quay", Asked(test="render"))
    assert shown.figure is None
    assert "no frames" in shown.about


def test_the_cards_are_listed_and_may_be_taken_away(stocked: Workbench) -> None:
    page_of_cards = cards_page(stocked, "quay", Asked())
    cards = page_of_cards.cards
    assert cards[0].svg == "/studies/quay/compare/cards/headline-wren-plover.svg"
    assert "/studies/quay/compare/cards/intervals-wren-plover.svg" in [card.svg for card in cards]
    assert card_file(stocked, "quay", "intervals-wren-plover", ending="svg").startswith(b"<svg")
    assert card_file(stocked, "quay", "runs-causeway-dark", ending="png").startswith(b"\x89PNG")
    with pytest.raises(NotFound):
        card_file(stocked, "quay", "nothing", ending="svg")


def test_the_cards_are_there_for_upright_and_square_pictures_too(stocked: Workbench) -> None:
    shown = cards_page(stocked, "quay", Asked(), "tall")
    assert (shown.width, shown.height) == (1080, 1920)
    assert [medium.name for medium in shown.media if medium.here] == ["Upright"]
    assert shown.cards[0].png.endswith("headline-wren-plover-tall.png")
    svg = card_file(stocked, "quay", "method-tall-dark", ending="svg")
    assert b'width="1080" height="1920"' in svg
    assert cards_page(stocked, "quay", Asked(), "round").width == 1920, "an unknown medium is a wide one"
