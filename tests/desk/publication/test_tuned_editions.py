"""An edition of a study with a tuned part: what goes out of it, and what a later trial touches."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW
from tests.desk.tuning.small_chip import TRIAL, TUNED, lay_limit, lay_part, tried, walked
from tests.once import once

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.article_files import texts_of, write_article, write_report
from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.narrating import checked_now, keep_script
from evenhand.desk.publication.publishing import Told, opened, publish
from evenhand.desk.publication.touching import Ripple, ripple
from evenhand.desk.publication.tuning_beside import WORTH
from evenhand.desk.publication.tuning_rows import tuning_rows
from evenhand.desk.publication.verifying import verify
from evenhand.desk.tuning.held import compared_parts, standing_of
from evenhand.desk.tuning.noting import note_tuned, take_back_limit, take_back_trial
from evenhand.desk.tuning.scenes import map_for_readers, map_scene
from evenhand.editions.moved import Of
from evenhand.store import publications
from evenhand.store.workbench import Workbench, open_workbench

HELD = {**TRIAL, "voltage_mv": 1040.0, "hours": 24.0}
CALLED = "no failure in 24 h 10 min of integers at 24 °C, at 95 % fewer than one in 8 h"
SCRIPT = """## Tuned

[card: hours-wren]

Wren's processor is tuned: {claim of wren by processor under integers}.

It held with no failure in 24 hours of integers at 24 degrees.

Its voltage was {voltage of wren by processor under integers}.
"""
REASON = "kicked the supply's switch"


def tuned_study(place: Path, weighed: Path) -> None:
    """The study with a walk over its processor, a day at one point, a trial taken back, and its edition."""
    shutil.copy(weighed, place / "bench.evenhand")
    with open_workbench(place / "bench.evenhand") as wb:
        lay_part(wb)
        tried(wb, [*walked(), HELD])
        (gone,) = tried(wb, [{**HELD, "hours": 0.5, "outcome": "crash"}])
        take_back_trial(wb, "wren", "processor", gone.id, REASON, now=NOW)
        keep_script(wb, "quay", SCRIPT, by="me", now=NOW)
        publish(wb, "quay", now=NOW)


@pytest.fixture
def out(weighed_file: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    made = once(tmp_path_factory, "published-tuned", lambda place: tuned_study(place, weighed_file))
    shutil.copy(made / "bench.evenhand", tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def bundled(wb: Workbench, path: str) -> list[dict[str, str]]:
    edition = publications.publication(wb, "quay", 1)
    told = publications.published_file(wb, edition, f"bundle/tables/{path}").decode()
    return list(csv.DictReader(io.StringIO(told)))


def test_the_snapshot_keeps_part_limits_trials_and_what_was_said(out: Workbench) -> None:
    (part,) = opened(publications.publication(out, "quay", 1)).tuning
    assert (part["setup"], part["part"], part["stock_clock_mhz"]) == ("wren", "processor", 5000.0)
    assert [(each["quantity"], each["most"]) for each in part["limits"]] == [("voltage", 1250.0)]
    assert [each["taken_back"] for each in part["trials"] if each["taken_back"]] == [REASON]
    assert plain(part["said"][0]["claim"]["may"]) == CALLED
    assert not {"by", "note", "id"} & set(part["trials"][0])


def test_its_bundle_verifies_and_has_every_trial_those_taken_back_with_the_reason(
    out: Workbench, tmp_path: Path
) -> None:
    rows = bundled(out, "trials.csv")
    assert len(rows) == len(list(walked())) + 2
    assert [row["taken_back"] for row in rows if row["taken_back"]] == [REASON]
    write_bundle(out, "quay", tmp_path / "quay.zip")
    found = verify(tmp_path / "quay.zip", now=LATER, watch=lambda *_: None)
    assert found.sound
    assert found.again is not None
    assert found.again.matching["claims of tuned parts"] == 1
    assert found.again.matching["advised voltages"] == 2


def test_the_article_says_what_the_part_may_be_called_with_its_map_advice_limit_and_cautions(
    out: Workbench, tmp_path: Path
) -> None:
    write_article(out, "quay", tmp_path / "article")
    page = plain((tmp_path / "article" / "index.html").read_text("utf-8"))
    section = page[page.index('id="tuned"') : page.index('id="said"')]
    assert f"may be called: “{CALLED}”" in section
    assert "It may not be called: “stable”" in section
    assert "Brellow K6, data sheet, page 14" in section
    assert "can end its warranty" in section
    assert "wear a part out sooner" in section
    assert "without a word and spoil files" in section
    assert f"Taken back: {REASON}" in section.replace("&#39;", "'")
    assert section.count("<svg") == 5, "its mark; the map and the hours, each for desks and for phones"
    assert "Whether tuning Wren's processor is worth it is not known" in section.replace("&#39;", "'")
    assert 'href="data/tables/trials.csv"' in section
    assert (tmp_path / "article" / "data" / "tables" / "trials.csv").is_file()
    assert page.count("stable") == section.count("stable") == 1


def test_a_study_that_tunes_nothing_has_no_such_section(published_file: Path, tmp_path: Path) -> None:
    shutil.copy(published_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        write_article(wb, "quay", tmp_path / "article")
        edition = publications.publication(wb, "quay", 1)
    assert 'id="tuned"' not in (tmp_path / "article" / "index.html").read_text("utf-8")
    assert "bundle/tables/trials.csv" not in edition.files
    assert "tuning" not in edition.body


def test_the_report_is_set_with_the_part_s_pictures(out: Workbench, tmp_path: Path) -> None:
    write_report(out, "quay", tmp_path / "report.pdf")
    assert (tmp_path / "report.pdf").read_bytes().startswith(b"%PDF")


def test_the_description_says_that_the_part_is_tuned_and_at_which_settings(out: Workbench) -> None:
    told = plain(texts_of(out, "quay")[1]["description.txt"])
    assert "Its tuned part is the processor: stock is 5,000 MHz at 1,050 mV" in told
    assert "spent at 5,000 MHz at 1,040 mV" in told


def sorts(found: Ripple) -> set[Of]:
    return {move.of for move in found.moves}


def test_nothing_is_touched_before_anything_moves(out: Workbench) -> None:
    checked = checked_now(out, "quay")
    assert checked is not None
    assert checked.objections == ()
    assert ripple(out, "quay").moves == ()


def test_a_failure_at_the_same_point_touches_figures_sentences_and_cards_of_it(out: Workbench) -> None:
    tried(out, [{**HELD, "hours": 2.0, "outcome": "crash"}])
    found = ripple(out, "quay")
    assert sorts(found) >= {Of.TRIAL, Of.CALLED, Of.FIGURE}
    assert {each.address for each in found.figures} >= {"claim of wren by processor under integers"}
    (sentence,) = found.sentences
    assert sentence.words.startswith("It held with no failure in 24 hours")
    assert {each.name for each in found.cards} >= {"tuning-wren", "hours-wren"}


def test_more_hours_leave_a_true_sentence_alone_and_touch_the_figure(out: Workbench) -> None:
    tried(out, [{**HELD, "hours": 8.0}])
    found = ripple(out, "quay")
    assert found.sentences == ()
    assert "claim of wren by processor under integers" in {each.address for each in found.figures}


def test_a_trial_taken_back_touches_what_rested_on_it(out: Workbench) -> None:
    part = opened(publications.publication(out, "quay", 1)).tuning[0]
    number = next(i for i, each in enumerate(part["trials"], start=1) if each["hours"] == 24.0)
    take_back_trial(out, "wren", "processor", number, "the wrong profile was loaded", now=LATER)
    found = ripple(out, "quay")
    (move,) = [move for move in found.moves if move.of is Of.TRIAL]
    assert (move.after or "").endswith("taken back: the wrong profile was loaded")
    assert [each.words[:7] for each in found.sentences] == ["It held"]


def test_a_limit_that_changes_is_told_and_so_is_the_advice_that_hangs_on_it(out: Workbench) -> None:
    limit = lay_limit(out)
    take_back_limit(out, "wren", "processor", limit.id, "misread", now=LATER)
    lay_limit(out, most=1060.0)
    assert Of.LIMIT in sorts(ripple(out, "quay"))


def test_the_next_edition_says_what_a_failing_trial_changed(out: Workbench) -> None:
    tried(out, [{**HELD, "hours": 2.0, "outcome": "crash"}])
    publish(out, "quay", Told(reason="the part failed later", override="told below"), now=LATER)
    pinned = plain(texts_of(out, "quay")[1]["pinned-comment.txt"])
    assert pinned.startswith("Correction, 5 May 2031: the part failed later.")
    assert "It held with no failure in 24 hours of integers" in pinned
    assert "One trial of tuned parts was added, of which one trial failed" in pinned
    assert "Failed: 5,000 MHz at 1,040 mV, integers: crashed or hung after 2 h, room 24 °C" in pinned


def test_what_tuning_was_worth_is_told_once_of_a_machine_with_two_tuned_parts(out: Workbench) -> None:
    for part in ("memory", "graphics"):
        note_tuned(out, {**TUNED, "setup": "plover", "part": part}, now=NOW)
    told = {(row["setup"], row["part"]): row["beside"] for row in tuning_rows(out, load_study(out, "quay"))}
    assert [place for place, said in told.items() if WORTH in said] == [
        ("wren", "processor"), ("plover", "graphics"),
    ]  # fmt: skip


def test_no_map_that_goes_out_says_what_to_try_next(out: Workbench) -> None:
    (now,) = standing_of(out, load_study(out, "quay"), compared_parts(out, load_study(out, "quay"))[0])
    assert map_scene(now).next is not None
    assert map_for_readers(now).next is None
    cards = cards_of(out, load_study(out, "quay"))
    (card,) = (each.picture for each in cards if each.name == "tuning-wren")
    assert "next" not in card.svg
