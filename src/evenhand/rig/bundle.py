"""The rig program as one file that any Python runs: a zip archive of this room, the same bytes every time."""

from __future__ import annotations

import io
import zipfile
from importlib.resources import files
from importlib.resources.abc import Traversable

MOMENT = (1980, 1, 1, 0, 0, 0)
NAME = "evenhand-rig.pyz"

# Runs under old Pythons too, to say that they are too old.
FRONT = """\
import sys

if sys.version_info < (3, 11):
    sys.exit("evenhand-rig needs Python 3.11 or newer; this is %d.%d" % sys.version_info[:2])
from evenhand.rig.main import main

sys.exit(main())
"""


def bundle() -> bytes:
    """The archive: this room, the errors it raises, and a front door."""
    root = files("evenhand")
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        _put(archive, "__main__.py", FRONT.encode())
        _put(archive, "evenhand/__init__.py", (root / "__init__.py").read_bytes())
        _put(archive, "evenhand/errors.py", (root / "errors.py").read_bytes())
        _put_folder(archive, root / "rig", "evenhand/rig")
    return b"#!/usr/bin/env python3\n" + held.getvalue()


def _put_folder(archive: zipfile.ZipFile, folder: Traversable, name: str) -> None:
    for each in sorted(folder.iterdir(), key=lambda one: one.name):
        if each.is_dir() and each.name != "__pycache__":
            _put_folder(archive, each, f"{name}/{each.name}")
        elif each.name.endswith(".py") and each.name != "bundle.py":
            _put(archive, f"{name}/{each.name}", each.read_bytes())


def _put(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    archive.writestr(zipfile.ZipInfo(name, MOMENT), data, zipfile.ZIP_DEFLATED)
