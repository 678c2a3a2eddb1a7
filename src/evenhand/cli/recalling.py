"""results, history: what a study said before, and what was changed of it since."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.recalling import Recalled
    from evenhand.desk.terms import FieldChange

WHERE = {
    True: "Today's inputs still give this result.",
    False: "Today's inputs, or today's code, give another result.",
}


@click.command("results")
@click.argument("study")
@click.argument("number", type=int, required=False)
@as_json
@click.pass_obj
def results(workbench: Path | None, study: str, number: int | None, as_json: bool) -> None:
    """List the frozen results of a STUDY, or show the one of this NUMBER as it was frozen.

    Example: evenhand results saltmarsh 1 --json
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.recalling import frozen_result, frozen_results

    with open_desk(workbench, create=False) as wb:
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
                "yes" if one.stands else "no",
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
        f"inputs {frozen.input_hash[:12]}. {WHERE[one.stands]}"
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
    for words in (*(term["words"] for term in answer.get("changed_terms", ())), *answer.get("earlier", ())):
        say(words)
    say(f"All of it, with every reservation: evenhand results {frozen.study} {frozen.id} --json")


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
    """List what was changed of a STUDY since it came in: its own terms, its tests and its setups.

    Example: evenhand history saltmarsh
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.terms import study_changes

    with open_desk(workbench, create=False) as wb:
        changes = study_changes(wb, study)
    if as_json:
        say_json({"study": study, "changes": [change_answer(change) for change in changes]})
        return
    if not changes:
        say("Nothing was changed of it, its tests or its setups since they came in.")
        return
    table(
        ["when (UTC)", "of", "field", "from", "to"],
        [
            [
                f"{change.at:%Y-%m-%d %H:%M}",
                f"{change.record} {change.key}",
                change.field,
                as_held(change.before),
                as_held(change.after),
            ]
            for change in changes
        ],
    )


def change_answer(change: FieldChange) -> dict[str, object]:
    """One change of one field."""
    return {
        "at": change.at.isoformat(),
        "record": change.record,
        "key": change.key,
        "field": change.field,
        "before": change.before,
        "after": change.after,
    }


def as_held(value: Any) -> str:
    """A field's value as its record holds it, lists and tables in one line."""
    if isinstance(value, dict):
        return ", ".join(f"{name} {as_held(part)}" for name, part in value.items()) or "none"
    if isinstance(value, list):
        return ", ".join(map(as_held, value)) or "none"
    return "none" if value is None or value == "" else str(value)


COMMANDS = (results, history)
