"""An edition is what the record said when it went out; the next one says what moved."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.publication import publishing
from evenhand.desk.publication.publishing import Told, editions_of, opened, publish
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.publication.touching import ripple
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.desk.study.away import put_study_away
from evenhand.editions.moved import Move, Of, moved
from evenhand.editions.snapshot import as_text
from evenhand.errors import BadRecord, EvenhandError, NotFound
from evenhand.records.prices import Price
from evenhand.records.runs import Reason
from evenhand.store.prices import add_price
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def published(published_file: Path, tmp_path: Path) -> Iterator[Workbench]:
    shutil.copy(published_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def cheaper(wb: Workbench, minor: int) -> None:
    currency = load_study(wb, "quay").study.currency
    assert currency is not None
    add_price(wb, Price(build="plover", minor=minor, currency=currency, on=date(2031, 5, 5)), at=LATER)


def names(moves: Sequence[Move], of: Of) -> set[str]:
    return {move.name for move in moves if move.of is of}


def moved_since(wb: Workbench) -> tuple[Move, ...]:
    """What is another today than in the edition that went out last."""
    record = load_study(wb, "quay")
    return moved(opened(editions_of(wb, "quay")[-1]), snapshot_now(wb, record))


def test_an_edition_holds_all_that_the_study_says(published: Workbench) -> None:
    (edition,) = editions_of(published, "quay")
    told = opened(edition)
    assert told.findings["findings"]
    assert told.verdicts["audiences"]
    assert {run["log"] for run in told.runs if run["log"]}
    assert set(told.definitions) >= {"average_fps", "low_1pct"}
    assert told.claims["test-causeway-plover-wren"]["rung"] == 1
    assert all(row["why"] for row in told.refusals)


def test_the_same_record_is_the_same_edition(published: Workbench) -> None:
    again = publish(published, "quay", now=LATER)
    assert again.again
    assert again.edition.at == NOW
    assert len(editions_of(published, "quay")) == 1
    assert moved_since(published) == ()


def test_a_price_moves_what_hangs_on_it_and_nothing_else(published: Workbench) -> None:
    before = opened(editions_of(published, "quay")[0])
    cheaper(published, 1)
    moves = moved_since(published)
    assert names(moves, Of.PRICE) == {"plover"}
    assert names(moves, Of.FIGURE) == {
        address for address, row in before.figures.items()
        if row["sort"] == "break-even" or address == "price of plover"
    }  # fmt: skip
    assert not {move.of for move in moves} & {Of.RUN, Of.TERM, Of.DEFINITION, Of.TEST, Of.SETUP}
    assert not {name for name in names(moves, Of.CLAIM) if name.startswith(("test-", "index-"))}


def test_a_run_set_aside_moves_its_test_and_what_is_made_of_it(published: Workbench) -> None:
    run = next(r for r in load_study(published, "quay").runs if r.run.test == "causeway")
    set_aside(published, run.run.id, reason=Reason.OTHER, said=Said(now=LATER, note="a door stood open"))
    moves = moved_since(published)
    assert names(moves, Of.RUN) == {run.run.id}
    assert any("in causeway" in name for name in names(moves, Of.FIGURE))
    assert not names(moves, Of.PRICE)


def test_a_published_number_never_changes(published: Workbench) -> None:
    before = editions_of(published, "quay")[0]
    cheaper(published, 1)
    publish(published, "quay", Told(reason="a price"), now=LATER)
    first, second = editions_of(published, "quay")
    assert first == before
    assert second.number == 2
    assert second.reason == "a price"
    assert second.body == as_text(snapshot_now(published, load_study(published, "quay")))


def test_who_read_the_last_edition_is_owed_a_reason(published: Workbench) -> None:
    cheaper(published, 1)
    with pytest.raises(BadRecord, match="say in a few words why there is another edition"):
        publish(published, "quay", Told(reason="  "), now=LATER)
    assert len(editions_of(published, "quay")) == 1


def test_a_study_that_is_put_away_is_not_published(published: Workbench) -> None:
    cheaper(published, 1)
    put_study_away(published, "quay", note="", by="", now=LATER)
    with pytest.raises(EvenhandError, match="put away"):
        publish(published, "quay", Told(reason="a price"), now=LATER)


def test_what_was_never_published_has_not_moved(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    with pytest.raises(NotFound, match="nothing of it was published yet"):
        ripple(wb, "quay")


def test_an_edition_that_is_refused_leaves_no_file_behind(
    published: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All that is small goes on record with the edition, in one transaction, or not at all."""
    before = kept_files(published)

    def moved_meanwhile(*_: object, **__: object) -> None:
        raise BadRecord("something was changed meanwhile")

    cheaper(published, 1)
    monkeypatch.setattr(publishing, "refuse_moved", moved_meanwhile)
    with pytest.raises(BadRecord, match="meanwhile"):
        publish(published, "quay", Told(reason="a change"), now=LATER)
    assert kept_files(published) == before


def kept_files(wb: Workbench) -> int:
    with wb.reading() as conn:
        return int(conn.execute("SELECT count(*) FROM originals").fetchone()[0])
