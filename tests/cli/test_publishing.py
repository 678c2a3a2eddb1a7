"""What goes out, and what moved since, on the command line."""

from __future__ import annotations

from tests.cli.conftest import Command


def test_a_study_is_published_and_the_same_again_stands(stocked: Command) -> None:
    said = stocked("publish", "quay")
    assert said.code == 0
    assert "Edition 1 of quay is frozen" in said.out
    assert "Nothing moved since edition 1" in stocked("publish", "quay").out
    assert "Nothing moved since edition 1." in stocked("moved", "quay").out


def test_another_edition_needs_a_reason_and_says_what_moved(stocked: Command) -> None:
    stocked("publish", "quay")
    stocked("set-aside", "wren causeway 1", "--reason", "interrupted")
    refused = stocked("publish", "quay")
    assert refused.code == 2
    assert "say in a few words why there is another edition" in refused.err
    said = stocked("publish", "quay", "--reason", "one run was interrupted")
    assert "Edition 2 of quay is frozen" in said.out
    assert "state: landed" in said.out
    assert "state: set aside" in said.out
    assert "one run was interrupted" in stocked("editions", "quay").out


def test_nothing_published_yet_leads_on(stocked: Command) -> None:
    assert "Next: evenhand publish quay" in stocked("editions", "quay").out
    assert stocked("moved", "quay").code == 2
