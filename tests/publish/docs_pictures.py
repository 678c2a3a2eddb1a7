"""The pictures of the documentation, drawn from the worked example.

    python -m tests.publish.docs_pictures

writes them anew: SVG without fonts, which a test holds against what the program draws, and PNG with a
palette of 256 colours, which pages show.
"""

from __future__ import annotations

import struct
import zlib
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from tests.publish.test_picture import pixels

from evenhand.desk.comparison.charting import Drawn, draw_study
from evenhand.desk.demonstrating import decide_all, discover, write_raw
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.evidence_charts import chart_run
from evenhand.publish.picture import Picture, to_png
from evenhand.store.workbench import Workbench, open_workbench

PICTURES = Path(__file__).resolve().parents[2] / "docs" / "pictures"
NOW = datetime(2026, 11, 25, tzinfo=UTC)
CAPPED = "Plover, Hollow Regatta 3"
SHOWN = {
    "intervals": "intervals-plover-mild-dunlin-mild-1",
    "rates": "rates-fps-1",
    "runs": "runs-regatta",
}


def drawn_anew(folder: Path) -> dict[str, Picture]:
    """Each picture of the documentation, by its name there, from raw logs on."""
    write_raw(folder / "study")
    with open_workbench(folder / "saltmarsh.evenhand") as wb:
        study = import_folder(wb, folder / "study", now=NOW).study
        decide_all(wb, *discover(load_study(wb, study).runs), now=NOW)
        return drawn(wb, study)


def drawn(wb: Workbench, study: str) -> dict[str, Picture]:
    """The same from a workbench where every decision is made."""
    light, dark = (_by_name(draw_study(wb, study, now=NOW, dark=dark)) for dark in (False, True))
    capped = {name.split("-")[0]: p for name, p in _by_name(chart_run(wb, study, CAPPED).drawn).items()}
    found = {name: light[file] for name, file in SHOWN.items()}
    return found | {
        "intervals-dark": dark[SHOWN["intervals"]],
        "trace": capped["trace"],
        "evidence": capped["evidence"],
    }


def _by_name(drawn: tuple[Drawn, ...]) -> dict[str, Picture]:
    return {one.name: one.picture for one in drawn}


def with_palette(png: bytes) -> bytes:
    """The same image in its 256 most frequent colours, every other pixel in the nearest of them."""
    image = pixels(png)[..., :3]
    high, wide, _ = image.shape
    single = image.astype(np.uint32) @ np.array([65536, 256, 1], np.uint32)
    codes, at, counts = np.unique(single, return_inverse=True, return_counts=True)
    colours = np.stack([codes >> 16, codes >> 8 & 255, codes & 255], axis=1).astype(np.uint8)
    kept = colours[np.argsort(-counts, kind="stable")[:256]]
    distances = ((colours[:, None, :].astype(int) - kept[None].astype(int)) ** 2).sum(axis=2)
    rows = distances.argmin(axis=1).astype(np.uint8)[at.reshape(high, wide)]
    packed = zlib.compress(np.hstack([np.zeros((high, 1), np.uint8), rows]).tobytes(), 9)
    head = struct.pack(">IIBBBBB", wide, high, 8, 3, 0, 0, 0)
    parts = ((b"IHDR", head), (b"PLTE", kept.tobytes()), (b"IDAT", packed), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_part(name, content) for name, content in parts)


def _part(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def main() -> None:
    """Write every picture."""
    PICTURES.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        for name, picture in drawn_anew(Path(folder)).items():
            (PICTURES / f"{name}.svg").write_text(picture.svg + "\n", encoding="utf-8")
            (PICTURES / f"{name}.png").write_bytes(with_palette(to_png(picture)))


if __name__ == "__main__":
    main()
