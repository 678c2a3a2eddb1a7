"""Plans, arrivals, pictures and devices come back as they were, and nothing of them is ever changed."""

from __future__ import annotations

from datetime import timedelta
from hashlib import sha256

import pytest
from tests.store.small_study import NOW, STUDY

from evenhand.errors import BadRecord, NotFound
from evenhand.records.devices import Device, Scope
from evenhand.records.plans import Arrival, Attachment, BenchNote, Placing, Plan, Slot
from evenhand.store import arrivals, attachments, devices, plans
from evenhand.store.originals import keep
from evenhand.store.workbench import Workbench

SLOT = Slot(number=1, block=1, test="causeway", setup="plover", boot="1", order=7, minutes=4.5)
PLAN = Plan(study=STUDY.key, at=NOW, seed=11, looks=(3, 5, 8), slots=(SLOT,))
BYTES = b"frame,ms\n1,8.3\n"
DIGEST = sha256(BYTES).hexdigest()


@pytest.fixture
def arrived(wb: Workbench) -> Arrival:
    keep(wb, BYTES, name="a.csv", digest=DIGEST)
    about = {"test": "causeway"}
    return arrivals.add_arrival(wb, Arrival(digest=DIGEST, name="a.csv", by="folder", at=NOW, about=about))


def test_a_plan_comes_back_with_its_slots_in_order(wb: Workbench) -> None:
    kept = plans.save_plan(wb, PLAN)
    assert kept.id > 0
    assert plans.plans_of(wb, STUDY.key) == (kept,)
    assert plans.plan(wb, kept.id).slot(1) == SLOT
    assert kept.slot(2) is None


def test_a_later_plan_follows_and_the_earlier_one_stays(wb: Workbench) -> None:
    first, second = plans.save_plan(wb, PLAN), plans.save_plan(wb, PLAN)
    assert plans.plans_of(wb, STUDY.key) == (first, second)


def test_a_plan_nobody_made_is_told(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="no plan 9"):
        plans.plan(wb, 9)


def test_notes_beside_a_slot_come_back_in_order(wb: Workbench) -> None:
    kept = plans.save_plan(wb, PLAN)
    written = [
        BenchNote(plan=kept.id, slot=1, key="ambient_c", value=value, by="phone", at=NOW)
        for value in ("24.1", "24.3")
    ]
    for note in written:
        plans.add_note(wb, note)
    assert plans.notes_of(wb, kept.id) == tuple(written)


def test_what_arrived_waits_until_it_is_filed_or_put_away(wb: Workbench, arrived: Arrival) -> None:
    assert arrivals.waiting(wb) == ((arrived, None),)
    odd = Placing(arrival=arrived.id, study=None, by="folder", at=NOW, note="no run was expected")
    arrivals.add_placing(wb, odd)
    assert arrivals.waiting(wb) == ((arrived, odd),)
    away = Placing(arrival=arrived.id, study=None, by="you", at=NOW, away=True, note="a test of the rig")
    arrivals.add_placing(wb, away)
    assert arrivals.waiting(wb) == ()
    assert arrivals.placings_of(wb, arrived.id) == (odd, away)


def test_bytes_that_come_twice_are_two_arrivals_of_one_original(wb: Workbench, arrived: Arrival) -> None:
    again = arrivals.add_arrival(wb, Arrival(digest=DIGEST, name="b.csv", by="browser", at=NOW))
    assert arrivals.arrivals_of(wb, DIGEST) == (arrived, again)


def test_only_the_last_placing_of_an_arrival_stands_in_a_plan(wb: Workbench, arrived: Arrival) -> None:
    kept = plans.save_plan(wb, PLAN)
    first = Placing(arrival=arrived.id, study=STUDY.key, by="you", at=NOW, plan=kept.id, slot=1)
    second = Placing(arrival=arrived.id, study=STUDY.key, by="you", at=NOW, plan=kept.id, slot=2)
    arrivals.add_placing(wb, first)
    arrivals.add_placing(wb, second)
    assert arrivals.placed_in_plan(wb, kept.id) == (second,)


def test_an_arrival_nobody_saw_is_told(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="number 9"):
        arrivals.arrival(wb, 9)


def test_a_photo_stands_beside_its_slot(wb: Workbench, arrived: Arrival) -> None:
    kept = plans.save_plan(wb, PLAN)
    photo = Attachment(
        study=STUDY.key, digest=arrived.digest, name="s.jpg", media="image/jpeg", by="phone", at=NOW,
        plan=kept.id, slot=1,
    )  # fmt: skip
    stored = attachments.attach(wb, photo)
    assert attachments.attachments_of(wb, STUDY.key) == (stored,)
    assert attachments.attachment(wb, stored.id) == stored


def test_a_device_is_known_by_the_hash_of_its_token_until_it_is_shut_out(wb: Workbench) -> None:
    phone = Device(id="d1", name="phone", scope=Scope.PHONE, token_hash="ab12", made_at=NOW)
    devices.add_device(wb, phone)
    assert devices.device_by_hash(wb, "ab12") == phone
    assert devices.device_by_hash(wb, "other") is None
    devices.end_device(wb, "d1", now=NOW + timedelta(hours=1))
    (ended,) = devices.devices(wb)
    assert not ended.allowed
    assert phone.allowed


def test_shutting_a_device_out_twice_keeps_the_first_time(wb: Workbench) -> None:
    devices.add_device(wb, Device(id="d1", name="r", scope=Scope.RIG, token_hash="h", made_at=NOW))
    devices.end_device(wb, "d1", now=NOW)
    devices.end_device(wb, "d1", now=NOW + timedelta(days=1))
    assert devices.devices(wb)[0].ended_at == NOW
    with pytest.raises(NotFound, match="no device d2"):
        devices.end_device(wb, "d2", now=NOW)


def test_a_plan_of_an_unknown_study_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="not among the studies"):
        plans.save_plan(wb, Plan(study="nobody", at=NOW, seed=1, looks=(), slots=()))
