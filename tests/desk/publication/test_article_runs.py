"""An article lists every run that it rests on: those compared, and those of swaps that tell parts apart."""

from __future__ import annotations

from pathlib import Path

from tests.desk.swapped_folder import Made, swapped

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import present
from evenhand.desk.publication.article_files import write_article
from evenhand.desk.publication.article_runs import runs_behind_causes, runs_of
from evenhand.desk.publication.publishing import publish
from evenhand.store.workbench import Workbench

COMPARED = ("tern", "gull")
BOTH_CHANGED = (
    Made(key="tern", parts=("p1", "g1"), logs={"quay": 4.1}),
    Made(key="gull", parts=("p0", "g0"), logs={"quay": 4.0}),
)
SWAP = Made(key="swap", parts=("p0", "g1"), logs={"quay": 4.06})
ASIDE = Made(key="aside", parts=("p3", "g3", "b1"), logs={"quay": 3.9})


def brought(wb: Workbench, place: Path, *others: Made) -> None:
    import_folder(wb, swapped(*BOTH_CHANGED, *others, compared=COMPARED).write(place), now=present())


def behind(wb: Workbench) -> set[str]:
    record = load_study(wb, "mole")
    return {row.label for row in runs_behind_causes(wb, record, names_of(record), {})}


def test_runs_of_a_swap_are_listed_beside_those_compared(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path / "study", SWAP)
    assert behind(wb) == {f"swap quay {number}" for number in range(1, 6)}
    record = load_study(wb, "mole")
    assert {row.label.split()[0] for row in runs_of(record, names_of(record), {})} == set(COMPARED)


def test_a_machine_that_tells_no_part_apart_is_not_behind_any_cause(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path / "study", SWAP, ASIDE)
    assert {label.split()[0] for label in behind(wb)} == {"swap"}


def test_the_page_has_them_under_a_heading_of_their_own(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path / "study", SWAP)
    publish(wb, "mole", now=present())
    page = (write_article(wb, "mole", tmp_path / "out").folder / "index.html").read_text("utf-8")
    listed = page[page.index("Runs behind the causes") :]
    assert "swap quay 1" in listed
    assert "tern quay 1" not in listed


def test_a_study_without_a_swap_has_no_such_heading(wb: Workbench, tmp_path: Path) -> None:
    brought(wb, tmp_path / "study")
    publish(wb, "mole", now=present())
    page = (write_article(wb, "mole", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert "Runs behind the causes" not in page
