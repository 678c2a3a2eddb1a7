"""told: what rigs tell of their machines, and which parts these are."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.desk.parts.told_by_rigs import InventoryMet, PartMet
    from evenhand.records.part_facts import PartFact


@click.command("told")
@click.option("--is", "said", multiple=True, metavar="NUMBER=PART",
              help="The part that a told one is, by its key; nothing for none; may be repeated.")  # fmt: skip
@as_json
@click.pass_obj
def told(workbench: Path | None, said: tuple[str, ...], as_json: bool) -> None:
    """List what rigs tell of their machines; say which part each is, and what was not known is noted.

    Example: evenhand told --is 1-0=harrowfen-lantern-40
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.parts.told_by_rigs import say_part, told_by_rigs

    noted: list[PartFact] = []
    with open_desk(workbench, create=False) as wb:
        now = present()
        for number, at, part in map(_said, said):
            noted += say_part(wb, number, at, part, now=now, today=now.astimezone().date())
        found = told_by_rigs(wb)
    numbers = [fact.id for fact in noted]
    if as_json:
        say_json({"rigs": list(map(answer, found)), "noted": numbers})
        return
    for each in found:
        tell(each)
    if not found:
        say("No rig has told of its parts yet: start the rig program, or note them by hand.")
    for fact in noted:
        say(f"Noted of {fact.part}: {fact.fact} = {fact.value}, {fact.source} (fact {fact.id}).")


def _said(words: str) -> tuple[int, int, str]:
    """Inventory, place in it, and part. Raises BadParameter."""
    told_one, there, part = words.partition("=")
    number, dash, at = told_one.partition("-")
    if not there or not dash or not (number.isascii() and number.isdigit() and at.isascii() and at.isdigit()):
        wrong = f"'{words}' does not say which part one is; write it as 1-0=the-key-of-a-part"
        raise click.BadParameter(wrong, param_hint="--is")
    return int(number), int(at), part.strip()


def answer(met: InventoryMet) -> dict[str, Any]:
    """What one rig told, for programs."""
    return {
        "rig": met.inventory.name,
        "build": met.inventory.build,
        "at": met.inventory.at.isoformat(),
        "parts": [_part(met, each) for each in met.parts],
        "untold": [{"what": each.what, "why": each.why} for each in met.inventory.untold],
    }


def _part(met: InventoryMet, each: PartMet) -> dict[str, Any]:
    return {
        "number": f"{met.inventory.id}-{each.at}",
        "kind": each.told.kind,
        "name": each.told.name,
        "source": each.told.source,
        "facts": dict(each.told.facts),
        "said": each.said,
        "part": each.part.key if each.part else None,
        "new": [fact.about.key for fact in each.facts if fact.new],
        "otherwise": [fact.about.key for fact in each.facts if not (fact.new or fact.agrees)],
    }


def tell(met: InventoryMet) -> None:
    """What one rig told: each part with its number, and which it is or seems to be."""
    from evenhand.publish.fact_words import value_words

    build = f", {met.build.name}" if met.build else ""
    say(f"The rig {met.inventory.name}{build}, {met.inventory.at.date().isoformat()}:")
    rows = []
    for each in met.parts:
        part = each.part.key if each.part else "none"
        which = part if each.said else f"perhaps {part}" if each.part else "no part of its kind is there"
        rows.append((f"{met.inventory.id}-{each.at}", each.told.kind, each.told.name, which))
    if rows:
        table(("no.", "kind", "told", "it is"), rows)
    for each in met.parts:
        for fact in each.facts:
            value = value_words(fact.about, fact.value)
            if fact.new:
                say(f"  {each.told.name}, {fact.about.name}: {value}, not noted yet.")
            elif not fact.agrees and fact.stands is not None:
                stands = value_words(fact.about, fact.stands.value)
                say(f"  {each.told.name}, {fact.about.name}: {value}, but {stands} is on record.")
    for lack in met.inventory.untold:
        say(f"  Not told: {lack.what} ({lack.why}).")


COMMANDS = (told,)
