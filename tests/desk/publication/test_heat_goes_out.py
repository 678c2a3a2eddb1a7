"""A temperature log goes out with its study, and gives the same words on another machine."""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, NOW, Folder, weighed
from tests.desk.tuning.small_chip import TRIAL, lay_limit, lay_part, tried, walked
from tests.desk.tuning.test_watts import with_watts
from tests.desk.tuning.warm_log import LOG, brought

from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.article_tuning import tuned_shown
from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.publishing import publish
from evenhand.desk.publication.tuning_beside import DRAWN, WARMTH, beside_said
from evenhand.desk.publication.verifying import verify
from evenhand.desk.tuning.held import compared_parts
from evenhand.editions.article_tuning import Shown, TunedPart
from evenhand.editions.report_tuning import tuned_data
from evenhand.publish.style import page, phone
from evenhand.publish.tuning.heat import COMES_ON_TOP
from evenhand.store.workbench import open_workbench


@pytest.fixture(scope="module")
def bundle(weighed_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("heat")
    shutil.copy(weighed_file, place / "bench.evenhand")
    with open_workbench(place / "bench.evenhand") as wb:
        lay_part(wb)
        lay_limit(wb, quantity="temperature", most=95.0)
        tried(wb, walked())
        brought(wb)
        publish(wb, "quay", now=NOW)
        write_bundle(wb, "quay", place / "quay.zip")
    return place / "quay.zip"


def test_the_bundle_has_the_log_as_it_came_and_a_card_of_it_in_every_form(bundle: Path) -> None:
    with zipfile.ZipFile(bundle) as files:
        assert files.read("study/warm.csv") == LOG
        cards = [name for name in files.namelist() if name.endswith("heat-wren.svg")]
    assert sorted(cards) == [f"cards/{form}/heat-wren.svg" for form in ("square", "tall", "wide")]


def test_worked_out_again_from_the_bundle_it_gives_the_same_words(bundle: Path) -> None:
    found = verify(bundle, now=LATER, watch=lambda *_: None)
    assert found.damage == ()
    assert found.again.differing == ()
    assert found.again.matching["words on tuned parts"] > 0


def test_readers_are_told_what_the_part_draws_and_what_is_in_no_band(bring: Bring, folder: Folder) -> None:
    """Watts are told at stock and where it is advised, by the law of the trials, with work for a joule."""
    wb = bring(weighed(folder))
    lay_part(wb)
    lay_limit(wb, quantity="clock", most=5050.0)
    tried(wb, [
        {**each, "watts_at": "part", "watts": _watts(**each)}
        for each in walked()
    ])  # fmt: skip
    tried(wb, [{**TRIAL, "voltage_mv": 1120.0, "watts_at": "part", "watts": 81.0, "hours": 8.0}])
    brought(wb)
    record = load_study(wb, "quay")
    (tuned,) = compared_parts(wb, record)
    told = {name: " ".join(said) for name, said in beside_said(wb, record, tuned).items()}
    assert told[WARMTH].endswith(COMES_ON_TOP)
    assert "By the law of these trials, 5,000\u00a0MHz at 1,050\u00a0mV takes " in told[DRAWN]
    assert "work for a joule" in told[DRAWN]


def test_a_report_has_the_log_as_a_picture_where_it_tells_a_network(bring: Bring, folder: Folder) -> None:
    wb = bring(weighed(folder))
    lay_part(wb)
    tried(wb, walked())
    record = load_study(wb, "quay")
    names = names_of(record)
    assert [_warm(part) for part in tuned_shown(wb, record, names)] == [None]
    brought(wb)
    (part,) = tuned_shown(wb, load_study(wb, "quay"), names)
    warm = _warm(part)
    assert warm is not None
    (told,) = tuned_data([part])["tuned"]
    (place,) = next(each["pictures"] for each in told["beside"] if each["name"] == WARMTH)
    assert part.for_paper[place] is warm.paper
    assert [warm.wide.width, warm.narrow.width] == [page().width, phone().width], "for desks and for phones"


def _warm(part: TunedPart) -> Shown | None:
    """The picture beside what is told of warmth, if any."""
    return next((each.pictures[0] for each in part.beside if each.name == WARMTH and each.pictures), None)


def test_a_report_draws_what_it_draws_beside_those_words(bring: Bring, folder: Folder) -> None:
    wb = bring(weighed(folder))
    lay_part(wb)
    tried(wb, with_watts(walked()))
    record = load_study(wb, "quay")
    (part,) = tuned_shown(wb, record, names_of(record))
    (told,) = tuned_data([part])["tuned"]
    (place,) = next(each["pictures"] for each in told["beside"] if each["name"] == DRAWN)
    assert "work for a joule" in part.for_paper[place].title


def _watts(voltage_mv: float, clock_mhz: float, **_: object) -> float:
    return 11e-6 * (voltage_mv / 100) ** 2 * clock_mhz + 12
