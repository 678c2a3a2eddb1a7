"""What was taken back and put back of tuned parts goes out with a study's folder and comes in again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW
from tests.desk.tuning.small_chip import TRIAL, lay_limit, tried, walked
from tests.desk.tuning.warm_log import OF, brought

from evenhand.cli.bringing import import_answer
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.tuning import noting
from evenhand.desk.tuning.brought import TunedBrought
from evenhand.desk.tuning.heat_noting import take_back_heat
from evenhand.store import heat as heat_store
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench, open_workbench

LAST = timedelta(hours=3, microseconds=7)


def back_and_forth(wb: Workbench) -> None:
    """Limits, trials and logs in every state that they may be in."""
    of = ("wren", "processor")
    trials = tried(wb, walked())
    noting.take_back_trial(wb, *of, trials[0].id, "the fan was unplugged", now=NOW)
    noting.take_back_trial(wb, *of, trials[1].id, "a slip", now=NOW)
    noting.put_back_trial(wb, *of, trials[1].id, "it was none", now=NOW + LAST)
    (limit,) = noting.tuned_part(wb, *of).limits
    noting.take_back_limit(wb, *of, limit.id, "of another part", now=NOW)
    lay_limit(wb)  # the very same once more, while the first counts no more
    noting.put_back_limit(wb, *of, limit.id, "of this part after all", now=NOW + LAST)
    forum = lay_limit(wb, most=1390.0, source="a forum")
    noting.take_back_limit(wb, *of, forum.id, "not the maker's", now=NOW + LAST)
    first = brought(wb, note="side panel on").heat
    take_back_heat(wb, *of, first.id, "the probe lay beside it", now=NOW + LAST)
    brought(wb, note="side panel off")


def on_record(wb: Workbench) -> Mapping[str, Any]:
    """Everything of tuned parts that is on record."""
    return {
        "parts": tuned_store.tuned_parts(wb, ["wren"]),
        "limits": tuned_store.limits_ever(wb, "wren", "processor"),
        "limit turns": tuned_store.limit_turns(wb),
        "trials": trial_store.trials_of(wb, ["wren"], ever=True),
        "counting": trial_store.trials_of(wb, ["wren"]),
        "trial turns": trial_store.turns(wb),
        "logs": heat_store.heat_of(wb, ["wren"], ever=True),
        "counting logs": heat_store.heat_of(wb, ["wren"]),
        "log turns": heat_store.turns(wb),
    }


def out_and_in(wb: Workbench, other: Workbench, place: Path) -> ImportReport:
    export_study(wb, "quay", place)
    return import_folder(other, place, now=LATER)


def test_an_empty_workbench_holds_equal_records(bench: Workbench, tmp_path: Path) -> None:
    back_and_forth(bench)
    was = on_record(bench)
    assert [len(was[name]) for name in ("limits", "limit turns", "trial turns", "log turns")] == [3, 2, 2, 1]
    with open_workbench(tmp_path / "other.evenhand") as other:
        report = out_and_in(bench, other, tmp_path / "out")
        now = on_record(other)
        for name in was:
            assert now[name] == was[name], name
        assert report.tuned == TunedBrought(parts=1, limits=3, trials=len(was["trials"]), logs=2, gone=3)
        again = import_folder(other, tmp_path / "out", now=LATER).tuned
        assert again == TunedBrought(known=3 + len(was["trials"]) + 2)
        assert on_record(other) == was
        out_and_in(other, bench, tmp_path / "back")
    assert on_record(bench) == was


def test_later_turns_are_taken_over_and_told(bench: Workbench, tmp_path: Path) -> None:
    trial = tried(bench, [TRIAL])[0]
    first = brought(bench).heat
    with open_workbench(tmp_path / "other.evenhand") as other:
        out_and_in(bench, other, tmp_path / "first")
        noting.take_back_trial(bench, "wren", "processor", trial.id, "the fan was unplugged", now=NOW)
        take_back_heat(bench, *OF.values(), first.id, "the probe lay beside it", now=NOW)
        told = out_and_in(bench, other, tmp_path / "second").tuned
        assert on_record(other) == on_record(bench)
        assert "trial 1 of the processor of wren, 5,000\u00a0MHz at 1,050\u00a0mV" in told.turned[0]
        assert "the fan was unplugged" in told.turned[0]
        assert "the probe lay beside it" in told.turned[1]
        assert told.new == 0
        noting.put_back_trial(bench, "wren", "processor", trial.id, "it ran", now=NOW + LAST)
        (again,) = out_and_in(bench, other, tmp_path / "third").tuned.turned
        assert "put back" in again
        assert "taken back" not in again


def test_what_each_tells_otherwise_stays_as_it_is_on_record(bench: Workbench, tmp_path: Path) -> None:
    trial = tried(bench, [TRIAL])[0]
    with open_workbench(tmp_path / "other.evenhand") as other:
        out_and_in(bench, other, tmp_path / "first")
        noting.take_back_trial(bench, "wren", "processor", trial.id, "the fan was unplugged", now=NOW)
        noting.take_back_trial(other, "wren", "processor", trial.id, "a slip", now=NOW)
        before = on_record(other)
        told = out_and_in(bench, other, tmp_path / "second").tuned
        assert on_record(other) == before
        assert told.turned == ()
        assert [each.startswith("trial 1 of") for each in told.otherwise] == [True]


def test_a_folder_that_is_silent_leaves_what_stands(bench: Workbench, tmp_path: Path) -> None:
    export_study(bench, "quay", tmp_path / "out")
    (limit,) = noting.tuned_part(bench, "wren", "processor").limits
    noting.take_back_limit(bench, "wren", "processor", limit.id, "of another part", now=NOW)
    before = on_record(bench)
    assert import_folder(bench, tmp_path / "out", now=LATER).tuned == TunedBrought(known=1)
    assert on_record(bench) == before


def test_the_very_same_limit_twice_in_a_folder_is_one(bench: Workbench, tmp_path: Path) -> None:
    export_study(bench, "quay", tmp_path / "out")
    file = tmp_path / "out" / "study.toml"
    text = file.read_text(encoding="utf-8")
    limit = text[text.index("[[tuned.limits]]") :].split("\n\n")[0]
    file.write_text(text.replace(limit, f"{limit}\n\n{limit}"), encoding="utf-8")
    with open_workbench(tmp_path / "other.evenhand") as other:
        assert import_folder(other, tmp_path / "out", now=LATER).tuned == TunedBrought(parts=1, limits=1)


@pytest.mark.parametrize("again", [False, True])
def test_an_answer_for_programs_has_every_number(bench: Workbench, tmp_path: Path, again: bool) -> None:
    tried(bench, [TRIAL])
    with open_workbench(tmp_path / "other.evenhand") as other:
        report = out_and_in(bench, other, tmp_path / "out")
        if again:
            report = import_folder(other, tmp_path / "out", now=LATER)
    told = import_answer(report)["tuned"]
    none = {"parts": 0, "limits": 0, "trials": 0, "logs": 0, "gone": 0, "turned": (), "otherwise": ()}
    new = {"parts": 1, "limits": 1, "trials": 1, "known": 0}
    assert told == {**none, **({"known": 2} if again else new)}


def test_one_that_no_longer_fits_its_part_is_not_put_back(bench: Workbench) -> None:
    of = ("wren", "processor")
    (trial,) = tried(bench, [TRIAL])
    (limit,) = noting.tuned_part(bench, *of).limits
    noting.take_back_limit(bench, *of, limit.id, "of another part", now=NOW)
    noting.take_back_trial(bench, *of, trial.id, "a slip", now=NOW)
    noting.note_tuned(bench, {"setup": "wren", "part": "processor", "stock_voltage_mv": 1300.0}, now=NOW)
    with pytest.raises(noting.BadRecord, match="lies below stock"):
        noting.put_back_limit(bench, *of, limit.id, "it was right", now=NOW)
    noting.note_tuned(bench, {"setup": "wren", "part": "processor", "offset": True}, now=NOW)
    with pytest.raises(noting.BadRecord, match="looks like a whole voltage"):
        noting.put_back_trial(bench, *of, trial.id, "it was right", now=NOW)
    assert replace(limit, id=0) in {replace(x, id=0) for x in tuned_store.limits_ever(bench, *of)}
