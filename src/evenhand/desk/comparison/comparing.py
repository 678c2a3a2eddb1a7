"""Compare the setups of a study, and freeze what was found under the code and the inputs it came from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from evenhand.desk.answers import comparison_answer
from evenhand.desk.comparison.disagreeing import disagreeing
from evenhand.desk.comparison.findings_now import cells_now, comparison_now, left_out, minutes_of
from evenhand.desk.comparison.study_notes import note_answer, study_notes
from evenhand.desk.logs.missing_past import known_missing, missing_words
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.runs.stand_ins import stand_ins_that_do_not_count
from evenhand.desk.study.terms import ChangedTerm, changed_terms
from evenhand.findings.exclusions import LeftOutRun
from evenhand.findings.finding import Cell, Comparison
from evenhand.metrics.wall import WALL_KEYS
from evenhand.publish.numbers import capital, count_word, number
from evenhand.store import results
from evenhand.store.results import Frozen
from evenhand.store.workbench import Workbench
from evenhand.triage.warm_up import StudyNote


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A comparison, the study it is of, and the frozen result that holds it.

    `changed_terms` are terms that were changed with runs on record, `earlier` what is said of a past that is
    missing and of runs that may be left from an earlier import, `stand_ins` of runs replaced by one that does
    not count, `notes` what is noticed over the whole study. `frozen` is None on a workbench that may only be
    read, and where nothing was compared. `disagreeing` are the numbers of frozen results that name the same
    code and inputs and hold another answer.
    """

    record: StudyOnRecord
    comparison: Comparison
    frozen: Frozen | None
    changed_terms: tuple[ChangedTerm, ...] = ()
    earlier: tuple[str, ...] = ()
    stand_ins: tuple[str, ...] = ()
    notes: tuple[StudyNote, ...] = ()
    disagreeing: tuple[int, ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether no test has runs of two setups that count, so that there is no finding to keep."""
        return not any(f.n_a and f.n_b for f in self.comparison.findings)


def compare(wb: Workbench, study: str, *, now: datetime) -> Compared:
    """What the counting runs of a study say; the same inputs give the same frozen result.

    On a workbench that may only be read nothing is frozen, and the result that says the same is named if
    there is one; nor is an answer in which nothing was compared.
    """
    if not wb.writable:
        return look(wb, study)
    found, marks = compared_now(wb, study)
    others = disagreeing(results.results_of(wb, study), **marks)
    frozen = None if found.nothing else results.freeze(wb, study, **marks, at=now)
    return replace(found, frozen=frozen, disagreeing=others)


def look(wb: Workbench, study: str) -> Compared:
    """What a comparison says today, nothing frozen; the frozen result that says the same, if there is one."""
    found, marks = compared_now(wb, study)
    others = disagreeing(results.results_of(wb, study), **marks)
    return replace(found, frozen=results.same_result(wb, study, **marks), disagreeing=others)


def compared_now(wb: Workbench, study: str) -> tuple[Compared, dict[str, str]]:
    """What a comparison says today, not frozen, and what it is frozen under: code, inputs and body."""
    record = load_study(wb, study)
    cells, terms = cells_now(record), changed_terms(wb, record)
    found = Compared(
        record=record,
        comparison=comparison_now(record),
        frozen=None,
        changed_terms=terms,
        earlier=earlier_words(wb, record),
        stand_ins=tuple(not_standing_in(record)),
        notes=study_notes(record),
    )
    body = json.dumps(compared_answer(found), ensure_ascii=False, sort_keys=True)
    inputs = input_hash(record, cells, terms, earlier=found.earlier)
    return found, {"code_version": CODE_VERSION, "input_hash": inputs, "body": body}


def earlier_words(wb: Workbench, record: StudyOnRecord) -> tuple[str, ...]:
    """What is said of what came before: a past that is missing, and runs that may be there twice."""
    missing = known_missing(wb, record.study.key)
    return (*missing_words(missing), *left_from_earlier(record))


def not_standing_in(record: StudyOnRecord) -> Iterator[str]:
    """What is said of compared runs that stay replaced by one that does not count."""
    yield from stand_ins_that_do_not_count(filter(record.compares, record.runs)).values()


def compared_answer(found: Compared) -> dict[str, Any]:
    """``compare --json`` as it is frozen: all that was found, and the reservations of the record."""
    return {
        **comparison_answer(found.comparison),
        "changed_terms": [term_answer(term) for term in found.changed_terms],
        "earlier": list(found.earlier),
        "stand_ins": list(found.stand_ins),
        "study_notes": [note_answer(note) for note in found.notes],
    }


def frozen_answer(found: Compared) -> dict[str, object] | None:
    """Which frozen result this is; None where it is not frozen."""
    frozen = found.frozen
    if frozen is None:
        return None
    return {
        "id": frozen.id,
        "at": frozen.at.isoformat(),
        "code_version": frozen.code_version,
        "input_hash": frozen.input_hash,
        "disagreeing": list(found.disagreeing),
    }


def term_answer(term: ChangedTerm) -> dict[str, Any]:
    """One changed term; `before` and `after` as the record holds them."""
    change = term.change
    return {
        "record": change.record,
        "key": change.key,
        "field": change.field,
        "before": change.before,
        "after": change.after,
        "at": change.at.isoformat(),
        "runs": term.runs,
        "words": term.words,
    }


def left_from_earlier(record: StudyOnRecord) -> Iterator[str]:
    """What is said of counting runs that share a label, which a study's folder gives to one run only."""
    labelled: dict[str, list[str]] = {}
    for each in record.compared_runs:
        if each.state.counts:
            labelled.setdefault(each.run.label, []).append(each.run.id)
    shared = {label: ids for label, ids in labelled.items() if len(ids) > 1}
    if len(shared) > 1:
        yield twice_words(shared, counting=sum(map(len, labelled.values())))
        return
    for label, ids in shared.items():
        yield (
            f"{capital(count_word(len(ids)))} runs labelled '{label}' count ({', '.join(ids)}); a folder "
            "gives a label to one run, so the earlier ones may be from before it was corrected."
        )


def twice_words(shared: Mapping[str, Sequence[str]], *, counting: int) -> str:
    """Several labels that more than one counting run shares, as one sentence with its weight first."""
    under = sum(map(len, shared.values()))
    each = "; ".join(f"'{label}' ({', '.join(ids)})" for label, ids in shared.items())
    return (
        f"{capital(count_word(under - len(shared)))} of {number(counting)} counting runs may be there twice: "
        f"{number(under)} runs count under {count_word(len(shared))} labels. A folder gives a label to one "
        f"run, so the earlier ones may be from before they were corrected: {each}."
    )


def inputs_now(wb: Workbench, study: str) -> str:
    """The hash of what a comparison of this study would read today."""
    record = load_study(wb, study)
    terms, earlier = changed_terms(wb, record), earlier_words(wb, record)
    return input_hash(record, cells_now(record), terms, earlier=earlier)


def input_hash(
    record: StudyOnRecord, cells: tuple[Cell, ...], terms: tuple[ChangedTerm, ...], *, earlier: Sequence[str]
) -> str:
    """A hash of everything the answer is made of: the study's terms, every run's number and state, and words.

    Two answers under one hash and one version of the code are the same answer.
    """
    runs = [(r.run.id, r.run.log, r.state.value, sorted(own_numbers(r).items())) for r in record.runs]
    inputs: dict[str, Any] = {
        "study": asdict(record.study),
        "cells": [cell_input(c) for c in cells],
        "runs": runs,
    }
    inputs["minutes"] = minutes_of(record)
    inputs["left_out"] = [left_out_input(each) for each in left_out(record)]
    inputs["said"] = [list(earlier), list(not_standing_in(record))]
    inputs["study_notes"] = [note_answer(note) for note in study_notes(record)]
    if terms:
        inputs["changed_terms"] = [term_answer(term) for term in terms]
    cut = {test.key: str(test.window) for test in record.compared_tests if test.window is not None}
    if cut:
        inputs["windows"] = cut
    text = json.dumps(inputs, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def own_numbers(each: RunOnRecord) -> dict[str, float]:
    """A run's numbers but for those at the wall, which say nothing here: older results stay the same."""
    return {key: value for key, value in each.metrics.values.items() if key not in WALL_KEYS}


def left_out_input(run: LeftOutRun) -> dict[str, Any]:
    """A left-out run as its hash sees it: what it does not say otherwise says nothing."""
    return {key: value for key, value in asdict(run).items() if value or key not in ("says", "fixes")}


def cell_input(cell: Cell) -> dict[str, Any]:
    """A cell as its hash sees it: what no run of it is says nothing, so that older results stay the same."""
    told = asdict(cell)
    for joint in (told["under"] or {}).get("joined", ()):
        if joint["unsteady"] == (None, None):
            del joint["unsteady"]
    unsaid = ("cut_otherwise", "unjudged", "says", "fixes", "under", "doubt", "unsteady")
    return {key: value for key, value in told.items() if value or key not in unsaid}
