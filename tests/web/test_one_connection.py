"""Linux tells whose one connection on this computer is, as its table of all of them does."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from evenhand.web import neighbours
from evenhand.web.neighbours import owner_only
from evenhand.web.one_connection import owner_of

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells whose a connection is")


@pytest.fixture
def ends() -> Iterator[tuple[socket.socket, int, int]]:
    """An end of a connection, its port, and the port it is connected to."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        port = listener.getsockname()[1]
        with socket.create_connection(("127.0.0.1", port)) as far, listener.accept()[0]:
            yield far, far.getsockname()[1], port


def told(far: int, port: int) -> tuple[int, int] | None:
    try:
        return owner_of(far, port)
    except OSError:
        pytest.skip("this system tells of no single connection")


def test_an_end_is_told_with_its_user_and_its_inode(ends: tuple[socket.socket, int, int]) -> None:
    end, far, port = ends
    assert told(far, port) == (os.getuid(), os.fstat(end.fileno()).st_ino)


def test_the_table_tells_the_same(ends: tuple[socket.socket, int, int]) -> None:
    _, far, port = ends
    table = [
        each for each in neighbours._read(neighbours.TABLE) if each.own[1] == far and each.other[1] == port
    ]
    assert [(each.user, each.inode) for each in table] == [told(far, port)]


def test_an_end_that_its_program_let_go_of_has_no_inode(ends: tuple[socket.socket, int, int]) -> None:
    end, far, port = ends
    end.close()
    left = told(far, port)
    assert left is None or left[1] == 0


def test_of_what_is_not_connected_nothing_is_told() -> None:
    with socket.create_server(("127.0.0.1", 0)) as one, socket.create_server(("127.0.0.1", 0)) as other:
        assert told(one.getsockname()[1], other.getsockname()[1]) is None


def test_where_the_system_does_not_tell_its_table_is_read(
    ends: tuple[socket.socket, int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def silent(far: int, port: int) -> None:
        raise OSError

    _, far, port = ends
    monkeypatch.setattr(neighbours, "owner_of", silent)
    if not neighbours._read(Path("/proc/net/tcp")):
        pytest.skip("this system hides the table")
    assert owner_only(port)(far)
    monkeypatch.setattr(neighbours, "ROOT", -1)
    assert not owner_only(port, user=os.getuid() + 1)(far)
