"""runs, run: what is on record of a study."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import click

from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.bench.masking import MaskedRun
    from evenhand.desk.logs.run_logs import LogFlaw
    from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
    from evenhand.desk.runs.deciding import RunHistory
    from evenhand.records.faults import Fault, Ground
    from evenhand.records.runs import Decision
    from evenhand.records.tests import Test

Notes: TypeAlias = Mapping[str, tuple[str, ...]]

NOT_NAMED = (
    "its folder names it no longer. Where it was mistyped, set it aside; until then it stands as it is."
)
SHARED_ORDER = "correct `order` in its study.toml and import again, or set one of them aside"
NONE_WAITS = "No run waits for a decision."


@click.command("runs")
@click.argument("study")
@click.option("--in-doubt", is_flag=True, help="Only runs that wait for a decision.")
@click.option(
    "--masked",
    is_flag=True,
    help="Hide names, numbers and conditions; numbers in sentences of faults remain.",
)
@as_json
@click.pass_obj
def runs(workbench: Path | None, study: str, in_doubt: bool, masked: bool, as_json: bool) -> None:
    """List every run of a STUDY with its state and faults.

    Example: evenhand runs saltmarsh --in-doubt
    """
    from evenhand.desk.bench.hiding import refuse_hidden
    from evenhand.desk.listing import waiting
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.runs.run_notes import in_full

    with open_desk(workbench, create=False) as wb:
        record = load_study(wb, study)
        if not masked:
            refuse_hidden(record)
        tell_away(wb, study, as_json=as_json)
        shown = waiting(record) if in_doubt else record.runs
        notes = {} if masked else in_full(wb, record, shown)
    if masked:
        answer_masked(record, shown, as_json=as_json)
        if in_doubt and not shown and not as_json:
            say(NONE_WAITS)
        return
    if as_json:
        answer_runs(record, shown, notes)
        return
    if in_doubt and not shown:
        say(NONE_WAITS)
    else:
        tell_runs(record, shown, notes)
    tell_shared_orders(record)


def answer_runs(record: StudyOnRecord, shown: tuple[RunOnRecord, ...], notes: Notes) -> None:
    """The same for programs."""
    from evenhand.desk.answers import run_answer
    from evenhand.desk.listing import away_answer

    told, away = [run_answer(each) for each in shown], away_answer(record.away)
    say_json({"study": record.study.key, "away": away, "runs": told, "notes": notes})


def tell_runs(record: StudyOnRecord, shown: tuple[RunOnRecord, ...], notes: Notes) -> None:
    """A table of runs for each test, by which clock they began, then each fault with what to do."""
    from evenhand.desk.names import names_of
    from evenhand.desk.opening import own_clock
    from evenhand.desk.study.moments import clock_words

    names = names_of(record)
    for key, test in record.tests.items():
        own = [each for each in shown if each.run.test == key]
        if own:
            say(test.name)
            headings = ("run", "setup", "boot", "order", "begun", "result", "state", "faults")
            table(headings, [run_row(each, test, names.setup(each.run.setup)) for each in own], right=(3, 5))
            say()
    begun = clock_words((each.run.started_at for each in shown if each.run.started_at), own_clock)
    if begun:
        say(begun)
    for each in shown:
        if not each.named:
            say(f"{each.run.id} ({each.run.label}): {NOT_NAMED}")
        for note in notes.get(each.run.id, ()):
            say(f"{each.run.id} ({each.run.label}), note: {note}")
        tell_faults(f"{each.run.id} ({each.run.label})", each.faults)


def tell_shared_orders(record: StudyOnRecord) -> None:
    """The runs of each test that have one place in the order, although turns are taken within a test."""
    from evenhand.desk.study.shared_orders import shared_within_tests

    for test, order, labels in shared_within_tests(record):
        runs = f"{len(labels)} runs have place {order} in the order: {', '.join(labels)}"
        say(f"{record.tests[test].name}: {runs}")
        say(f"  What to do: {SHARED_ORDER}")


def answer_masked(record: StudyOnRecord, shown: tuple[RunOnRecord, ...], *, as_json: bool) -> None:
    """The runs with letters for setups and ids of their own, test by test, then each fault."""
    from evenhand.desk.answers import masked_answer
    from evenhand.desk.bench.masking import masked_runs
    from evenhand.desk.listing import away_answer

    hidden = masked_runs(record, shown)
    if as_json:
        told = [masked_answer(each) for each in hidden]
        say_json({"study": record.study.key, "away": away_answer(record.away), "runs": told})
        return
    for key, test in record.tests.items():
        own = [each for each in hidden if each.test == key]
        if own:
            say(test.name)
            rows = [[e.id, e.setup, e.state.value, ", ".join(f.title for f in e.faults)] for e in own]
            table(["run", "setup", "state", "faults"], rows)
            say()
    for each in hidden:
        tell_faults(f"{each.id} ({record.tests[each.test].name}, {each.setup})", each.faults)
    say("Names are hidden, and numbers and conditions but for what a fault says of them.")
    say("Decide with --masked, so that this is on record.")


def tell_faults(run: str, faults: Iterable[Fault]) -> None:
    """Each fault of a run in a sentence with what to do."""
    for fault in faults:
        say(f"{run}, {fault.severity.value}: {fault.title}")
        say(f"  {fault.evidence}")
        say(f"  What to do: {fault.todo}")


def run_row(each: RunOnRecord, test: Test, setup: str) -> list[str]:
    """One run of the table, its start by this computer's clock."""
    from evenhand.desk.opening import own_clock
    from evenhand.desk.study.moments import begun_words
    from evenhand.publish.numbers import run_words

    value, order = each.headline(test), each.run.order
    return [
        each.run.id,
        setup,
        each.run.boot or "",
        "" if order is None else str(order),
        "" if each.run.started_at is None else begun_words(each.run.started_at, own_clock),
        "" if value is None else run_words(value, test.unit),
        each.state.value,
        ", ".join(fault.title for fault in each.faults),
    ]


@click.command("run")
@click.argument("run")
@click.option(
    "--masked", is_flag=True, help="What was found in it alone; RUN is an id of `runs STUDY --masked`."
)
@as_json
@click.pass_obj
def run(workbench: Path | None, run: str, masked: bool, as_json: bool) -> None:
    """Show one RUN: its numbers with their definitions, faults, and the history of decisions.

    Example: evenhand run 3f9a
    """
    from evenhand.desk.bench.hiding import refuse_hidden_run
    from evenhand.desk.bench.masking import show_masked
    from evenhand.desk.opening import open_desk
    from evenhand.desk.runs.deciding import run_history

    with open_desk(workbench, create=False) as wb:
        if masked:
            answer_masked_run(show_masked(wb, run), as_json=as_json)
            return
        refuse_hidden_run(wb, run)
        history = run_history(wb, run)
        tell_away(wb, history.run.run.study, as_json=as_json)
    if as_json:
        from evenhand.desk.answers import history_answer

        say_json(history_answer(history))
        return
    tell_run(history)


def answer_masked_run(each: MaskedRun, *, as_json: bool) -> None:
    """One run with letters and masked ids: what was found in it, and what stands decided."""
    from evenhand.desk.answers import masked_answer

    if as_json:
        say_json(masked_answer(each))
        return
    say(f"{each.id}  {each.test}, {each.setup}: {each.state.value}")
    tell_faults(each.id, each.faults)
    for line in each.unjudged or ():
        say(f"not judged: {line}")
    if each.reason or each.note:
        say(f"decided: {': '.join(word for word in (each.reason and each.reason.value, each.note) if word)}")


def tell_run(history: RunHistory) -> None:
    """One run on a screen."""
    from evenhand.publish.numbers import run_words

    each = history.run
    say(f"{each.run.id}  {each.run.label}: {each.state.value}")
    values, within = each.metrics.values, each.metrics.within_run
    table(
        ["number", "value", "within this run only", "what it means"],
        [
            [
                d.label,
                run_words(values[d.key], d.unit),
                within_words(values[d.key], within.get(d.key)),
                d.meaning,
            ]
            for d in history.definitions
        ],
        right=(1, 2),
    )
    if not each.named:
        say(f"not named: {NOT_NAMED}")
    if history.measured:
        say(f"measured: {history.measured}")
    for label, reason in history.absent:
        say(f"no {label}: {reason}")
    for flaw in history.logs.flaws:
        say(flaw_words(flaw))
    if history.logs.sensors_joined:
        say(f"sensors: {history.logs.sensors_joined}")
    for fault in each.faults:
        say(f"{fault.severity.value}: {fault.title}. {fault.evidence} What to do: {fault.todo}")
    for line in history.unjudged:
        say(f"not judged: {line}")
    for decision in history.decisions:
        say(decision_words(decision))
        for ground in decision.grounds:
            say(ground_words(ground))


def flaw_words(flaw: LogFlaw) -> str:
    """Something odd in a log, in a line."""
    return f"{flaw.log.value} log, {flaw.kind}: {flaw.detail} ({flaw.meaning})"


def decision_words(decision: Decision) -> str:
    """One decision in a line: when by this computer's clock, what, why, and whether names were masked."""
    from evenhand.desk.opening import own_clock
    from evenhand.desk.study.moments import offset_words

    at = own_clock(decision.at)
    reason = f" ({decision.reason.value})" if decision.reason else ""
    masked = ", names masked" if decision.masked else ""
    note = f": {decision.note}" if decision.note else ""
    return f"{at:%Y-%m-%d %H:%M} {offset_words(at)} {decision.state.value}{reason}{masked}{note}"


def ground_words(ground: Ground) -> str:
    """A fault that was on show when something was decided, in a line below the decision."""
    return f"  on show then, {ground.severity.value}: {ground.title}. {ground.evidence}"


def within_words(value: float, bounds: tuple[float, float] | None) -> str:
    """A number's interval from one run's own frames: it says nothing of how runs differ."""
    from evenhand.publish.spans import Span

    return "" if bounds is None else Span(value=value, low=bounds[0], high=bounds[1]).range()


COMMANDS = (runs, run)
