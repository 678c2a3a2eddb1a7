"""Runs with the names of their builds hidden: nothing tells a build, and decisions say so."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from tests.desk.conftest import Bring
from tests.desk.same_content import assert_comes_back_the_same
from tests.desk.small_folder import NOW, Folder, everything

from evenhand.desk.answers import masked_answer
from evenhand.desk.bench.masking import (
    any_of,
    decide_masked,
    drawn,
    find_masked,
    letters,
    mask_of,
    masked_id,
    masked_runs,
    show_masked,
)
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.desk.runs.said import Said
from evenhand.desk.runs.triaging import unjudged_of
from evenhand.errors import BadRecord, NotFound
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench

TELLING = ("wren", "plover")


@pytest.fixture
def doubtful(bring: Bring, folder: Folder) -> Workbench:
    """The small study with a copy, a run on another driver, and an unreadable log named by its build."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.files["logs/wren-tramlines-1.csv"] = b""
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "Wren again", "log": "copy.csv"})
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"].endswith("3") else "31.4"}
    return bring(folder)


def shown(wb: Workbench) -> str:
    """All that is told of the study's runs while names are masked."""
    record = load_study(wb, "quay")
    return json.dumps([masked_answer(run) for run in masked_runs(record, record.runs)])


def test_nothing_that_is_shown_tells_a_build(doubtful: Workbench) -> None:
    deciding.replace_run(
        doubtful, "Wren again", by="wren causeway 1", said=Said(note="the Plover one was meant", now=NOW)
    )
    open_list = json.dumps(
        [fault.evidence for each in load_study(doubtful, "quay").runs for fault in each.faults]
    )
    assert "wren-tramlines-1" in open_list  # so there is something to hide
    told = shown(doubtful).casefold()
    assert "frames" in told
    record = load_study(doubtful, "quay")
    for each in record.runs:
        assert each.run.id not in told
        assert each.run.label.casefold() not in told
    assert not [name for name in TELLING if name in told]


def test_faults_say_what_they_say_with_letters_and_masked_ids(doubtful: Workbench) -> None:
    each = find_run(doubtful, "Wren again")
    mask = mask_of(load_study(doubtful, "quay"))
    (plain,), (hidden,) = each.faults, mask.run(each).faults
    other = find_run(doubtful, "wren causeway 2").run.id
    assert (hidden.kind, hidden.title, hidden.severity) == (plain.kind, plain.title, plain.severity)
    assert masked_id(other) in hidden.siblings
    assert f"Set {masked_id(each.run.id)} aside" in hidden.todo


def test_letters_stay_the_same_and_are_drawn_apart_for_each_study(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    assert mask_of(record).setups == mask_of(load_study(stocked, "quay")).setups
    assert sorted(mask_of(record).setups.values()) == ["A", "B"]


def test_the_order_of_letters_tells_nothing_of_the_order_of_setups(stocked: Workbench) -> None:
    """Over 200 studies the first setup is A about as often as not: four standard deviations are 28."""
    record = load_study(stocked, "quay")
    first = 0
    for number in range(200):
        object.__setattr__(record.study, "key", f"study {number}")
        first += drawn(record)[0] == "wren"
    assert 72 <= first <= 128


def test_runs_are_listed_by_test_letter_and_masked_id_and_not_in_the_order_made(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    runs = masked_runs(record, record.runs)
    assert runs == masked_runs(record, tuple(reversed(record.runs)))
    places = [(list(record.tests).index(run.test), run.setup, run.id) for run in runs]
    assert places == sorted(places)


def test_letters_go_on_after_z() -> None:
    drawn_letters = [letter for _, letter in zip(range(28), letters(), strict=False)]
    assert (drawn_letters[0], drawn_letters[25:]) == ("A", ["Z", "A2", "B2"])


@pytest.mark.parametrize(
    ("text", "hidden"),
    [
        ("WREN_1.csv and wren2", "#_1.csv and #2"),
        ("a wrench for run 1", "a wrench for #"),
        ("run 12 of 144.0 at 1 %", "run 12 of 144.0 at 1 %"),
        ("Al held, as al did", "# held, as al did"),
    ],
)
def test_a_name_is_found_in_any_case_and_in_no_other_word_or_number(text: str, hidden: str) -> None:
    assert any_of({"Wren": "#", "run 1": "#", "1": "#", "Al": "#"}).sub("#", text) == hidden


PROSE = (
    "90 % of its frames run to 8.2 ms in a run of 40 s, from 4.70 GHz to 4.15 GHz at 3,600 jobs/h; "
    "first, all of the others; a to in of run."
)


def in_words(folder: Folder, one: str, other: str) -> Folder:
    """The folder with the setups and builds keyed and named by words of any sentence."""
    words = {"wren": one, "plover": other}
    for build, setup in zip(folder.document["builds"], folder.document["setups"], strict=True):
        build |= {"key": words[build["key"]], "name": words[build["key"]].capitalize()}
        setup |= {"key": words[setup["key"]], "build": words[setup["build"]], "name": build["name"]}
    for run in folder.runs:
        run["setup"] = words[run["setup"]]
    return folder


@pytest.mark.parametrize(("one", "other"), [("of", "run"), ("to", "in"), ("a", "frames"), ("jobs", "h")])
def test_a_key_or_name_that_is_a_word_garbles_no_sentence_and_gives_no_letter_away(
    wb: Workbench, folder: Folder, tmp_path: Path, one: str, other: str
) -> None:
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "Wren again", "log": "copy.csv"})
    for run in folder.runs:
        if (run["test"], run["setup"]) == ("causeway", "plover"):
            run["stamps"] = {"driver": "31.6" if run["label"].endswith("3") else "31.4"}
    import_folder(wb, in_words(folder, one, other).write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    mask, found = mask_of(record), [(each, fault) for each in record.runs for fault in each.faults]
    assert len({fault.kind for _, fault in found}) > 1
    for each, fault in found:
        told, plain = mask.fault(fault, each.run.id), fault
        for other_run in record.runs:
            code, label = masked_id(other_run.run.id), other_run.run.label
            plain = replace(
                plain, evidence=plain.evidence.replace(label, code), todo=plain.todo.replace(label, code)
            )
        assert (told.evidence, told.todo) == (plain.evidence, plain.todo)
    assert mask.told(PROSE, mask.labels) == PROSE


def test_a_sentence_hides_labels_and_in_what_a_person_wrote_whole_names(doubtful: Workbench) -> None:
    record = load_study(doubtful, "quay")
    mask, each = mask_of(record), find_run(doubtful, "wren causeway 1").run
    letter, code = mask.setups["wren"], masked_id(each.id)
    assert mask.told("Seen on wren causeway 1: a wren.", (each.id,)) == f"Seen on {code}: a wren."
    assert mask.told("Its board is “Wren rev 2”.", ()) == f"Its board is “{letter} rev 2”."
    assert mask.told("logs/my wren run.csv: it is empty", ()) == f"logs/my {letter} run.csv: it is empty"
    assert mask.written("the WREN one, wren causeway 1") == f"the {letter} one, {code}"


def test_a_file_name_hides_keys_that_are_words(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    import_folder(wb, in_words(folder, "of", "run").write(tmp_path / "study"), now=NOW)
    mask = mask_of(load_study(wb, "quay"))
    letter = mask.setups["of"]
    assert mask.told("logs/of-1.csv: none of it can be read", ()) == (
        f"logs/{letter}-1.csv: none of it can be read"
    )


# --- decisions


def test_a_run_is_found_by_its_masked_id_or_the_start_of_it(stocked: Workbench) -> None:
    run = load_study(stocked, "quay").runs[0].run
    assert find_masked(stocked, masked_id(run.id)).run == run
    assert find_masked(stocked, masked_id(run.id)[:8]).run == run


@pytest.mark.parametrize("name", ["id", "label", "", "zzzz", "g"])
def test_an_open_name_is_refused_while_names_are_masked_and_none_is_told(
    stocked: Workbench, name: str
) -> None:
    each = load_study(stocked, "quay").runs[0].run
    with pytest.raises(NotFound, match="while names are masked") as told:
        find_masked(stocked, {"id": each.id, "label": each.label}.get(name, name))
    assert "--masked" in told.value.todo
    assert each.label not in told.value.todo


def test_a_masked_decision_is_marked_so_for_good(doubtful: Workbench, tmp_path: Path) -> None:
    code = masked_id(find_run(doubtful, "plover causeway 3").run.id)
    keep = partial(deciding.keep, doubtful, said=Said(note="settings checked", now=NOW, masked=True))
    decided = decide_masked(doubtful, code, keep)
    assert (decided.study, decided.run.id, decided.run.state) == ("quay", code, RunState.KEPT)
    (made,) = run_history(doubtful, "plover causeway 3").decisions
    assert made.masked
    assert made.grounds
    assert_comes_back_the_same(doubtful, "quay", tmp_path)


def test_what_is_refused_tells_no_name_either(doubtful: Workbench) -> None:
    before = everything(doubtful.path)
    code = masked_id(find_run(doubtful, "Wren again").run.id)
    with pytest.raises(BadRecord, match="blocks this run") as told:
        decide_masked(doubtful, code, partial(deciding.keep, doubtful, said=Said(now=NOW, masked=True)))
    said = str(told.value).casefold()
    assert code in said
    assert not [name for name in TELLING if name in said]
    assert everything(doubtful.path) == before


def test_what_could_not_be_judged_is_told_of_a_masked_run_without_a_name(stocked: Workbench) -> None:
    each = load_study(stocked, "quay").runs[0]
    open_list = unjudged_of(stocked, each)
    told = show_masked(stocked, masked_id(each.run.id))
    assert told.unjudged is not None
    assert len(told.unjudged) == len(open_list) > 0
    assert any(line.startswith("What sensors tell") for line in told.unjudged)
    assert masked_answer(told)["unjudged"] == list(told.unjudged)
    assert not any(name in line for line in told.unjudged for name in ("Wren", "wren", each.run.label))


def test_a_list_of_masked_runs_says_nothing_of_what_nobody_asked(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    assert all("unjudged" not in masked_answer(run) for run in masked_runs(record, record.runs))
