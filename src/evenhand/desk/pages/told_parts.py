"""What rigs tell of their machines, as the page of parts shows it: which part each is, what is new."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.pages.frame import address
from evenhand.desk.parts.told_by_rigs import FactTold, InventoryMet, PartMet, told_by_rigs
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.fact_words import value_words
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.store.workbench import Workbench

ASKED, NOTED, OTHERWISE, NONE = "asked", "noted", "otherwise", "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldRow:
    """One told part: `words` are its name with what it tells; `state` is asked, noted, otherwise or none.

    `fresh` would be noted, `against` is told otherwise than it stands, `correct` leads to where that is put
    right. `parts` are those that it may be, by key and name, the likeliest or the one that was said first.
    """

    id: str
    kind: str
    words: str
    state: str
    part: str
    fresh: str
    against: tuple[str, ...]
    correct: str
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldShown:
    """One rig: what it tells of which machine, as a sentence; the rows, and what its system does not tell."""

    said: str
    asked: tuple[ToldRow, ...]
    settled: tuple[ToldRow, ...]
    untold: tuple[tuple[str, str], ...]


def told_shown(wb: Workbench, study: str) -> tuple[ToldShown, ...]:
    """Every rig that told of its parts, the latest first."""
    return tuple(_shown(each, study) for each in told_by_rigs(wb))


def _shown(met: InventoryMet, study: str) -> ToldShown:
    rows = [_row(met, each, study) for each in met.parts]
    asked = tuple(row for row in rows if row.state in (ASKED, OTHERWISE))
    machine = f" of {isolated(met.build.name)}" if met.build else ""
    day = day_words(met.inventory.at.date())
    told = counted(len(rows), "part")
    open_ = sum(row.state == ASKED for row in rows)
    rest = f"{count_word(open_)} to be said which" if open_ else "each is said which it is"
    return ToldShown(
        said=f"The rig {isolated(met.inventory.name)} tells of {told}{machine} ({day}): {rest}."
        if rows
        else f"The rig {isolated(met.inventory.name)} could tell of no part ({day}).",
        asked=asked,
        settled=tuple(row for row in rows if row not in asked),
        untold=tuple((capital(each.what), each.why) for each in met.inventory.untold),
    )


def _row(met: InventoryMet, each: PartMet, study: str) -> ToldRow:
    against = tuple(_against(fact) for fact in each.facts if not (fact.new or fact.agrees))
    fresh = tuple(_told(fact) for fact in each.facts if fact.new)
    state = NONE if each.part is None and each.said else OTHERWISE if against else NOTED
    every = dict.fromkeys(((each.part,) if each.part else ()) + each.likely)
    return ToldRow(
        id=f"{met.inventory.id}-{each.at}",
        kind=each.told.kind,
        words=each.told.name,
        state=state if each.said else ASKED,
        part=each.part.name if each.part else "",
        fresh=listed(fresh),
        against=against,
        correct=f"{address(study, 'builds', 'parts', each.part.key)}?edit=facts" if each.part else "",
        parts=tuple((part.key, part.name) for part in every),
    )


def _told(fact: FactTold) -> str:
    return f"{fact.about.name} {value_words(fact.about, fact.value)}"


def _against(fact: FactTold) -> str:
    """What is told otherwise than it stands; both stay as they are."""
    stands = fact.stands
    if stands is None:
        return ""
    noted = f"{value_words(fact.about, stands.value)} ({stands.source}, {day_words(stands.on)})"
    return f"{capital(fact.about.name)}: {value_words(fact.about, fact.value)}, but {noted} is on record."
