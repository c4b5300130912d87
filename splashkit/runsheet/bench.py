"""The parts of a run sheet that stand at the bench: timer, liquid and drops, and the order of the search."""

from __future__ import annotations

import math

from splashkit import splash, timing
from splashkit.drops import sphere_volume
from splashkit.runsheet.fixed import BOX, Grid, Part
from splashkit.runsheet.numbers import KEEPERS
from splashkit.runsheet.writer import Writer, span, whole_ms
from splashkit.units import format_number, format_quantity

NAMES = {"front": "front curtain", "rear": "rear curtain", "open": "open shutter"}
LIQUIDS = {
    "water": "Water", "milk": "Milk", "glycerol_water": "Glycerol and water", "thickened_water": "Thickened water",
    "other": "Your own liquid",
}  # fmt: skip


class BenchParts(Writer):
    """Writes what is set before the camera; one method a part."""

    def timer(self) -> Part:
        rig, plan = self.rig, self.n.meeting
        signal = "flash" if rig.chain == "open" else "camera"
        lines = [
            f"First drop: valve open from 0 for {self._opening(rig.first_opening)}.",
            "Gap, first to second signal: "
            + (f"{BOX} ms. {self.n.no_meeting}" if plan is None else
               f"*{whole_ms(plan.gap.value)}* (look from {span(plan.gap.low, plan.gap.high)}).")
            + f" Second drop: {self._opening(rig.second_opening)}.",
        ]  # fmt: skip
        if plan is not None:
            light = self.n.after(plan.delay)
            ends = "" if self.n.zero is None else f"look from {self.band(light.low, light.high)}"
            lines.append(f"Delay, first signal to {signal} signal: {self.at(light.value, ends)}.")
            found = f"model *{whole_ms(self.n.zero)}*, found {BOX} ms" if self.n.zero is not None else f"found {BOX} ms"
            lines.append(f"Z, the delay at which the first drop just touches: {found}.")
        lines.append(self._chain())
        return Part("Set on the timer", tuple(lines))

    def _opening(self, opening: float | None) -> str:
        return f"{BOX} ms" if opening is None else f"*{whole_ms(opening)}*"

    def _chain(self) -> str:
        rig, chain = self.rig, self.n.chain
        if rig.chain is None:
            return f"Chain: front curtain {BOX}, rear curtain {BOX} or open shutter {BOX}."
        link = rig.link or "cable"
        middle = {
            "front": f"timer, {link}, camera, front curtain, flash", "open": f"timer, {link}, flash; shutter held open",
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
            ("3", "Gap, and delay with it", f"*{whole_ms(plan.gap.value)}*; delay {self.short(touch.value)}",
             span(plan.gap.low, plan.gap.high), "5 ms", "second drop lands on the column's tip"),
            ("4", f"Delay to the {signal}", self.at(light.value), self._ends(*ends), "2 ms",
             f"sheet widest (model {self.plain(2 * float(plan.sheet.radius_max.value), digits=2)} across)"),
            last,
        )  # fmt: skip
        return Grid("In which order to search: the gap first, then the light", head, rows, shares)

    def _first_search(self) -> tuple[str, str, str]:
        """Give start, range and step of the search for Z: what is known of it, with boxes for the rest."""
        if self.n.zero is not None:
            return f"*{whole_ms(self.n.zero)}* (Z)", self.band(-0.01, 0.01), "2 ms"
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
        return f"*{whole_ms(known)}*{open_terms}", "± 40 ms", "10, 2 ms"

    def _ends(self, low: float, high: float) -> str:
        if self.n.zero is not None:
            return self.band(low, high)
        signs = ["−" if end < 0 else "+" for end in (low, high)]
        return f"Z {signs[0]}{round(1e3 * abs(low))} to {signs[1]}{whole_ms(abs(high))}"

    def _keepers(self) -> str:
        if self.n.budget is None or self.n.odds is None:
            return f"you have {KEEPERS} keepers"
        share = format_number(100 * self.n.odds, 2)
        return f"{KEEPERS} keepers (by your spreads {share} % hit)"
