"""What an import found otherwise than it was on record, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from evenhand.cli.recalling import as_held

if TYPE_CHECKING:
    from evenhand.desk.logs.importing import ImportReport
    from evenhand.desk.study.field_changes import FieldChange

MOST_NAMED = 3  # runs that one sentence names; of more it gives the number


def missing_past_words(report: ImportReport) -> Iterator[str]:
    """What the study file tells of its past and the folder does not hold, and how to mend that."""
    from evenhand.desk.logs.missing_past import missing_words

    for words in missing_words(report.missing_past):
        yield (
            f"{words} Every comparison will say so. To have it, import the folder as export wrote it, with "
            "history.jsonl and results.jsonl, onto a workbench that does not hold the study yet."
        )


def tuned_words(report: ImportReport) -> Iterator[str]:
    """What of tuned parts was new, known, taken back or put back; nothing where the folder names none."""
    from evenhand.desk.tuning.brought import OTHERWISE, brought_words

    brought = report.tuned
    if brought:
        yield f"of tuned parts: {brought_words(brought)}."
    for words in brought.turned:
        yield f"since: {words}"
    for words in brought.otherwise:
        yield f"not taken over: {words}: {OTHERWISE}"


def change_words(report: ImportReport) -> Iterator[str]:
    """Each change of the study, of what it names and of a score; facts of runs in one sentence."""
    from evenhand.desk.study.field_changes import is_fact

    facts = [change for change in report.changes if is_fact(change)]
    for change in report.changes:
        if len(facts) == 1 or not is_fact(change):
            yield f"changed: {change.field} of {change.record} {change.label or change.key}, {held(change)}"
    if len(facts) > 1:
        yield fact_words(facts, report.study)


def held(change: FieldChange) -> str:
    """What a field held, and what it holds now."""
    if change.field == "sensors":
        return "another file"
    return f"{as_held(change.before)} to {as_held(change.after)}"


def fact_words(facts: Sequence[FieldChange], study: str) -> str:
    """How many runs have other facts than before, and which of whose."""
    labels = {change.key: change.label or change.key for change in facts}
    of_field: dict[str, dict[str, None]] = {}
    for change in facts:
        of_field.setdefault(change.field, {})[labels[change.key]] = None
    told = "; ".join(f"{field} of {few(list(named))}" for field, named in of_field.items())
    runs = "1 run" if len(labels) == 1 else f"{len(labels)} runs"
    return f"changed: facts of {runs} ({told}). All of it: evenhand history {study}"


def few(names: Sequence[str]) -> str:
    """The names, or the first and how many more there are."""
    if len(names) <= MOST_NAMED:
        return ", ".join(names)
    return f"{', '.join(names[: MOST_NAMED - 1])} and {len(names) - MOST_NAMED + 1} more"


def waiting_words(report: ImportReport) -> Iterator[str]:
    """How many runs wait for a decision, which, and where to see why; nothing where none does."""
    runs = [each.run.label for each in report.waiting]
    if runs:
        wait = "1 run waits" if len(runs) == 1 else f"{len(runs)} runs wait"
        yield f"{wait} for a decision ({few(runs)}): evenhand runs {report.study} --in-doubt"


def shared_orders_words(report: ImportReport) -> Iterator[str]:
    """The first place in the order that two runs share, and how many more there are; nothing for none."""
    for each in report.shared_orders[:1]:
        more = len(report.shared_orders) - 1
        others = f", and {more} more {'place is' if more == 1 else 'places are'} shared" if more else ""
        at = f" {'line' if len(each.lines) == 1 else 'lines'} {', '.join(map(str, each.lines))}:"
        place = f"study.toml,{at} " if each.lines else ""
        todo = ". Turns are taken within a test: correct it, and import again" if each.to_mend else ""
        given = f"order {each.order} is given to {len(each.runs)} runs: {', '.join(each.runs)}"
        yield f"{place}{given}{others}{todo}"


def elsewhere_words(report: ImportReport) -> Iterator[str]:
    """The first runs whose file is a run of another study too, and how many more there are."""
    for label, words in report.elsewhere[:MOST_NAMED]:
        yield f"note: {label}: {words}"
    more = len(report.elsewhere) - MOST_NAMED
    if more > 0:
        yield f"note: so it is with {more} more: evenhand runs {report.study}"
