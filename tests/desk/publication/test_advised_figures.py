"""What is advised of tuned parts, their watts, warmth and gain: figures that scripts may quote."""

from __future__ import annotations

import math
import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import LATER, NOW, Folder, weighed
from tests.desk.tuning.small_chip import TRIAL, lay_limit, lay_part, tried, walked
from tests.desk.tuning.tuned_pair import PART, measured, pair
from tests.desk.tuning.warm_log import brought
from tests.once import once

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.figures_offered import figures_offered
from evenhand.desk.pages.publish_script import script_part
from evenhand.desk.publication.article_corrections import corrections_to
from evenhand.desk.publication.material import material_of
from evenhand.desk.publication.narrating import checked_now, figures_of, keep_script
from evenhand.desk.publication.publishing import Told, opened, publish
from evenhand.desk.publication.script_answers import script_answer
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.tuning.noting import note_tuned, take_back_limit
from evenhand.desk.tuning.of_study import now_of
from evenhand.desk.tuning.series import series_of
from evenhand.editions.bundle import About
from evenhand.editions.moved import Of, moved
from evenhand.editions.recomputed import recomputed
from evenhand.editions.snapshot import Snapshot
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import quotables
from evenhand.publish.tuning.gain import CARE
from evenhand.publish.tuning.heat import COMES_ON_TOP
from evenhand.records.publications import Publication
from evenhand.store import publications
from evenhand.store.workbench import Workbench, open_workbench

AT = "of wren by processor at 5000-mhz under integers"
HELD = {**TRIAL, "voltage_mv": 1040.0, "hours": 24.0}
SORTS = frozenset({
    "advised", "enough", "edge", "guard-band", "reserve", "limit", "draw", "added", "work", "steady",
    "headroom", "warming", "gain",
})  # fmt: skip


def figures(wb: Workbench, study: str = "quay") -> dict[str, Quotable]:
    """Figures by address, of what tuned parts have beside their hours."""
    every = quotables(material_of(wb, load_study(wb, study))).figures
    return {at: each for at, each in every.items() if each.sort.value in SORTS}


def plain(words: str) -> str:
    return words.replace("\u00a0", " ")


def drawn(voltage_mv: float, clock_mhz: float) -> float:
    return 11e-6 * (voltage_mv / 100) ** 2 * clock_mhz + 12


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    wb = bring(weighed(folder))
    lay_part(wb)
    return wb


def test_what_is_advised_for_a_clock_has_its_edge_guard_band_and_reserve_beside_it(bench: Workbench) -> None:
    tried(bench, walked())
    found = figures(bench)
    (advice, *_) = now_of(load_study(bench, "quay"), series_of(bench, "wren", "processor")[0]).advice
    advised, edge, guard, reserve = (
        found[f"{sort} {AT}"] for sort in ("advised", "edge", "guard-band", "reserve")
    )
    assert advice.voltage_mv is not None
    assert advice.edge_mv is not None
    assert (advised.value, advised.unit) == (advice.voltage_mv, "mV")
    assert plain(advised.words) == f"{advice.voltage_mv:,.0f} mV"
    assert "for at most one failure in 1,000 h of the load in a room of 24 °C" in plain(advised.ranged)
    assert (edge.low, edge.value, edge.high) == advice.edge_mv
    assert edge.level == 0.95
    assert plain(edge.ranged).endswith(f"({advice.edge_mv[0]:,.0f} to {advice.edge_mv[2]:,.0f})")
    assert (guard.value, reserve.value) == (advice.guard_band_mv, advice.reserve_mv)
    assert all("Copy no voltage" in each.caution for each in (advised, edge, guard, reserve))
    assert {each.setups for each in found.values()} == {("wren",)}


def test_a_limit_is_told_with_where_it_is_written(bench: Workbench) -> None:
    assert figures(bench) == {}
    tried(bench, [TRIAL])
    (limit,) = figures(bench).values()
    assert (limit.address, plain(limit.words)) == ("limit of wren by processor for voltage", "1,250 mV")
    assert "data sheet, page 14" in limit.source


def test_without_a_limit_nothing_is_advised_and_nothing_of_it_can_be_quoted(bench: Workbench) -> None:
    tried(bench, walked())
    take_back_limit(bench, "wren", "processor", 1, "misread", now=NOW)
    assert figures(bench) == {}


def test_of_a_part_whose_clock_alone_is_tuned_the_clock_is_what_is_advised(
    bring: Bring, folder: Folder
) -> None:
    wb = bring(weighed(folder))
    lay_part(wb, voltage_step_mv=0.0, clock_step_mhz=25.0)
    lay_limit(wb, quantity="clock", most=6000.0)
    tried(wb, ({**TRIAL, "voltage_mv": 0.0, "clock_mhz": 5000.0 + 25 * n, "hours": 8.0} for n in range(9)))
    tried(wb, ({**TRIAL, "voltage_mv": 0.0, "clock_mhz": mhz, "hours": hours, "outcome": "crash"}
               for mhz, hours in ((5225.0, 0.3), (5250.0, 0.1), (5275.0, 0.02), (5300.0, 0.01))))  # fmt: skip
    found = figures(wb)
    advised = found["advised of wren by processor under integers"]
    edge, guard = (found[f"{sort} of wren by processor under integers"] for sort in ("edge", "guard-band"))
    assert (advised.unit, edge.unit, guard.unit) == ("MHz", "MHz", "MHz")
    assert guard.value == pytest.approx(edge.value - advised.value)


def test_watts_are_of_the_part_s_own_meter_at_stock_and_where_it_is_advised(bench: Workbench) -> None:
    lay_limit(bench, quantity="clock", most=5050.0)
    tried(bench, ({**each, "watts_at": "part", "watts": drawn(each["voltage_mv"], each["clock_mhz"])}
                  for each in walked()))  # fmt: skip
    found = figures(bench)
    stock = found["draw of wren by processor at stock under integers read at part"]
    assert stock.value == pytest.approx(drawn(1050, 5000), rel=0.02)
    assert (stock.unit, stock.level) == ("W", 0.95)
    assert stock.low is not None
    assert stock.low < stock.value
    work = found["work of wren by processor under integers read at part"]
    assert plain(work.words).endswith((" % more", " % less"))
    assert "under another load it draws something else" in stock.caution


def test_warmth_is_told_for_a_room_and_a_power_with_what_is_in_no_band(bench: Workbench) -> None:
    lay_limit(bench, quantity="temperature", most=95.0)
    tried(bench, walked())
    brought(bench)
    found = {each.sort.value: each for each in figures(bench).values()}
    steady, headroom, warming = (found[sort] for sort in ("steady", "headroom", "warming"))
    assert steady.address == "steady of wren by processor"
    assert steady.value + headroom.value == pytest.approx(95.0)
    assert "in a room of 24 °C at" in plain(steady.definition)
    assert warming.unit == "°C/W"
    assert warming.low is not None
    assert all(each.caution.endswith(COMES_ON_TOP) for each in (steady, headroom, warming))


def test_gains_over_stock_are_told_by_test_and_over_all_with_what_they_cost(
    wb: Workbench, tmp_path: Path
) -> None:
    import_folder(wb, measured(pair()).write(tmp_path / "study"), now=NOW)
    note_tuned(wb, PART, now=NOW)
    found = figures(wb, "mole")
    whole, one = (found[f"gain of tuned over stock {where}"] for where in ("across all tests", "in quay"))
    assert (whole.unit, one.tests) == ("%", ("quay",))
    assert whole.value == pytest.approx(100 * (math.exp(0.6 * math.log(1.1)) - 1), abs=0.5)
    assert whole.low is not None
    assert whole.low < whole.value
    assert whole.caution.endswith(CARE)
    added = found["added of tuned over stock across all tests read at wall"]
    assert plain(added.words) == "24.0 W more"


def tuned_edition(place: Path, weighed: Path) -> None:
    """An edition of the study with a walk over its processor, and a day at one point."""
    shutil.copy(weighed, place / "bench.evenhand")
    with open_workbench(place / "bench.evenhand") as wb:
        lay_part(wb)
        tried(wb, [*walked(), HELD])
        publish(wb, "quay", now=NOW)


@pytest.fixture
def out(weighed_file: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    made = once(tmp_path_factory, "published-advice", lambda place: tuned_edition(place, weighed_file))
    shutil.copy(made / "bench.evenhand", tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        yield wb


def edition(wb: Workbench, number: int = 1) -> Publication:
    return publications.publication(wb, "quay", number)


def corrected(wb: Workbench) -> tuple[str, ...]:
    """What readers of the newest edition are told that it corrects."""
    one, two = edition(wb), edition(wb, 2)
    about = About(number=2, at=two.at, code_version=two.code_version, reason=two.reason)
    return next(corrections_to(opened(two), about, [one])).moved


def test_a_trial_that_changes_what_is_advised_is_told_on_the_page_of_corrections(out: Workbench) -> None:
    before = figures(out)[f"advised {AT}"].ranged
    tried(out, [{**HELD, "hours": 2.0, "outcome": "crash"}])
    after = figures(out).get(f"advised {AT}")
    publish(out, "quay", Told(reason="it failed later"), now=LATER)
    told = [each for each in corrected(out) if "the voltage that is advised at 5,000" in each]
    assert [each.partition(": ")[2] for each in told] == [
        f"{before} → {after.ranged if after else 'no more'}"
    ]
    assert told[0].startswith("Wren, processor, the voltage")


def test_what_was_never_published_is_no_correction(out: Workbench) -> None:
    lay_limit(out, quantity="temperature", most=95.0)
    brought(out)
    publish(out, "quay", Told(reason="its warmth"), now=LATER)
    assert not [each for each in corrected(out) if "settles" in each]


def as_of_old(snapshot: Snapshot) -> Snapshot:
    """A snapshot as a program made it that knew no figures but those of hours."""
    kept = {at: row for at, row in snapshot.figures.items() if row["sort"] not in SORTS}
    return replace(snapshot, figures=kept)


def test_an_edition_from_before_they_were_known_moves_not_and_verifies(out: Workbench) -> None:
    now = snapshot_now(out, load_study(out, "quay"))
    old = as_of_old(now)
    assert len(old.figures) < len(now.figures)
    assert Of.FIGURE not in {move.of for move in moved(old, now)}
    assert recomputed(old, now).differing == ()


def test_a_figure_comes_back_out_of_an_edition_with_its_caution(out: Workbench) -> None:
    kept = figures_of(opened(edition(out)).figures)
    assert kept[f"advised {AT}"] == figures(out)[f"advised {AT}"]
    assert kept["margin"].caution == ""


def test_a_script_that_quotes_them_is_told_what_has_to_be_known_each_once(out: Workbench) -> None:
    said = f"Wren's processor is advised {{advised {AT}}}, its edge lies at {{edge {AT}, with range}}."
    keep_script(out, "quay", said, by="me", now=NOW)
    checked = checked_now(out, "quay")
    assert checked is not None
    assert checked.objections == ()
    assert len(checked.cautions) == 1
    assert "Copy no voltage" in checked.cautions[0]
    assert script_part(out, load_study(out, "quay")).cautions == checked.cautions
    assert script_answer(checked, "quay")["cautions"] == list(checked.cautions)
    assert f"({plain(figures(out)[f'edge {AT}'].ranged).partition('(')[2]}" in plain(checked.narration)


def test_they_are_offered_while_one_types_with_their_caution(out: Workbench) -> None:
    (told,) = [each for each in figures_offered(out, "quay") if each[0] == f"guard-band {AT}"]
    assert "Copy no voltage" in told[3]
