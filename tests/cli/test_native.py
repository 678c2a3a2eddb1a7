"""What native code prints of its own accord does not get between the answer's lines."""

from __future__ import annotations

import ctypes
import os
import sys

import pytest

from evenhand.cli.native import answers_alone


@pytest.mark.skipif(os.name == "nt", reason="the C library is asked for by another name there")
def test_lines_of_native_code_go_to_standard_error(capfd: pytest.CaptureFixture[str]) -> None:
    print("before")
    with answers_alone():
        ctypes.CDLL(None).puts(b"a line of a solver")
        os.write(1, b"and one written at once\n")
    print("after")
    sys.stdout.flush()
    said = capfd.readouterr()
    assert said.out == "before\nafter\n"
    assert sorted(said.err.splitlines()) == ["a line of a solver", "and one written at once"]


def test_standard_output_is_the_same_again_where_something_failed(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(ValueError, match="no"), answers_alone():
        raise ValueError("no")
    os.write(1, b"here\n")
    assert capfd.readouterr().out == "here\n"
