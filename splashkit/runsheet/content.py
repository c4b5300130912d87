"""The words of a run sheet: every sentence and table cell, computed. Drawing them is the figures' job.

A line is plain text with two marks: ``*words*`` are bold, and :data:`BOX` is a box to write into.
Delays are given twice where the lags are known: on the timer, and from Z, the delay at which the first
drop just touches the water. With lags unknown Z is a box, and the sheet still works.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from splashkit import lens, splash, timing
from splashkit.drops import sphere_volume
from splashkit.rig import Rig
from splashkit.runsheet.fixed import BOX, CAUTIONS, LOG_ROWS, Grid, Part, fault_grid, log_grid
from splashkit.runsheet.numbers import KEEPERS, Numbers, Sketch, numbers
from splashkit.runsheet.wishes import Wishes
from splashkit.units import (
    format_aperture,
    format_measure,
    format_number,
    format_power,
    format_quantity,
    format_shutter,
)

MEETS = {"rising": "on the column's way up", "top": "at the column's top", "falling": "on the column's way down"}
NAMES = {"front": "front curtain", "rear": "rear curtain", "open": "open shutter"}
LIQUIDS = {
    "water": "Water", "milk": "Milk", "glycerol_water": "Glycerol and water", "thickened_water": "Thickened water",
    "other": "Your own liquid",
}  # fmt: skip


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
    words = _Words(found)
    # one line, whatever was pasted into the name
    name = " ".join("".join(letter if letter.isprintable() else " " for letter in rig.name).split()) or "my rig"
    unmet = () if found.settings is None or found.settings.possible else found.settings.reasons
    return Sheet(
        title=f"Run sheet: {name if len(name) <= 44 else name[:41] + '...'}",
        wish=words.wish(), invented=rig.invented, paper=wishes.paper, units=wishes.units, timer=words.timer(),
        liquid=words.liquid(), camera=words.camera(), light=words.light(), sweep=words.sweep(), faults=fault_grid(),
        after=words.after(), cautions=Part("Cautions", CAUTIONS), drawing=words.drawing(), sketch=found.sketch,
        log=log_grid(wishes.units), log_rows=LOG_ROWS, missing=_missing(found), unmet=unmet,
    )  # fmt: skip


def _ms(time: float) -> str:
    return f"{format_number(round(1e3 * float(time)), 4)} ms"


def _mm(length: float, digits: int = 2) -> str:
    # what is judged on the screen stays in millimetres; what is measured with a tape may be in inches
    return f"{format_number(1e3 * float(length), digits)} mm"


def _span(low: float, high: float) -> str:
    return f"{round(1e3 * float(low))} to {_ms(high)}"


class _Words:
    """Writes the parts; one method a part."""

    def __init__(self, found: Numbers) -> None:
        self.n, self.rig, self.wishes = found, found.rig, found.wishes

    def measure(self, value: float | None, unit: str = "m", digits: int = 3) -> str:
        """Write a measure in the learner's units, or a box with its unit."""
        if value is None:
            empty = {"m": "in" if self.wishes.units == "imperial" else "mm", "degC": "°C"}.get(unit, unit)
            return f"{BOX} {'°F' if unit == 'degC' and self.wishes.units == 'imperial' else empty}"
        return f"*{format_measure(value, unit, self.wishes.units, digits)}*"

    def plain(self, value: float, unit: str = "m", digits: int = 3) -> str:
        return format_measure(value, unit, self.wishes.units, digits)

    def at(self, after_contact: float) -> str:
        """Write a delay: on the timer where the lags are known, and counted from Z."""
        sign = "+" if after_contact >= 0 else "−"
        from_zero = f"Z {sign} {_ms(abs(after_contact))}"
        setting = self.n.setting(after_contact)
        if setting is None:
            return f"*{from_zero}*"
        if setting < 0:
            return f"*{from_zero}* (before the valve: raise the nozzle, or use an open shutter)"
        return f"*{_ms(setting)}* ({from_zero})"

    def short(self, after_contact: float) -> str:
        """Write a delay in one way only."""
        setting = self.n.setting(after_contact)
        return f"*Z + {_ms(after_contact)}*" if setting is None else f"*{_ms(setting)}*"

    def wish(self) -> str:
        meet = MEETS[self.wishes.phase]
        return (
            f"Two drops meet {meet}; the light comes when the sheet is full. Wanted: blur at most "
            f"{_mm(self.wishes.blur)}, and {_mm(self.wishes.depth)} of depth."
        )

    def timer(self) -> Part:
        rig, plan = self.rig, self.n.meeting
        signal = "flash" if rig.chain == "open" else "camera"
        lines = [
            f"First drop: valve open from 0 for {self._opening(rig.first_opening)}.",
            "Gap, first to second signal: "
            + (f"{BOX} ms. {self.n.no_meeting}" if plan is None else
               f"*{_ms(plan.gap.value)}* (look from {_span(plan.gap.low, plan.gap.high)}).")
            + f" Second drop: {self._opening(rig.second_opening)}.",
        ]  # fmt: skip
        if plan is not None:
            light = self.n.after(plan.delay)
            ends = "" if self.n.zero is None else f" (look from {self._band(light.low, light.high)})"
            lines.append(f"Delay, first signal to {signal} signal: {self.at(light.value)}{ends}.")
            found = f"model *{_ms(self.n.zero)}*, found {BOX} ms" if self.n.zero is not None else f"found {BOX} ms"
            lines.append(f"Z, the delay at which the first drop just touches: {found}.")
        lines.append(self._chain())
        return Part("Set on the timer", tuple(lines))

    def _opening(self, opening: float | None) -> str:
        return f"{BOX} ms" if opening is None else f"*{_ms(opening)}*"

    def _band(self, low: float, high: float) -> str:
        zero = self.n.zero or 0.0
        return _span(zero + low, zero + high)

    def _chain(self) -> str:
        rig, chain = self.rig, self.n.chain
        if rig.chain is None:
            return f"Chain: front curtain {BOX}, rear curtain {BOX} or open shutter {BOX}."
        link = rig.link or "cable"
        middle = {
            "front": f"timer, {link}, camera, first curtain, flash", "open": f"timer, {link}, flash; shutter held open",
            "rear": f"timer, {link}, camera, end of the exposure, flash",
        }[rig.chain]  # fmt: skip
        head = f"Chain, {NAMES[rig.chain]}: {middle}."
        if rig.link is None:
            head += f" Link: cable {BOX} radio {BOX}."
        if chain is None:
            lag = f"lag {BOX} ms" + (f", curtain {BOX} ms" if rig.chain == "front" else "")
            head += f" Signal to light: {lag}."
        else:
            head += f" Signal to light *{format_quantity(chain.mean, 's')}*."
        valve = f"{BOX} ms" if rig.valve_delay is None else f"*{format_quantity(rig.valve_delay, 's')}*"
        return f"{head} Valve signal to drop {valve}."

    def liquid(self) -> Part:
        rig = self.rig
        name = f"{BOX}" if rig.liquid is None else f"*{LIQUIDS[rig.liquid]}*"
        lines = [f"{name} at {self.measure(rig.liquid_temperature, 'degC')}. {self._amount()}"]
        lines.append(f"First drop {self.measure(rig.first_diameter)}, second {self.measure(rig.second_diameter)}, "
                     f"nozzle {self.measure(rig.nozzle_height)} above the still surface.")  # fmt: skip
        lines.append(self._rest())
        assumed = self._assumed()
        if assumed:
            lines.append(f"Until you measure it, this counts on: {', '.join(assumed)}.")
        return Part("Liquid, drops, rest", tuple(lines))

    def _assumed(self) -> list[str]:
        """Name what the start values lean on where the rig is blank, or where no model knows the liquid."""
        rig, model = self.rig, self.n.liquid.name
        found = []
        known = rig.liquid in ("water", "milk") or (rig.liquid == "glycerol_water" and "glycerol" in model)
        if not known or rig.liquid_temperature is None:
            found.append(f"{model}{'' if known else ' (search wider)'}")
        if rig.second_diameter is None:
            found.append("a second drop like the first")
        if rig.release_speed is None:
            found.append("drops that let go at rest")
        if rig.link is None and rig.chain is not None:
            found.append("a cable")
        if rig.pupil_ratio is None:
            found.append("a pupil ratio of 1")
        return found

    def _amount(self) -> str:
        rig = self.rig
        if rig.bowl_radius is None or rig.bowl_depth is None:
            return f"Bowl: radius {self.measure(rig.bowl_radius)}, liquid {self.measure(rig.bowl_depth)} deep."
        volume = math.pi * rig.bowl_radius**2 * rig.bowl_depth
        text = f"Bowl *{self.plain(volume, 'm3', 2)}*, {self.plain(rig.bowl_depth)} deep"
        shares = rig.liquid_parameters
        if rig.liquid == "glycerol_water" and isinstance(shares.get("mass_fraction"), (int, float)):
            share, density = float(shares["mass_fraction"]), float(self.n.liquid.density.value)
            whole = volume * density
            text += (f": *{format_quantity(whole * share, 'kg', 2)}* glycerol, "
                     f"*{format_quantity(whole * (1 - share), 'kg', 2)}* water")  # fmt: skip
        if rig.first_diameter is not None:
            second = rig.second_diameter or rig.first_diameter
            used = self.wishes.frames * float(sphere_volume(rig.first_diameter) + sphere_volume(second))
            text += f". {self.wishes.frames} frames use {self.plain(used, 'm3', 2)}: keep the levels"
        return f"{text}."

    def _rest(self) -> str:
        usual = splash.COMMON_WAIT
        if self.n.rest is None:
            return (f"Rest between frames: {BOX} s; people wait {format_number(usual.value)} s or so. "
                    "Wait until the reflection lies still.")  # fmt: skip
        rest = self.n.rest
        low, high = (format_number(round(float(end))) for end in (rest.low, rest.high))
        wait = max(float(rest.value), float(usual.low))
        return (f"Rest between frames: *{format_number(round(wait))} s* (model {low} to {high} s); after a bump "
                f"{format_number(splash.BUMPED_WAIT)} s more.")  # fmt: skip

    def camera(self) -> Part:
        rig, found = self.rig, self.n
        aperture = BOX if found.aperture is None else f"*{format_aperture(found.aperture)}*"
        works = f"f/{BOX}" if found.working is None else f"f/{format_number(found.working, 2)}"
        iso = found.settings.chosen.iso if found.settings is not None else rig.iso
        lines = [
            self._shutter(),
            f"Aperture {aperture} marked (works as {works}). ISO {BOX if iso is None else f'*{iso:.0f}*'}.",
            f"Magnification {BOX if rig.magnification is None else f'*{format_number(rig.magnification)}*'}"
            f"{self._frame()}.",
            self._focus(),
            f"Camera: {self.measure(found.sketch.camera_distance, digits=2)} from sensor to target, looks down "
            f"*{format_quantity(self.wishes.elevation, 'rad', 2)}*.",
        ]
        return Part("Camera", tuple(lines))

    def _shutter(self) -> str:
        rig, longest = self.rig, self.n.open_time
        dark = f"room light {BOX} lx" if rig.room_illuminance is None else (
            f"room light {format_number(rig.room_illuminance)} lx"
        )  # fmt: skip
        still = "autofocus and stabiliser off"
        if rig.chain == "open":
            wait = f"{BOX} s" if longest is None else f"*{format_number(min(longest, 30), 2)} s*"
            return f"Manual, B or T, {still}. Open, fire the timer, close: at most {wait} open ({dark})."
        if rig.chain == "rear":
            time = f"{BOX}" if rig.exposure_time is None else f"*{format_shutter(rig.exposure_time)}*"
            return f"Manual, single frames, {still}, rear curtain. Shutter {time}: it is part of the delay ({dark})."
        time = BOX if rig.sync_speed is None else f"*{format_shutter(rig.sync_speed)}*"
        if rig.chain is None:
            return f"Manual, single frames, {still}. Shutter {time}, the sync speed ({dark})."
        if rig.sync_speed is not None and longest is not None and longest < rig.sync_speed:
            dark += ", too bright: darken the room"
        mode = f"Manual, single frames, {still}, mechanical shutter."
        return f"{mode} Shutter {time}, the sync speed ({dark})."

    def _frame(self) -> str:
        rig = self.rig
        if rig.magnification is None or rig.sensor_width is None or rig.sensor_height is None:
            return f": the frame shows {BOX} × {BOX} of a ruler"
        wide, high = (
            float(lens.field_of_view(side, rig.magnification)) for side in (rig.sensor_width, rig.sensor_height)
        )
        text = f": the frame shows {self.plain(wide, digits=2)} × {self.plain(high, digits=2)}"
        plan = self.n.meeting
        if plan is not None:
            if 2 * float(plan.sheet.radius_max.value) > wide:
                text += "; the sheet may be wider"
            target = float(plan.meeting_height.value)
            if lens.meeting_in_frame(0.0, high, self.wishes.elevation, target) < 0:
                text += "; the water lies below it"
        return text

    def _focus(self) -> str:
        height = None if self.n.meeting is None else float(self.n.meeting.meeting_height.value)
        return (
            f"Focus target: a nail's tip {self.measure(height, digits=2)} above the water, where single drops fall. "
            "Focus by hand, lens wide open, picture enlarged; then take it away."
        )

    def light(self) -> Part:
        chosen, lines = self.n.settings, []
        back = self.n.lights[0]
        power = BOX if back.power is None else f"*{format_power(back.power)}*"
        lines.append(f"Back light: power {power}, {self.measure(back.distance, digits=2)} behind the drop, lit area "
                     f"{self.measure(back.size, digits=2)} wide{self._rim()}.")  # fmt: skip
        if len(self.n.lights) > 1:
            front = self.n.lights[1]
            power = BOX if front.power is None else f"*{format_power(front.power)}*"
            lines.append(f"Front light: power {power}, {self.measure(front.distance, digits=2)} away, high on one "
                         "side: a stop under the back light.")  # fmt: skip
        else:
            lines.append("A white card in front, beside the lens, fills the dark edges.")
        loss = self.wishes.loss
        if loss is None:
            lines.append(f"Diffuser takes {BOX} stops: test frame. Each stop: twice the power, or 0.7 × the distance.")
        else:
            lines.append(f"The diffuser's loss of {format_number(loss)} stops is in these numbers.")
        if chosen is not None:
            best = chosen.chosen
            lines.append(f"Light lasts {format_quantity(best.light_time, 's', 2)}: the drop smears over "
                         f"*{_mm(best.motion_blur)}*. Sharp over *{_mm(best.depth)}*.")  # fmt: skip
            if chosen.possible:
                lines.append(chosen.reasons[-1])
            else:
                lines.append(f"*Not all wishes fit*, this is nearest. {chosen.changes[0].sentence}")
        return Part("Flash", tuple(lines))

    def _rim(self) -> str:
        if self.n.rim is None:
            return ""
        return f" (outer {format_number(100 * self.n.rim, 2)} % of the drop's radius is dark)"

    def sweep(self) -> Grid:
        plan, signal = self.n.meeting, "flash" if self.rig.chain == "open" else "camera"
        head = ("", "Change", "Start at", "From, to", "Step", "Stop when")
        shares = (0.03, 0.20, 0.23, 0.16, 0.08, 0.30)
        last = ("5", "Both, round the best", "best found", "± 2 ms", "1 ms", self._keepers())
        if plan is None:
            box = f"{BOX} ms"
            rows: tuple[tuple[str, ...], ...] = (
                ("1", "Delay, first drop only", box, box, "10 ms", "first drop just touches: this is Z"),
                ("2", "Delay, first drop only", box, box, "10 ms", "column tallest"),
                ("3", "Gap, and delay with it", box, box, "5 ms", "second drop lands on the column's tip"),
                ("4", f"Delay to the {signal}", box, box, "2 ms", "sheet widest"), last,
            )  # fmt: skip
            return Grid("In which order to search: the gap first, then the light", head, rows, shares)
        s = plan.meeting.splash
        touch, light = self.n.after(plan.touch), self.n.after(plan.delay)
        window = timing.sheet_window(plan.sheet)
        ends = touch.value, touch.value + float(window.closes.value)
        rows = (
            ("1", "Delay, first drop only", *self._first_search(), "first drop just touches: this is Z"),
            ("2", "Delay, first drop only", self.at(float(s.column_peak_time.value)),
             self._ends(float(s.column_peak_time.low), float(s.column_peak_time.high)), "10 ms",
             f"column tallest (model {self.plain(float(s.column_peak_height.value), digits=2)})"),
            ("3", "Gap, and delay with it", f"*{_ms(plan.gap.value)}*; delay {self.short(touch.value)}",
             _span(plan.gap.low, plan.gap.high), "5 ms", "second drop lands on the column's tip"),
            ("4", f"Delay to the {signal}", self.at(light.value), self._ends(*ends), "2 ms",
             f"sheet widest (model {self.plain(2 * float(plan.sheet.radius_max.value), digits=2)} across)"),
            last,
        )  # fmt: skip
        return Grid("In which order to search: the gap first, then the light", head, rows, shares)

    def _first_search(self) -> tuple[str, str, str]:
        """Give start, range and step of the search for Z: what is known of it, with boxes for the rest."""
        if self.n.zero is not None:
            return f"*{_ms(self.n.zero)}* (Z)", self._band(-0.01, 0.01), "2 ms"
        assert self.n.meeting is not None
        known, open_terms = float(self.n.meeting.first_contact), ""
        if self.rig.valve_delay is None:
            open_terms += f" + valve {BOX}"
        else:
            known += self.rig.valve_delay
        if self.n.chain is None:
            open_terms += f" − lag {BOX}"
        else:
            known -= self.n.chain.mean
        return f"*{_ms(known)}*{open_terms}", "± 40 ms", "10, 2 ms"

    def _ends(self, low: float, high: float) -> str:
        if self.n.zero is not None:
            return self._band(low, high)
        signs = ["−" if end < 0 else "+" for end in (low, high)]
        return f"Z {signs[0]}{round(1e3 * abs(low))} to {signs[1]}{_ms(abs(high))}"

    def _keepers(self) -> str:
        if self.n.budget is None or self.n.odds is None:
            return f"you have {KEEPERS} keepers"
        share = format_number(100 * self.n.odds, 2)
        return f"{KEEPERS} keepers (by your spreads {share} % hit)"

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
