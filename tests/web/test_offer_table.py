"""A table of offers is pasted or chosen, its columns said, its rows kept; twice adds nothing."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from tests.web.looking import Served, axe_violations, too_wide

from evenhand.desk.opening import Desk
from evenhand.store.offers import offers_of

PLACE = "/studies/saltmarsh/tables/offers"
BOARD, CARD = "nimtal-mole-x", "harrowfen-lantern-40"
TABLE = """Part,Price,Postage,Date,Where
Nimtal Mole X,"1,135",6,2026-11-25,by post
Harrowfen Lantern 40,401,,2026-11-25,=the counter
Harrowfen Lantern 41,401,,2026-11-25,the counter
Harrowfen Lantern 40,40100,,2026-11-26,a slip
"""
SAID = {"columns": "5", "column-0": "part", "column-1": "item", "column-2": "shipping", "column-3": "day",
        "column-4": "note", "seller": "shop"}  # fmt: skip


def test_columns_are_proposed_and_rows_echoed_before_anything_is_kept(client: TestClient, wb: Desk) -> None:
    before = offers_of(wb, [BOARD, CARD])
    page = client.post(PLACE, data={"text": TABLE}).text
    picked = re.findall(r'<select id="column-\d".*?value="([a-z]*)" selected', page, flags=re.DOTALL)
    assert picked == ["part", "item", "shipping", "day", "note"]
    assert "The pasted table: set apart by commas, with a header" in page
    assert (
        "Nimtal Mole X: 1,141\u00a0dl (1,135\u00a0dl + 6\u00a0dl shipping), by a shop, on 25 November 2026"
        in page
    )
    assert "no part is called &#39;Harrowfen Lantern 41&#39;" in page or "Harrowfen Lantern 41" in page
    assert "is that so?" in page
    assert "Two new offers in four rows, one of which cannot be read." in page
    assert offers_of(wb, [BOARD, CARD]) == before


def test_what_is_new_is_kept_and_all_of_it_taken_back_and_put_back(client: TestClient, wb: Desk) -> None:
    before = offers_of(wb, [BOARD, CARD])
    kept = client.post(f"{PLACE}/keep", data={"text": TABLE, **SAID}).text
    assert "Two offers of the table are on record now." in kept
    new = [offer for offer in offers_of(wb, [BOARD, CARD]) if offer not in before]
    assert [(offer.part, offer.total_minor) for offer in new] == [(BOARD, 1141), (CARD, 401)]
    again = client.post(f"{PLACE}/keep", data={"text": TABLE, **SAID}).text
    assert "Nothing of it was new." in again
    assert "Two offers were on record before" in again
    numbers = re.search(r'name="numbers" value="([\d,]+)"', kept)
    assert numbers is not None
    gone = client.post(f"{PLACE}/undo", data={"numbers": numbers[1]}).text
    assert "2 offers were taken back" in gone
    assert offers_of(wb, [BOARD, CARD]) == before
    assert (
        "2 offers were put back"
        in client.post(f"{PLACE}/undo", data={"numbers": numbers[1], "again": "yes"}).text
    )
    assert len(offers_of(wb, [BOARD, CARD])) == len(before) + 2


def test_the_next_table_of_the_same_header_needs_no_question(client: TestClient, wb: Desk) -> None:
    own = (
        TABLE.replace("Price", "Gives").replace("2026-11-25", "25/11/2026").replace("2026-11-26", "4/5/2026")
    )
    said = SAID | {"order": "day first"}
    client.post(f"{PLACE}/keep", data={"text": own, **said})
    known = client.post(PLACE, data={"text": own.replace('"1,135"', '"1,140"')}).text
    assert "A table with this header was kept on" in known
    assert "One new offer in four rows, one of which cannot be read." in known
    assert "Keep the new offer" in known
    later = "Part,Gives,Postage,Date,Where\nNimtal Mole X,130,,4/5/2026,by post\n"
    assert "on 4 May 2026" in client.post(PLACE, data={"text": later}).text, "the order of days is known too"
    before = len(offers_of(wb, [BOARD]))
    client.post(f"{PLACE}/keep", data={"text": later, **said})
    assert len(offers_of(wb, [BOARD])) == before + 1


def test_rows_that_cannot_be_are_given_back_with_line_and_reason(client: TestClient) -> None:
    answer = client.post(f"{PLACE}/refused.csv", data={"text": TABLE, **SAID})
    assert answer.headers["content-disposition"] == 'attachment; filename="rows-not-kept.csv"'
    head, lost, dear = csv.reader(io.StringIO(answer.text))
    assert head == ["line", "why not", "Part", "Price", "Postage", "Date", "Where"]
    assert (lost[0], lost[2:]) == ("4", ["Harrowfen Lantern 41", "401", "", "2026-11-25", "the counter"])
    assert (dear[0], dear[3]) == ("5", "40100")
    formula = client.post(
        f"{PLACE}/refused.csv", data={"text": TABLE, **SAID, "column-3": "", "day": "x"}
    ).text
    assert "'=the counter" in formula


def test_an_absurd_amount_is_kept_once_it_is_confirmed(client: TestClient, wb: Desk) -> None:
    client.post(f"{PLACE}/keep", data={"text": TABLE, **SAID, "sure": "yes"})
    assert offers_of(wb, [CARD])[-1].total_minor == 40100


def test_a_file_is_read_and_days_that_can_be_read_either_way_are_asked(client: TestClient) -> None:
    text = "part;price;day\nNimtal Mole X;132,00;4/5/2026\n".encode("utf-16")
    page = client.post(PLACE, files={"file": ("list.csv", text, "text/csv")}).text
    assert "list.csv: set apart by semicolons, with a header and decimals behind a comma." in page
    assert "Say which comes first in its days" in page
    said = {"columns": "3", "column-0": "part", "column-1": "item", "column-2": "day", "order": "month first"}
    table = "part;price;day\nNimtal Mole X;132,00;4/5/2026\n"
    assert "on 5 April 2026" in client.post(PLACE, data={"text": table, **said}).text
    asked = client.post(f"{PLACE}/keep", data={"text": table, **said, "order": ""}).text
    assert "Say which comes first in its days" in asked


def test_what_is_no_table_is_told_and_what_was_pasted_stays(client: TestClient) -> None:
    refused = client.post(PLACE, data={"text": "only words"})
    assert refused.status_code == 422
    assert "No columns are to be seen" in refused.text
    assert "only words</textarea>" in refused.text
    assert "Nothing was pasted or chosen" in client.post(PLACE, data={"text": " "}).text
    broken = client.post(f"{PLACE}/undo", data={"numbers": "1,x"})
    assert broken.status_code == 422


def test_a_table_is_brought_in_a_browser(page: Page, served: Served, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text(TABLE.replace("Price", "Paid"), encoding="utf-8")
    page.goto(f"{served.url}/studies/saltmarsh/builds")
    page.get_by_role("link", name="Bring a table of offers").click()
    expect(page.locator("main #file")).to_be_visible()
    assert axe_violations(page) == []
    page.locator("#file").set_input_files(file)
    page.get_by_role("button", name="Read the file").click()
    page.locator("#column-4").select_option("")
    expect(page.locator("#h-read + ul")).not_to_contain_text("by post")
    assert axe_violations(page) == []
    page.get_by_role("button", name="Keep the 2 new offers").click()
    expect(page.locator("h1")).to_have_text("Two offers of the table are on record now.")
    assert axe_violations(page) == []


def test_it_fits_a_phone(phone: Page, served: Served) -> None:
    phone.goto(f"{served.url}{PLACE}")
    phone.locator("#paste").fill(TABLE)
    phone.get_by_role("button", name="Read what was pasted").click()
    expect(phone.locator("#h-columns")).to_be_visible()
    assert axe_violations(phone) == []
    assert not too_wide(phone)
