"""A study whose every word is hostile: no page, picture or file takes a word of it for more than a word."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from starlette.testclient import TestClient
from tests.desk.small_folder import NOW, small_folder
from tests.web.conftest import client_of
from tests.web.test_every_route import ROUTES

from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.desk.runs.asking import SET_ASIDE, Asked, decide_as_asked

TAG = "<script>alert(1)</script>"
WORDS = {
    "a tag": f"{TAG}\"'&amp;<b>",
    "an attribute": "\" onload=alert(1) x='\" onmouseover='alert(1)",
    "a formula": '=HYPERLINK("http://evil.example")',
    "right to left": "\u202eevil\u2066 \u05d0\u05d1\u200f",
    "an end of a comment": "--></style></svg><script>alert(1)</script>]]>",
}


@pytest.fixture(scope="module", params=sorted(WORDS))
def word(request: pytest.FixtureRequest) -> str:
    return WORDS[request.param]


@pytest.fixture(scope="module")
def hostile(word: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """The small study with the word in every place that takes one, one run left out, and a plan."""
    place = tmp_path_factory.mktemp("hostile")
    folder = small_folder()
    told = folder.document
    told["study"] |= {"title": word, "question": word, "audience": word, "budget": word}
    for each in told["builds"]:
        each["name"] = f"{each['key']} {word}"
        each["note"] = word
    for each in told["setups"]:
        each["name"] = f"{each['key']} {word}"
        each["stamps"] = {"os": word}
    for each in told["tests"]:
        each |= {"name": f"{each['key']} {word}", "scene": word, "settings": {"detail": word}}
    for each in told["parts"]:
        each |= {"name": word, "note": word}
    for each in told["runs"]:
        each["label"] = f"{each['label']} {word}"
        each["boot"] = f"{each['boot']} {word}"
    with open_desk(place / "bench.evenhand") as wb:
        import_folder(wb, folder.write(place / "study"), now=NOW)
        run = load_study(wb, "quay").runs[0].run.id
        decide_as_asked(wb, run, Asked(verb=SET_ASIDE, reason="other", note=word), now=NOW)
        make_plan(wb, "quay", Terms(looks=(3, 5, 8)), seed=1, now=NOW)
        yield wb


@pytest.fixture(scope="module")
def site(hostile: Desk) -> Iterator[TestClient]:
    with client_of(hostile) as opened:
        yield opened


def addresses(wb: Desk) -> Iterator[str]:
    """Every address that is read, of this study and a run of it."""
    runs = load_study(wb, "quay").runs
    fills = {"study": "quay", "run": runs[1].run.id, "which": "log", "test": "causeway"}
    for method, path in ROUTES:
        if method == "GET" and path not in ("/live", "/join", "/rig/evenhand-rig.pyz"):
            yield re.sub(r"\{(\w+)(:\w+)?\}", lambda found: fills.get(found[1], "1"), path)
    yield f"/studies/quay/runs/{runs[0].run.id}?whole"
    yield "/studies/quay/runs?masked=1"


def test_no_word_becomes_markup(site: TestClient, hostile: Desk) -> None:
    shown = 0
    for address in addresses(hostile):
        answer = site.get(address)
        if "html" not in answer.headers.get("content-type", ""):
            continue
        shown += answer.status_code == 200
        assert TAG not in answer.text, address
        assert not re.search(r"<script(?![^>]* src=)", answer.text), address
        assert run_by_a_browser(answer.text) == [], address
    assert shown > 12


class Reader(HTMLParser):
    """Gathers what a browser would run: scripts of the page's own text, and handlers in attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [f"{name}={value}" for name, value in attrs if name.startswith("on")]
        self.found += ["script"] if tag == "script" and "src" not in dict(attrs) else []
        self.found += [str(value) for _, value in attrs if str(value).lower().startswith("javascript:")]


def run_by_a_browser(text: str) -> list[str]:
    """What of a page a browser would run if nothing forbade it, its own files aside."""
    reader = Reader()
    reader.feed(text)
    return reader.found


def pictures(text: str) -> Iterator[str]:
    """Every outermost picture of a page."""
    depth, begin = 0, 0
    for found in re.finditer(r"<(/?)svg\b", text):
        begin = found.start() if depth == 0 else begin
        depth += -1 if found[1] else 1
        if depth == 0:
            yield text[begin : found.end() + 1]


def test_no_word_breaks_a_picture(site: TestClient, hostile: Desk) -> None:
    drawn = 0
    for address in addresses(hostile):
        answer = site.get(address)
        kind = answer.headers.get("content-type", "")
        if answer.status_code != 200 or not ("html" in kind or "svg" in kind):
            continue
        for svg in pictures(answer.text):
            root = ElementTree.fromstring(svg)
            drawn += 1
            assert not any(each.tag.endswith("script") for each in root.iter()), address
            assert not any(name.startswith("on") for each in root.iter() for name in each.attrib), address
    assert drawn > 20


def test_cards_hold_words_as_words(site: TestClient) -> None:
    page = site.get("/studies/quay/compare/cards?whole=1").text
    cards = re.findall(r"/studies/quay/compare/cards/([\w-]+)\.svg", page)
    assert cards
    for name in set(cards):
        root = ElementTree.fromstring(site.get(f"/studies/quay/compare/cards/{name}.svg").text)
        assert not any(each.tag.endswith("script") for each in root.iter())


def test_no_cell_of_a_table_is_a_formula(site: TestClient) -> None:
    answer = site.get("/api/studies/quay/findings.csv")
    cells = [cell for row in csv.reader(io.StringIO(answer.text)) for cell in row]
    worked_out = [c for c in cells if c.startswith(("=", "+", "@", "\t", "\r")) or re.match(r"-\D", c)]
    assert len(cells) > 20
    assert worked_out == []


def test_what_is_handed_out_is_saved_and_never_shown(site: TestClient, hostile: Desk) -> None:
    run = load_study(hostile, "quay").runs[1].run.id
    answer = site.get(f"/studies/quay/runs/{run}/log")
    assert answer.headers["content-disposition"].startswith("attachment;")
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["x-content-type-options"] == "nosniff"
