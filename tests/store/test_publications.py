"""What went out never changes: editions, their files, scripts and disclosures."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.store.small_study import NOW, PARTS, STUDY, unguarded

from evenhand.errors import BadRecord, NotFound
from evenhand.records.publications import Disclosure, How, Imprint, Link, Publication, Script
from evenhand.store import originals
from evenhand.store.disclosures import add_disclosure, disclosures_of, ever_disclosed
from evenhand.store.imprints import imprint_now, save_imprint
from evenhand.store.publications import publication, publications_of, publish, published_file
from evenhand.store.scripts import save_script, script_of, scripts_of
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

FIRST = Publication(
    study=STUDY.key, number=0, at=NOW, code_version="0.1", input_hash="ab", body='{"format": 1}', by="me"
)
FILES = {"cards/headline.svg": b"<svg/>", "page/index.html": b"<!doctype html>"}


def published(wb: Workbench, edition: Publication, files: Mapping[str, bytes]) -> Publication:
    kept = {path: originals.keep_unnamed(wb, data) for path, data in files.items()}
    return publish(wb, replace(edition, files=kept))


MINE = Imprint(
    name="The Harbour Bench", licence="CC-BY-4.0", accent="#1c7b98", words_a_minute=140,
    links=(Link(name="Harrowfen’s page", to="https://harrowfen.example", part=PARTS[0].key, paid=True),),
)  # fmt: skip
LENT = Disclosure(part=PARTS[0].key, how=How.LOAN, at=NOW, by="Osk & Dunsolt")


def test_an_edition_comes_back_as_it_went_out(wb: Workbench) -> None:
    made = published(wb, FIRST, FILES)
    assert made.number == 1
    assert publications_of(wb, STUDY.key) == (made,)
    assert {path: published_file(wb, made, path) for path in made.files} == FILES


def test_editions_are_counted_and_earlier_ones_stay(wb: Workbench) -> None:
    first = published(wb, FIRST, FILES)
    second = published(wb, replace(FIRST, body="{}", reason="a price"), {"page/index.html": b"new"})
    assert [each.number for each in publications_of(wb, STUDY.key)] == [1, 2]
    assert publication(wb, STUDY.key, 1) == first
    assert published_file(wb, second, "page/index.html") == b"new"
    assert published_file(wb, first, "page/index.html") == FILES["page/index.html"]


def test_an_edition_or_file_that_is_not_there_is_told(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="nothing of it was published yet"):
        publication(wb, STUDY.key, 1)
    made = published(wb, FIRST, FILES)
    with pytest.raises(NotFound, match="has no file 'elsewhere'"):
        published_file(wb, made, "elsewhere")


def test_an_edition_of_a_study_that_is_not_there_leaves_nothing(wb: Workbench) -> None:
    with pytest.raises(BadRecord):
        publish(wb, replace(FIRST, study="nowhere"))
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM publication_files").fetchone()[0] == 0


def test_a_file_that_was_not_kept_cannot_go_out(wb: Workbench) -> None:
    with pytest.raises(BadRecord):
        publish(wb, replace(FIRST, files={"a": "ab" * 32}))
    assert publications_of(wb, STUDY.key) == ()


def test_a_log_that_goes_out_as_it_came_gets_no_further_name(wb: Workbench) -> None:
    data = b"frame,ms"
    digest = originals.keep_unnamed(wb, data)
    assert originals.names(wb, digest) == ()
    assert originals.keep_unnamed(wb, data) == digest
    assert check(wb.path).sound


def test_every_state_of_a_script_stays_and_the_last_stands(wb: Workbench) -> None:
    assert script_of(wb, STUDY.key) is None
    first = save_script(wb, Script(study=STUDY.key, text="## One", at=NOW))
    again = save_script(wb, Script(study=STUDY.key, text="## One", at=NOW + timedelta(hours=1)))
    second = save_script(wb, Script(study=STUDY.key, text="## Two", at=NOW))
    assert again == first
    assert scripts_of(wb, STUDY.key) == (first, second)
    assert script_of(wb, STUDY.key) == second


def test_of_a_part_and_kind_the_last_disclosure_stands(wb: Workbench) -> None:
    lent = add_disclosure(wb, LENT)
    link = add_disclosure(wb, replace(LENT, how=How.LINK, by="a shop"))
    assert disclosures_of(wb, [PARTS[0].key]) == (lent, link)
    back = add_disclosure(wb, replace(LENT, stands=False, note="given back"))
    assert disclosures_of(wb, [PARTS[0].key]) == (link,)
    assert ever_disclosed(wb, [PARTS[0].key]) == (lent, link, back)


def test_the_last_imprint_stands_and_nobody_has_to_have_one(wb: Workbench) -> None:
    assert imprint_now(wb) == Imprint()
    save_imprint(wb, Imprint(name="Before"), at=NOW)
    save_imprint(wb, MINE, at=NOW)
    save_imprint(wb, MINE, at=NOW)
    assert imprint_now(wb) == MINE
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM imprints").fetchone()[0] == 2


@pytest.mark.parametrize("table", ["scripts", "disclosures", "imprints", "publications", "publication_files"])
def test_the_check_sees_what_is_gone(wb: Workbench, table: str) -> None:
    published(wb, FIRST, FILES)
    save_script(wb, Script(study=STUDY.key, text="## One", at=NOW))
    add_disclosure(wb, LENT)
    save_imprint(wb, MINE, at=NOW)
    assert check(wb.path).sound
    with closing(sqlite3.connect(wb.path, isolation_level=None)) as conn, unguarded(conn):
        conn.execute(f"DELETE FROM {table}")
    assert any(problem.startswith(f"{table} '1' is gone") for problem in check(wb.path).problems)
