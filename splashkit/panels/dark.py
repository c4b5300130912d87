"""Lesson 01's panel: how dark the room must be, and what the frame keeps with the flash off."""

from __future__ import annotations

import math
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from splashkit import drops, exposure, flash, picture, sync, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick

# Stops under at which a frame looks black: common practice, no source; the middle is exposure.DARK_ENOUGH
DARK_FROM, DARK_AT = 5.0, 7.0
OFF = 1.0  # stops by which a flash may miss before the room is judged beside it: house choice, no source
NEAR = 0.55  # [m] from flash to subject in the demo rig, where its flash is right
WASHED = 2.0  # stops under at which the room's light rivals the flash: house choice, no source
CAMERA = picture.Camera(magnification=1.0, pixels=(480, 320))  # the frames show the drop in a view of this size
TIMES = np.geomspace(1 / 320, 40, 60)
words = units.format_quantity


@lru_cache(maxsize=64)
def _curve(kind: str, power: float) -> Any:
    return flash.light_curve(kind, power)


class DarkRoom(Panel):
    """Room light, shutter, aperture, ISO and flash; stops under, the ghosts, and the frame with flash on and off."""

    title = "How dark is dark?"
    lead = "First look at the frame with the flash off. Then change the room, and only then the shutter."
    presets = {
        "One candle, 1 s": {"source": "lux", "illuminance": 1.0, "exposure_time": 1.0},
        "Lit room, 1 s": {"source": "lux", "illuminance": 100.0, "exposure_time": 1.0},
        "Lit room, shortest time": {"source": "lux", "illuminance": 100.0, "exposure_time": 1 / 200},
    }
    legend_words = (
        ("Solid blue line", "what the flash alone records; shutter time does not change it"),
        ("Dashed orange line", "what the room alone records of all that keeps still; one stop more for each doubling"),
        ("Dotted green line", "what the room alone records of the falling drop: its ghost"),
        ("Grey bands", "five to seven stops under, where a frame turns black, and all below that"),
        ("Upright line with rings", "your shutter time, and the three things at that time"),
        ("Black arrowhead", "the longest time that keeps the room six stops under"),
        ("First photograph", "the frame with the flash"),
        ("Second photograph", "the same frame with the flash off: the room alone"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls; the two ways to know the room take turns."""
        height, diameter = self.start("nozzle_height", 0.25), self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(height, diameter), diameter).speed)
        shortest = self.start("sync_speed", 1 / 200)
        times = tuple(mark for mark in units.SHUTTER_TIMES if mark >= shortest * 0.999) or units.SHUTTER_TIMES[-1:]
        # without a rig of one's own: the lit kitchen with which the lesson begins, so that the room shows at once
        story = rig.invented
        wanted = min(max(1.0 if story else self.start("exposure_time", 1.0), times[0]), times[-1])
        power = self.start("flash_power", 1 / 32)
        source = Pick("source", "How you know the room", (("as lux on a light meter", "lux"),
                                                          ("as the camera's meter asks", "meter")), "lux")  # fmt: skip
        light = min(max(100.0 if story else self.start("room_illuminance", 100.0), 0.01), 2000.0)
        lux = Number("illuminance", "Room light on the bowl", "lx", 0.01, 2000.0, light, log=True, per_double=3,
                     quantity="light on the subject", advice="one candle a metre away gives about 1 lx")  # fmt: skip
        metered = [
            Ladder("metered_time", "Reading: shutter time", units.SHUTTER_TIMES, "shutter", 1 / 4),
            Ladder("metered_aperture", "Reading: aperture", units.APERTURES, "aperture", 2.8),
            Ladder("metered_iso", "Reading: ISO", units.ISO_SPEEDS, "iso", 3200),
        ]

        def take_turns() -> None:
            asked = source.asked()
            lux.widget.layout.display = "none" if asked == "meter" else None
            if asked == "meter" and lux.refused():  # a slip must not hide with its box
                lux.set(light)
            for control in metered:
                control.widget.layout.display = None if asked == "meter" else "none"

        source.on_change(take_turns)
        take_turns()
        return [
            source, lux, *metered,
            Ladder("exposure_time", "Shutter time", times, "shutter", wanted),
            Ladder("aperture", "Aperture", units.APERTURES, "aperture", self.start("aperture", 11.0)),
            Ladder("iso", "ISO", units.ISO_SPEEDS, "iso", self.start("iso", 200.0)),
            Ladder("power", "Flash power", units.FLASH_POWERS, "power", power),
            Number("distance", "Flash to subject", "m", 0.1, 3.0, self._distance(), display="cm", step=1.0,
                   quantity="distance from flash to subject"),
            Number("speed", "Speed of the drop", "m/s", 0.1, 6.0, round(speed, 2), step=0.1),
        ]  # fmt: skip

    def _distance(self) -> float:
        """Start where the flash alone is right: with a rig of one's own the lesson is about the room, not the flash."""
        try:
            level = exposure.frame_level(
                self.start("aperture", 11.0), 1.0, self.start("iso", 200.0), 0.0,
                self.start("flash_guide_number", 36.0), NEAR, self.start("flash_power", 1 / 32),
                self.start("magnification", 0.5), self.start("pupil_ratio", 1.0),
            )  # fmt: skip
        except ValueError:  # the panel itself says what is wrong with the rig
            return NEAR
        wanted = NEAR * math.sqrt(float(level.flash))  # light falls with the square of the distance
        return min(max(round(wanted, 2), 0.1), 3.0)

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.dark import RoomFigure

        return [RoomFigure()]

    def compute(self, state: Any) -> Any:
        """Compute the levels of flash, background and ghost."""
        scale, pupils = self.start("magnification", 0.5), self.start("pupil_ratio", 1.0)
        diameter = self.start("first_diameter", 4e-3)
        level = exposure.frame_level(
            state.aperture, state.exposure_time, state.iso, 0.0, self.start("flash_guide_number", 36.0),
            state.distance, state.power, scale, pupils,
        )  # fmt: skip
        if state.source == "lux":
            loss = float(exposure.close_up_loss(scale, pupils))
            light = state.illuminance * 2**-loss  # what is left of it after focusing close
        else:  # read through the lens at the same focus: the loss is in the reading
            reading = exposure.ev100_from_settings(state.metered_aperture, state.metered_time, state.metered_iso)
            loss, light = 0.0, float(exposure.illuminance_from_ev100(reading))
        under = exposure.ambient_under_flash(light, state.aperture, TIMES, state.iso)
        now = float(exposure.ambient_under_flash(light, state.aperture, state.exposure_time, state.iso))
        share = float(exposure.ghost_ratio(diameter, state.speed, state.exposure_time))
        ghosts = exposure.ghost_ratio(diameter, state.speed, TIMES)
        flash_stops = float(np.log2(level.flash))
        return SimpleNamespace(
            times=TIMES, background=-under, ghost=np.log2(ghosts) - under, flash=flash_stops, under=now, share=share,
            exposure_time=state.exposure_time, now=(-now, math.log2(share) - now),
            longest=float(exposure.longest_open_time(light, state.aperture, state.iso)),
            flash_level=float(level.flash), ambient_level=2**-now, light=light, loss=loss, diameter=diameter,
            passing=diameter / state.speed, ratio=float(exposure.ambient_to_flash_ratio(now, flash_stops)),
        )  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the frame with the flash and without it."""
        from splashkit.figures.base import jpeg_bytes, photo_html

        scene = picture.falling_drop(result.diameter, state.speed)
        travel = self.start("curtain_travel", 0.0035)
        shutter = sync.Shutter(state.exposure_time, min(travel, state.exposure_time))
        curve = _curve(self.start("flash_kind", "quench"), state.power)
        most = 1e4  # beyond this a frame is white whatever comes
        ambient = min(result.ambient_level, most)
        views = []
        for light, name in ((curve, "on"), (None, "off")):
            frame = picture.record(scene, CAMERA, light, shutter, flash_level=min(result.flash_level, most),
                                   ambient=ambient)  # fmt: skip
            alt = f"Recorded frame, flash {name}: {self._seen(result, name)}."
            views.append(photo_html(jpeg_bytes(frame.screen()), alt, f"Flash {name}", *CAMERA.pixels))
        return views

    def _seen(self, result: Any, name: str) -> str:
        level = result.ambient_level + (result.flash_level if name == "on" else 0.0)
        stops = math.log2(level)
        if stops > math.log2(exposure.CLIP_LEVEL):
            return "all is white"
        if stops <= -DARK_AT:
            return "black"
        side = "over" if stops >= 0 else "under"
        drop = "the drop before a background" if name == "on" else "a background"
        return f"{drop} {units.format_number(abs(stops), 2)} stops {side} correct"

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say how far under the room is, what it adds, the ghosts, and the longest time."""
        side = "under" if result.under >= 0 else "over"
        numbers = (
            f"With the flash off, the background is {units.format_number(abs(result.under), 3)} stops {side} correct. "
            f"{self._flash(result)} The room adds {self._percent(result.ratio)} to the flash's light. "
            f"{self._ghost(result)} "
            f"To stay {exposure.DARK_ENOUGH:g} stops under, the shutter may be open for "
            f"{words(result.longest, 's', 2)} at most."
        )
        return numbers, self._verdict(result)

    def _percent(self, ratio: float) -> str:
        share = 100 * ratio
        if share < 0.01:
            return "less than 0.01 %"
        return (
            f"{units.format_number(share, 2)} %" if share < 1000 else f"{units.format_number(ratio, 2)} times as much"
        )

    def _flash(self, result: Any) -> str:
        if abs(result.flash) < 0.34:
            return "The flash alone is right, to a third of a stop."
        side = "over" if result.flash > 0 else "under"
        return f"The flash alone is {units.format_number(abs(result.flash), 2)} stops {side}."

    def _ghost(self, result: Any) -> str:
        if result.share > 0.99:
            return "The drop hardly moves while the shutter is open: its ghost is as strong as the background's."
        weaker, stops = units.format_number(1 / result.share, 2), units.format_number(-math.log2(result.share), 2)
        return (
            f"The drop passes each spot in {words(result.passing, 's', 2)}, so its ghost is "
            f"{weaker} times ({stops} stops) weaker than the background."
        )

    def _verdict(self, result: Any) -> str:
        under = result.under
        if abs(result.flash) >= OFF and under >= 0:  # by the frame alone, a small aperture would seem to cure the room
            how, beside = "weak" if result.flash < 0 else "strong", under + result.flash
            side = "under" if beside >= 0 else "over"
            return (
                f"Set the flash right first: alone it is too {how}. "
                f"The room is {units.format_number(abs(beside), 2)} stops {side} the flash."
            )
        if under >= DARK_AT:
            return "Dark: with the flash off the frame is black, so the flash alone makes the picture."
        if under >= DARK_FROM:
            return "Just dark: the frame is black at first sight; lifted shadows show the room."
        if under >= WASHED:
            return "Not dark: the background of the room shows through the picture."
        if under >= 0:
            return "Too bright: room and flash make the picture together."
        return "Far too bright: the room alone already exposes the frame."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        return (
            f"Stops against shutter time. At {units.format_shutter(state.exposure_time)}: flash "
            f"{units.format_number(result.flash, 2)}, background {units.format_number(result.now[0], 2)}, the drop's "
            f"ghost {units.format_number(result.now[1], 2)} stops over correct. The background reaches six stops under "
            f"at {words(result.longest, 's', 2)}."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show stops under, longest time and ghost; the light is what is left after focusing close."""
        room = {"aperture": state.aperture, "illuminance": result.light, "iso": state.iso}
        return [
            ("ambient_under", {**room, "exposure_time": state.exposure_time}),
            ("open_time", {**room, "stops": exposure.DARK_ENOUGH}),
            ("ghost", {"size": result.diameter, "speed": state.speed, "exposure_time": state.exposure_time}),
        ]
