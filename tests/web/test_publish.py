"""The publish page: an edition is frozen, taken away whole, and followed by one that says what moved."""

from __future__ import annotations

import io
import re
import shutil
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.desk.small_folder import NOW, small_folder, weighed
from tests.images.drawn import png
from tests.once import once
from tests.web.conftest import client_of, serving
from tests.web.looking import Served, axe_violations, sound

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk, open_desk
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves

HERE = "/studies/quay/publish"
SALTMARSH = "/studies/saltmarsh/publish"


@pytest.fixture
def asked(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """A small study with a part in each build, and nothing of it published yet."""
    shutil.copy(once(tmp_path_factory, "two-cards", two_cards) / "bench.evenhand", tmp_path)
    with open_desk(tmp_path / "bench.evenhand") as wb, client_of(wb) as opened:
        yield opened


def two_cards(place: Path) -> None:
    folder = weighed(small_folder())
    cards = {"lantern-20": "Lantern 20", "lantern-40": "Lantern 40"}
    folder.document["parts"] = [{"key": key, "kind": "graphics", "name": name} for key, name in cards.items()]
    for build, part in zip(folder.document["builds"], cards, strict=True):
        build["parts"] = [part]
    with open_desk(place / "bench.evenhand") as wb:
        import_folder(wb, folder.write(place / "study"), now=NOW)


@pytest.fixture
def served_desk(told_file: Path, tmp_path: Path) -> Iterator[Served]:
    shutil.copy(told_file, tmp_path / "bench.evenhand")
    with open_desk(tmp_path / "bench.evenhand") as wb, serving(wb) as there:
        yield there


def own(client: TestClient, path: str, **fields: str) -> str:
    answer = client.post(path, data=fields, headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 200, answer.text
    return answer.text


def test_the_first_edition_is_frozen_and_taken_away_whole(asked: TestClient) -> None:
    assert "Nothing of this study was published yet." in asked.get(HERE).text
    page = own(asked, HERE)
    assert "says what the record says today" in page
    assert asked.get(f"{HERE}/1/report.pdf").content.startswith(b"%PDF-")
    with zipfile.ZipFile(io.BytesIO(asked.get(f"{HERE}/1/data.zip").content)) as bundle:
        assert "snapshot.json" in bundle.namelist()
    article = asked.get(f"{HERE}/1/article/index.html")
    assert article.headers["content-type"].startswith("text/html")
    (log, *_) = re.findall(r'href="(data/study/[^"]+)"', article.text)
    assert asked.get(f"{HERE}/1/article/{log}").status_code == 200


@pytest.mark.parametrize("setups", [(), ("wren", "auk")])
def test_a_study_without_a_test_leads_on(empty: Desk, setups: tuple[str, ...]) -> None:
    with empty.writing():
        for key in setups:
            shelves.save(empty, Build(key=key, name=key, slot=1), now=NOW)
            shelves.save(empty, Setup(key=key, build=key, name=key), now=NOW)
        shelves.save(empty, Study(key="new", title="New", tests=(), setups=setups), now=NOW)
    there = "brief" if setups else "builds"
    with client_of(empty) as client:
        for path, nothing in (
            ("publish", "nothing to publish yet"),
            ("publish?ask=is+one+better", "nothing to publish yet"),
            ("compare/cards", "no card yet"),
        ):
            page = client.get(f"/studies/new/{path}")
            assert page.status_code == 200, path
            assert nothing in page.text
            assert f'<a class="btn main" href="/studies/new/{there}">' in page.text
            assert "Freeze edition" not in page.text
        assert client.get("/studies/new/publish/figures").status_code == 200
        refused = client.post("/studies/new/publish", headers={"Origin": "http://127.0.0.1"})
        assert refused.status_code == 422
        assert "o run of its tests has landed" in refused.text


def test_another_edition_needs_a_reason(asked: TestClient) -> None:
    own(asked, HERE)
    page = own(asked, f"{HERE}/disclosures/lantern-40", how="loan", by="Harrowfen")
    assert "and one thing moved since" in page
    refused = asked.post(HERE, data={"reason": ""}, headers={"Origin": "http://127.0.0.1"})
    assert refused.status_code >= 400
    assert "say in a few words why there is another edition" in refused.text
    assert "a loan was not disclosed" in own(asked, HERE, reason="a loan was not disclosed")


def test_a_script_is_kept_checked_and_lets_nothing_unsound_go_out(asked: TestClient) -> None:
    page = own(asked, f"{HERE}/script", text="## So\r\n\r\nPlover is future-proof. <script>x</script>\r\n")
    assert "objection" in page
    assert "<script>x" not in page
    refused = asked.post(HERE, data={}, headers={"Origin": "http://127.0.0.1"})
    assert refused.status_code >= 400
    assert "mend the script" in refused.text
    assert "says what the record says today" in own(asked, HERE, override="a quotation")


def test_a_sound_script_reads_with_its_figures_and_chapters(asked: TestClient) -> None:
    text = "## Prices\n\nPlover costs {price of plover, with range}.\n"
    page = own(asked, f"{HERE}/script", text=text)
    assert "nothing is objected to" in page
    assert "998\N{NO-BREAK SPACE}dl on 4 May 2031" in page
    assert "0:00 Prices" in page


def test_a_disclosure_is_put_down_and_taken_back(asked: TestClient) -> None:
    part = f"{HERE}/disclosures/lantern-20"
    assert "given, and kept (Osk &amp; Dunsolt)" in own(asked, part, how="gift", by="Osk & Dunsolt")
    assert "given, and kept (" not in own(asked, part, how="gift", back="yes")


@pytest.mark.parametrize(
    ("path", "fields"),
    [
        ("/disclosures/nobody", {"how": "loan"}),
        ("/disclosures/lantern-20", {"how": "stolen"}),
        ("/imprint", {"words_a_minute": "many"}),
        ("/imprint", {"words_a_minute": "150", "accent": "red"}),
        ("/imprint", {"words_a_minute": "150", "accent": "#ffd700"}),
    ],
)
def test_what_cannot_be_is_refused_in_words(asked: TestClient, path: str, fields: dict[str, str]) -> None:
    answer = asked.post(f"{HERE}{path}", data=fields, headers={"Origin": "http://127.0.0.1"})
    assert 400 <= answer.status_code < 500


def test_a_question_is_answered_on_the_page_and_its_words_are_text(asked: TestClient) -> None:
    page = asked.get(HERE, params={"ask": "Is Plover ahead of Wren?"}).text
    assert "Follows from what was measured" in page
    page = asked.get(HERE, params={"ask": "Is Plover ahead of Wren? <script>x</script>"}).text
    assert "Not known" in page
    assert "<script>x" not in page
    assert asked.get(HERE, params={"ask": "x" * 401}).status_code == 422


def test_a_mark_is_put_on_the_cards_and_taken_off(asked: TestClient) -> None:
    origin = {"Origin": "http://127.0.0.1"}
    sent = {"mark": ("mark.png", png(96, 64), "image/png")}
    page = asked.post(f"{HERE}/worn", files=sent, headers=origin).text
    assert "Take off the mark that is worn" in page
    assert "Take off the mark" not in own(asked, f"{HERE}/worn", **{"no-mark": "yes"})
    refused = asked.post(
        f"{HERE}/worn", files={"mark": ("m.svg", b"<svg/>", "image/svg+xml")}, headers=origin
    )
    assert refused.status_code == 422
    assert "send a JPEG, PNG or WebP" in refused.text


@pytest.mark.parametrize(
    "path", ["/7/report.pdf", "/7/data.zip", "/1/article/nothing.html", "/7/article/index.html"]
)
def test_what_is_not_there_is_told(asked: TestClient, path: str) -> None:
    assert asked.get(f"{HERE}{path}").status_code == 404


def test_no_path_leads_out_of_an_edition(asked: TestClient) -> None:
    own(asked, HERE)
    for path in ("data/../../../etc/passwd", "..%2f..%2fsnapshot.json", "%2e%2e/texts/description.txt"):
        assert asked.get(f"{HERE}/1/article/{path}").status_code in (400, 404)


def test_it_has_no_barriers_and_fits_a_phone(served_desk: Served, phone: Page) -> None:
    phone.goto(f"{served_desk.url}{SALTMARSH}")
    sound(phone)


def test_what_is_to_be_taken_away_is_in_sight_on_the_narrowest_phone(
    served_desk: Served, phone: Page
) -> None:
    phone.set_viewport_size({"width": 360, "height": 740})
    phone.goto(f"{served_desk.url}{SALTMARSH}")
    links = phone.locator("#editions tbody a")
    expect(links).to_have_text(["article", "cards", "report", "data"])
    for link in links.all():
        box = link.bounding_box()
        assert box
        assert box["x"] + box["width"] <= 360


def test_the_published_article_works_where_it_stands(served_desk: Served, page: Page) -> None:
    page.goto(f"{served_desk.url}{SALTMARSH}/1/article/index.html")
    form = page.locator("form.own").first
    form.get_by_label("Plover").fill("1044")
    expect(form.locator(".read li").first).to_contain_text("Dunlin is better value than Plover")


def test_figures_are_offered_while_a_reference_is_typed(served_desk: Served, page: Page) -> None:
    page.goto(f"{served_desk.url}{SALTMARSH}")
    text = page.get_by_label("Prose in Markdown")
    text.fill("Plover leads by ")
    text.press_sequentially("{lead of plover over dunlin in cau")
    offered = page.locator("#offered").get_by_role("option")
    expect(offered.first).to_contain_text("lead of plover over dunlin in causeway")
    expect(offered.first).to_contain_text("10.7")
    expect(text).to_have_attribute("aria-activedescendant", "offered-0")
    text.press("ArrowDown")
    expect(text).to_have_attribute("aria-activedescendant", "offered-1")
    text.press("ArrowUp")
    text.press("Enter")
    expect(text).to_have_value("Plover leads by {lead of plover over dunlin in causeway}")
    text.press_sequentially(" and {price of wren, ")
    expect(offered).to_have_count(1)
    text.press("Tab")
    expect(text).to_have_value(
        "Plover leads by {lead of plover over dunlin in causeway} and {price of wren, with range}"
    )
    text.press_sequentially(" {nothing such")
    expect(offered).to_have_count(0)
    text.press_sequentially("\\{")
    assert axe_violations(page) == []


def test_figures_are_shown_with_their_source(asked: TestClient) -> None:
    page = own(
        asked, f"{HERE}/script", text="## Prices\n\nPlover costs {price of plover, with range}. <b>x</b>\n"
    )
    assert 'title="' in page.split('class="num"', 1)[1].split(">", 1)[0]
    assert "<b>x</b>" not in page
    offered = asked.get(f"{HERE}/figures").json()
    assert ["price of plover", "998\N{NO-BREAK SPACE}dl"] in [row[:2] for row in offered]
