"""Files that are dropped are filed, known again, wait, or are refused in words; studies come in."""

from __future__ import annotations

import io
import re
import threading
import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import httpx2 as httpx
import pytest
from starlette.testclient import TestClient
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import NOW, Folder, small_folder
from tests.desk.tuning.small_chip import TRIAL, TUNED
from tests.web.conftest import client_of

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.bench.placing import put_away
from evenhand.desk.bench.spool import folder_of
from evenhand.desk.logs.bringing import Brought, bring_study
from evenhand.desk.logs.dropping import DROP_LIMITS
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.web import drops
from evenhand.web.work import Watch

SCRIPT = {"Accept": "application/json"}


@pytest.fixture
def web(quay: Desk) -> Iterator[TestClient]:
    with client_of(quay) as opened:
        yield opened


def send(web: TestClient, *files: tuple[str, bytes], study: str = "", **headers: str) -> httpx.Response:
    parts = [("files", (name, data)) for name, data in files]
    return web.post("/drop", files=parts, data={"study": study}, headers=headers)


def dropped(web: TestClient, name: str, data: bytes, *, study: str = "") -> dict[str, str]:
    """What the page's script is told of one file."""
    answer = send(web, (name, data), study=study, **SCRIPT)
    assert answer.status_code == 200
    (told,) = answer.json()
    return told


def packed(folder: Folder, place: Path, root: str = "") -> bytes:
    """A study folder as a zip."""
    folder.write(place)
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for path in sorted(p for p in place.rglob("*") if p.is_file()):
            archive.write(path, f"{root}{path.relative_to(place).as_posix()}")
    return made.getvalue()


def finished(web: TestClient, address: str) -> str:
    """The page about what was dropped, once it has been brought in."""
    number = address.rpartition("/")[2]
    web.app.state.works.of(f"drop-{number}").wait(60)  # type: ignore[attr-defined]
    page = web.get(address)
    assert page.status_code == 200
    return page.text


# ---- logs -------------------------------------------------------------------------------------


def test_a_log_whose_name_says_its_run_is_filed(quay: Desk, web: TestClient) -> None:
    told = dropped(web, "day/wren causeway 9.csv", log(9))
    assert told["sort"] == "filed"
    assert re.match(r"Filed as .*, [\d.]+ fps: landed\.", told["words"].replace("\u00a0", " "))
    assert web.get(told["address"]).status_code == 200
    assert len(load_study(quay, STUDY).runs) == 19
    assert inbox(quay) == ()


def test_a_log_of_which_nobody_knows_waits_with_the_reason(quay: Desk, web: TestClient) -> None:
    told = dropped(web, "capture.csv", log(9))
    assert told["sort"] == "waits"
    assert told["words"].startswith("It is not sure which run it is")
    (waiting,) = inbox(quay)
    assert told["address"] == f"/inbox#file-{waiting.arrival.id}"
    assert waiting.arrival.name == "capture.csv"


def test_the_study_on_whose_pages_it_was_dropped_is_the_one_meant(quay: Desk, web: TestClient) -> None:
    told = dropped(web, "wren causeway.csv", log(9), study="elsewhere")
    assert told["sort"] == "waits"
    told = dropped(web, "wren causeway b.csv", log(10), study=STUDY)
    assert told["sort"] == "filed"


def test_a_file_that_is_a_run_is_known_again_under_whatever_name(
    quay: Desk, web: TestClient, tmp_path: Path
) -> None:
    data = small_folder().files["logs/wren-causeway-1.csv"]
    told = dropped(web, "new name.csv", data)
    assert told["sort"] == "known"
    assert told["words"] == "It is on record already, as the run wren causeway 1."
    assert web.get(told["address"]).status_code == 200
    assert inbox(quay) == ()


def test_a_file_that_waits_already_is_said_to(quay: Desk, web: TestClient) -> None:
    dropped(web, "capture.csv", log(9))
    told = dropped(web, "again.csv", log(9))
    assert told["sort"] == "known"
    assert told["words"] == "It waits in the inbox already, under the name capture.csv."
    assert len(inbox(quay)) == 1


def test_a_file_that_was_put_away_waits_again(quay: Desk, web: TestClient) -> None:
    dropped(web, "capture.csv", log(9))
    put_away(quay, inbox(quay)[0].arrival.id, note="a test", by="me", now=NOW)
    told = dropped(web, "capture.csv", log(9))
    assert told["sort"] == "waits"
    assert told["words"].endswith("put away: a test. Now it waits in the inbox again.")
    assert len(inbox(quay)) == 1


@pytest.mark.parametrize(
    "data", [b"", b"\0" * 500, b"not a log at all", bytes(range(256)) * 40, b"PK\x03\x04 nearly a zip"]
)
def test_garbage_is_told_and_never_breaks_the_page(quay: Desk, web: TestClient, data: bytes) -> None:
    told = dropped(web, "wren causeway.csv", data)
    assert told["sort"] in ("waits", "refused")
    assert told["words"]
    assert len(load_study(quay, STUDY).runs) == 18


def test_a_name_with_markup_is_shown_as_it_is_spelt(quay: Desk, web: TestClient) -> None:
    answer = send(web, ('<img src=x onerror="alert(1)">.csv', log(9)))
    assert "<img" not in answer.text
    assert "&lt;img src=x onerror=" in answer.text
    assert "<img" not in web.get("/inbox").text


def test_a_name_that_leads_elsewhere_is_kept_as_a_name(quay: Desk, web: TestClient) -> None:
    dropped(web, "../../../etc/cron.csv", log(9))
    assert inbox(quay)[0].arrival.name == "etc/cron.csv"


def test_without_a_script_the_form_answers_with_a_page(web: TestClient) -> None:
    answer = send(web, ("wren causeway 9.csv", log(9)), ("capture.csv", log(10)))
    assert answer.status_code == 200
    assert "Two files: one filed as a run, one in the inbox." in answer.text
    assert "/inbox#file-" in answer.text


def test_a_form_in_which_nothing_was_chosen_says_so(web: TestClient) -> None:
    answer = web.post("/drop", files=[("files", ("", b""))], data={"study": ""})
    assert "No file was chosen." in answer.text


# ---- too much, and cut off --------------------------------------------------------------------


def test_a_gigabyte_is_refused_by_its_length_before_any_of_it_is_read(web: TestClient) -> None:
    read = 0

    def body() -> Iterator[bytes]:
        nonlocal read
        for _ in range(1000):
            read += 2**20
            yield bytes(2**20)

    headers = {"Content-Length": str(10**9), "Content-Type": "multipart/form-data; boundary=x", **SCRIPT}
    answer = web.post("/drop", content=body(), headers=headers)
    assert answer.status_code == 413
    assert "512 MiB" in answer.text
    assert "evenhand import" in answer.text


def test_a_body_that_does_not_say_its_length_is_refused(web: TestClient) -> None:
    headers = {"Content-Type": "multipart/form-data; boundary=x"}
    assert web.post("/drop", content=iter([b"--x"]), headers=headers).status_code == 422


def test_the_script_on_the_page_knows_the_same_limit(web: TestClient) -> None:
    script = web.get("/static/drop.js").text
    assert f"MOST_BYTES = {DROP_LIMITS.max_bytes};" in script


# ---- study folders ----------------------------------------------------------------------------


def test_a_study_folder_comes_in_file_by_file(empty_client: TestClient, tmp_path: Path) -> None:
    folder = small_folder().write(tmp_path / "quay")
    answer = empty_client.post(
        "/drop/study", files={"files": ("study.toml", (folder / "study.toml").read_bytes())}, headers=SCRIPT
    )
    begun = answer.json()
    assert begun["title"] == "The study quay"
    assert len(begun["wanted"]) == 12
    for name in begun["wanted"]:
        sent = {"files": (name, (folder / name).read_bytes())}
        assert empty_client.post(f"/drop/{begun['id']}/file", files=sent, headers=SCRIPT).status_code == 200
    address = empty_client.post(f"/drop/{begun['id']}/begin", headers=SCRIPT).json()["address"]
    page = finished(empty_client, address)
    assert "The study quay: 18 runs came in." in page
    assert 'href="/studies/quay/runs"' in page
    assert not list(folder_of(empty_client.app.state.site.wb).glob("drop-*"))  # type: ignore[attr-defined]


def test_a_study_without_runs_comes_in_and_leads_to_its_bench(
    empty_client: TestClient, tmp_path: Path
) -> None:
    folder = small_folder()
    folder.document["runs"] = []
    text = (folder.write(tmp_path / "quay") / "study.toml").read_bytes()
    answer = send(empty_client, ("quay/study.toml", text))
    page = finished(empty_client, answer.url.path)
    assert "The study quay came in: it names no run yet." in page
    assert 'href="/studies/quay/bench"' in page
    assert "Look at its runs" not in page


def test_a_study_says_what_came_of_its_tuned_parts_and_that_nothing_is_new(
    empty_client: TestClient, tmp_path: Path
) -> None:
    folder = small_folder()
    folder.document["runs"] = []
    folder.document["tuned"] = [TUNED]
    folder.document["trials"] = [TRIAL | {"key": "first"}]
    files = [("quay/study.toml", (folder.write(tmp_path / "quay") / "study.toml").read_bytes())]
    page = finished(empty_client, send(empty_client, *files).url.path)
    assert "it names no run yet. Of tuned parts: 1 new part, 1 new trial, 0 known already." in page
    page = finished(empty_client, send(empty_client, *files).url.path)
    assert "Of tuned parts: nothing new, 1 known already." in page
    gone = {"counts": False, "reason": "the fan was unplugged", "at": NOW}
    folder.document["trials"] = [TRIAL | {"key": "first", "turns": [gone]}]
    files = [("quay/study.toml", (folder.write(tmp_path / "more") / "study.toml").read_bytes())]
    page = finished(empty_client, send(empty_client, *files).url.path)
    assert "Since: trial 1 of the processor of wren" in page
    assert "the fan was unplugged" in page


def test_a_study_folder_comes_in_by_a_plain_form_as_well(empty_client: TestClient, tmp_path: Path) -> None:
    small_folder().write(tmp_path / "quay")
    files = [
        (path.relative_to(tmp_path).as_posix(), path.read_bytes())
        for path in sorted((tmp_path / "quay").rglob("*"))
        if path.is_file()
    ]
    answer = send(empty_client, *files)
    assert answer.url.path.startswith("/drop/")
    assert "18 runs came in" in finished(empty_client, answer.url.path)


def test_what_is_wrong_in_a_study_file_is_told_before_its_logs_are_sent(empty_client: TestClient) -> None:
    text = b'[study]\nkey = "quick"\ntitle = "A quick look"\nmargn = 0.02\n'
    answer = empty_client.post("/drop/study", files={"files": ("study.toml", text)}, headers=SCRIPT)
    assert answer.status_code == 422
    words = answer.json()["words"]
    assert words.startswith("study.toml, line 4, [study], margn: unknown key 'margn'.")
    assert words.endswith("Did you mean 'margin'?")
    assert "drop-" not in words


def test_a_file_that_the_study_does_not_name_is_not_taken(empty_client: TestClient, tmp_path: Path) -> None:
    folder = small_folder().write(tmp_path / "quay")
    begun = empty_client.post(
        "/drop/study", files={"files": ("study.toml", (folder / "study.toml").read_bytes())}, headers=SCRIPT
    ).json()
    for name in ("../../outside.csv", "/etc/outside.csv", "other.csv", "wanted.json", "study.toml"):
        sent = {"files": (name, b"x")}
        answer = empty_client.post(f"/drop/{begun['id']}/file", files=sent, headers=SCRIPT)
        assert answer.status_code == 422
    assert not list(tmp_path.rglob("outside.csv"))


def test_files_that_the_study_names_and_that_were_not_sent_are_told(
    empty_client: TestClient, tmp_path: Path
) -> None:
    folder = small_folder().write(tmp_path / "quay")
    answer = send(empty_client, ("quay/study.toml", (folder / "study.toml").read_bytes()))
    page = finished(empty_client, answer.url.path)
    assert "12 named files are not there: logs/" in page
    assert str(tmp_path) not in page


def test_a_number_that_nobody_gave_out_is_no_place(web: TestClient) -> None:
    for number in ("0" * 16, "nothing", "0123456789abcde%00", "a" * 400):
        assert web.get(f"/drop/{number}").status_code == 404
        assert web.post(f"/drop/{number}/begin", headers=SCRIPT).status_code == 404


def test_a_study_in_a_zip_comes_in_from_whatever_folder_it_is_in(
    empty_client: TestClient, tmp_path: Path
) -> None:
    told = dropped(empty_client, "quay.zip", packed(small_folder(), tmp_path / "quay", "old/quay/"))
    assert told["sort"] == "begun"
    assert "The study quay: 18 runs came in." in finished(empty_client, told["address"])


def test_logs_in_a_zip_are_each_filed_or_wait(quay: Desk, web: TestClient) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("day/wren causeway 9.csv", log(9))
        archive.writestr("day/capture.csv", log(10))
    page = finished(web, dropped(web, "day.zip", made.getvalue())["address"])
    assert "Two files: one filed as a run, one in the inbox." in page
    assert len(load_study(quay, STUDY).runs) == 19


def test_a_zip_that_leads_out_of_its_folder_is_refused_whole(
    quay: Desk, web: TestClient, tmp_path: Path
) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("good.csv", log(9))
        archive.writestr("../../slipped.csv", log(10))
    told = dropped(web, "day.zip", made.getvalue())
    assert told["sort"] == "refused"
    assert "leads out of the folder" in told["words"]
    assert not list(tmp_path.parent.rglob("slipped.csv"))
    assert inbox(quay) == ()
    assert not list(folder_of(quay).glob("drop-*"))


def test_two_studies_in_one_zip_are_refused_in_words(web: TestClient) -> None:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("a/study.toml", "")
        archive.writestr("b/study.toml", "")
    page = finished(web, dropped(web, "two.zip", made.getvalue())["address"])
    assert "the archive holds 2 study files" in page
    assert "drop one study at a time" in page


def test_dropping_a_study_again_brings_nothing_twice(quay: Desk, web: TestClient, tmp_path: Path) -> None:
    data = packed(small_folder(), tmp_path / "again")
    page = finished(web, dropped(web, "quay.zip", data)["address"])
    assert "The study quay: no run is new, 18 here already." in page
    assert len(load_study(quay, STUDY).runs) == 18


def test_an_import_can_be_stopped_and_gone_on_with(
    empty_client: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reached, stopped = threading.Event(), threading.Event()

    def held(wb: Desk, folder: Path, *, now: datetime, watch: Watch) -> Brought:
        def waiting(done: int, total: int, doing: str) -> None:
            reached.set()
            stopped.wait(10)
            watch(done, total, doing)

        return bring_study(wb, folder, now=now, watch=waiting)

    monkeypatch.setattr(drops, "bring_study", held)
    folder = small_folder().write(tmp_path / "quay")
    files = [(p.relative_to(tmp_path).as_posix(), p.read_bytes()) for p in folder.rglob("*") if p.is_file()]
    address = send(empty_client, *files).url.path
    assert reached.wait(30)
    assert 'action="' + address + '/stop"' in empty_client.get(address).text
    empty_client.app.state.works.of(f"drop-{address[6:]}").stop()  # type: ignore[attr-defined]
    stopped.set()
    assert "Stopped. What was brought in by then is on the workbench." in finished(empty_client, address)
    empty_client.post(f"{address}/begin")
    page = finished(empty_client, address)
    assert "The study quay: ten runs came in, eight here already." in page


# ---- columns that nobody confirmed ------------------------------------------------------------


def unnamed() -> Folder:
    """A study whose file says nothing of its logs' columns."""
    folder = small_folder()
    folder.document.pop("layouts")
    return folder


def test_columns_nobody_confirmed_are_asked_about_once_and_then_it_comes_in(
    empty_client: TestClient, tmp_path: Path
) -> None:
    told = dropped(empty_client, "quay.zip", packed(unnamed(), tmp_path / "quay"))
    page = finished(empty_client, told["address"])
    assert "18 runs came in, twelve logs wait for a word on their columns." in page
    assert "What are these columns?" in page
    assert page.count("frame [ms]") >= 1
    fields = dict(re.findall(r'<input type="hidden" name="([\w-]+)" value="([^"]*)"', page))
    roles = dict(re.findall(r'<select name="(role-\d+)".*?<option value="([^"]+)" selected', page, re.DOTALL))
    units = dict(re.findall(r'name="(unit-\d+)" value="([^"]*)"', page))
    kind = re.search(r'<select[^>]* name="kind">.*?<option value="(\w+)" selected', page, re.DOTALL)
    assert kind
    sent = {**fields, **roles, **units, "kind": kind[1]}
    answer = empty_client.post(f"{told['address']}/columns", data=sent)
    assert answer.status_code == 200
    page = finished(empty_client, told["address"])
    assert "The study quay: no run is new, twelve brought up to date, six here already." in page
    assert "What are these columns?" not in page


def test_columns_that_make_no_log_are_refused_where_they_were_said(
    empty_client: TestClient, tmp_path: Path
) -> None:
    told = dropped(empty_client, "quay.zip", packed(unnamed(), tmp_path / "quay"))
    finished(empty_client, told["address"])
    sent = {"kind": "frames", "columns": "1", "header-0": "t [s]", "role-0": "not used", "question": "0"}
    answer = empty_client.post(f"{told['address']}/columns", data=sent)
    assert answer.status_code == 422
    assert "needs frame_time, elapsed_time or time_of_day" in answer.text


def test_one_word_on_columns_in_the_inbox_files_all_that_had_waited_for_it(
    quay: Desk, web: TestClient
) -> None:
    for n in range(3):
        dropped(web, f"wren causeway {n}.csv", log(40 + n, header="row,took [ms]"))
    number = inbox(quay)[0].arrival.id
    said = {
        "test": f"{STUDY}/causeway", "setup": f"{STUDY}/wren", "kind": "frames", "columns": "2",
        "header-0": "row", "role-0": "not used", "header-1": "took [ms]", "role-1": "frame time",
        "unit-1": "ms",
    }  # fmt: skip
    assert web.post(f"/inbox/{number}/file", data=said).status_code == 200
    web.app.state.works.of("alike").wait(60)  # type: ignore[attr-defined]
    told, page = "had waited for their columns as well, 2 are filed now", web.get("/inbox").text
    assert told in web.get("/inbox", params={"done": number}).text
    assert told in web.get("/inbox", params={"alike": number}).text
    assert told not in page
    assert "The inbox is empty" in page
    assert len(load_study(quay, STUDY).runs) == 21
