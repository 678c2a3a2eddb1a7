"""What a change touches of an edition: what moved, figures and sentences of its script, and its cards."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.comparison.comparing import inputs_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.publication.bundling import FOLDER
from evenhand.desk.publication.card_changes import CardNow, TouchedCard, cards_changed
from evenhand.desk.publication.card_pairs import pairs_in
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.edition_cards import LIST, card_rows
from evenhand.desk.publication.narrating import spoken_of, touched_since
from evenhand.desk.publication.publishing import editions_of, opened
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.publication.spoken_scripts import sentences_touched
from evenhand.editions.moved import REWORDED, Move, moved
from evenhand.prose.timing import Spoken
from evenhand.prose.touched import TouchedFigure, TouchedSentence
from evenhand.publish.picture import to_be_painted
from evenhand.publish.style import Medium
from evenhand.records.publications import Publication
from evenhand.store import publications
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Ripple:
    """Everything of an edition that is another today.

    Where nothing moved but the program's own wording, its script stands; cards may be drawn otherwise.
    """

    edition: Publication
    moves: tuple[Move, ...]
    figures: tuple[TouchedFigure, ...] = ()
    sentences: tuple[TouchedSentence, ...] = ()
    cards: tuple[TouchedCard, ...] = ()


def ripple(wb: Workbench, study: str, number: int | None = None) -> Ripple:
    """What is another today than in an edition, the last one where none is named. Raises NotFound."""
    record = load_study(wb, study)
    refuse_hidden(record)
    number = len(editions_of(wb, study)) if number is None else number
    edition = publications.publication(wb, study, number)
    before, after = opened(edition), snapshot_now(wb, record)
    moves = moved(before, after)
    if not moves and drawn_from_the_same(wb, edition):
        return Ripple(edition=edition, moves=())
    spoken = spoken_of(record, before, imprint_now(wb).words_a_minute)
    stands = moves == (REWORDED,)
    return Ripple(
        edition=edition, moves=moves, figures=() if stands else touched_since(record, spoken, after),
        sentences=sentences_touched(wb, record, spoken, (before, after)),
        cards=tuple(touched_cards(wb, record, edition, spoken)),
    )  # fmt: skip


def drawn_from_the_same(wb: Workbench, edition: Publication) -> bool:
    """Whether cards of today would be drawn from just what those of an edition were, by the same program.

    Cards may tell what no snapshot does: the hash of all inputs, runs of setups that are not compared.
    """
    now = inputs_now(wb, edition.study)
    return (edition.input_hash, edition.code_version) == (now, CODE_VERSION)


def touched_cards(
    wb: Workbench, record: StudyOnRecord, edition: Publication, spoken: Spoken | None
) -> Iterator[TouchedCard]:
    """The wide cards of an edition that would look otherwise today; none where it went out without any."""
    if FOLDER + LIST not in edition.files:
        return
    rows = card_rows(wb, edition)
    now = {
        one.name: CardNow(digest=digest_of_card(one), title=one.picture.title, alt=one.picture.description)
        for one in cards_of(wb, record, medium=Medium.WIDE, pairs=pairs_in(rows))
    }
    digests = {row["file"]: edition.files[FOLDER + row["file"]] for row in rows}
    yield from cards_changed(rows, digests, now, spoken)


def digest_of_card(one: Drawn) -> str:
    """SHA-256 of a card as an edition would keep it."""
    return hashlib.sha256(to_be_painted(one.picture, one.theme).encode()).hexdigest()
