"""A photo taken beside a slot is one of the run that lands there."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.desk.filed_scores import STUDY, filed, score_plan, slot_of_plan
from tests.desk.small_folder import NOW
from tests.images.drawn import png

from evenhand.desk.bench.bench_day import Place
from evenhand.desk.bench.photographing import photograph
from evenhand.desk.bench.slot_photos import photos_of_run
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.store.workbench import Workbench


def taken(wb: Workbench, minutes: float, *, slot: int = 1) -> int:
    plan, _ = slot_of_plan(wb, slot)
    place = Place(plan=plan.id, slot=slot, by="phone", now=NOW + timedelta(minutes=minutes))
    return photograph(wb, place, png(), name="settings.png").id


def photos(wb: Workbench, run: str) -> tuple[int, ...]:
    return photos_of_run(wb, load_study(wb, STUDY), run)


@pytest.fixture
def quay(stocked: Workbench) -> Workbench:
    score_plan(stocked)
    return stocked


def test_a_photo_taken_before_a_run_landed_is_of_that_run(quay: Workbench) -> None:
    photo = taken(quay, 0)
    run = filed(quay, slot=1, minutes=5)
    assert photos(quay, run) == (photo,)


def test_one_taken_after_it_landed_is_of_that_run_too(quay: Workbench) -> None:
    run = filed(quay, slot=1, minutes=5)
    photo = taken(quay, 6)
    assert photos(quay, run) == (photo,)


def test_the_photo_of_one_slot_is_not_of_the_run_of_another(quay: Workbench) -> None:
    taken(quay, 0, slot=1)
    assert photos(quay, filed(quay, slot=2, minutes=5)) == ()


def test_where_a_slot_is_run_again_each_run_has_its_own_photos(quay: Workbench) -> None:
    before = taken(quay, 0)
    first = filed(quay, slot=1, minutes=5)
    set_aside(quay, first, reason="interrupted", said=Said(note="the phone rang", now=NOW))
    again = taken(quay, 8)
    assert photos(quay, first) == (before,)
    second = filed(quay, slot=1, minutes=12)
    assert (photos(quay, first), photos(quay, second)) == ((before,), (again,))
