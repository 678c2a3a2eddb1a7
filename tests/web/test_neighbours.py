"""On a shared computer, loopback lets in whom the workbench belongs to, where the system tells who asks."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import httpx2
import pytest
from starlette.testclient import TestClient
from tests.web.conftest import NOW
from tests.web.looking import Served

from evenhand.desk.opening import Desk
from evenhand.web import neighbours
from evenhand.web.app import make_app
from evenhand.web.neighbours import anybody, owner_only
from evenhand.web.served import Site

HEAD = "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid  timeout inode\n"
REST = "00000000:00000000 00:00000000 00000000"
LISTENER = f"   0: 0100007F:2145 00000000:0000 0A {REST}  1000 0 51 1 f\n"  # 8517


def table(place: Path, *lines: str) -> Path:
    place.write_text(HEAD + LISTENER + "".join(lines))
    return place


def end(*, port: int, user: int, inode: int = 60) -> str:
    return f"   1: 0100007F:{port:04X} 0100007F:2145 01 {REST}  {user} 0 {inode} 1 f\n"


@pytest.mark.parametrize(
    ("user", "inode", "let_in"), [(1000, 60, True), (0, 60, True), (1001, 60, False), (0, 0, False)]
)
def test_an_end_is_its_owners_or_the_systems(tmp_path: Path, user: int, inode: int, let_in: bool) -> None:
    told = table(tmp_path / "tcp", end(port=50000, user=user, inode=inode))
    assert owner_only(8517, table=told, user=1000)(50000) is let_in


def test_an_end_that_is_gone_is_nobodys(tmp_path: Path) -> None:
    told = table(tmp_path / "tcp", end(port=50001, user=1000))
    assert not owner_only(8517, table=told, user=1000)(50000)


def test_a_system_that_does_not_tell_lets_everybody_in(tmp_path: Path) -> None:
    assert owner_only(8517, table=tmp_path / "none", user=1000) is anybody
    assert owner_only(9000, table=table(tmp_path / "tcp"), user=1000) is anybody


def test_a_neighbour_is_refused_whatever_is_asked(wb: Desk) -> None:
    site = Site(wb=wb, now=lambda: NOW, ours=lambda port: port != 50001)
    app = make_app(site)
    own, other = (
        TestClient(app, base_url="http://127.0.0.1", client=("127.0.0.1", port)) for port in (50000, 50001)
    )
    assert own.get("/").status_code == 200
    assert other.get("/").status_code == 403
    assert "saltmarsh" not in other.get("/api/studies").text.lower()


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells whose a connection is")
def test_the_real_server_lets_its_owner_in_and_takes_nobody_elses_word(
    served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert httpx2.get(served.url).status_code == 200
    port = int(served.url.rpartition(":")[2])
    if owner_only(port) is anybody:
        pytest.skip("this system hides the table")
    monkeypatch.setattr(neighbours, "ROOT", -1)
    strangers = owner_only(port, user=os.getuid() + 1)
    with httpx2.Client() as asking:
        assert asking.get(served.url).status_code == 200
        ends = [each for each in neighbours._read(neighbours.TABLE) if each.other[1] == port]
        assert ends
        assert not any(strangers(each.own[1]) for each in ends)
