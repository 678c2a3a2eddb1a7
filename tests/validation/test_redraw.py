"""The page of measured figures is drawn anew around what is written by hand."""

from pathlib import Path

import pytest
from validation.triage.redraw import redrawn

PAGE = Path(__file__).resolve().parents[2] / "docs" / "methods-triage-measured.md"


def test_the_page_in_the_documents_takes_a_new_heading_and_new_tables_and_keeps_its_goals():
    page = PAGE.read_text("utf-8")
    drawn = redrawn(page, "# Triage, measured\n\nseed 7\n", "**good runs held**\n\nnone")
    assert drawn.startswith("# Triage, measured\n\nseed 7\n\n| goal | found |\n")
    assert drawn.endswith("\n\n**good runs held**\n\nnone\n")
    assert "What is missed most" in drawn
    assert "| n = 2 |" not in drawn


def test_a_page_without_its_marks_is_refused():
    with pytest.raises(ValueError, match="stands 0 times"):
        redrawn("# Something else", "# New", "none")
