"""The words of a run sheet: every sentence and table cell, computed. Drawing them is the figures' job.

A line is plain text with two marks: ``*words*`` are bold, and :data:`BOX` is a box to write into.
Delays are given twice where the lags are known: on the timer, and from Z, the delay at which the first
drop just touches the water. With lags unknown Z is a box, and the sheet still works.
"""

from __future__ import annotations

from dataclasses import dataclass

from splashkit.rig import Rig
from splashkit.runsheet.bench import BenchParts
from splashkit.runsheet.camera import CameraParts
from splashkit.runsheet.fixed import BOX, CAUTIONS, LOG_ROWS, Grid, Part, fault_grid, log_grid
from splashkit.runsheet.numbers import Numbers, Sketch, numbers
from splashkit.runsheet.wishes import Wishes
from splashkit.runsheet.writer import Writer, short_mm
from splashkit.units import format_quantity

MEETS = {"rising": "on the column's way up", "top": "at the column's top", "falling": "on the column's way down"}


@dataclass(frozen=True)
class Sheet:
    """One run sheet: two pages of content, and the numbers of its drawing."""

    title: str
    wish: str
    invented: bool
    paper: str
    units: str
    timer: Part
    liquid: Part
    camera: Part
    light: Part
    sweep: Grid
    faults: Grid
    after: Part
    cautions: Part
    drawing: str
    sketch: Sketch
    log: Grid
    log_rows: int
    missing: tuple[str, ...]
    unmet: tuple[str, ...]


def sheet(rig: Rig, wishes: Wishes | None = None, found: Numbers | None = None) -> Sheet:
    """Write the run sheet of a rig for some wishes; what the rig does not know becomes a box.

    ``found`` are its numbers, where they are already worked out.
    """
    wishes = wishes or Wishes(units=rig.units or "metric")
    found = found or numbers(rig, wishes)
    whole, bench, camera = _Whole(found), BenchParts(found), CameraParts(found)
    # one line, whatever was pasted into the name
    name = " ".join("".join(letter if letter.isprintable() else " " for letter in rig.name).split()) or "my rig"
    unmet = () if found.settings is None or found.settings.possible else found.settings.reasons
    return Sheet(
        title=f"Run sheet: {name if len(name) <= 44 else name[:41] + '...'}",
        wish=whole.wish(), invented=rig.invented, paper=wishes.paper, units=wishes.units, timer=bench.timer(),
        liquid=bench.liquid(), camera=camera.camera(), light=camera.light(), sweep=bench.sweep(), faults=whole.faults(),
        after=whole.after(), cautions=Part("Cautions", CAUTIONS), drawing=whole.drawing(), sketch=found.sketch,
        log=log_grid(wishes.units), log_rows=LOG_ROWS, missing=_missing(found), unmet=unmet,
    )  # fmt: skip


class _Whole(Writer):
    """Writes what is about the whole sheet."""

    def wish(self) -> str:
        meet = MEETS[self.wishes.phase]
        return (
            f"Two drops meet {meet}; the light comes when the sheet is full. Wanted: blur at most "
            f"{short_mm(self.wishes.blur)}, and {short_mm(self.wishes.depth)} of depth."
            + (" Blur, depth and all under 0.2 in are in mm." if self.wishes.units == "imperial" else "")
        )

    def faults(self) -> Grid:
        meeting = self.n.meeting
        speed = None if meeting is None else float(meeting.meeting.splash.speed)
        return fault_grid(speed, self.wishes.units)

    def after(self) -> Part:
        return Part("Write down each frame", (
            "Gap, delay, rest. Early, late, nothing there, or a hit. Height of the drop or column above the water.",
            "*Once*: nozzle height, temperature, levels; a frame of a ruler at the target; a frame with the flash off, "
            "which must be black.",
            "*Change one thing at a time.* A new height, drop size or liquid: start again at row 1.",
        ))  # fmt: skip

    def drawing(self) -> str:
        """Say the drawing in words."""
        k = self.n.sketch
        target = "at a height to be measured" if k.target_height is None else f"{self.plain(k.target_height)} up"
        nozzle = "height to be measured" if k.nozzle_height is None else f"{self.plain(k.nozzle_height)} above it"
        camera = "distance to be measured" if k.camera_distance is None else self.plain(k.camera_distance, digits=2)
        lamps = "; ".join(
            f"{light.place} light at " + ("a distance to be measured" if light.distance is None
                                          else self.plain(light.distance, digits=2))
            for light in k.lights
        )  # fmt: skip
        return (
            f"Setup from the side, to scale: bowl with still water; nozzle, {nozzle}; focus target {target}; camera, "
            f"{camera} from sensor to target, looking down {format_quantity(k.elevation, 'rad', 2)}; {lamps}."
        )


def _missing(found: Numbers) -> tuple[str, ...]:
    """List the rig's blanks that leave a box on the sheet."""
    rig = found.rig
    names = [
        "nozzle_height",
        "first_diameter",
        "second_diameter",
        "first_opening",
        "second_opening",
        "bowl_radius",
        "bowl_depth",
        "liquid",
        "liquid_temperature",
        "chain",
        "link",
        "valve_delay",
        "magnification",
        "sensor_width",
        "sensor_height",
        "focal_length",
        "flash_kind",
        "flash_guide_number",
        "room_illuminance",
    ]
    lag = {"front": ["shutter_lag", "curtain_travel", "sync_speed"], "rear": ["shutter_lag", "exposure_time"]}
    names += lag.get(rig.chain or "", [])  # fmt: skip
    return tuple(name for name in names if getattr(rig, name) is None)


__all__ = ["BOX", "Grid", "Part", "Sheet", "sheet"]
