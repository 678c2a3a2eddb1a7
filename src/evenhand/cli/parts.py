"""parts, part, fit: what is known of parts, and whether those of a build go together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli import parts_table
from evenhand.cli.pairs import pair
from evenhand.cli.showing import as_json, say, say_json, table

NEEDS_YOU = 1  # of what was brought in

if TYPE_CHECKING:
    from evenhand.desk.parts.catalogue import Listed
    from evenhand.desk.parts.fitting import Fitting


@click.command("parts")
@click.option("--kind", default=None, help="Only this kind of part; of it are all rows of --file.")
@click.option(
    "--add", "name", default=None, metavar="NAME", help="Add a part of this --kind that no build has yet."
)
@click.option("--note", default=None, help="With --add: anything worth remembering of it.")
@click.option("--file", type=click.Path(path_type=Path), default=None,
              help="A table of parts of one kind; --confirm keeps what is new of it.")  # fmt: skip
@click.option("--column", "columns", multiple=True, metavar="NAME=FACT",
              help="What a column of the table is: name, note, source, day, a fact, or nothing; "
                   "may be repeated.")  # fmt: skip
@click.option("--source", default="", help="Where rows that do not say it are from.")
@click.option(
    "--day", default="", metavar="DAY", help="When rows were read that do not say it (default: today)."
)
@click.option("--confirm", is_flag=True, help="Keep what is new of the table.")
@as_json
@click.pass_obj
def parts(
    workbench: Path | None, /, kind: str | None, file: Path | None, as_json: bool, **given: Any
) -> None:
    """List every part of the workbench: how much is known of it, which builds have it; or bring a table in.

    Example: evenhand parts --kind cooler --add "Brellow Gale"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts.catalogue import add_part, catalogue, unruled_words
    from evenhand.desk.parts.parts_answers import listed_answer

    refuse_unclear(kind, file, given)
    added, brought = "", None
    with open_desk(workbench, create=False) as wb:
        if given["name"] is not None:
            typed = {"kind": kind, "name": given["name"], "note": given["note"] or ""}
            added = add_part(wb, typed, now=present()).key
        if file is not None:
            brought = parts_table.bring(wb, file, kind or "", given)
        every = [each for each in catalogue(wb) if kind is None or each.part.kind == kind]
    unruled = unruled_words(kind or "") if added else ""
    if as_json:
        listed, told = [listed_answer(each) for each in every], None if brought is None else brought.answer()
        say_json({"parts": listed, "added": added or None, "unruled": unruled, "table": told})
    elif brought is not None:
        parts_table.tell(brought)
    else:
        tell_added(added, unruled)
        tell_parts(every)
    if brought is not None and (brought.found.lacks or brought.found.refused):
        raise click.exceptions.Exit(NEEDS_YOU)


def refuse_unclear(kind: str | None, file: Path | None, given: Mapping[str, Any]) -> None:
    """Raises UsageError where options do not go together."""
    if given["name"] is not None and kind is None:
        raise click.UsageError("--add goes with --kind.")
    if given["note"] is not None and given["name"] is None:
        raise click.UsageError("--note goes with --add.")
    if file is None and any(given[each] for each in ("columns", "source", "day", "confirm")):
        raise click.UsageError("--column, --source, --day and --confirm go with --file.")


def tell_added(added: str, unruled: str) -> None:
    """The key of a part that was added, and that no rule knows its kind; nothing where none was."""
    if added:
        todo = f"`evenhand part {added} --fact NAME=VALUE --source WHERE`"
        say(f"{added} is on record; note what is known: {todo}.")
    if unruled:
        say(unruled)


def tell_parts(every: Sequence[Listed]) -> None:
    """Every part as a row."""
    rows = [
        (
            each.part.key, each.part.kind, each.part.name,
            f"{each.known} of {each.asked}" if each.asked else "",
            ", ".join(build.name for build in each.builds),
        )
        for each in every
    ]  # fmt: skip
    if rows:
        table(("key", "kind", "part", "facts", "in"), rows)
    else:
        say("No such part is on this workbench.")
    for each in every:
        if each.alike:
            say(f"{each.part.key} and {', '.join(each.alike)} have one kind and name: the same part twice?")


@click.command("part")
@click.argument("part")
@click.option("--fact", "facts", multiple=True, metavar="NAME=VALUE",
              help="A fact of it, such as height_mm=158; may be repeated.")  # fmt: skip
@click.option("--unknown", multiple=True, metavar="NAME",
              help="This fact was looked for and is not known; may be repeated.")  # fmt: skip
@click.option("--source", default=None, help="Where it is from; asked for with --fact and --unknown.")
@click.option("--on", default="", metavar="DAY", help="When it was read, as 2031-05-04 (default: today).")
@click.option("--sure", is_flag=True, help="It is right, though far from the others of its kind.")
@click.option("--undo", "undone", multiple=True, type=int, metavar="NUMBER",
              help="Note again what stood before this fact; may be repeated.")  # fmt: skip
@as_json
@click.pass_obj
def part(
    workbench: Path | None, /, part: str, facts: tuple[str, ...], unknown: tuple[str, ...],
    undone: tuple[int, ...], sure: bool, as_json: bool, **told: str | None,
) -> None:  # fmt: skip
    """Show what is known of a PART by its key, note facts of it, or undo that.

    Lists are written with commas (none for an empty one), yes and no as such, places one after the other:
    "x16; length 16; lanes 16; shares none | x1; length 1".

    Example: evenhand part brellow-breeze --fact height_mm=158 --source "a ruler"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts.noting import note_facts, undo_facts
    from evenhand.desk.parts.parts_answers import part_answer
    from evenhand.desk.parts.telling import facts_ever
    from evenhand.desk.study.on_shelf import part_called

    given: dict[str, str | None] = {**dict(pair(each, "--fact") for each in facts), **dict.fromkeys(unknown)}
    source = told["source"]
    if given and source is None:
        raise click.UsageError("it is not said where this is from; add --source, such as 'a ruler'.")
    now = present()
    today = now.astimezone().date()
    noted: tuple[Any, ...] = ()
    with open_desk(workbench, create=False) as wb:
        if undone:
            noted = undo_facts(wb, part, undone, now=now, today=today)
        if given:
            on = told["on"] or ""
            noted += note_facts(wb, part, given, source=source or "", on=on, now=now, today=today, sure=sure)
        of, ever = part_called(wb, part), facts_ever(wb, part)
    answer = part_answer(of, ever, noted)
    if as_json:
        say_json(answer)
        return
    if given or undone:
        say(f"{len(noted)} noted." if noted else "It stood so already.")
    tell_part(answer)


def tell_part(answer: dict[str, Any]) -> None:
    """A part's facts as rows, and what was noted of one more than once."""
    from evenhand.desk.parts.parts_answers import about_of
    from evenhand.publish.fact_words import value_words

    def words(fact: str, value: Any) -> str:
        about = about_of(answer["kind"], fact)
        return str(value) if about is None else value_words(about, value)

    def row(fact: str, one: dict[str, Any]) -> tuple[str, ...]:
        return str(one["id"]), fact, words(fact, one["value"]), one["source"], one["on"]

    say(f"{answer['name']}, {answer['kind']}. {answer['note']}".rstrip())
    noted = [row(each["fact"], each["history"][-1]) for each in answer["facts"] if each["noted"]]
    if noted:
        table(("no.", "fact", "value", "source", "read on"), noted)
    past = [row(each["fact"], one) for each in answer["facts"] for one in each["history"][:-1]]
    if past:
        say("Before that:")
        table(("no.", "fact", "value", "source", "read on"), past)
    lacking = [each for each in answer["facts"] if each["value"] is None]
    if lacking:
        say("Not known:")
        table(
            ("fact", "what it is", "where"), [(each["fact"], each["name"], each["where"]) for each in lacking]
        )


@click.command("fit")
@click.argument("name")
@click.option("--every", is_flag=True, help="Rules that fit as well, with what each answer rests on.")
@click.option("--assume", "terms", multiple=True, metavar="NAME=NUMBER",
              help="Assume another number of power on this workbench from now on, as in rest.board=35; "
                   "nothing after = for the usual one; may be repeated.")  # fmt: skip
@click.option("--undo", type=int, metavar="NUMBER", help="Take back a change of what is assumed of power.")
@as_json
@click.pass_obj
def fit(
    workbench: Path | None, name: str, every: bool, terms: tuple[str, ...], undo: int | None, as_json: bool
) -> None:
    """Tell whether the parts of a build go together, with their supply. NAME is a build or a study.

    What nobody noted is unknown, and never passes. The makers have the last word.

    Example: evenhand fit saltmarsh
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.pages.fit_shared import shared_parts
    from evenhand.desk.parts.assuming import change_terms, changed_words, undo_terms
    from evenhand.desk.parts.fitting import fittings_named
    from evenhand.desk.parts.parts_answers import fitting_answer
    from evenhand.publish.fit_words import MAKER_FIRST

    with open_desk(workbench, create=False) as wb:
        given = dict(pair(each, "--assume") for each in terms)
        made = undo_terms(wb, undo, now=present()) if undo is not None else 0
        made = change_terms(wb, given, now=present()) if given else made
        found, otherwise = fittings_named(wb, name), changed_words(wb)
    if as_json:
        say_json({"builds": [fitting_answer(each) for each in found], "assumed": otherwise})
        return
    for each in found:
        tell_fitting(each, every=every)
    if otherwise:
        say(otherwise)
    if made:
        say(f"This was change {made} of what is assumed: evenhand fit {name} --undo {made} takes it back.")
    for part in shared_parts(found):
        ways = (part.moving, part.count) if part.moves else (part.count,)
        told = ", or ".join(f"pieces={count}" for count in ways)
        say(
            f"{part.part} is in {part.builds}: {part.asks} Say it: evenhand part {part.key} --fact {told}"
            f"{'' if part.moves else ', or take it out of the build'}"
        )
    say(MAKER_FIRST)


def tell_fitting(fitting: Fitting, *, every: bool) -> None:
    """A build's answer, the rules behind it, and what is to be looked up."""
    from evenhand.fit.answers import Answer
    from evenhand.publish.fact_words import seen_words
    from evenhand.publish.fit_words import STATE, rule_title
    from evenhand.publish.power_words import length_words, over_words

    say(f"{fitting.build.name}: {fitting.said}")
    if fitting.unasked:
        say(f"  {fitting.unasked}")
    for each in fitting.found:
        if every or each.answer is not Answer.FITS or each.remark:
            said = f"{STATE[each.answer]}: {rule_title(each.rule, (each,))}"
            say(f"  {said} {each.remark or each.todo}".rstrip())
            if every or each.answer is Answer.MISFIT:
                for seen in each.seen:
                    say(f"    {seen_words(seen)}")
    say(f"  {fitting.power_said}")
    for over in fitting.budget.over if fitting.budget else ():
        say(f"    {length_words(over.ms)}: {over_words(over)}, {STATE[over.answer].lower()}")
    for lack in fitting.missing:
        what = f"{lack.fact.name} of {lack.part.name} ({lack.part.key} {lack.fact.key})"
        say(f"  To look up: {what}, {lack.fact.where}")


COMMANDS = (parts, part, fit)
