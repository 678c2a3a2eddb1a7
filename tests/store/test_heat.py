"""Temperature logs come back as they were, once for a key; what is taken back counts no more, and stays."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.store.small_study import NOW, SETUP

from evenhand.errors import BadRecord, NotFound
from evenhand.records.heat import HeatColumns, LoggedHeat
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.store import heat, originals, shelves
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

LAYOUT = Layout(
    fingerprint="5f1d00c2a9e47b36.0c11d9e2", kind=LogKind.SENSORS, name="warm",
    columns=(Column(header="t", role=Role.ELAPSED, unit="s"), Column(header="c", role=Role.TEMPERATURE)),
)  # fmt: skip


@pytest.fixture
def log(wb: Workbench) -> LoggedHeat:
    shelves.save(wb, LAYOUT, now=NOW)
    return LoggedHeat(
        setup=SETUP.key, part="processor", log=originals.keep_unnamed(wb, b"t,c\n0,40\n"),
        layout=LAYOUT.fingerprint, columns=HeatColumns(temperature="c", watts="w"), room_c=23.5, from_s=4.0,
        to_s=600.0, clock_mhz=4600.0, voltage_mv=-15.0, settings={"power limit": "150 W"}, at=NOW,
        note="side panel on", by="left bench", key="h-1",
    )  # fmt: skip


def test_a_log_comes_back_as_it_was(wb: Workbench, log: LoggedHeat) -> None:
    kept = heat.add_heat(wb, log, at=NOW)
    assert heat.heat_of(wb, [SETUP.key]) == (replace(log, id=kept.id),)
    assert heat.heat_numbered(wb, kept.id) == kept
    assert check(wb.path).problems == ()


def test_the_same_key_is_the_same_log_and_none_is_refused(wb: Workbench, log: LoggedHeat) -> None:
    kept = heat.add_heat(wb, log, at=NOW)
    assert heat.add_heat(wb, replace(log, note="another"), at=NOW) == kept
    with pytest.raises(BadRecord):
        heat.add_heat(wb, replace(log, key=""), at=NOW)


def test_a_log_that_is_taken_back_counts_no_more_and_stays(wb: Workbench, log: LoggedHeat) -> None:
    kept = heat.add_heat(wb, log, at=NOW)
    heat.take_back_heat(wb, kept.id, "of another machine", at=NOW)
    assert heat.heat_of(wb, [SETUP.key]) == ()
    assert heat.heat_of(wb, [SETUP.key], ever=True) == (kept,)
    assert heat.reasons(wb) == {kept.id: "of another machine"}
    with pytest.raises(NotFound):
        heat.take_back_heat(wb, kept.id, "again", at=NOW)
    with pytest.raises(NotFound):
        heat.heat_numbered(wb, 99)


def test_what_is_changed_behind_our_back_is_found(wb: Workbench, log: LoggedHeat) -> None:
    heat.add_heat(wb, log, at=NOW)
    with wb.writing() as conn:
        conn.execute("DROP TRIGGER heat_logs_no_update")
        conn.execute("UPDATE heat_logs SET room_c = 18.0")
    assert any("heat_logs" in problem for problem in check(wb.path).problems)


def test_a_log_whose_bytes_are_not_kept_is_refused(wb: Workbench, log: LoggedHeat) -> None:
    with pytest.raises(BadRecord):
        heat.add_heat(wb, replace(log, log="0" * 64), at=NOW)
