"""The few words in which a picture's foot tells of terms and scores that were changed."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from tests.desk.changed_studies import changed, rewritten
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.study.terms_drawn import on_pictures
from evenhand.store.workbench import Workbench


def test_a_picture_counts_the_scores_that_were_rewritten(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    terms = rewritten(stocked, folder, tmp_path, {"wren render 2": 9.25})
    assert on_pictures(terms).scores == ("One score changed after it was in.",)
    terms = rewritten(stocked, folder, tmp_path, {"wren render 2": 9.5, "wren render 1": 9.4})
    assert on_pictures(terms, test="render").scores == ("Two scores changed after they were in.",)
    assert not on_pictures(terms, test="causeway")


def test_a_picture_says_changed_terms_in_a_few_words(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    terms = changed(
        stocked,
        folder,
        tmp_path,
        (folder.document["study"], {"margin": 0.08, "weights": {"render": 2.0}}),
        (folder.document["tests"][0], {"settings": {"quality": "high"}}),
    )
    assert on_pictures(terms).terms == ("Margin, weights and settings changed after 18 runs.",)
    assert on_pictures(terms, test="causeway") == on_pictures(terms)
    assert on_pictures(terms, test="render").terms == ("Margin and weights changed after 18 runs.",)
    assert not on_pictures(())


def test_a_term_that_was_moved_twice_is_said_once_with_the_runs_of_the_last(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(wb, folder.without("wren render 3").write(tmp_path / "study"), now=NOW)
    for margin, hours in ((0.05, 1), (0.09, 2)):
        folder.document["study"]["margin"] = margin
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW + timedelta(hours=hours))
    terms = compare(wb, "quay", now=LATER).changed_terms
    assert [term.runs for term in terms] == [17, 18]
    assert on_pictures(terms).terms == ("Margin changed after 18 runs.",)
