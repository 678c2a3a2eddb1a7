"""A table of parts on the command line: how it is read, and what was kept of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from evenhand.cli.sheets import columns_named, content
from evenhand.cli.showing import say, table

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk
    from evenhand.desk.parts.part_sheets import PartsRead, SaidOfParts

MOST_TOLD = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """A table as it was read; `numbers` are those of the facts that were kept, None where none was to be.

    `before` says that its header is known.
    """

    found: PartsRead
    said: SaidOfParts
    numbers: list[int] | None
    before: str = ""

    def answer(self) -> dict[str, Any]:
        """The same for programs."""
        header = self.found.sheet.header
        return {
            "kind": self.said.kind,
            "source": self.said.source,
            "columns": {name: self.said.columns.get(at, "") for at, name in enumerate(header)},
            "problems": list(self.found.lacks),
            "new_parts": [each.name for each in self.found.fresh if not each.key],
            "new_facts": sum(len(each.facts) for each in self.found.fresh),
            "refused": [{"line": each.row.line, "reason": each.reason} for each in self.found.refused],
            "noted": self.numbers,
        }


def bring(wb: Desk, file: Path, kind: str, given: dict[str, Any]) -> Brought:
    """A table as it is read, and kept where that is confirmed and nothing is missing."""
    from evenhand.desk.opening import present
    from evenhand.desk.pages.any_table import remembered_words
    from evenhand.desk.parts.part_roles import roles
    from evenhand.desk.parts.part_sheets import SaidOfParts, keep_parts, reading_parts
    from evenhand.desk.parts.remembered import parts_at_first, remember_parts
    from evenhand.folders.sheets import read_sheet

    sheet = read_sheet(content(file), name=file.name)
    known = parts_at_first(wb, sheet, kind)
    seems, before = known.said, remembered_words(known.at)
    own = columns_named(sheet, given["columns"], {role.key for role in roles(seems.kind)})
    proposed = {at: "" if role in own.values() else role for at, role in seems.columns.items()}
    source = given["source"] or seems.source
    said = SaidOfParts(columns=proposed | own, kind=seems.kind, source=source, day=given["day"])
    now = present()
    once = reading_parts(wb, sheet, said, today=now.astimezone().date())
    found = once()
    if not given["confirm"] or found.lacks:
        return Brought(found=found, said=said, numbers=None, before=before)
    with wb.writing():
        found, numbers = keep_parts(wb, once, kind=said.kind, now=now)
        remember_parts(wb, sheet, said, now=now)
    return Brought(found=found, said=said, numbers=numbers, before=before)


def tell(brought: Brought) -> None:
    """How a table was read, what of it is new, and what cannot be."""
    from evenhand.desk.pages.part_table import answer_of, row_card
    from evenhand.desk.parts.part_roles import roles

    found, said = brought.found, brought.said
    if brought.before:
        say(brought.before)
    names = {role.key: role.name for role in roles(said.kind)}
    say(f"{found.sheet.name}: {said.kind or 'of no kind yet'}, {found.sheet.looks}.")
    named = enumerate(found.sheet.header)
    table(("column", "is"), [(name, names.get(said.columns.get(at, ""), "left out")) for at, name in named])
    if said.source:
        say(f"Rows that do not say where they are from: {said.source}.")
    for problem in found.lacks:
        say(problem)
    fine = [each for each in found.rows if not each.reason]
    for each in (*fine[:MOST_TOLD], *found.refused[:MOST_TOLD]):
        card = row_card(each)
        say(f"line {card.line}: {card.words}")
    say(answer_of(found))
    if brought.numbers is not None:
        say("It is on record now.")
    elif not found.lacks:
        say("Nothing is kept yet: --confirm keeps what is new.")
