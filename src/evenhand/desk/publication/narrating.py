"""The script of a study: kept with every state, gone out with an edition, and touched by what moves since."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.publication.material import called_by_build
from evenhand.desk.publication.scripts import Checked, check_script
from evenhand.desk.study.away import refuse_away
from evenhand.editions.snapshot import Snapshot
from evenhand.editions.texts import Chapter
from evenhand.errors import BadRecord
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.quotables import Quotables
from evenhand.prose.rendering import as_html
from evenhand.prose.rules import rules
from evenhand.prose.script import parse
from evenhand.prose.timing import Spoken, timed
from evenhand.prose.touched import TouchedFigure, touched_figures
from evenhand.publish.numbers import counted
from evenhand.records.publications import Script
from evenhand.store import scripts
from evenhand.store.workbench import Workbench

_HEADING = re.compile(r"<(/?)h([1-6])>")


def keep_script(wb: Workbench, study: str, text: str, *, by: str, now: datetime) -> Script:
    """Keeps the script of a study as it is now; every earlier state stays. Raises NotFound."""
    load_study(wb, study)
    with wb.writing():
        refuse_away(wb, study)
        return scripts.save_script(wb, Script(study=study, text=text, by=by, at=now))


def script_now(wb: Workbench, study: str) -> Script | None:
    """The script as it stands; None where there is none."""
    return scripts.script_of(wb, study)


def checked_now(wb: Workbench, study: str) -> Checked | None:
    """The script as it stands, held against the record; None where there is none, or nothing stands in it."""
    script = script_now(wb, study)
    return None if script is None or not script.text.strip() else check_script(wb, study, script.text)


def refuse_unsound(checked: Checked | None, study: str, *, override: str) -> str:
    """What an edition says of a script that went out as it is, "" where nothing is to be said.

    Raises BadRecord where something is objected to and nobody says why it goes out all the same.
    """
    if checked is None or not checked.objections:
        return ""
    first = checked.objections[0]
    n = counted(len(checked.objections), "objection")
    if not override.strip():
        raise BadRecord(
            f"the check of the script has {n}; the first, line {first.place.line}: {first.reason}",
            where=f"study '{study}'", todo="mend the script, or say why it goes out as it is",
        )  # fmt: skip
    return f"The script went out with {n} to it: {override.strip()}."


def spoken_of(record: StudyOnRecord, snapshot: Snapshot, words_a_minute: int) -> Spoken | None:
    """The script of an edition as it is spoken; None where it has none."""
    if snapshot.script is None:
        return None
    script = parse(snapshot.script, abbreviations=rules().abbreviations)
    figures = quotables_of(record, snapshot)
    times = timed(script, figures, words_a_minute=words_a_minute)
    return Spoken(script=script, figures=figures, times=times)


def touched_since(record: StudyOnRecord, spoken: Spoken | None, after: Snapshot) -> tuple[TouchedFigure, ...]:
    """The figures of a spoken script that read otherwise `after` it, with when their chapters begin."""
    return () if spoken is None else touched_figures(spoken, quotables_of(record, after))


def figures_of(rows: Mapping[str, Mapping[str, Any]]) -> dict[str, Quotable]:
    """A snapshot's figures as prose knows them."""
    return {address: quotable_of(row) for address, row in rows.items()}


def quotable_of(row: Mapping[str, Any]) -> Quotable:
    """One figure of a snapshot."""
    day = None if row["day"] is None else date.fromisoformat(row["day"])
    pairs = {name: tuple(row[name]) for name in ("setups", "tests")}
    return Quotable(**{**row, **pairs, "day": day, "sort": Sort(row["sort"])})


def quotables_of(record: StudyOnRecord, snapshot: Snapshot) -> Quotables:
    """The figures of a snapshot, under the shorter words that a script may use."""
    return Quotables(figures=figures_of(snapshot.figures), called=called_by_build(record))


def prose_of(record: StudyOnRecord, snapshot: Snapshot) -> str:
    """The script as safe HTML with its figures filled; "" where there is none."""
    if snapshot.script is None:
        return ""
    paid = [link["to"] for link in snapshot.imprint.get("links", ()) if link["paid"]]
    return below_a_section(as_html(parse(snapshot.script), quotables_of(record, snapshot), paid=paid))


def below_a_section(shown: str) -> str:
    """The script with its headings below that of the section it stands in: its title and chapters lead it.

    >>> below_a_section("<h1>Title</h1><h2>Chapter</h2><h3>More</h3>")
    '<h3>Title</h3><h3>Chapter</h3><h4>More</h4>'
    """
    return _HEADING.sub(lambda found: f"<{found[1]}h{min(max(int(found[2]) + 1, 3), 6)}>", shown)


def chapters_of(record: StudyOnRecord, snapshot: Snapshot, words_a_minute: int) -> tuple[Chapter, ...]:
    """When each chapter of the script begins; those without a title are not told."""
    spoken = spoken_of(record, snapshot, words_a_minute)
    chapters = spoken.times.chapters if spoken else ()
    return tuple(Chapter(at_s=each.start_s, title=each.title) for each in chapters if each.title)
