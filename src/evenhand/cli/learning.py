"""learned: what your own past runs have taught triage about a test, and how to make it forget."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.runs.learning import TestLearned


@click.command("learned")
@click.argument("test", required=False)
@click.option("--study", help="With --forget or --again: only what this study teaches.")
@click.option("--forget", "forget", is_flag=True, help="Let it count no longer. Nothing is deleted.")
@click.option("--again", "again", is_flag=True, help="Let it count again.")
@as_json
@click.pass_obj
def learned(
    workbench: Path | None, test: str | None, study: str | None, forget: bool, again: bool, as_json: bool
) -> None:
    """Show what past runs teach triage about each TEST: spread, course, hitches.

    Example: evenhand learned tramlines --forget --study spring
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.runs.learning import let_count, what_is_learned

    refuse_unclear(test, study, forget=forget, again=again)
    with open_desk(workbench, create=False) as wb:
        if test is not None and (forget or again):
            changed = let_count(wb, test, study=study, counts=again, now=present())
        known = what_is_learned(wb, test)
    if forget or again:
        tell_choice([kept.study for kept in changed], again=again, quiet=as_json)
    if as_json:
        say_json({"learned": [learned_answer(one) for one in known]})
    else:
        tell_learned(known)


def refuse_unclear(test: str | None, study: str | None, *, forget: bool, again: bool) -> None:
    """Raises UsageError where options do not go together."""
    if forget and again:
        raise click.UsageError("--forget and --again contradict each other: give one of them.")
    if (forget or again) and test is None:
        raise click.UsageError("Name the TEST to forget, as in `evenhand learned TEST --forget`.")
    if study and not (forget or again):
        raise click.UsageError("--study goes with --forget or --again.")


def tell_choice(studies: list[str], *, again: bool, quiet: bool) -> None:
    """What was chosen, and when it takes effect."""
    if quiet:
        return
    if not studies:
        say("Nothing to change: it stands so already.")
        return
    word = "counts again" if again else "counts no longer"
    say(
        f"What {', '.join(studies)} taught {word}. Studies are judged by it at their next import or decision."
    )


def learned_answer(one: TestLearned) -> dict[str, object]:
    """What is known of one test."""
    told = one.learned
    return {
        "test": one.test.key,
        "runs": told.runs,
        "spread_ln": told.spread.root,
        "shape_ln": told.shape.told,
        "sag_ln": told.sag.root,
        "hitches_per_min": told.hitches.told,
        "hitch_dispersion": told.hitch_excess.told,
        "scatter_ln": told.scatter.root,
        "studies": [
            {"study": kept.study, "runs": kept.runs, "counts": kept.counts, "at": kept.at.isoformat()}
            for kept in one.studies
        ],
    }


def tell_learned(known: tuple[TestLearned, ...]) -> None:
    """A table of tests, and which studies taught what is in it."""
    from evenhand.publish.numbers import run_words

    if not known:
        say("Nothing is learned yet: triage learns from every study whose runs it has judged.")
        return
    table(
        [
            "test",
            "runs",
            "spread between runs",
            "difference along the scene",
            "hitches a minute",
            "taught by",
        ],
        [
            [
                one.test.name,
                str(one.learned.runs),
                percent(one.learned.spread.root),
                percent(one.learned.shape.told),
                "" if (rate := one.learned.hitches.told) is None else run_words(rate, ""),
                ", ".join(kept.study if kept.counts else f"({kept.study})" for kept in one.studies),
            ]
            for one in known
        ],
        right=(1, 2, 3, 4),
    )
    if any(not kept.counts for one in known for kept in one.studies):
        say("Studies in brackets are forgotten: what they taught does not count.")


def percent(logs: float | None) -> str:
    """A spread of logs as a percentage, nothing where none is known."""
    from evenhand.publish.numbers import run_words

    return "" if logs is None else run_words(100 * logs, "%")


COMMANDS = (learned,)
