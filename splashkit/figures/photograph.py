"""A recorded frame as a file or on a page: JPEG for the screen, PNG with its settings, a strip as a sheet."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from splashkit.checks import Range, require
from splashkit.figures.base import jpeg_bytes, photo_html
from splashkit.picture import Frame
from splashkit.units import format_number

QUALITY = Range("JPEG quality", "1", 1, 100, "give 1 to 100; 88 is plenty for a screen")
ACROSS = Range("frames across", "1", 1, 12, "give a whole number such as 3")

A4 = (8.27, 11.69)  # inches


def _check(frame: Any) -> Frame:
    require(isinstance(frame, Frame), "frame", repr(frame)[:40], "a recorded frame", "use picture.record first")
    return frame


def to_jpeg(frame: Frame, quality: int = 88) -> bytes:
    """Encode a frame for the screen."""
    return jpeg_bytes(_check(frame).screen(), int(QUALITY(quality)))


def html(frame: Frame, alt: str, caption: str = "") -> str:
    """Give a frame as markup with its words; the frame's own note joins the caption."""
    rows, columns = _check(frame).camera.shape
    caption = " ".join(part for part in (caption, frame.note) if part)
    return photo_html(to_jpeg(frame), alt, caption, columns, rows)


def settings_text(frame: Frame) -> dict[str, str]:
    """Give a frame's settings as words, one entry each; the unit stands at the end of each name."""
    words = {
        name: value if isinstance(value, str) else format_number(value, 6)
        for name, value in _check(frame).settings.items()
    }
    return {**words, "note": frame.note} if frame.note else words


def to_png(frame: Frame) -> bytes:
    """Encode a frame as PNG with its settings in the file."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    info = PngInfo()
    info.add_text("Software", "splashkit")
    for name, value in settings_text(frame).items():
        info.add_itxt(f"splashkit {name}", value)
    out = io.BytesIO()
    Image.fromarray(frame.screen()).save(out, format="PNG", pnginfo=info)
    return out.getvalue()


def save_png(frame: Frame, path: str | os.PathLike[str]) -> Path:
    """Save a frame as PNG with its settings; refuse a folder that is not there."""
    target = Path(path).expanduser()
    require(target.parent.is_dir(), "folder", str(target.parent), "one that exists", "make the folder first")
    target.write_bytes(to_png(frame))
    return target


def read_settings(path: str | os.PathLike[str]) -> dict[str, str]:
    """Read the settings back from a PNG saved here."""
    from PIL import Image

    with Image.open(path) as image:
        text = dict(getattr(image, "text", {}))
    return {key.removeprefix("splashkit "): str(value) for key, value in text.items() if key.startswith("splashkit ")}


def strip(frames: Sequence[Frame], captions: Sequence[str], title: str = "", across: int = 2, foot: str = "") -> bytes:
    """Lay frames over one control out as a printable A4 sheet (PDF), each with its caption beneath."""
    across = int(ACROSS(across))
    require(len(frames) > 0, "strip", "no frames", "at least one frame", "record some frames first")
    require(
        len(frames) == len(captions), "captions", f"{len(captions)} for {len(frames)} frames", "one for each frame",
        "give as many captions as frames",
    )  # fmt: skip
    margin, gap, text = 0.55, 0.18, 0.34
    width = (A4[0] - 2 * margin - (across - 1) * gap) / across
    cells = []
    for frame in frames:
        rows, columns = _check(frame).camera.shape
        cells.append(width * rows / columns)
    rows_of = [cells[k : k + across] for k in range(0, len(cells), across)]
    head = 0.5 if title else 0.0
    need = margin * 2 + head + sum(max(row) + text + gap for row in rows_of) + (0.3 if foot else 0)
    figure = Figure(figsize=(A4[0], max(need, A4[1])), facecolor="white")
    FigureCanvasAgg(figure)
    high = figure.get_figheight()
    if title:
        figure.text(margin / A4[0], 1 - margin / high, title, fontsize=16, weight="bold", va="top")
    top = high - margin - head
    for number, row in enumerate(rows_of):
        for k, tall in enumerate(row):
            frame, caption = frames[number * across + k], captions[number * across + k]
            left = margin + k * (width + gap)
            axes = figure.add_axes((left / A4[0], (top - tall) / high, width / A4[0], tall / high))
            axes.imshow(frame.screen(), cmap="gray", vmin=0, vmax=255, aspect="auto", interpolation="lanczos")
            axes.set_axis_off()
            figure.text(left / A4[0], (top - tall - 0.07) / high, caption, fontsize=11, va="top")
        top -= max(row) + text + gap
    if foot:
        figure.text(margin / A4[0], margin / high, foot, fontsize=11, va="bottom")
    out = io.BytesIO()
    with mpl.rc_context({"pdf.fonttype": 42}):
        figure.savefig(out, format="pdf", dpi=300, metadata={"Creator": "splashkit", "CreationDate": None})
    return out.getvalue()
