"""Lesson 05's panel: what is sharp enough, and which part of the blur to work on first."""

from __future__ import annotations

import math
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, flash, lens, picture, sync, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick
from splashkit.panels.verdicts import FROZEN, SHARP, SOFT

F_NUMBERS = np.geomspace(1, 64, 43)
CIRCLE = 30e-6  # m, the blur that still looks sharp: common practice, no source
FULL_FRAME = 0.036  # m, the sensor width that a blur circle of 30 µm goes with
SHUTTER = sync.Shutter(0.5, kind="open")
FIRES = 0.1  # s after the shutter opened
PIXELS, ENLARGED = (360, 240), (480, 320)
SHEET, SHEET_ENLARGED = (300, 200), (360, 240)  # three records each
words = units.format_quantity
TARGETED = {"height": 0.03, "target_height": 0.03, "target_behind": 0.0, "elevation": math.radians(10)}
CURES = {
    "motion": "a shorter flash helps first",
    "defocus": "placing the focus target better, or closing the aperture, helps first",
    "diffraction": "opening the aperture helps first",
    "pixel": "only coming closer shows more",
}


@lru_cache(maxsize=64)
def _pulse(duration: float) -> Any:
    # t0.1 of an even fading flash is its time constant times ln 10
    return flash.exponential(duration / math.log(10))


def _pixels(count: float) -> str:
    text = units.format_number(count, 2)
    return f"{text} pixel{'' if text == '1' else 's'}"


@lru_cache(maxsize=48)
def _recorded(camera: picture.Camera, duration: float, speed: float, diameter: float, height: float | None = None,
              bowl: float = 0.1) -> bytes:  # fmt: skip
    """Record a drop alone, or with a height the drop above the bowl's water, as JPEG bytes."""
    from splashkit.figures.base import jpeg_bytes

    scene = picture.falling_drop(diameter, speed, height=height or 0.0)
    if height is not None:
        scene = picture.Scene(scene.bodies, picture.Surface(bowl), scene.look, scene.words)
    return jpeg_bytes(picture.record(scene, camera, _pulse(duration), SHUTTER, flash_time=FIRES).screen())


class Sharpness(Panel):
    """Lens, flash, focus target and camera angle; blur budget, sharp band, best aperture, recorded frames."""

    title = "What is sharp enough?"
    lead = "Find the longest bar. Work on that part first, and watch which of the others grows."
    photos_room = "100%"  # a row of their own: sharpness wants size
    presets = {
        "Focus on the water": {"part": "drop", **TARGETED, "target_height": 0.0, "elevation": math.radians(15)},
        "Focus at the meeting": {"part": "drop", **TARGETED, "elevation": math.radians(15)},
        "Whole sheet, f/11": {"part": "sheet", **TARGETED, "aperture": 11.0},
        "Whole sheet, f/45": {"part": "sheet", **TARGETED, "aperture": 45.0},
    }
    legend_words = (
        ("Orange band", "where a point blurs no more than the usual circle on the sensor: what looks sharp"),
        ("Dashed black line", "the focused plane; it leans away at its top when the camera looks down"),
        ("Thick black line", "how much of that plane fits in the frame"),
        ("Red cross", "the focus target: the point the lens is focused on"),
        ("Blue ring, column, thick blue line", "the drop at the meeting point, the column, and the sheet seen edge on"),
        ("Curves", "each part of the blur at each aperture: motion dashed, defocus dotted, diffraction dash-dotted, "
                   "pixel short dashes, all together solid"),
        ("Ring on the curve", "your aperture"),
        ("Upright dotted line", "the aperture that draws the wanted depth best"),
        ("Bars", "the parts at your aperture: on the drop, in pixels of your sensor, as a share of the drop"),
        ("First photograph", "the whole frame, with the water as the camera sees it; or the whole sheet"),
        ("Second photograph", "the drop enlarged, with its blur; or the column between the sheet's two edges, each "
                              "with its own blur; the pixel is left out"),
    )  # fmt: skip

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls; the sheet's radius shows only when the sheet is wanted."""
        nozzle, diameter = self.start("nozzle_height", 0.25), self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(nozzle, diameter), diameter).speed)
        power, kind = self.start("flash_power", 1 / 32), self.start("flash_kind", "quench")
        duration = self.start("flash_t01", None) or float(f"{float(flash.light_curve(kind, power).t01):.2g}")
        part = Pick("part", "What must be sharp", (("the drop at the meeting", "drop"), ("the whole sheet", "sheet")),
                    "drop")  # fmt: skip
        radius = Number("radius", "Radius of the sheet", "m", 2e-3, 40e-3, 12e-3, display="mm", step=1.0)

        def show_radius() -> None:
            shown = part.asked() == "sheet"
            radius.widget.layout.display = None if shown else "none"
            if not shown and radius.refused():  # a slip must not hide with its box
                radius.set(12e-3)

        part.on_change(show_radius)
        show_radius()
        scale = min(max(self.start("magnification", 0.5), 0.1), 2.0)
        return [
            part, radius,
            Number("magnification", "Magnification", "1", 0.1, 2.0, scale, step=0.05,
                   advice="size on the sensor over true size; photograph a ruler to know it"),
            Ladder("aperture", "Aperture", units.APERTURES, "aperture", self.start("aperture", 11.0)),
            Number("duration", "Flash duration t0.1", "s", 5e-6, 5e-3, min(max(duration, 5e-6), 5e-3), display="µs",
                   log=True, per_double=3),
            Number("speed", "Speed", "m/s", 0.1, 6.0, round(speed, 2), step=0.1, quantity="speed across the view"),
            Number("elevation", "Camera looks down by", "rad", 0.0, math.radians(20), math.radians(10), display="°",
                   step=1.0, quantity="height angle of the camera"),
            Number("height", "Meeting above the water", "m", 0.0, 0.08, 0.03, display="mm", step=1.0,
                   quantity="height of the meeting point"),
            Number("target_height", "Focus target above the water", "m", 0.0, 0.08, 0.03, display="mm", step=1.0,
                   quantity="height of the focus target"),
            Number("target_behind", "Focus target behind the middle", "m", -0.02, 0.02, 0.0, display="mm", step=0.5,
                   quantity="distance of the focus target behind the middle", advice="in front of it is negative"),
            Number("pupil_ratio", "Pupil ratio of the lens", "1", 0.4, 2.5, min(max(self.start("pupil_ratio", 1.0),
                   0.4), 2.5), step=0.1, advice="rear opening over front opening as you see them; 1 if unknown"),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the three figures."""
        from splashkit.figures.sharpness import ApertureFigure, BlurBars, SideFigure

        return [SideFigure(), ApertureFigure(), BlurBars()]

    def compute(self, state: Any) -> Any:
        """Compute the blur budget at your aperture and at all others, and the sharp band."""
        diameter, focal = self.start("first_diameter", 4e-3), self.start("focal_length", 0.1)
        wide, high = self.start("sensor_width", 0.036), self.start("sensor_height", 0.024)
        pitch = wide / self.start("pixels_wide", 6000)
        m, pupils, angle = state.magnification, state.pupil_ratio, state.elevation
        whole = state.part == "sheet"
        meeting = float(lens.focus_offset(state.height - state.target_height, -state.target_behind, angle))
        reach = state.radius * math.cos(angle) if whole else 0.0
        offset = meeting + math.copysign(reach, meeting)
        every = lens.blur_budget(state.speed, state.duration, offset, focal, F_NUMBERS, m, pitch, diameter, pupils)
        here = lens.blur_budget(state.speed, state.duration, offset, focal, state.aperture, m, pitch, diameter, pupils)
        circle = CIRCLE * wide / FULL_FRAME
        deep = lens.depth_of_field(focal, state.aperture, m, pupils, circle)
        depth = 2 * abs(offset)
        best = lens.best_aperture(depth, m, pupils) if depth > 1e-6 else None
        view = lens.view_from(angle)
        field = float(lens.field_of_view(high, m))
        return SimpleNamespace(
            f_numbers=F_NUMBERS, curves={part: every_part.subject * np.ones(len(F_NUMBERS))
                                         for part, every_part in zip(every._fields, every, strict=True)},
            blurs=dict(zip(here._fields, here, strict=True)), largest=here.largest, f_number=state.aperture,
            best=None if best is None else float(best.f_number), offset=offset, meeting=meeting, whole=whole,
            working=float(lens.effective_aperture(state.aperture, m, pupils)), near=float(deep.near),
            far=float(deep.far), circle=circle, elevation=angle, height=state.height, radius=state.radius,
            diameter=diameter, target=(state.target_behind, state.target_height), field=field,
            surface=float(view.surface), lean=float(lens.focus_lean(0.01, angle)), focal=focal,
            pitch=pitch, sensor=(wide, high),
            place=float(lens.meeting_in_frame(state.height, field, angle, state.target_height)),
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the whole frame and the drop enlarged, or the whole sheet and a part of it enlarged."""
        from splashkit.figures.base import photo_html

        if result.whole:
            return self._of_the_sheet(state, result)
        optics = {
            "magnification": state.magnification, "f_number": state.aperture, "focal_length": result.focal,
            "pupil_ratio": state.pupil_ratio,
        }  # fmt: skip
        whole = picture.Camera(**optics, sensor=result.sensor, pixels=PIXELS, aim=(0.0, state.target_height),
                               elevation=state.elevation, focus_offset=result.meeting)  # fmt: skip
        long = max(2.4 * result.diameter * state.magnification, 1.5e-3)
        close = picture.Camera(**optics, sensor=(long, long / 1.5), pixels=ENLARGED, focus_offset=result.offset)
        blur = words(result.blurs["together"].subject, "m", 2)
        drop, above = (state.speed, result.diameter), (state.speed, result.diameter, state.height,
                                                       self.start("bowl_radius", 0.1))  # fmt: skip
        wanted: list[tuple[tuple[float, ...], picture.Camera, str, str]] = [
            (above, whole, f"The whole frame{self._missed(result)}", f"Recorded frame: {self._framed(result)}."),
            (drop, close, "The drop, enlarged", f"Recorded frame: the drop filling it, blurred over {blur}."),
        ]
        views = []
        for scene, camera, caption, alt in wanted:
            views.append(photo_html(_recorded(camera, state.duration, *scene), alt, caption, *camera.pixels))
        return views

    def _of_the_sheet(self, state: Any, result: Any) -> list[str]:
        """What the edges gain by a small opening, the middle pays: both stand in one photograph."""
        from splashkit.figures.base import photo_html
        from splashkit.panels.sharp_sheet import Wanted, photograph

        wanted = Wanted(
            state.radius, state.height, result.diameter, state.speed, state.duration, result.meeting,
            self.start("bowl_radius", 0.1), state.aperture, state.magnification, state.pupil_ratio, result.focal,
            state.elevation,
        )  # fmt: skip
        blur = words(result.blurs["together"].subject, "m", 2)
        across = words(2 * state.radius, "m", 2)
        edges = "far edge (above) and near edge (below)" if state.elevation > math.radians(1) else "edges"
        close = f"Recorded frame: column, near edge and far edge, the worse of the edges blurred over {blur}."
        return [
            photo_html(photograph(wanted, 3 * state.radius, SHEET), f"Recorded frame: a sheet {across} wide on its "
                       "column.", "The whole sheet", *SHEET),
            photo_html(photograph(wanted, 1.2 * state.radius, SHEET_ENLARGED), close, f"Its column, {edges}, enlarged",
                       *SHEET_ENLARGED),
        ]  # fmt: skip

    def _framed(self, result: Any) -> str:
        if 0 <= result.place <= 1:
            return f"the drop above the water, {units.format_number(100 * result.place, 2)} % of the way up the frame"
        return f"the drop is {'above' if result.place > 1 else 'below'} the frame"

    def _missed(self, result: Any) -> str:
        """An empty frame says why it is empty."""
        return "" if 0 <= result.place <= 1 else f": {self._framed(result).replace('the frame', 'it')}"

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the working aperture, where the thing lies, its blur three ways, and what to work on."""
        blur, thing = result.blurs["together"], "The sheet's worst edge" if result.whole else "The drop"
        numbers = (
            f"At {units.format_aperture(state.aperture)} and magnification "
            f"{units.format_number(state.magnification)} the lens works at f/{units.format_number(result.working)}. "
            f"{thing} lies {self._place(result.offset)}. It is blurred over {words(blur.subject, 'm', 2)}: "
            f"{_pixels(blur.pixels)}, {units.format_number(100 * blur.share, 2)} % of the drop. "
            f"{self._best(state, result)}{self._looks(state, result)}"
        )
        return numbers, self._verdict(result)

    def _place(self, offset: float) -> str:
        if abs(offset) < 5e-6:
            return "in the focused plane"
        return f"{words(abs(offset), 'm', 2)} {'behind' if offset > 0 else 'in front of'} the focused plane"

    def _best(self, state: Any, result: Any) -> str:
        if result.best is None:
            return "What you want sharp is in focus, so a wider aperture would only make it sharper. "
        best = f"f/{units.format_number(result.best, 2)}"
        if result.best > 64:
            return f"The best aperture would be {best}, beyond any lens: place the focus target better. "
        if abs(math.log2(result.best / state.aperture)) < 0.25:
            return f"Your aperture is about the best one for this depth ({best}). "
        way = "closing" if result.best > state.aperture else "opening"
        return f"The best aperture for this depth is {best}: {way} helps until there. "

    def _looks(self, state: Any, result: Any) -> str:
        if state.elevation < 1e-9:
            return "From level, the water is a line, and the focused plane stands upright."
        shown = (
            f"From {words(state.elevation, 'rad', 2)} above level, a ring on the water looks "
            f"{units.format_number(100 * result.surface, 2)} % as high as it is wide, and the focused plane leans back "
            f"{words(result.lean, 'm', 2)} in each 10 mm of height."
        )
        return shown if 0 <= result.place <= 1 else f"{shown} The meeting point is out of the frame."

    def _verdict(self, result: Any) -> str:
        share = float(result.blurs["together"].share)
        cure = f"{result.largest.capitalize()} blurs most: {CURES[result.largest]}."
        if share <= FROZEN:
            return "Sharp enough for anything: nobody will see the blur."
        if share <= SHARP:
            return f"Sharp: only a close look shows the blur. {cure}"
        if share <= SOFT:
            return f"Soft. {cure}"
        return f"Blurred. {cure}"

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        parts = ", ".join(f"{part} {words(result.blurs[part].subject, 'm', 2)}" for part in result.blurs)
        total = result.near + result.far
        deep = words(total, "m", 2) if math.isfinite(total) else "without end"
        return f"Sharp band {deep} deep, through the focus target. Blur on the drop: {parts}."

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show working aperture, place, the parts on the sensor, all together, depth and best aperture."""
        m = state.magnification
        blurs = {part: float(blur.sensor) for part, blur in result.blurs.items() if part != "together"}
        lensed = {"magnification": m, "pupil_ratio": state.pupil_ratio}
        shown: list[tuple[Any, dict[str, float]]] = [
            ("working_aperture", {"aperture": state.aperture, **lensed}),
            ("focus_offset", {"behind": -state.target_behind, "rise": state.height - state.target_height,
                              "elevation": state.elevation}),
            ("depth_close_up", {"aperture": state.aperture, "circle": result.circle, **lensed}),
            ("airy", {"wavelength": lens.ranges.WAVELENGTH, "working": result.working}),
            ("all_blur", blurs),
        ]  # fmt: skip
        if result.best is not None:
            shown.append(("best_aperture", {"depth": 2 * abs(result.offset), "wavelength": lens.ranges.WAVELENGTH,
                                            **lensed}))  # fmt: skip
        return shown
