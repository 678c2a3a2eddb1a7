"""compare, chart: what a study's runs say, in words and in pictures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.cards import cards, shots
from evenhand.cli.putting_away import tell_away
from evenhand.cli.recalling import disagreement_words
from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.comparison.charting import Drawn
    from evenhand.desk.comparison.comparing import Compared
    from evenhand.desk.runs.evidence_charts import NotDrawn
    from evenhand.findings.finding import Comparison
    from evenhand.publish.names import Names

FOLDER = click.Path(file_okay=False, path_type=Path)


@click.command("compare")
@click.argument("study")
@as_json
@click.pass_obj
def compare(workbench: Path | None, study: str, as_json: bool) -> None:
    """Say what the counting runs of a STUDY show: ahead, level or unsettled, and why.

    Example: evenhand compare saltmarsh --json
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison import comparing
    from evenhand.desk.opening import open_desk, present

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        found = comparing.compare(wb, study, now=present())
    if as_json:
        say_json({**comparing.compared_answer(found), "frozen": comparing.frozen_answer(found)})
        return
    tell_comparison(found)


def tell_comparison(found: Compared) -> None:
    """The answer first; then each pair, what was left out, and every reservation."""
    from evenhand.desk.names import names_of
    from evenhand.publish.answer import answer
    from evenhand.publish.reservations import caveats

    comparison, names = found.comparison, names_of(found.record)
    say(answer(comparison, names))
    for pair in dict.fromkeys((f.a, f.b) for f in comparison.findings):
        tell_pair(comparison, names, pair)
    part("Left out", left_out(found, names))
    part("Under other conditions", elsewhere(found, names))
    part("Over the whole study", [f"{note.title}. {note.evidence} {note.todo}" for note in found.notes])
    changed = [term.words for term in found.changed_terms]
    reservations = caveats([*comparison.findings, *comparison.indexes], names)
    part("Reservations", [*changed, *found.earlier, *found.stand_ins, *reservations])
    say()
    say(where_frozen(found))
    for words in disagreement_words(found.disagreeing):
        say(words)


def where_frozen(found: Compared) -> str:
    """The number under which the answer can be had again."""
    frozen = found.frozen
    if frozen is None and found.nothing:
        return "Not frozen: nothing was compared, since no test has runs of two setups that count."
    if frozen is None:
        return "Not frozen: this workbench may only be read here."
    return (
        f"Frozen as result {frozen.id}, {frozen.at:%Y-%m-%d %H:%M} UTC, Evenhand {frozen.code_version}, "
        f"inputs {frozen.input_hash[:12]}."
    )


def left_out(found: Compared, names: Names) -> Iterator[str]:
    """The runs that do not count, why, and what they would change; like ones in one sentence."""
    from evenhand.publish.left_out import exclusion_sentences, why_left_out

    runs = {each.run.id: each for each in found.record.runs}
    told = []
    for exclusion in found.comparison.exclusions:
        run, decision = runs[exclusion.run], runs[exclusion.run].decision
        masked = decision is not None and decision.masked
        why = why_left_out(run.state, decision.reason if decision else None, masked=masked)
        told.append((exclusion, why))
    yield from exclusion_sentences(told, names, margin=found.comparison.margin)


def elsewhere(found: Compared, names: Names) -> Iterator[str]:
    """Runs set aside for their conditions: no mistake, but a result of its own."""
    from evenhand.publish.left_out import conditions_sentence
    from evenhand.records.runs import Reason

    for each in found.record.runs:
        value = each.headline(found.record.tests[each.run.test])
        if each.decision and each.decision.reason is Reason.OTHER_CONDITIONS and value is not None:
            yield conditions_sentence(each.run, value, each.faults, names)


def tell_pair(comparison: Comparison, names: Names, pair: tuple[str, str]) -> None:
    """One pair of setups: its indexes, its tests, and further numbers under their own names."""
    from evenhand.desk.names import metric_label
    from evenhand.publish import sentences

    margin = comparison.margin
    findings = [f for f in comparison.findings if (f.a, f.b) == pair]
    indexes = [i for i in comparison.indexes if (i.a, i.b) == pair]
    lines = [sentences.index_sentence(index, names, margin=margin) for index in indexes]
    lines += [sentences.finding_sentence(f, names, margin=margin) for f in findings if f.headline]
    part(f"{names.setup(pair[0])} and {names.setup(pair[1])}", lines)
    for metric in dict.fromkeys(f.metric for f in findings if not f.headline):
        told = [f for f in findings if f.metric == metric and not f.headline]
        part(
            f"{names.setup(pair[0])} and {names.setup(pair[1])}, {metric_label(metric)}",
            (sentences.finding_sentence(f, names, margin=margin) for f in told),
        )


def part(heading: str, lines: Iterable[str]) -> None:
    """A heading and its lines; nothing where there are none."""
    told = list(lines)
    if not told:
        return
    say()
    say(heading)
    for line in told:
        say(f"  {line}")


@click.command("chart")
@click.argument("study")
@click.argument("folder", type=FOLDER)
@click.option(
    "--run", "run", default=None, help="Draw one run: its trace, and the evidence for each of its faults."
)
@click.option("--masked", is_flag=True, help="Evidence alone, names hidden; RUN is an id of `runs --masked`.")
@click.option("--dark", is_flag=True, help="Dark ground.")
@as_json
@click.pass_obj
def chart(
    workbench: Path | None,
    study: str,
    folder: Path,
    run: str | None,
    masked: bool,
    dark: bool,
    as_json: bool,
) -> None:
    """Draw a STUDY into FOLDER as SVG and PNG, 1920×1080: intervals, rates, runs, evidence; or one --run.

    Evidence is drawn for what holds a run in doubt or set aside; with --run for all that was found in it.

    Example: evenhand chart saltmarsh pictures
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison.charting import save_pictures
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.runs.evidence_charts import chart_asked, not_drawn_answer

    with open_desk(workbench, create=False) as wb, progress("drawing", quiet=as_json) as watch:
        if not masked:
            refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        charts = chart_asked(wb, study, run, masked=masked, dark=dark, now=present())
        files = save_pictures(charts.drawn, folder, watch=watch)
    if as_json:
        left = [not_drawn_answer(one) for one in charts.not_drawn]
        plainly = drawn_plainly(charts.drawn)
        say_json({"files": [str(file) for file in files], "not_drawn": left, "drawn_plainly": plainly})
        return
    for told in drawn_plainly(charts.drawn):
        click.echo(told, err=True)
    for file in files:
        say(str(file))
    tell_not_drawn(
        charts.not_drawn, f"evenhand chart {study} {folder}{' --masked' if masked else ''} --run RUN"
    )


def drawn_plainly(drawn: Iterable[Drawn]) -> list[str]:
    """What no picture could show as it is written, once each, as sentences."""
    return list(dict.fromkeys(told for one in drawn for told in one.picture.told))


def tell_not_drawn(left: Sequence[NotDrawn], command: str) -> None:
    """The evidence that was left out: what of how many runs and why, and how to have it drawn."""
    told = Counter((one.why, one.kind) for one in left)
    for (why, kind), runs in told.items():
        say(f"Not drawn: {kind} of {runs} {'run' if runs == 1 else 'runs'}; {why}.")
    if told:
        say(f"All that was found in one run: {command}")


COMMANDS = (compare, chart, cards, shots)
