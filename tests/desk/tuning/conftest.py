"""The small study with a part that is tuned."""

from __future__ import annotations

import pytest
from tests.desk.conftest import Bring
from tests.desk.small_folder import Folder
from tests.desk.tuning.small_chip import lay_part

from evenhand.store.workbench import Workbench


@pytest.fixture
def bench(bring: Bring, folder: Folder) -> Workbench:
    """Its processor is noted with a limit of the maker's; nothing was tried yet."""
    wb = bring(folder)
    lay_part(wb)
    return wb
