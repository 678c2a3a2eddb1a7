"""Before all of the site is loaded: the first page comes at once, everything else in its turn."""

import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi.testclient import TestClient
from tests.web.conftest import serving

from evenhand.desk import warming
from evenhand.errors import StoreProblem
from evenhand.web import first
from evenhand.web.app import make_app
from evenhand.web.first import Front
from evenhand.web.served import Site


class Loading:
    """Loads the site when it is let, and counts what was asked of it."""

    def __init__(self):
        self.let = threading.Event()
        self.warmed = threading.Event()

    def load(self, site):
        assert self.let.wait(20)
        return make_app(site)

    def warm(self, site, going):
        self.warmed.set()


@pytest.fixture
def loading():
    return Loading()


@pytest.fixture
def opened(wb, loading):
    front = Front(Site(wb=wb), loading.load, loading.warm)
    with TestClient(front, base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as client:
        yield client
        loading.let.set()


def test_the_first_page_and_its_looks_come_before_the_rest_is_loaded(opened, loading):
    page, look = opened.get("/"), opened.get("/static/look.css")
    assert (page.status_code, look.status_code) == (200, 200)
    assert "Saltmarsh" in page.text
    assert "default-src 'none'" in page.headers["content-security-policy"]
    assert not loading.let.is_set()


def test_it_is_the_same_page_as_later(opened, loading):
    early = opened.get("/").text
    loading.let.set()
    assert opened.get("/devices").status_code == 200
    assert opened.get("/").text == early


def test_whoever_asks_for_another_page_waits_until_it_is_there(opened, loading):
    with ThreadPoolExecutor(1) as others:
        asked = others.submit(opened.get, "/devices")
        assert opened.get("/").status_code == 200
        assert not asked.done()
        loading.let.set()
        assert asked.result(20).status_code == 200
    assert loading.warmed.wait(20)


def test_strangers_are_refused_from_the_first_moment_on(opened):
    assert opened.get("/", headers={"Host": "elsewhere.example"}).status_code == 421


def test_what_keeps_the_first_page_from_being_shown_is_told_in_full(opened, loading, monkeypatch):
    def damaged(wb):
        loading.let.set()
        raise StoreProblem("a page is damaged", todo="go on from a backup")

    monkeypatch.setattr(first, "home_page", damaged)
    told = opened.get("/")
    assert told.status_code == 503
    assert "go on from a backup" in told.text


def test_a_site_that_closes_while_it_loads_is_not_opened_any_more(wb, loading):
    front = Front(Site(wb=wb), loading.load, loading.warm)
    with TestClient(front, base_url="http://127.0.0.1", client=("127.0.0.1", 50000)) as client:
        assert client.get("/").status_code == 200
        threading.Timer(0.2, loading.let.set).start()
    assert not loading.warmed.is_set()


def test_a_site_that_is_served_works_out_what_the_first_visits_ask_for(wb, monkeypatch):
    true, done, found = warming.work_out, threading.Event(), []

    def work_out(bench, *, going):
        true(bench, going=going)
        found.append((bench, going()))
        done.set()

    monkeypatch.setattr(warming, "work_out", work_out)
    with serving(wb, warmed=True):
        assert done.wait(20)
    assert found == [(wb, True)]


UNLOADED = (
    "fastapi", "pydantic",  # read forms and describe routes
    "scipy.special", "numpy.f2py", "charset_normalizer",  # come with SciPy, needed by none of it
    "pyarrow", "evenhand.traces.tables", "evenhand.images.reading",  # read logs and photos
    "evenhand.triage.features", "evenhand.triage.thresholds",  # judge runs
    "evenhand.verdicts.verdict", "evenhand.verdicts.grounds", "evenhand.verdicts.claims",
)  # fmt: skip


def test_what_the_first_page_loads_is_not_the_whole_site():
    """Each of these takes a fiftieth of a second to a fifth, and no first page needs it."""
    ask = f"import sys, evenhand.web.serving; print([m for m in {UNLOADED} if m in sys.modules])"
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_a_first_page_with_findings_loads_none_of_it_either(wb):
    ask = (
        "import sys; from pathlib import Path; from evenhand.desk.opening import open_desk\n"
        "from evenhand.web import serving\n"
        "from evenhand.desk.pages.home import home_page\n"
        f"with open_desk(Path({str(wb.path)!r})) as wb: page = home_page(wb)\n"
        f"print([m for m in {UNLOADED} if m in sys.modules], page.studies[0].row is not None)"
    )
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[] True"
