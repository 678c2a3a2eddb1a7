"""The table of triage can be repeated, line by line, and its seed changes with what it judges."""

from dataclasses import replace

import pytest
from validation.triage import table
from validation.triage.keeping import Kept
from validation.triage.plants import PLANTS
from validation.triage.report import report
from validation.triage.showing import in_lines
from validation.triage.table import GOOD, Tally, fresh_seed, holds, kinds, lines, run_lines

from evenhand.records.faults import Fault, Severity

FEW = ["length"]


def told(tallies):
    """Counts without the seconds spent."""
    return {line: replace(tally, seconds=0.0) for line, tally in tallies.items()}


def fault(kind, severity):
    return Fault(kind=kind, title=kind, severity=severity, evidence="e.", todo="t")


def test_the_same_seed_gives_the_same_table():
    asked = lines(6, 2, [3], [*FEW, GOOD])
    assert told(run_lines(asked, 7)) == told(run_lines(asked, 7))


def test_a_line_alone_says_what_it_says_among_others():
    asked = lines(6, 2, [3], [*FEW, GOOD])
    whole, alone = told(run_lines(asked, 7)), told(run_lines(asked[-1:], 7))
    assert alone[asked[-1]] == whole[asked[-1]]


def test_two_processes_say_what_one_says():
    asked = lines(0, 1, [2], FEW)
    assert told(run_lines(asked, 7, workers=2)) == told(run_lines(asked, 7))


def test_what_was_kept_is_not_judged_again_and_says_the_same(tmp_path, monkeypatch):
    asked = lines(6, 1, [3], ["length", GOOD])
    path = tmp_path / "kept.jsonl"
    whole = run_lines(asked, 7, kept=Kept(path))
    monkeypatch.setattr(table, "judge", None)
    assert run_lines(asked, 7, kept=Kept(path)) == whole


def test_another_seed_draws_other_runs():
    asked = lines(30, 0, [3])
    one, other = (told(run_lines(asked, seed))[asked[0]] for seed in (7, 8))
    assert one.groups != other.groups


def test_lines_hold_as_many_runs_and_cells_as_asked_for():
    asked = lines(100, 30, [2, 3])
    assert [(line.n, line.cells) for line in asked[:2]] == [(2, 50), (3, 34)]
    several = sum(plant.runs > 1 for plant in PLANTS)
    assert sum(line.plant is not None for line in asked) == 2 * len(PLANTS) - several
    assert {line.cells for line in asked[2:]} == {30}


def test_a_note_does_not_hold_a_run():
    faults = [fault("a", Severity.NOTE), fault("b", Severity.IN_DOUBT), fault("c", Severity.BLOCKS)]
    assert holds(faults) == {"b", "c"}
    assert kinds(faults) == {"a", "b", "c"}


def test_pieces_add_up():
    one, other = Tally(cells=2, found=1), Tally(cells=3, found=3)
    one.kinds["length"] += 1
    other.kinds["length"] += 2
    one.add(other)
    assert (one.cells, one.found, one.kinds["length"]) == (5, 4, 3)


def test_the_report_names_the_plants_and_the_budgets():
    tallies = run_lines(
        lines(4, 1, [2, 3], ["frame times in seconds", "frame times in seconds, every run", GOOD]), 7
    )
    for markdown in (False, True):
        said = report(tallies, markdown=markdown)
        for words in ("frame times in seconds", "planted in all runs", "held rates", "0.2 %", "other setups"):
            assert words in said


@pytest.fixture
def sources(tmp_path):
    for folder in ("src/evenhand/triage/kinds", "validation/triage"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "a.py").write_text("one = 1\n")
    return tmp_path


def test_the_fresh_seed_is_none_of_those_for_tuning_and_stays_while_nothing_changes(sources):
    assert fresh_seed(sources) == fresh_seed(sources) > 999


@pytest.mark.parametrize("changed", ["src/evenhand/triage/kinds/a.py", "validation/triage/a.py"])
def test_the_fresh_seed_changes_with_any_source_of_triage_or_of_its_proof(sources, changed):
    before = fresh_seed(sources)
    (sources / changed).write_text("one = 2\n")
    assert fresh_seed(sources) != before


def test_of_two_spoilt_runs_both_must_be_found_and_neither_is_a_good_sibling():
    asked = lines(0, 3, [2, 5], ["two aborted takes, 20 to 70 %"])
    assert [line.n for line in asked] == [5]
    (tally,) = run_lines(asked, 7).values()
    assert (tally.found, tally.beside, tally.beside_held) == (3, 9, 0)


def test_progress_is_told_now_and_then_and_at_the_end(capsys):
    tell = in_lines(every_s=1000)
    for done in (1, 2, 3):
        tell("length: short take", done, 3)
    first, last = capsys.readouterr().err.splitlines()
    assert first.startswith("1 of 3 pieces")
    assert last.startswith("3 of 3 pieces")
