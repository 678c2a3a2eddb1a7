"""The cards of an edition: drawn when it goes out, from what is frozen, and the same whenever they are taken.

They are kept as SVG with their text as outlines, so that they look alike wherever they are opened, and lie
in the bundle with their titles and descriptions.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from evenhand.desk.comparison.charting import Watch
from evenhand.desk.logs.writing_out import unwritable, write_whole
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.painters import painted_in_order, painter_for
from evenhand.desk.publication.bundling import FOLDER, CardFiles
from evenhand.desk.publication.card_ground import ground_for
from evenhand.desk.publication.card_pairs import Pairs
from evenhand.desk.publication.cards import cards_of_edition
from evenhand.desk.publication.house import house_now
from evenhand.editions.card_list import CardRow, card_list
from evenhand.errors import NotFound
from evenhand.publish.picture import to_be_painted
from evenhand.publish.style import Medium
from evenhand.records.publications import Publication
from evenhand.store import publications
from evenhand.store.workbench import Workbench

CARDS = "cards/"  # of a bundle's files
LIST = f"{CARDS}cards.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrozenCards:
    """The cards of one medium of an edition that were written: SVG and PNG of each, and what each shows."""

    edition: Publication
    medium: Medium
    rows: tuple[CardRow, ...]
    files: tuple[Path, ...]


def card_files_of(wb: Workbench, record: StudyOnRecord, *, pairs: Pairs = (), excused: str = "") -> CardFiles:
    """Every card for every medium on light ground, by its path in the bundle, and the list of them.

    `pairs` are those of which there are cards of pairs, `excused` is what the edition says of a script that
    does not stand.
    """
    ground, house = replace(ground_for(wb, record, pairs), excused=excused), house_now(wb)
    files: dict[str, bytes] = {}
    rows: list[CardRow] = []
    for medium in Medium:
        for one in cards_of_edition(ground, medium, house):
            path, picture = f"{CARDS}{medium.value}/{one.name}.svg", one.picture
            files[path] = to_be_painted(picture, one.theme).encode()
            rows.append(
                {
                    "name": one.name, "medium": medium.value, "file": path, "width": picture.width,
                    "height": picture.height, "title": picture.title, "alt": picture.description,
                    "pair": None if one.pair is None else list(one.pair),
                }
            )  # fmt: skip
    told = json.dumps(rows, ensure_ascii=False, indent=1) + "\n"
    return CardFiles(files=files | {LIST: told.encode()}, rows=rows)


def card_rows(wb: Workbench, edition: Publication) -> tuple[CardRow, ...]:
    """The cards that went out with an edition, in order. Raises NotFound for one that was frozen without."""
    if FOLDER + LIST not in edition.files:
        raise NotFound(
            f"edition {edition.number} of '{edition.study}' went out without cards", where=str(wb.path),
            todo="draw today's without --edition",
        )  # fmt: skip
    return cards_listed(wb, edition)


def cards_listed(wb: Workbench, edition: Publication) -> tuple[CardRow, ...]:
    """The same, none where it went out without any. Raises BadRecord where the list cannot be read."""
    if FOLDER + LIST not in edition.files:
        return ()
    beside = {path.removeprefix(FOLDER) for path in edition.files}
    where = f"edition {edition.number} of '{edition.study}', {LIST}"
    return card_list(publications.published_file(wb, edition, FOLDER + LIST), where=where, files=beside)


def write_edition_cards(
    wb: Workbench, edition: Publication, folder: Path, *, medium: Medium, watch: Watch | None = None
) -> FrozenCards:
    """The cards of an edition for one medium into a folder, as SVG and as PNG of their exact size.

    Raises NotFound where it has none, and BadRecord where the folder refuses.
    """
    rows = tuple(row for row in card_rows(wb, edition) if row["medium"] == medium)
    drawn = [publications.published_file(wb, edition, FOLDER + row["file"]) for row in rows]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with painter_for(len(drawn)) as painter:
            pngs = painted_in_order([svg.decode() for svg in drawn], painter)
            both = zip(rows, drawn, pngs, strict=True)
            files = tuple(_written(folder, both, total=len(rows), watch=watch))
    except OSError as error:
        raise unwritable(folder, error) from error
    return FrozenCards(edition=edition, medium=medium, rows=rows, files=files)


def _written(
    folder: Path, cards: Iterator[tuple[CardRow, bytes, bytes]], *, total: int, watch: Watch | None
) -> Iterator[Path]:
    for done, (row, svg, png) in enumerate(cards, start=1):
        for ending, data in (("svg", svg), ("png", png)):
            path = folder / f"{row['name']}.{ending}"
            write_whole(path, data)
            yield path
        if watch is not None:
            watch(done, total, row["name"])
