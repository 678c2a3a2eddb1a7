"""What the page of runs shows: the answer in a sentence, cards, rows in any order, what was just done."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.landing_cases import landed, log
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.bench.masking import masked_id
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.one_run import run_page
from evenhand.desk.pages.run_cards import reasons_for
from evenhand.desk.pages.run_rows import COLUMNS, in_sequence, row_of
from evenhand.desk.pages.runs import Lists, Shown, Sorted, answer_of, lists_of, runs_page
from evenhand.desk.pages.wanted_runs import Refused, Wanted
from evenhand.desk.runs.asking import sight
from evenhand.desk.runs.deciding import find_run, keep, set_aside, take_back
from evenhand.desk.runs.drawings import Drawings
from evenhand.desk.runs.said import Said
from evenhand.desk.study.moments import as_stamped
from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import Reason
from evenhand.store.workbench import Workbench

HELD = "plover causeway 3"


# The same morning by three clocks, in the order in which these runs were begun: no offset stands in order.
STAMPED = ("2031-05-04T18:10:00+09:00", "2031-05-04T09:40:00+00:00", "2031-05-04T12:05:00+02:00")


@pytest.fixture
def doubtful(bring: Bring, folder: Folder) -> Workbench:
    """The small study with one run on another driver than its siblings."""
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"] == HELD else "31.4"}
    return bring(folder)


def record(wb: Workbench) -> StudyOnRecord:
    return load_study(wb, "quay")


def lists(wb: Workbench, page: int, *, waits: int) -> Lists:
    """One page of a study of so many runs that wait, two decided ones and sixty clean ones."""
    study = record(wb)
    each = study.runs[0]
    by = Sorted(waits=(each,) * waits, decided=(each,) * 2, clean=(each,) * 60)
    return lists_of(study, by, Wanted(page=page), Shown(mask=None, clock=as_stamped))


def test_a_run_whose_rigs_clock_is_in_doubt_says_so_in_the_list_and_on_its_page(stocked: Workbench) -> None:
    ahead = landed(stocked, log(), started_at=LATER + timedelta(minutes=57)).run
    (row,) = (r for r in runs_page(stocked, "quay").lists.rows if r.label == ahead.run.label)
    assert "the rig’s clock is in doubt" in row.notes
    drawings = Drawings(wb=stocked)
    told = run_page(drawings, ("quay", ahead.run.id), Wanted(), whole=False, clock=as_stamped).rig_clock
    assert told.startswith("Its log ends 57\xa0min after it came in: the rig’s clock is ahead")


def test_all_that_waits_comes_before_anything_else(stocked: Workbench) -> None:
    shown = [lists(stocked, page, waits=16) for page in (1, 2, 3)]
    assert [len(one.waits) for one in shown] == [12, 4, 0]
    assert [len(one.decided) for one in shown] == [0, 2, 0]
    assert [len(one.rows) for one in shown] == [0, 50, 10]
    assert [one.turn.words for one in shown if one.turn] == [
        "Page 1 of 3; four more runs wait on the next",
        "Page 2 of 3",
        "Page 3 of 3",
    ]


def test_a_page_past_the_last_is_the_last(stocked: Workbench) -> None:
    assert len(lists(stocked, 9, waits=3).rows) == 10


@pytest.mark.parametrize(
    ("waits", "decided", "clean", "said"),
    [
        (0, 0, 1, "One run landed, and it is clean."),
        (0, 0, 138, "138 runs landed, and all of them are clean."),
        (2, 3, 133, "138 runs landed. 133 are clean; of the other five, two wait for you."),
        (1, 3, 1, "Five runs landed. One is clean; of the other four, one waits for you."),
        (1, 0, 4, "Five runs landed. Four are clean; the other one waits for you."),
        (0, 2, 4, "Six runs landed. Four are clean; the other two have been decided about."),
    ],
)
def test_the_answer_counts(stocked: Workbench, waits: int, decided: int, clean: int, said: str) -> None:
    each = record(stocked).runs[0]
    assert answer_of(Sorted(waits=(each,) * waits, decided=(each,) * decided, clean=(each,) * clean)) == said


@pytest.mark.parametrize(("unlike", "whose"), [(3, "their takes"), (0, ""), (2, "the takes of two")])
def test_takes_that_all_differ_are_not_called_clean(stocked: Workbench, unlike: int, whose: str) -> None:
    by = Sorted(waits=(), decided=(), clean=(record(stocked).runs[0],) * 3)
    said = answer_of(by, unlike=unlike)
    assert ("clean" in said) is (unlike == 0)
    assert whose in said


@pytest.mark.parametrize(
    ("kind", "first"),
    [("length", "interrupted"), ("slipped-clock", "damaged-log"), ("slow-sag", "other-conditions")],
)
def test_the_reasons_that_fit_what_was_found_come_first(kind: str, first: str) -> None:
    fault = Fault(kind=kind, title="", severity=Severity.IN_DOUBT, evidence="", todo="")
    offered = [value for value, _ in reasons_for([fault])]
    assert offered[0] == first
    assert sorted(offered) == sorted(Reason)


def test_a_run_moves_from_waiting_to_decided_and_back(doubtful: Workbench) -> None:
    (card,) = runs_page(doubtful, "quay").lists.waits
    assert (card.label, card.stands, card.found[0].title) == (HELD, "waits", "Stamps differ between runs")
    assert card.choice.reasons[0][0] == "other-software"
    set_aside(doubtful, HELD, reason="other-software", said=Said(note="slipped in", now=LATER))
    page = runs_page(doubtful, "quay")
    assert page.lists.waits == ()
    why = "Set aside: a driver, system or version that its siblings did not have. “slipped in”"
    assert page.lists.decided[0].why == why
    take_back(doubtful, HELD, said=Said(note="", now=LATER))
    assert len(runs_page(doubtful, "quay").lists.waits) == 1


@pytest.mark.parametrize("sort", COLUMNS)
@pytest.mark.parametrize("down", [False, True])
def test_every_column_orders_all_runs_and_loses_none(stocked: Workbench, sort: str, down: bool) -> None:
    runs = record(stocked).runs
    ordered = in_sequence(runs, record(stocked), sort=sort, down=down)
    assert sorted(r.run.id for r in ordered) == sorted(r.run.id for r in runs)


def test_numbers_are_ordered_within_their_test(stocked: Workbench) -> None:
    whole = record(stocked)
    ordered = in_sequence(whole.runs, whole, sort="value", down=True)
    tests = list(dict.fromkeys(r.run.test for r in ordered))
    assert tests == list(whole.tests)
    for test in tests:
        values = [r.headline(whole.tests[test]) or 0.0 for r in ordered if r.run.test == test]
        assert values == sorted(values, reverse=True)


def test_what_was_done_is_said_with_the_way_back(doubtful: Workbench) -> None:
    keep(doubtful, HELD, said=Said(note="", now=LATER))
    each = find_run(doubtful, HELD)
    done = runs_page(doubtful, "quay", Wanted(done=each.run.id, also=2)).done
    assert done is not None
    assert done.words == f"{HELD}: kept. Two other runs stand otherwise with it."
    assert (done.undo, done.seen) == (each.run.id, sight(each))
    assert runs_page(doubtful, "quay", Wanted(done="nobody")).done is None


def test_a_refused_decision_stands_in_its_card_or_on_top(doubtful: Workbench) -> None:
    refused = Refused(key=find_run(doubtful, HELD).run.id, verb="keep")
    assert runs_page(doubtful, "quay", refused=refused).apart is None
    apart = runs_page(doubtful, "quay", Wanted(show="decided"), refused=refused).apart
    assert apart is not None
    assert apart.label == HELD


def test_hidden_names_are_in_no_card(doubtful: Workbench) -> None:
    page = runs_page(doubtful, "quay", Wanted(masked=True))
    (card,) = page.lists.waits
    assert card.key == masked_id(find_run(doubtful, HELD).run.id)
    assert page.lists.rows == ()
    for name in ("plover", "Plover", HELD, find_run(doubtful, HELD).run.id):
        assert name not in repr(card), name


def test_a_picture_is_drawn_once_for_what_it_shows(doubtful: Workbench) -> None:
    drawings, each = Drawings(wb=doubtful), find_run(doubtful, HELD)
    first = drawings.stamp(record(doubtful), each)
    assert first is not None
    assert drawings.stamp(record(doubtful), each) is first
    assert drawings.stamp(record(doubtful), each, masked=True) is not first
    keep(doubtful, HELD, said=Said(note="", now=LATER))
    assert drawings.stamp(record(doubtful), find_run(doubtful, HELD)) is not first


def test_a_clean_run_has_no_picture(doubtful: Workbench) -> None:
    each = find_run(doubtful, "wren causeway 1")
    assert Drawings(wb=doubtful).stamp(record(doubtful), each) is None


def test_a_clean_run_without_a_boot_says_so(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    for run in folder.runs:
        run.pop("boot", None)
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    rows = [row_of(record(wb), each, as_stamped) for each in record(wb).runs]
    assert {row.boot for row in rows} == {"not known"}


def test_a_row_tells_build_and_test_once(stocked: Workbench) -> None:
    each = find_run(stocked, "wren causeway 1")
    row = row_of(
        record(stocked), replace(each, run=replace(each.run, label="Wren, Salt Causeway, run 1")), as_stamped
    )
    assert (row.lead, row.build, row.test) == ("Wren, Salt Causeway, ", "Wren", "Salt Causeway")


@pytest.fixture
def travelled(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    """The small study with three starts, each stamped in another zone."""
    own = [run for run in folder.runs if run["test"] == "causeway"][:3]
    for run, text in zip(own, STAMPED, strict=True):
        run["started_at"] = datetime.fromisoformat(text)
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    return wb


def in_utc(at: datetime) -> datetime:
    return at.astimezone(UTC)


def test_starts_stand_in_order_of_the_moment_by_one_clock_named_once(travelled: Workbench) -> None:
    page = runs_page(travelled, "quay", Wanted(sort="when"), clock=in_utc)
    assert [row.when.replace("\N{NO-BREAK SPACE}", " ") for row in page.lists.rows][:3] == [
        "4 May 09:10 (stamped 18:10 UTC+09:00)",
        "4 May 09:40",
        "4 May 10:05 (stamped 12:05 UTC+02:00)",
    ]
    assert page.terms.count("Times are by this computer’s clock, UTC.") == 1


def test_a_card_tells_its_start_by_the_same_clock(travelled: Workbench) -> None:
    first = next(each for each in record(travelled).runs if each.run.started_at is not None)
    set_aside(travelled, first.run.id, reason=Reason.INTERRUPTED, said=Said(note="bell", now=LATER))

    def by_one_clock(at: datetime) -> datetime:
        return at.astimezone(timezone(timedelta(hours=2)))

    (card,) = runs_page(travelled, "quay", clock=by_one_clock).lists.decided
    assert card.place.replace("\N{NO-BREAK SPACE}", " ").endswith("4 May 11:10 (stamped 18:10 UTC+09:00)")
    hidden = runs_page(travelled, "quay", Wanted(masked=True), clock=by_one_clock)
    assert "UTC" not in hidden.terms
    assert hidden.lists.decided[0].place == ""
