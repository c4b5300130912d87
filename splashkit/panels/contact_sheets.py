"""One drop many times over: lesson 02's sheet of units and powers, lesson 03's sheet of four ways to light it."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from splashkit import drops, flash, picture, sync, units
from splashkit.figures.base import jpeg_bytes, photo_html
from splashkit.look import escape
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Number

POWERS = (1.0, 1 / 2, 1 / 8, 1 / 32)  # few heads that lower their voltage go further
UNITS = (("cut short", "quench"), ("lower voltage", "voltage"), ("fewer capacitors", "capacitor"))
SMALL, LARGE = 170, 230  # pixels along a side
STYLE = (
    "<style>.splash-sheet{border-collapse:collapse;width:100%;max-width:820px;table-layout:fixed}"
    ".splash-sheet th,.splash-sheet td{padding:3px;text-align:center;vertical-align:top;font-size:15px;border:0}"
    ".splash-sheet th[scope=row]{vertical-align:middle;font-weight:600}</style>"
)
OPEN = sync.Shutter(0.5, kind="open")


class Sheet(Panel):
    """What both sheets share: the drop and its speed."""

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the one control."""
        height, self.diameter = self.start("nozzle_height", 0.5), self.start("first_diameter", 4e-3)
        speed = float(drops.fall(drops.fall_height(height, self.diameter), self.diameter).speed)
        return [Number("speed", "Speed of the drop", "m/s", 0.1, 6.0, round(speed, 2), step=0.1)]

    def camera(self, across: float, pixels: int, below: float) -> picture.Camera:
        """Look at a square so many diameters wide, at life size."""
        side = across * self.diameter
        return picture.Camera(magnification=1.0, sensor=(side, side), pixels=(pixels, pixels),
                              aim=(0.0, -below * self.diameter))  # fmt: skip


class FlashSheet(Sheet):
    """The same drop by three kinds of unit at four powers."""

    title = "One drop, three units, four powers"
    lead = "Read each row from left to right: the power goes down, and the unit stands nearer to make up for it."
    legend_words = (
        ("Rows", "three kinds of unit: one cuts its flash short, one charges to a lower voltage, one switches "
                 "capacitors off"),
        ("Columns", "flash power, from full on the left to 1/32 on the right"),
        ("Photographs", "the same falling drop, recorded with the light of that unit at that power; "
                        "all are made equally bright"),
        ("Number below", "t0.1, and how far the drop moves in that time"),
    )  # fmt: skip

    def compute(self, state: Any) -> Any:
        """Find all durations."""
        curves = {kind: [flash.light_curve(kind, power) for power in POWERS] for _, kind in UNITS}
        return SimpleNamespace(curves=curves, smear={
            kind: [state.speed * float(curve.t01) for curve in row] for kind, row in curves.items()
        })  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record all of them, as one table."""
        scene, camera = picture.falling_drop(self.diameter, state.speed), self.camera(3.2, SMALL, 0.75)
        head = "".join(f'<th scope="col">{units.format_power(power)}</th>' for power in POWERS)
        rows = ""
        for words, kind in UNITS:
            cells = ""
            for power, curve, smear in zip(POWERS, result.curves[kind], result.smear[kind], strict=True):
                frame = picture.record(scene, camera, curve, OPEN, flash_time=0.1)
                lit, moved = units.format_quantity(float(curve.t01), "s", 2), units.format_quantity(smear, "m", 2)
                alt = f"{words}, {units.format_power(power)} power: the drop is smeared over {moved}"
                shown = photo_html(jpeg_bytes(frame.screen()), alt, f"{lit}: smear {moved}", SMALL, SMALL)
                cells += f"<td>{shown}</td>"
            rows += f'<tr><th scope="row">{escape(words)}</th>{cells}</tr>'
        return [
            f'{STYLE}<table class="splash-sheet"><thead><tr><td></td>{head}</tr></thead><tbody>{rows}</tbody></table>'
        ]

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say first and last of each row."""
        first = units.format_power(POWERS[0]), units.format_power(POWERS[-1])
        ends = {
            kind: " to ".join(units.format_quantity(row[at], "m", 2) for at in (0, -1))
            for kind, row in result.smear.items()
        }
        return (
            f"From {first[0]} down to {first[1]} power, the smear goes from {ends['quench']} where the flash is cut "
            f"short. It goes from {ends['voltage']} where the voltage is lowered, and from {ends['capacitor']} where "
            "capacitors are switched off.",
            "Low power freezes the drop in the first row and the third. In the second it smears.",
        )  # fmt: skip


class FourWays(Sheet):
    """Daylight, high-speed sync twice, and one weak flash: the same drop, enlarged."""

    title = "One drop, lit in four ways"
    lead = "The shutter gets faster from the first to the third. Which of the four would you print?"
    legend_words = (
        ("First photograph", "daylight at 1/250 s, no flash"),
        ("Second and third", "high-speed sync at 1/500 s and at 1/8000 s, brightened to match"),
        ("Fourth", "one flash at its lowest power, in the dark, at 1/250 s"),
        ("Line below", "how long each row of the frame is lit, and how far the drop moves over it"),
    )

    def compute(self, state: Any) -> Any:
        """Work out how long rows are lit, and the smear."""
        travel = min(max(self.start("curtain_travel", 3e-3), 1e-3), 3.9e-3)
        slit, weak = float(sync.slit_speed(travel)), flash.light_curve("quench", 1 / 128)
        ways = []
        for words, light, exposure in (
            ("Daylight, 1/250 s", "day", 1 / 250),
            ("High-speed sync, 1/500 s", "burn", 1 / 500),
            ("High-speed sync, 1/8000 s", "burn", 1 / 8000),
            ("One weak flash, 1/250 s", "flash", 1 / 250),
        ):
            lit = float(weak.t01) if light == "flash" else exposure
            smear = (
                state.speed * lit if light == "flash" else float(sync.blur_in_slit(state.speed, lit, slit, "against"))
            )
            ways.append(SimpleNamespace(words=words, light=light, exposure=exposure, lit=lit, smear=smear))
        return SimpleNamespace(ways=ways, travel=travel, weak=weak,
                               height=float(sync.length_factor(state.speed, slit, "against")))  # fmt: skip

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the four: a square cut from the middle of a frame at life size."""
        scene, camera = picture.falling_drop(self.diameter, state.speed), self.camera(3.0, LARGE, 0.0)
        # the curtains cross the cut square in its share of their travel
        travel = result.travel * camera.sensor[1] / sync.FRAME_HEIGHT
        shown = []
        for way in result.ways:
            shutter = sync.Shutter(way.exposure, travel)
            if way.light == "flash":
                frame = picture.record(scene, camera, result.weak, shutter)
            else:
                burn, level = None, 1.0
                if way.light == "burn":
                    burn = flash.pulsed_burn(sync.burn_needed(way.exposure, travel), 40e3)
                    level = 1 / float(sync.burn_share(way.exposure, travel))
                frame = picture.record(scene, camera, burn, shutter, moment=-0.5 * (way.exposure + travel),
                                       flash_time=0.0, flash_level=level,
                                       ambient=0.0 if way.light == "burn" else 1.0)  # fmt: skip
            caption = f"{way.words}: each row lit for {units.format_quantity(way.lit, 's', 2)}"
            alt = f"{caption}, the drop smeared over {units.format_quantity(way.smear, 'm', 2)}"
            shown.append(photo_html(jpeg_bytes(frame.screen()), alt, caption, LARGE, LARGE))
        return shown

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the four smears, and the shape."""
        fast, weak = result.ways[2:]
        smears = [units.format_quantity(way.smear, "m", 2) for way in result.ways]
        times = units.format_number(fast.lit / weak.lit, 2)
        return (
            f"At {units.format_quantity(state.speed, 'm/s')} the smear is {smears[0]} by daylight, {smears[1]} and "
            f"{smears[2]} with high-speed sync, and {smears[3]} with the weak flash. In the first three the drop is "
            f"squashed to {units.format_number(100 * result.height, 2)} % of its height.",
            f"1/8000 s lights each row {times} times as long as the weak flash does at 1/250 s.",
        )  # fmt: skip
