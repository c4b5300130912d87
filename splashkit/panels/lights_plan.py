"""Lesson 10's first panel: where the lights go, and how wide a dark edge they draw on a drop."""

from __future__ import annotations

import math
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

from splashkit import flash, lights, picture, sync, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number

# what the dark edge does to the picture, as a share of the drop's radius (common practice, no source)
THIN, CLEAR, THICK = 0.08, 0.35, 0.65
PIXELS = (330, 330)
SIDE = 0.018  # m on the sensor
SHUTTER = sync.Shutter(0.5, kind="open")
POWERS = units.FLASH_POWERS
words = units.format_quantity


def _mm(length: Any) -> str:
    return f"{units.format_number(1e3 * float(length), 2)} mm"


@lru_cache(maxsize=48)
def frame(diameter: float, half_angle: float, key: float, key_half: float) -> bytes:
    """Record the drop before a round light of this half-angle, as JPEG bytes."""
    from splashkit.figures.base import jpeg_bytes

    camera = picture.Camera(magnification=SIDE / (2.2 * diameter), sensor=(SIDE, SIDE), pixels=PIXELS)
    lighting = picture.Lighting(half_angle=half_angle, key=key, key_half_angle=key_half)
    light = flash.exponential(1e-6)
    shot = picture.record(picture.falling_drop(diameter, 1.0), camera, light, SHUTTER, flash_time=0.1,
                          lighting=lighting)  # fmt: skip
    return jpeg_bytes(shot.screen())


class LightPlacing(Panel):
    """Size and place of a back light and a front light; the drop's dark edge, the powers, the falloff."""

    title = "Where do the lights go?"
    lead = "Change the size of the back light first, then its distance. Watch the edge of the drop."
    presets = {
        "Large softbox": {"width": 0.6, "height": 0.6, "distance": 0.5},
        "Small softbox": {"width": 0.2, "height": 0.2, "distance": 0.5},
        "Upright strip": {"width": 0.2, "height": 0.6, "distance": 0.5},
        "Lying strip": {"width": 0.6, "height": 0.2, "distance": 0.5},
    }
    legend_words = (
        ("Orange bar", "the back light, from above; the orange area is what the drop sees of it"),
        ("Blue bar", "the front light, beside the camera; its dotted line leads to the drop"),
        ("Black dot", "the drop"),
        ("Pale part of the large drop", "where the camera sees the back light through the drop: bright"),
        ("Dark part of the large drop", "where the ray to the camera came from past the light's edge"),
        ("Red line, blue line", "the dark edge at the side, and at the top"),
        ("Curve", "the dark edge for any light; round mark: left and right, diamond: top and bottom"),
        ("Photographs", "the drop as a camera records it, in front of a round light as wide, and as high, as yours"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        self.diameter = min(max(self.start("first_diameter", 4e-3), 1e-3), 8e-3)
        self.scale, self.pupils = self.start("magnification", 0.5), self.start("pupil_ratio", 1.0)
        number = min(max(self.start("flash_guide_number", 36.0), 5.0), 100.0)
        return [
            Number("width", "Back light, width", "m", 0.04, 1.2, 0.6, display="cm", step=2.0,
                   quantity="width of the back light"),
            Number("height", "Back light, height", "m", 0.04, 1.2, 0.6, display="cm", step=2.0,
                   quantity="height of the back light"),
            Number("distance", "Back light to drop", "m", 0.1, 1.5, 0.5, display="cm", step=2.0,
                   quantity="distance from back light to drop"),
            Number("front_size", "Front light, width", "m", 0.04, 1.2, 0.3, display="cm", step=2.0,
                   quantity="width of the front light"),
            Number("front_distance", "Front light to drop", "m", 0.1, 1.5, 0.6, display="cm", step=2.0,
                   quantity="distance from front light to drop"),
            Number("front_level", "Front light against the back light", "stop", -4.0, 2.0, -1.0, step=0.5,
                   display="stops", quantity="level of the front light"),
            Number("loss", "Each diffuser takes", "stop", 0.0, 8.0, 2.0, step=0.5, display="stops",
                   quantity="stops lost in each diffuser", advice="0 for a bare flash; measure it with a test frame"),
            Number("depth", "Depth of the scene", "m", 0.01, 0.4, 0.1, display="cm", step=1.0),
            Number("guide_number", "Guide number of each unit", "m", 5.0, 100.0, number, display="m", step=1.0),
            Ladder("aperture", "Aperture", units.APERTURES, "aperture", self.start("aperture", 11.0)),
            Ladder("iso", "ISO", units.ISO_SPEEDS, "iso", self.start("iso", 200.0)),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the three figures."""
        from splashkit.figures.lights_plan import FaceFigure, PlanFigure, RimFigure

        return [FaceFigure(), PlanFigure(), RimFigure()]

    def compute(self, state: Any) -> Any:
        """Compute the dark edge, and the powers that give both lights their levels."""
        zones = lights.rim_zones(state.width, state.height, state.distance, self.diameter)
        plan = lights.two_light_plan(
            state.guide_number, state.distance, state.guide_number, state.front_distance, state.aperture, state.iso,
            self.scale, self.pupils, 0.0, state.front_level, state.loss, state.loss, state.width,
            state.front_size, state.depth,
        )  # fmt: skip
        across, upright = (float(lights.apparent_half_angle(side, state.distance)) for side in
                           (state.width, state.height))  # fmt: skip
        return SimpleNamespace(
            zones=zones, plan=plan, half_across=across, half_upright=upright, width=state.width, height=state.height,
            distance=state.distance, front_distance=state.front_distance, front_size=state.front_size,
            depth=state.depth, diameter=self.diameter,
            spot=float(lights.highlight_size(self.diameter, state.front_size, state.front_distance)),
            back_words=f"back light {self._power(plan.back_power)}",
            front_words=f"front light\n{self._power(plan.front_power)}",
        )  # fmt: skip

    def _power(self, power: Any) -> str:
        value = float(power)
        if value > 2 ** (1 / 6):
            return "above full"
        if value < POWERS[-1] * 2 ** (-1 / 6):
            return f"below {units.format_power(POWERS[-1])}"
        return f"at 1/{units.format_number(1 / value, 2)}"

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the drop before a round light as wide, and as high, as this one."""
        from splashkit.figures.base import photo_html

        key = min(2 ** (state.front_level + 1), 8.0)
        spot = max(float(lights.apparent_half_angle(state.front_size, state.front_distance)), 0.02)
        shown = [("as wide as yours", result.half_across, result.zones.dark_across)]
        if not math.isclose(result.half_across, result.half_upright):
            shown.append(("as high as yours", result.half_upright, result.zones.dark_upright))
        else:
            shown[0] = ("of your size", *shown[0][1:])
        made = []
        for how, half, dark in shown:
            data = frame(self.diameter, round(max(half, 0.0101), 5), round(key, 5), round(spot, 5))
            alt = f"Recorded drop before a round light {how}: dark over the outer {self._percent(dark)} of its radius."
            made.append(photo_html(data, alt, f"Recorded, round light {how}", *PIXELS))
        return made

    def _percent(self, share: Any) -> str:
        return f"{units.format_number(100 * float(share), 2)} %"

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say the angles, the dark edge, the powers and the falloff."""
        zones, plan = result.zones, result.plan
        if math.isclose(result.half_across, result.half_upright):
            seen = f"The drop sees the back light out to {words(result.half_across, 'rad', 2)} on all four sides."
            wide = _mm(zones.dark_width_across)
            edge = f"The outer {self._percent(zones.dark_across)} of its radius is dark: {wide}."
        else:
            seen = (f"The drop sees the back light out to {words(result.half_across, 'rad', 2)} left and right, "
                    f"{words(result.half_upright, 'rad', 2)} up and down.")  # fmt: skip
            edge = (f"Its dark edge is {self._percent(zones.dark_across)} of the radius at the sides and "
                    f"{self._percent(zones.dark_upright)} at the top.")  # fmt: skip
        powers = (f"Back light {self._power(plan.back_power)}, front light {self._power(plan.front_power)}. "
                  f"{self._lasts(plan)}The front light's spot is {_mm(result.spot)} wide.")  # fmt: skip
        fall = (f"Across {units.format_number(100 * state.depth, 2)} cm of scene the back light loses "
                f"{self._stops(plan.back_falloff)}, the front light {self._stops(plan.front_falloff)}.")  # fmt: skip
        return f"{seen} {edge} {powers} {fall}", self._verdict(state, result)

    def _lasts(self, plan: Any) -> str:
        powers = [float(plan.back_power), float(plan.front_power)]
        if max(powers) > 1 or min(powers) < POWERS[-1]:
            return ""
        back, front = (words(float(time), "s", 2) for time in flash.durations("quench", powers)[1])
        return f"A unit that cuts its flash short then lasts {back} behind and {front} in front. "

    def _stops(self, stops: Any) -> str:
        return f"{units.format_number(float(stops), 2)} stop{'' if float(stops) <= 1 else 's'}"

    def _verdict(self, state: Any, result: Any) -> str:
        strongest = max(float(result.plan.back_power), float(result.plan.front_power))
        if strongest > 2 ** (1 / 6):
            return f"Too little light by {self._stops(math.log2(strongest))}: come closer, open up, or raise the ISO."
        over = {where: math.log2(POWERS[-1] / float(power)) for where, power in
                (("back", result.plan.back_power), ("front", result.plan.front_power))}  # fmt: skip
        strong = [where for where, stops in over.items() if stops > 1 / 6]
        if strong:
            least = f"even at {units.format_power(POWERS[-1])} power"
            if len(strong) == 2:
                return (f"Too much light by {self._stops(max(over.values()))}, {least}: close the aperture, lower the "
                        "ISO, or take thicker diffusers.")  # fmt: skip
            return (f"Too much light from the {strong[0]} light by {self._stops(over[strong[0]])}, {least}: move that "
                    "light away, or take a thicker diffuser there.")  # fmt: skip
        dark = min(float(result.zones.dark_across), float(result.zones.dark_upright))
        widest = max(float(result.zones.dark_across), float(result.zones.dark_upright))
        if widest - dark > 0.15:
            way = "sides" if result.zones.dark_across > result.zones.dark_upright else "top and bottom"
            return f"The strip draws thick edges at the {way}: the drop looks modelled, like a bottle in a window."
        if widest < THIN:
            return "Almost no edge: the drop drowns in the bright background."
        if widest < CLEAR:
            return "A clear dark edge: the drop stands out from the bright background."
        if widest < THICK:
            return "A thick dark edge: a drop with a bright window in it."
        return "Mostly dark: a small bright picture of the light in a black ball."

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figures show."""
        zones = result.zones
        return (
            f"Back light {words(state.width, 'm', 2)} wide and {words(state.height, 'm', 2)} high, "
            f"{words(state.distance, 'm', 2)} behind the drop. Dark edge: {self._percent(zones.dark_across)} of the "
            f"radius at the sides, {self._percent(zones.dark_upright)} at the top. {result.back_words}, "
            f"{result.front_words.replace(chr(10), ' ')}, {words(state.front_distance, 'm', 2)} away."
        )

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show angle, bright share, the back light's power and its falloff."""
        return [
            ("light_half_angle", {"size": state.width, "distance": state.distance}),
            ("bright_share", {"index": lights.WATER_INDEX, "half_angle": result.half_across}),
            ("light_power", {"level": state.loss, "distance": state.distance, "aperture": state.aperture,
                             "magnification": self.scale, "pupil_ratio": self.pupils,
                             "guide_number": state.guide_number, "iso": state.iso}),
            ("light_falloff", {"near": state.distance, "depth": state.depth, "size": state.width}),
        ]  # fmt: skip
