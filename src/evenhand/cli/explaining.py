"""causes: which part made the difference between two setups, and which swap would let one say more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.comparing import part
from evenhand.cli.putting_away import tell_away
from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.pages.causes import CausesPage
    from evenhand.desk.pages.compare_rows import FindingRow


RESERVATION, ALLOWANCE = "Reservation", "Allowance"


@click.command("causes")
@click.argument("study")
@click.option("--pair", nargs=2, default=None, metavar="A B", help="These two setups, by their keys.")
@as_json
@click.pass_obj
def causes(workbench: Path | None, study: str, pair: tuple[str, str] | None, as_json: bool) -> None:
    """Say which part made the difference between two setups of a STUDY, and what would say more.

    Example: evenhand causes saltmarsh --pair plover-mild dunlin-mild
    """
    from evenhand.desk.bench.hiding import refuse_hidden_study
    from evenhand.desk.comparison.causes_answers import causes_answer
    from evenhand.desk.comparison.explaining import chosen_pair, explained
    from evenhand.desk.on_record import load_study
    from evenhand.desk.opening import open_desk
    from evenhand.desk.pages.causes import page_of

    with open_desk(workbench, create=False) as wb:
        refuse_hidden_study(wb, study)
        tell_away(wb, study, as_json=as_json)
        record = load_study(wb, study)
        found = explained(wb, record, chosen_pair(record, pair or ()))
        page = page_of(found)
    if as_json:
        say_json(causes_answer(found))
        return
    tell(page)


def tell(page: CausesPage) -> None:
    """The page in lines, in its order."""
    say(page.answer)
    if page.rows:
        part("What each part does", (line for row in page.rows.effects.rows for line in row_lines(row)))
        part("What depends on what", (line for row in page.rows.depends_on.rows for line in row_lines(row)))
        rows = (*page.rows.effects.rows, *page.rows.depends_on.rows)
        known = (*reservation_lines(rows), *allowance_lines(rows), *filter(None, (page.spread,)))
        part("To be known with them", known)
    part(f"What differs between {page.sides[0]} and {page.sides[1]}", differs_lines(page))
    part("Refused", (f"{each.where}: {each.why} {each.todo}" for each in page.refused))
    part("Which swap would say more", swap_lines(page))
    part("What limits each test", limit_lines(page))
    part("Across time", time_lines(page))


def row_lines(row: FindingRow) -> Iterator[str]:
    """One effect: test and part, how it stands, and why."""
    name = f"{row.name}: {row.small}" if row.small else f"{row.name}"
    said = ", ".join(words for words in (row.state, row.interval, row.note) if words)
    yield f"{name}: {said}"


def reservation_lines(rows: Sequence[FindingRow]) -> Iterator[str]:
    """Every reservation of these rows, once."""
    yield from dict.fromkeys(words for row in rows for term, words in row.details if term == RESERVATION)


def allowance_lines(rows: Sequence[FindingRow]) -> Iterator[str]:
    """Every allowance once, with the rows that have it: none of the others do."""
    of: dict[str, list[str]] = {}
    test = ""
    for row in rows:
        test, what = (test, row.name[:1].lower() + row.name[1:]) if row.quiet else (row.name, row.small)
        for term, words in row.details:
            if term == ALLOWANCE:
                of.setdefault(words, []).append(f"{test}, {what}")
    for words, places in of.items():
        yield f"{words} " + (
            "In every row." if len(places) == len(rows) else f"Of {'; '.join(places)} alone."
        )


def differs_lines(page: CausesPage) -> Iterator[str]:
    """What differs, one thing a line."""
    if page.differs is None:
        return
    for each in page.differs.rows:
        why = f" ({each.why[:1].lower()}{each.why[1:]})" if each.why else ""
        sides = f"{each.both}. " if each.both else ""
        yield f"{each.name}: {sides}{each.mark}{why}"
    if page.differs.alike:
        yield f"  Alike: {page.differs.alike}."
    yield from (f"{said}" for said in page.differs.caveats)


def swap_lines(page: CausesPage) -> Iterator[str]:
    """Every plan of swaps, with the caution that goes with it."""
    if page.swaps and page.first:
        yield page.first
    for plan in page.swaps:
        yield f"{plan.heading}"
        yield from (f"  {each}" for each in filter(None, (*plan.setups, plan.least, plan.effort)))
    if told := page.caution if page.swaps else page.no_swaps:
        yield told


def limit_lines(page: CausesPage) -> Iterator[str]:
    """What holds each test back, and what tuning gained."""
    if not page.limits_shown:
        yield "Not shown for any test: no clock and no resolution was varied."
        return
    for each in page.limits:
        yield f"{each.test}: {each.says[:1].lower()}{each.says[1:]}. {' '.join(each.evidence)}"
    for tuned in page.tuned:
        yield f"{tuned.heading}"
        yield from (f"  {said}" for said in tuned.gains)


def time_lines(page: CausesPage) -> Iterator[str]:
    """What changed, what anchors say of it, and how steady the bench is."""
    time = page.time
    if time is None:
        return
    yield from (f"{said}" for said in (f"{time.heading}.", time.changed, time.todo) if said)
    for each in time.crossed:
        yield f"{each.heading}"
        yield from (f"  {said}" for said in each.shifts)
    yield from (f"{said}" for said in (time.spread, *time.bridges) if said)
    if time.steady:
        yield f"{time.steady}."
        yield from (f"  {chart.name}: {chart.words}" for chart in (*time.charts, *time.more) if chart.words)


COMMANDS = (causes,)
