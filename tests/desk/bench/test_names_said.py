"""A file's name that holds another study's, test's or build's name is not filed as the run expected here."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.desk.bench.test_matching import planned, proposed
from tests.desk.landing_cases import STUDY, come_in, log
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.names_said import said_of_others, words_of
from evenhand.desk.bench.uploading import place_in
from evenhand.desk.logs.dropping import drop_file
from evenhand.desk.on_record import load_study
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

OWN = {"study": STUDY, "test": "causeway", "setup": "wren", "build": "wren"}


@pytest.fixture
def two(stocked: Workbench) -> Workbench:
    """The small study with a plan, and another one with a test and a build of its own."""
    causeway = shelves.one(stocked, Test, "causeway")
    for record in (
        replace(causeway, key="pier", name="Long Pier"),
        replace(causeway, key="json", name="Causeway"),
        Build(key="dunlin", name="Dunlin Two", slot=3),
        Setup(key="dunlin", build="dunlin", name="Dunlin, stock"),
        Build(key="4", name="77", slot=4),
        Study(key="desks", title="Two desks", tests=("pier", "json"), setups=("dunlin",)),
    ):
        shelves.save(stocked, record, now=NOW)
    planned(stocked)
    return stocked


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("two-desks-x.csv", "another study, Two desks"),
        ("desks/7.csv", "another study, Two desks"),
        ("long pier 3.csv", "another test, Long Pier"),
        ("dunlin_two.csv", "another build, Dunlin Two"),
        ("wren causeway nine tramlines.csv", "another test, Nine Tramlines"),
        ("plover against wren.csv", "another build, Plover"),
        ("Salt Causeway 4.csv", ""),
        ("causeway 4 77.csv", ""),
        ("frames.csv", ""),
        ("quay, wren.json.gz", ""),
        ("wren.desks", "another study, Two desks"),
    ],
)
def test_which_others_a_name_holds(two: Workbench, name: str, said: str) -> None:
    assert said_of_others(two, name, own=OWN) == said


def test_a_file_for_another_study_is_not_the_one_run_expected_here(two: Workbench) -> None:
    assert proposed(two, "frames.csv").sure
    found = proposed(two, "two-desks-x.csv")
    assert (found.slot, found.sure, found.against) == (1, False, "another study, Two desks")


def test_the_study_whose_names_it_holds_is_proposed(two: Workbench) -> None:
    found = proposed(two, "two-desks-pier.csv")
    assert (found.study, found.test, found.sure) == ("desks", "pier", False)


def test_what_came_with_it_goes_before_what_its_name_holds(two: Workbench) -> None:
    assert proposed(two, "two-desks.csv", test="causeway", setup="wren").sure


def test_it_waits_in_the_inbox_with_the_reason(two: Workbench) -> None:
    came = place_in(two, come_in(two, log(), "two-desks-x.csv"), by="folder", now=LATER)
    assert came.landed is None
    (waiting,) = inbox(two)
    assert "its name holds that of another study, Two desks" in waiting.why
    assert len(load_study(two, STUDY).runs) == 18


def test_one_handed_in_on_the_pages_of_a_study_waits_alike(two: Workbench) -> None:
    came = drop_file(two, log(), name="dunlin-two.csv", study=STUDY, by="me", now=LATER)
    assert came.sort == "waits"
    assert "another build, Dunlin Two" in came.words


def test_words_of_a_name() -> None:
    assert words_of("A/B_c-ö.4,5.CSV") == ["a", "b", "c", "ö", "4", "5", "csv"]
