"""The article as a reader has it: from any host, at any size, with and without scripts."""

from __future__ import annotations

import functools
import http.server
import json
import re
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import files
from itertools import product
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.once import once
from tests.publish.test_typed import VECTORS
from tests.publish.test_written import NAMES, SENTENCES
from tests.web.conftest import NOW
from tests.web.looking import axe_violations, sound

from evenhand.desk.opening import open_desk
from evenhand.desk.publication.article_files import write_article
from evenhand.desk.publication.imprint import change_imprint
from evenhand.desk.publication.publishing import Told, publish
from evenhand.desk.publication.written_for import form_of, texts_written
from evenhand.desk.study.disclosing import disclose
from evenhand.editions.lean_ends import lean_ends
from evenhand.money.running import energy_minor, mean_watts
from evenhand.publish.written import writing
from evenhand.records.publications import Days, Form, How, Numbers

MOST_BYTES = 400_000
EIGHT_MORE, BYTES_AN_EDITION = (
    8,
    1500,
)  # to ten editions; tests/desk/publication/test_article_files.py holds each to that


@dataclass(frozen=True)
class Host:
    """An article and where a plain host serves it."""

    folder: Path
    url: str
    page_bytes: int


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None: ...


@pytest.fixture(scope="module")
def host(told_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    def make(place: Path) -> None:
        shutil.copy(told_file, place / "bench.evenhand")
        with open_desk(place / "bench.evenhand") as wb:
            disclose(wb, "harrowfen-lantern-40", How.LOAN, by="Harrowfen <b>", note="", now=NOW)
            disclose(wb, "osk-650", How.GIFT, by="Osk", note="", now=NOW)
            publish(wb, "saltmarsh", Told(reason="a gift was not disclosed"), now=NOW)
            made = write_article(wb, "saltmarsh", place / "out")
        (place / "page_bytes").write_text(str(made.page_bytes))

    place = once(tmp_path_factory, "article", make)
    with serving_folder(place / "out") as url:
        yield Host(folder=place / "out", url=url, page_bytes=int((place / "page_bytes").read_text()))


@contextmanager
def serving_folder(folder: Path) -> Iterator[str]:
    """A plain host of a folder: its address."""
    handler = functools.partial(Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_it_has_no_barriers_fits_a_phone_and_asks_nobody_else(host: Host, phone: Page) -> None:
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.goto(host.url)
    sound(phone)
    assert all(url.startswith((host.url, "data:")) for url in asked)


def test_it_is_small_without_logs(host: Host) -> None:
    assert host.page_bytes <= MOST_BYTES - EIGHT_MORE * BYTES_AN_EDITION


def test_it_looks_the_same_with_every_rule_of_every_page(host: Host, page: Page) -> None:
    """The sheet that goes out has only the rules that the page uses: all of them change nothing."""
    whole = (files("evenhand.publish") / "looks" / "look.css").read_text("utf-8")
    lean = _looks(page, host.url)
    every = whole.replace("url(/fonts/", "url(fonts/")
    page.route("**/look.css", lambda route: route.fulfill(body=every, content_type="text/css"))
    assert _looks(page, host.url) == lean


def _looks(page: Page, url: str) -> list[str]:
    """Where every element stands on a phone and a desk, light and dark, and in which colours and letters."""
    page.goto(url)
    page.locator("form.own").first.wait_for()
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    told = []
    schemes: tuple[Literal["light", "dark"], ...] = ("light", "dark")
    for width, scheme in product((360, 1440), schemes):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme)
        told.append(str(page.evaluate(STYLES)))
    return told


STYLES = """document.fonts.ready.then(() => [...document.querySelectorAll("body *")].map((each) => {
  const box = each.getBoundingClientRect(), has = getComputedStyle(each);
  const places = [box.x, box.y, box.width, box.height];
  const looks = ["color", "backgroundColor", "font", "borderTop", "fill", "stroke", "display"];
  return [each.tagName, ...places, ...looks.map((name) => has[name])].join(" ");
}).join("\\n"))"""


@pytest.mark.parametrize(
    "told",
    [
        "<p>one</p><ul><li>a</li><li>b</li></ul><p>two</p>",
        "<ul><li>a<ul><li>b</li></ul></li><li>c <p>d</p></li></ul><p>e</p>",
        "<dl><dt>a</dt><dd>b</dd><dt>c</dt><dd>d</dd></dl><p>e</p>",
        "<table><thead><tr><th>a</th></tr></thead><tbody><tr><th>b</th><td>c</td></tr></tbody></table>",
        "<table><tbody><tr><td>a</td></tr><tr><td>b</td></tr></tbody></table><table><tr><td>c</td></tr></table>",
    ],
)
def test_a_browser_makes_the_same_elements_of_a_page_with_fewer_end_tags(page: Page, told: str) -> None:
    short = lean_ends(told)
    assert len(short) < len(told)
    page.set_content(f"<body>{told}</body>")
    whole = page.evaluate("document.body.innerHTML")
    page.set_content(f"<body>{short}</body>")
    assert page.evaluate("document.body.innerHTML") == whole


def test_tuned_parts_have_their_map_hours_and_warmth_for_desks_and_phones(host: Host, page: Page) -> None:
    page.goto(host.url)
    for width, shown in ((1440, 0), (390, 1)):
        page.set_viewport_size({"width": width, "height": 900})
        part = page.locator("#tuned-1")
        seen = [each for each in part.locator(".drawn-twice > div").all() if each.is_visible()]
        titles = [each.locator("svg > title").text_content() or "" for each in seen]
        assert [bool(re.search(what, title)) for what, title in zip(
            ("the edge of the processor", "No failure in 24 h|No failure in 24.h", "it settles at"), titles,
            strict=True)] == [True] * 3  # fmt: skip
        assert all(each.evaluate("(e) => [...e.parentNode.children].indexOf(e)") == shown for each in seen)
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width


def test_it_reads_without_scripts(host: Host, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(host.url)
    expect(page.get_by_role("heading", level=1)).to_contain_text("Mostly play: Plover and Dunlin are level")
    expect(page.locator("form.own").first).to_be_hidden()
    expect(page.locator("#machines")).to_contain_text("lent, to be given back (Harrowfen <b>)")
    context.close()


def test_a_readers_own_price_tariff_and_weights_change_the_verdict_as_python_works_it_out(
    host: Host, page: Page
) -> None:
    page.goto(host.url)
    form = page.locator("form.own").first
    read = form.locator(".read li").first
    expect(read).to_contain_text("Plover is better value than Dunlin at 998")
    form.get_by_label("Plover").fill("1044")
    expect(read).to_contain_text("Dunlin is better value than Plover at 1,012")
    form.get_by_label("Electricity").fill("0.3")
    watts = json.loads(page.locator("#for-whom").get_attribute("data-watts") or "")
    shares = {"causeway": 16.0, "tramlines": 16.0, "regatta": 16.0, "ember": 16.0, "choir": 16.0}
    mean = mean_watts(watts, shares | dict.fromkeys(("export", "render", "photo", "load"), 5.0))
    cost = energy_minor(mean["plover-mild"], hours_a_year=1000, years=3, tariff_minor=0.3)
    expect(form.locator(".costs")).to_contain_text(f"Plover {cost}\u00a0dl")
    form.get_by_role("slider").fill("20")
    expect(read).to_contain_text("measurably Dunlin +2.3")
    form.get_by_role("slider").fill("56.84")
    expect(form.get_by_role("slider")).to_have_attribute("aria-valuetext", "56.8\u00a0%")
    expect(form.locator(".slider output")).to_have_text("56.8\u00a0%")


def test_what_cannot_be_read_is_told_at_the_field(host: Host, page: Page) -> None:
    page.goto(host.url)
    form = page.locator("form.own").first
    field = form.get_by_label("Plover")
    field.fill("a lot")
    expect(form.locator(".read li").first).to_have_text("Nothing is judged: Plover was not understood.")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile("“a lot” was not understood: write 1,019"))
    assert axe_violations(page) == []
    field.fill("1,044")
    expect(form.locator(".read li").first).to_contain_text("Dunlin is better value than Plover at 1,012")
    expect(field).to_have_accessible_description("")
    for nothing in ("", "0"):
        field.fill(nothing)
        expect(field).to_have_accessible_description("No price: what it is worth is not judged.")
        expect(field).to_have_attribute("aria-invalid", "false")


def test_the_page_reads_numbers_as_the_python_code_does(host: Host, page: Page) -> None:
    page.goto(host.url)
    read = """async (asked) => {
        const { typed } = await import("./typed.js");
        return asked.map(([text, numbers, decimals]) => typed(text, numbers, decimals));
    }"""
    told = page.evaluate(read, VECTORS)
    assert [(each["value"], each["trouble"]) for each in told] == [(each[3], each[4]) for each in VECTORS]


@pytest.mark.parametrize("numbers", list(Numbers))
def test_the_page_writes_numbers_as_the_python_code_does(host: Host, page: Page, numbers: Numbers) -> None:
    page.goto(host.url)
    write = """async ([sentences, numbers, names]) => {
        const { written } = await import("./written.js");
        return sentences.map((each) => written(each, numbers, names));
    }"""
    told = page.evaluate(write, [SENTENCES, numbers.value, NAMES])
    assert told == [writing(Form(numbers=numbers), keep=NAMES)(each) for each in SENTENCES]


def test_an_edition_is_written_read_and_reckoned_in_the_form_of_the_imprint(
    decided_file: Path, tmp_path: Path, browser: Browser
) -> None:
    shutil.copy(decided_file, tmp_path / "bench.evenhand")
    with open_desk(tmp_path / "bench.evenhand") as wb:
        change_imprint(wb, {"numbers": Numbers.COMMA, "days": Days.ISO}, now=NOW)
        publish(wb, "saltmarsh", now=NOW)
        made = write_article(wb, "saltmarsh", tmp_path / "out")
        text = texts_written(wb, "saltmarsh", form_of(wb, None, None))[1]["description.txt"]
    assert "1.012" in text
    with serving_folder(made.folder) as url:
        page = browser.new_page()
        page.goto(url)
        said = page.inner_text("main")
        assert not re.findall(r"(?<![\w.])(?<!version )\d+\.\d(?![\w.])|\d,\d{3}\u00a0dl", said)
        assert not re.findall(r"\d{1,2} (?:January|November|May) 20", said)
        form = page.locator("form.own").first
        field = form.locator("input.price").first
        field.fill("1.044")
        expect(form.locator(".read li").first).to_contain_text("Dunlin is better value than Plover at 1.012")
        field.fill("990,5")
        expect(field).to_have_attribute("aria-invalid", "true")
        page.close()


def test_every_claim_has_its_address_and_every_log_is_there(host: Host) -> None:
    text = (host.folder / "index.html").read_text("utf-8")
    assert 'id="test-causeway-dunlin-mild-plover-mild"' in text
    links = set(re.findall(r'href="(data/[^"]+)"', text))
    assert len(links) > 100
    assert all((host.folder / link).is_file() for link in links)


def test_the_earlier_edition_stays_and_the_page_says_what_was_corrected(host: Host) -> None:
    now = (host.folder / "index.html").read_text("utf-8")
    before = (host.folder / "edition-1" / "index.html").read_text("utf-8")
    assert "a gift was not disclosed" in now
    assert 'href="edition-1/index.html"' in now
    assert "given, and kept (Osk)" in now
    assert "given, and kept" not in before
    assert (host.folder / "edition-1" / "data.zip").is_file()


def test_it_says_what_it_is_to_machines(host: Host) -> None:
    text = (host.folder / "index.html").read_text("utf-8")
    (told,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', text, flags=re.DOTALL)
    about = json.loads(told)
    assert about["@type"] == "Article"
    assert about["isBasedOn"]["@type"] == "Dataset"
    assert [each["name"] for each in about["about"]] == ["Plover", "Dunlin", "Wren"]
