"""What goes out with an edition: its report and texts, the same whenever they are written."""

from __future__ import annotations

import json
import re
import shutil
import zipfile
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote

import pytest
from tests.desk.small_folder import LATER, NOW, small_folder, weighed
from tests.once import once

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.article_files import texts_of, write_article, write_report
from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.edition_cards import write_edition_cards
from evenhand.desk.publication.imprint import change_imprint
from evenhand.desk.publication.publishing import Told, editions_of, publish
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord, NotFound
from evenhand.publish.style import Medium
from evenhand.records.prices import Price
from evenhand.records.runs import Reason
from evenhand.store import publications
from evenhand.store.prices import add_price
from evenhand.store.workbench import Workbench, open_workbench

EVIL = 'Wren <script>alert("1")</script> #eval("1") *b* $x$ \\ & ]'


@pytest.fixture
def published(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    shutil.copy(once(tmp_path_factory, "published-evil", named_evil) / "bench.evenhand", tmp_path)
    with open_workbench(tmp_path / "bench.evenhand") as opened:
        yield opened


def named_evil(place: Path) -> None:
    folder = weighed(small_folder())
    folder.document["builds"][0]["name"] = EVIL
    with open_workbench(place / "bench.evenhand") as wb:
        import_folder(wb, folder.write(place / "study"), now=NOW)
        publish(wb, "quay", now=NOW)


def test_the_report_is_tagged_pdf_and_the_same_each_time(published: Workbench, tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        write_report(published, "quay", tmp_path / name)
    data = (tmp_path / "a.pdf").read_bytes()
    assert data.startswith(b"%PDF-")
    assert b"pdfuaid" in data
    assert data == (tmp_path / "b.pdf").read_bytes()


def test_no_name_is_taken_for_markup_in_page_report_or_texts(published: Workbench, tmp_path: Path) -> None:
    write_article(published, "quay", tmp_path / "out")
    page = (tmp_path / "out" / "index.html").read_text("utf-8")
    assert "<script>alert" not in page
    assert "alert(" in page
    assert EVIL in texts_of(published, "quay")[1]["description.txt"]


def test_what_was_never_published_cannot_be_written(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    for write in (write_article, write_report):
        with pytest.raises(NotFound, match="nothing of it was published yet"):
            write(wb, "quay", tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_an_article_is_not_written_over_anything(published: Workbench, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine.txt").write_text("mine")
    with pytest.raises(BadRecord):
        write_article(published, "quay", tmp_path / "out")
    assert [each.name for each in (tmp_path / "out").iterdir()] == ["mine.txt"]


def test_a_study_without_prices_audiences_or_parts_goes_out_as_well(wb: Workbench, tmp_path: Path) -> None:
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    publish(wb, "quay", now=NOW)
    page = (write_article(wb, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert "no price on record" in page
    assert 'form class="own"' not in page
    assert "Nothing is said of how these parts came here." in texts_of(wb, "quay")[1]["description.txt"]


def test_a_study_with_a_single_setup_goes_out_and_says_that_nothing_is_compared(
    wb: Workbench, tmp_path: Path
) -> None:
    folder = weighed(small_folder())
    folder.document["study"]["setups"] = ["wren"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    publish(wb, "quay", now=NOW)
    assert write_article(wb, "quay", tmp_path / "out").files > 10
    write_report(wb, "quay", tmp_path / "one.pdf")


@pytest.mark.parametrize("name", ["漢字 🚀 6", "Жук ∮", "طائر", "Hà Nội"])
def test_signs_that_our_fonts_lack_keep_nothing_from_going_out(
    wb: Workbench, tmp_path: Path, name: str
) -> None:
    folder = weighed(small_folder())
    folder.document["parts"][0]["name"] = name
    folder.document["builds"][0]["name"] = name
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    publish(wb, "quay", Told(reason=f"because of {name}"), now=NOW)
    write_report(wb, "quay", tmp_path / "one.pdf")
    assert (tmp_path / "one.pdf").read_bytes().startswith(b"%PDF-")


def test_names_from_right_to_left_stand_by_themselves_in_article_texts_and_pictures(
    wb: Workbench, tmp_path: Path
) -> None:
    folder = weighed(small_folder())
    folder.document["parts"][0]["name"] = "טרן 7"
    folder.document["builds"][0]["name"] = "طائر"
    folder.document["tests"][0]["name"] = "גשר 3"
    folder.document["study"]["audiences"][0]["name"] = "משחק"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    publish(wb, "quay", now=NOW)
    told = texts_of(wb, "quay")[1]
    assert [text for text in told.values() if turns(text)] == []
    assert "\u2068طائر\u2069: 742" in told["description.txt"]
    page = (write_article(wb, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert "<bdi>טרן 7</bdi>" in page
    shown = re.sub(r"(?s)<script.*?</script>|<bdi>[^<]*</bdi>", "", page)
    assert [words for words in re.findall(r">([^<]*)<", shown) if turns(words)] == []


def turns(text: str) -> bool:
    """Whether a name from right to left has words or figures beside it and is not kept from them."""
    left = re.sub("\u2068[^\u2069]*\u2069", "", text)
    return bool(re.search("[\u0590-\u06ff]", left)) and left not in ("משחק", "טרן 7", "طائر", "גשר 3")


def test_publishing_twice_keeps_the_first_report(published: Workbench, tmp_path: Path) -> None:
    write_report(published, "quay", tmp_path / "before.pdf")
    change_imprint(published, {"name": "The Harbour Bench"}, now=LATER)
    publish(published, "quay", Told(reason="a name"), now=LATER)
    write_report(published, "quay", tmp_path / "again.pdf", number=1)
    assert (tmp_path / "before.pdf").read_bytes() == (tmp_path / "again.pdf").read_bytes()
    assert len(editions_of(published, "quay")) == 2


def test_an_edition_keeps_its_cards_whatever_is_said_later(published: Workbench, tmp_path: Path) -> None:
    before = cards_taken(published, 1, tmp_path / "before")
    change_imprint(published, {"accent": "#1c7b98"}, now=LATER)
    assert cards_taken(published, 1, tmp_path / "after") == before
    today = cards_of(published, load_study(published, "quay"))
    assert any("#1c7b98" in each.picture.svg for each in today)


def test_the_bundle_carries_the_cards_for_every_medium_with_their_words(
    published: Workbench, tmp_path: Path
) -> None:
    write_bundle(published, "quay", tmp_path / "quay.zip")
    with zipfile.ZipFile(tmp_path / "quay.zip") as bundle:
        rows = json.loads(bundle.read("cards/cards.json"))
        assert {row["medium"] for row in rows} == {"wide", "tall", "square"}
        for row in rows:
            svg = bundle.read(row["file"]).decode()
            assert f'viewBox="0 0 {row["width"]} {row["height"]}"' in svg
            assert row["title"]
            assert row["alt"]


def test_cards_of_an_edition_need_no_font_of_ours(published: Workbench, tmp_path: Path) -> None:
    """Their letters are outlines; only a sign that the fonts lack would be text."""
    for data in cards_taken(published, 1, tmp_path / "out").values():
        assert b"<text" not in data
        assert b"<script" not in data


def test_the_article_leads_to_the_cards_beside_it(published: Workbench, tmp_path: Path) -> None:
    write_article(published, "quay", tmp_path / "out")
    page = (tmp_path / "out" / "index.html").read_text("utf-8")
    linked = re.findall(r'href="(data/cards/[^"]+)"', page)
    assert len(linked) > 10
    assert all((tmp_path / "out" / unquote(at)).is_file() for at in linked)


def cards_taken(wb: Workbench, number: int, folder: Path) -> dict[str, bytes]:
    edition = editions_of(wb, "quay")[number - 1]
    written = write_edition_cards(wb, edition, folder, medium=Medium.WIDE)
    return {path.name: path.read_bytes() for path in written.files if path.suffix == ".svg"}


def test_what_an_edition_says_no_more_keeps_its_address_on_the_next_page(
    published: Workbench, tmp_path: Path
) -> None:
    """Without most of its runs a test is settled no more."""
    record = load_study(published, "quay")
    for each in [r for r in record.runs if r.run.test == "causeway" and not r.run.label.endswith(" 1")]:
        set_aside(published, each.run.id, reason=Reason.OTHER, said=Said(now=LATER, note="a door stood open"))
    publish(published, "quay", Told(reason="runs were interrupted"), now=LATER)
    page = (write_article(published, "quay", tmp_path / "out").folder / "index.html").read_text("utf-8")
    assert page.count('id="test-causeway-plover-wren"') == 1
    assert 'href="edition-1/index.html#test-causeway-plover-wren"' in page
    assert "Nothing of it stands now." in page
    only = re.search(r'<th scope="row">wren causeway 1<.*?<td>([^<]*fps)<', page)
    assert only is not None
    assert page.count(f"<td>{only[1]}<") >= 2, "a machine's only run reads as the machine's number"


def test_ten_editions_leave_the_page_small(published: Workbench, tmp_path: Path) -> None:
    """What moved in an older edition is told on that edition's own page."""
    currency = load_study(published, "quay").study.currency
    assert currency is not None
    sizes = []
    for at in range(9):
        price = Price(build="plover", minor=700 + 40 * at, currency=currency, on=LATER.date())
        add_price(published, price, at=LATER)
        publish(published, "quay", Told(reason=f"price number {at}"), now=LATER)
        edition = publications.publication(published, "quay", at + 2)
        sizes.append(len(publications.published_file(published, edition, "article/index.html")))
    made = write_article(published, "quay", tmp_path / "out")
    page = (made.folder / "index.html").read_text("utf-8")
    assert made.page_bytes <= 400_000
    assert max(sizes) - sizes[0] <= 8 * 1500
    assert page.count("<summary>What moved</summary>") == 1
    assert page.count("price number ") == 9
    told = (made.folder / "edition-4" / "index.html").read_text("utf-8")
    assert 'href="edition-4/index.html#corrections"' in page
    assert 'id="corrections"' in told
    assert "740\N{NO-BREAK SPACE}dl" in told


def test_a_correction_says_whose_price_it_is(published: Workbench, tmp_path: Path) -> None:
    currency = load_study(published, "quay").study.currency
    assert currency is not None
    add_price(published, Price(build="plover", minor=700, currency=currency, on=LATER.date()), at=LATER)
    publish(published, "quay", Told(reason="a price"), now=LATER)
    page = write_article(published, "quay", tmp_path / "out").folder / "index.html"
    told = page.read_text("utf-8").replace("\N{NO-BREAK SPACE}", " ")
    assert "Price of Plover: 998 dl on 4 May 2031 → 700 dl" in told
