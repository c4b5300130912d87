"""Frames as files: what is written can be read again by an ordinary image reader."""

import io

import numpy as np
import pytest
from PIL import Image

from splashkit import flash, picture, sync
from splashkit.figures import photograph


@pytest.fixture(scope="module")
def shot():
    return picture.record(
        picture.falling_drop(4e-3, 2.2), picture.Camera(), flash.quench_controlled(1 / 64), sync.Shutter(1 / 125)
    )


def test_jpeg_is_close_to_the_screen_values(shot):
    seen = np.asarray(Image.open(io.BytesIO(photograph.to_jpeg(shot))))
    assert seen.shape == (427, 640)
    assert np.abs(seen.astype(int) - shot.screen().astype(int)).mean() < 1.0


def test_png_keeps_every_pixel_and_every_setting(shot, tmp_path):
    path = photograph.save_png(shot, tmp_path / "frame.png")
    assert np.array_equal(np.asarray(Image.open(path)), shot.screen())
    kept = photograph.read_settings(path)
    assert float(kept["exposure_time_s"]) == pytest.approx(1 / 125)
    assert kept["orientation"] == "landscape"
    assert set(kept) == set(shot.settings)


def test_a_missing_folder_is_named(shot, tmp_path):
    with pytest.raises(ValueError, match=r"The folder must be one that exists; got .*nowhere"):
        photograph.save_png(shot, tmp_path / "nowhere" / "frame.png")


def test_colour_frames_are_colour_files():
    red = picture.record(
        picture.falling_drop(look=picture.Look(colour=(1.0, 0.3, 0.2))), picture.Camera(), flash.rectangular(1e-5),
        sync.Shutter(1 / 125),
    )  # fmt: skip
    pixels = np.asarray(Image.open(io.BytesIO(photograph.to_png(red))))
    assert pixels.shape == (427, 640, 3)
    middle = pixels[213, 320].astype(int)
    assert middle[0] > middle[1] + 20


def test_strip_is_a_pdf_and_counts_its_captions(shot):
    sheet = photograph.strip([shot, shot, shot], ["1/8", "1/16", "1/32"], "Flash power", 2)
    assert sheet.startswith(b"%PDF")
    with pytest.raises(ValueError, match="one for each frame"):
        photograph.strip([shot], ["a", "b"])


def test_markup_carries_the_words(shot):
    text = photograph.html(shot, "a drop", "quarter power")
    assert 'alt="a drop"' in text
    assert "quarter power" in text
