"""results, history: what a study said before, and what was changed of it since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.putting_away import tell_away, tell_times_away
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.comparison.recalling import Recalled
    from evenhand.desk.study.field_changes import FieldChange
    from evenhand.desk.study.histories import StudyHistory

STANDS = "Today's inputs still give this result."


@click.command("results")
@click.argument("study")
@click.argument("number", type=int, required=False)
@as_json
@click.pass_obj
def results(workbench: Path | None, study: str, number: int | None, as_json: bool) -> None:
    """List the frozen results of a STUDY, or show the one of this NUMBER as it was frozen.

    Example: evenhand results saltmarsh 1 --json
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison.recalling import frozen_result, frozen_results
    from evenhand.desk.opening import open_desk

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        if number is None:
            known = frozen_results(wb, study)
        else:
            one = frozen_result(wb, study, number)
    if number is None:
        tell_results(study, known, as_json=as_json)
    elif as_json:
        say_json({**one.answer, "frozen": recalled_answer(one)})
    else:
        tell_result(one)


def recalled_answer(one: Recalled) -> dict[str, object]:
    """One frozen result without what it says."""
    frozen = one.frozen
    return {
        "id": frozen.id,
        "at": frozen.at.isoformat(),
        "code_version": frozen.code_version,
        "input_hash": frozen.input_hash,
        "stands": one.stands,
        "why": one.why,
    }


def tell_results(study: str, known: tuple[Recalled, ...], *, as_json: bool) -> None:
    """All frozen results of a study."""
    if as_json:
        say_json({"study": study, "results": [recalled_answer(one) for one in known]})
        return
    if not known:
        say(f"Nothing is frozen yet. Next: evenhand compare {study}")
        return
    table(
        ["result", "frozen (UTC)", "Evenhand", "inputs", "given by today's inputs"],
        [
            [
                str(one.frozen.id),
                f"{one.frozen.at:%Y-%m-%d %H:%M}",
                one.frozen.code_version,
                one.frozen.input_hash[:12],
                "yes" if one.stands else f"no: {one.why}",
            ]
            for one in known
        ],
        right=(0,),
    )


def tell_result(one: Recalled) -> None:
    """What a frozen result said: its findings in a table, and the reservations of the record."""
    frozen, answer = one.frozen, one.answer
    say(
        f"Result {frozen.id}, frozen {frozen.at:%Y-%m-%d %H:%M} UTC by Evenhand {frozen.code_version}, "
        f"inputs {frozen.input_hash[:12]}. {where_it_stands(one)}"
    )
    say()
    table(
        ["test", "number", "pair", "outcome", "first over second", "interval"],
        [finding_row(finding) for finding in answer["findings"]],
        right=(4, 5),
    )
    for index in answer["index"]:
        place = index["group"] or "all tests"
        say(f"{index['a']} over {index['b']}, {place}: {index['outcome']}, {ratio_words(index)}")
    for words in (
        *(term["words"] for term in answer.get("changed_terms", ())),
        *answer.get("earlier", ()),
        *answer.get("stand_ins", ()),
    ):
        say(words)
    say(f"All of it, with every reservation: evenhand results {frozen.study} {frozen.id} --json")


def where_it_stands(one: Recalled) -> str:
    """Whether today's inputs still give a result, and why not, as a sentence."""
    from evenhand.desk.comparison.recalling import ANOTHER_ANSWER

    if one.stands:
        return STANDS
    if one.why == ANOTHER_ANSWER:
        return "Today's inputs are those of this result and give another answer: do not rely on it."
    return f"Today's inputs, or today's code, give another result ({one.why})."


def disagreement_words(numbers: Iterable[int]) -> Iterator[str]:
    """What is said of each frozen result that its own code and inputs do not give."""
    for number in numbers:
        yield (
            f"Frozen result {number}: same inputs, another answer. It names this version and today's inputs, "
            "and they do not give it: do not rely on it."
        )


def finding_row(finding: dict[str, Any]) -> list[str]:
    """One frozen finding."""
    return [
        finding["test"],
        finding["metric"],
        f"{finding['a']} and {finding['b']}",
        finding["outcome"],
        "no runs" if finding["ratio"] is None else f"{finding['ratio']:.4f}",
        interval_words(finding),
    ]


def ratio_words(index: dict[str, Any]) -> str:
    """A frozen ratio with its interval."""
    interval = interval_words(index)
    return f"{index['ratio']:.4f}" + (f", {interval}" if interval else "")


def interval_words(found: dict[str, Any]) -> str:
    """A frozen interval; nothing where there were no repeats."""
    if found["low"] is None:
        return ""
    return f"{found['low']:.4f} to {found['high']:.4f} ({100 * found['level']:g} %)"


@click.command("history")
@click.argument("study")
@as_json
@click.pass_obj
def history(workbench: Path | None, study: str, as_json: bool) -> None:
    """List what became of a STUDY since it came in: what was changed, and what was decided on which faults.

    Example: evenhand history saltmarsh
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.study.histories import study_history

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        found = study_history(wb, study)
    if as_json:
        say_json(history_answer(found))
        return
    tell_changes(found)
    tell_decisions(found)
    tell_times_away(found.away)


def history_answer(found: StudyHistory) -> dict[str, object]:
    """``history --json``."""
    from evenhand.desk.answers import change_answer, decision_answer

    return {
        "study": found.record.study.key,
        "changes": [change_answer(change) for change in found.changes],
        "decisions": [{"run": each.run, **decision_answer(each)} for each in found.decisions],
        "away": [
            {"at": each.at.isoformat(), "away": each.away, "by": each.by, "note": each.note}
            for each in found.away
        ],
    }


def tell_changes(found: StudyHistory) -> None:
    """What was changed, in a table; one line for what came to many runs at once."""
    if not found.changes:
        say(
            "Nothing was changed of it, its tests, setups, builds, parts, tuned parts, runs or layouts since "
            "they came in."
        )
        return
    lines: dict[tuple[str, ...], list[FieldChange]] = {}
    for change in found.changes:
        told = (f"{change.at:%Y-%m-%d %H:%M}", change.field, as_held(change.before), as_held(change.after))
        alone = "" if change.record == "run" else f"{change.record} {change.key}"
        lines.setdefault((alone, *told), []).append(change)
    table(
        ["when (UTC)", "of", "field", "from", "to"],
        [[line[1], line[0] or runs_words(of, found), *line[2:]] for line, of in lines.items()],
    )


def runs_words(changes: list[FieldChange], found: StudyHistory) -> str:
    """The run that was changed, or how many were."""
    keys = list(dict.fromkeys(change.key for change in changes))
    return f"run {run_words(keys[0], found)}" if len(keys) == 1 else f"{len(keys)} runs"


def run_words(key: str, found: StudyHistory) -> str:
    """A run's id and label."""
    return next(f"{each.run.id} ({each.run.label})" for each in found.record.runs if each.run.id == key)


def tell_decisions(found: StudyHistory) -> None:
    """What was decided, the first first, each with the faults that were on show."""
    from evenhand.cli.listing import decision_words, ground_words

    if found.decisions:
        say()
    for decision in found.decisions:
        say(f"{run_words(decision.run, found)}: {decision_words(decision)}")
        for ground in decision.grounds:
            say(ground_words(ground))


def as_held(value: Any) -> str:
    """A field's value as its record holds it, lists and tables in one line."""
    if isinstance(value, dict):
        return ", ".join(f"{name} {as_held(part)}" for name, part in value.items()) or "none"
    if isinstance(value, list):
        return ", ".join(map(as_held, value)) or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(float(f"{value:.12g}"))
    return "none" if value is None or value == "" else str(value)


COMMANDS = (results, history)
