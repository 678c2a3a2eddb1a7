"""What a change touches of an edition: what moved, the figures of its script, and its cards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.desk.bundling import FOLDER
from evenhand.desk.cards import cards_of
from evenhand.desk.charting import Drawn
from evenhand.desk.edition_cards import LIST, card_rows
from evenhand.desk.hiding import refuse_hidden
from evenhand.desk.narrating import quotables_of, touched_since
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.publishing import editions_of, opened
from evenhand.desk.shot_list import answering
from evenhand.desk.snapshots import snapshot_now
from evenhand.editions.moved import Move, moved
from evenhand.editions.snapshot import Snapshot
from evenhand.prose.script import parse
from evenhand.prose.timing import time_code, timed
from evenhand.prose.touched import TouchedFigure
from evenhand.publish.picture import to_be_painted
from evenhand.publish.style import Medium
from evenhand.records.publications import Publication
from evenhand.store import publications
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedCard:
    """A card that would look otherwise today: its title then and now, None where it is no more.

    `shown` are the time codes at which the edition's script shows it.
    """

    name: str
    before: str
    after: str | None
    shown: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The card in a line: when it is shown, its name, and its title where that is another."""
        at = f" (shown at {', '.join(self.shown)})" if self.shown else ""
        if self.after is None:
            return f"{self.name}{at}: no more"
        return f"{self.name}{at}" + (f": {self.before} → {self.after}" if self.before != self.after else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ripple:
    """Everything of an edition that is another today."""

    edition: Publication
    moves: tuple[Move, ...]
    figures: tuple[TouchedFigure, ...] = ()
    cards: tuple[TouchedCard, ...] = ()


def ripple(wb: Workbench, study: str, number: int | None = None) -> Ripple:
    """What is another today than in an edition, the last one where none is named. Raises NotFound."""
    record = load_study(wb, study)
    refuse_hidden(record)
    number = len(editions_of(wb, study)) if number is None else number
    edition = publications.publication(wb, study, number)
    before, after = opened(edition), snapshot_now(wb, record)
    moves = moved(before, after)
    if not moves:
        return Ripple(edition=edition, moves=())
    pace = imprint_now(wb).words_a_minute
    return Ripple(
        edition=edition, moves=moves, figures=touched_since(record, before, after, words_a_minute=pace),
        cards=tuple(touched_cards(wb, record, edition, cues_of(record, before, pace))),
    )  # fmt: skip


def touched_cards(
    wb: Workbench, record: StudyOnRecord, edition: Publication, cues: Mapping[str, str]
) -> Iterator[TouchedCard]:
    """The wide cards of an edition that would look otherwise today; none where it went out without any."""
    if FOLDER + LIST not in edition.files:
        return
    rows = tuple(row for row in card_rows(wb, edition) if row["medium"] == Medium.WIDE)
    today = {one.name: one for one in cards_of(wb, record, medium=Medium.WIDE)}
    names = tuple(row["name"] for row in rows)
    for row in rows:
        now = today.get(row["name"])
        if now is None or digest_of_card(now) != edition.files[FOLDER + row["file"]]:
            yield TouchedCard(
                name=row["name"], before=row["title"], after=None if now is None else now.picture.title,
                shown=tuple(at for at, cue in cues.items() if row["name"] in answering(cue, names)),
            )  # fmt: skip


def digest_of_card(one: Drawn) -> str:
    """SHA-256 of a card as an edition would keep it."""
    return hashlib.sha256(to_be_painted(one.picture, one.theme).encode()).hexdigest()


def cues_of(record: StudyOnRecord, snapshot: Snapshot, pace: int) -> dict[str, str]:
    """What the script of an edition shows, by time code."""
    if snapshot.script is None:
        return {}
    times = timed(parse(snapshot.script), quotables_of(record, snapshot), words_a_minute=pace)
    return {time_code(cue.start_s): cue.card for cue in times.cues}
