"""A run's files as they came, under names that no header and no system takes for anything else."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run
from evenhand.desk.runs.run_files import LONGEST, original_of, plain_name, trace_picture
from evenhand.errors import NotFound
from evenhand.store.workbench import Workbench

RUN = "plover causeway 2"


def test_the_log_is_byte_for_byte_what_came(stocked: Workbench) -> None:
    file = original_of(stocked, find_run(stocked, RUN), "log")
    assert file.name == "plover-causeway-2.csv"
    assert file.data == (stocked.path.parent / "study/logs/plover-causeway-2.csv").read_bytes()


@pytest.mark.parametrize("which", ["sensors", "secrets", ".."])
def test_what_did_not_come_is_told(stocked: Workbench, which: str) -> None:
    with pytest.raises(NotFound, match="came without"):
        original_of(stocked, find_run(stocked, RUN), which)


@given(st.text(max_size=300))
def test_any_name_becomes_one_that_is_safe_in_a_header_and_on_a_disk(name: str) -> None:
    plain = plain_name(name, otherwise="log-3f9a")
    assert plain.isascii()
    assert not set(plain) & set('/\\"\r\n;%<>:|?*')
    assert 0 < len(plain) <= LONGEST
    assert plain.strip(" .") != ""


def test_the_trace_is_a_file_of_its_own_with_its_fonts(stocked: Workbench) -> None:
    svg = trace_picture(stocked, load_study(stocked, "quay"), find_run(stocked, RUN))
    assert svg.startswith("<svg")
    assert "@font-face" in svg
    assert "<script" not in svg
