"""The import contract of docs/architecture.md holds."""

from importlinter import api  # noqa: F401  (imported so that a missing linter fails here, not silently)
from importlinter.application.use_cases import lint_imports
from importlinter.cli import configuration

configuration.configure()


def test_every_room_imports_only_from_rooms_below_its_own():
    assert lint_imports(config_filename="pyproject.toml", is_debug_mode=False), (
        "run .venv/bin/lint-imports to see which import breaks the contract"
    )
