"""Lesson 04's panel: who fires whom, what to set on the timer, and the trail that room light leaves."""

from __future__ import annotations

from functools import cache, lru_cache
from types import SimpleNamespace
from typing import Any

from splashkit import chains, drops, flash, picture, sync, units
from splashkit.panels.base import Panel
from splashkit.panels.controls import Control, Ladder, Number, Pick, Tick, inside

KINDS = (("front curtain", "front"), ("rear curtain", "rear"), ("open flash", "open"))
NAMES = {"front": "Front curtain", "rear": "Rear curtain", "open": "Open flash"}
LINKS = (("cable", "cable"), ("radio", "radio"))
ROOMS = (
    ("dark", 0.0),
    ("5 stops under the flash", 1 / 32),
    ("2 stops under the flash", 1 / 4),
    ("as bright as the flash", 1.0),
    ("one stop brighter than the flash", 2.0),
)
TIMES = tuple(time for time in units.SHUTTER_TIMES if 1 / 250 <= time <= 1)
OPEN_TIME = 1.0  # s: how long a shutter held open by hand stays open here (assumed)
SCALE, PIXELS = 0.8, (480, 320)
SMALL_PANEL = picture.Lighting(half_angle=0.245)  # 14 deg: the drop stands dark, so its trail shows
BULB_REAR = "On bulb the rear curtain's flash fires when you let the shutter go: no timing at all."
words = units.format_quantity


def spread_words(spread: float) -> str:
    """Write a spread in milliseconds throughout, so that chains compare at a glance."""
    return f"±{units.format_number(1e3 * spread, 2)} ms"


def frame(
    kind: str, exposure: float, travel: float, late: float, level: float, ambient: float, speed: float, diameter: float
) -> picture.Frame:
    """Record the frame of one chain; ``late`` is how late the light is."""
    camera = picture.Camera(magnification=SCALE, pixels=PIXELS)
    shutter = sync.Shutter(exposure, travel, "open" if kind == "open" else "focal_plane")
    scene, fires = picture.falling_drop(diameter, speed), flash_after(kind, exposure, travel)
    return picture.record(
        scene, camera, weak_flash(), shutter, moment=late, flash_time=fires, flash_level=level, ambient=ambient,
        lighting=SMALL_PANEL,
    )  # fmt: skip


@lru_cache(maxsize=48)
def recorded(*settings: Any) -> tuple[bytes, str]:
    """Give a frame as JPEG bytes, and what to know about it."""
    from splashkit.figures.base import jpeg_bytes

    made = frame(*settings)
    return jpeg_bytes(made.screen()), made.note


@cache
def weak_flash() -> Any:
    """Make the light of the flash once."""
    return flash.light_curve("quench", 1 / 64)


def flash_after(kind: str, exposure: float, travel: float) -> float:
    """Give the time from the first curtain's start (or the open shutter's first light) to the flash."""
    if kind == "open":
        return exposure / 2
    return float(sync.flash_time(kind, exposure, travel, 0.0, chains.FLASH_DELAY[0], chains.REAR_MARGIN))


# buttons: each starts from the rig's numbers in a dark room, and changes these
PRESETS: dict[str, dict[str, Any]] = {
    "Ghost: room light on at 1/125": {"exposure": 1 / 125, "room": 2.0, "right": "rear"},
    "Same delay, other chain": {"exposure": 1 / 60, "same": True, "right": "rear"},
    "Unsteady shutter lag": {"lag_spread": 5e-3},
    "Bulb with 250 ms of lag": {"bulb": True, "lag": 0.25},
}


class TriggerChains(Panel):
    """Shutter lag, shutter time, link and room light; the delay to set in each chain, and its frames."""

    title = "Who fires whom?"
    lead = "Change the shutter lag, then the shutter time. Watch which chain needs another delay on the timer."
    legend_words = (
        ("Dashed upright line", "the moment at which the light is wanted"),
        ("White bar, grey outline", "the delay set on the timer, from the valve's signal to that of camera or flash"),
        ("Blue bar", "shutter lag: from the camera's signal to the start of the front curtain"),
        ("Thin red bar", "front curtain: its travel; rear curtain: the exposure up to the flash"),
        ("Star with whiskers", "the light, and its spread: two frames in three fall inside"),
        ("Thin light-blue strip", "when the shutter is open: room light records all that happens there"),
        ("Grey bar and line at the top", "the valve's own delay, then the fall of the drop to the water"),
        ("Photographs", "the same drop as two of the chains record it; the frame's middle is where it was wanted"),
    )

    def make_controls(self, rig: Any) -> list[Control]:
        """Make the controls."""
        self.diameter, self.travel = self.start("first_diameter", 4e-3), self.start("curtain_travel", 3e-3)
        self.valve = self.start("valve_delay", 0.012)
        height = drops.fall_height(self.start("nozzle_height", 0.25), self.diameter)
        fall = drops.fall(height, self.diameter, release_speed=self.start("release_speed", 0.0))
        self.speed, self.touch = float(fall.speed), self.valve + float(fall.time)
        moment = min(max(round(self.touch - 0.01, 3), 0.02), 1.0)
        lag = min(self.start("shutter_lag", 0.065), 0.3)
        spread = min(self.start("shutter_lag_spread", 5e-4), 0.02)
        exposure = units.nearest_mark(min(max(self.start("exposure_time", 0.1), TIMES[0]), TIMES[-1]), TIMES)
        plain = {"lag": lag, "lag_spread": spread, "exposure": exposure, "bulb": False, "room": 0.0, "same": False,
                 "left": "front", "right": "open"}  # fmt: skip
        self.presets = {name: {**plain, **changed} for name, changed in PRESETS.items()}
        return [
            Number("lag", "Shutter lag", "s", 0.0, 0.3, lag, display="ms", step=5.0),
            Number("lag_spread", "Spread of the lag", "s", 0.0, 0.02, spread, display="ms", step=0.1),
            Ladder("exposure", "Shutter time", TIMES, "shutter", exposure),
            Tick("bulb", "Bulb: the shutter is held open by hand", False),
            Pick("link", "Link", LINKS, self.start("link", "cable")),
            Number("moment", "Light wanted after the valve's signal", "s", 0.02, 1.0, moment, display="ms", step=1.0,
                   quantity="time from the valve's signal to the light"),
            Pick("room", "Room light during the shutter time", ROOMS, 0.0),
            Tick("same", "Leave the timer as it is for the front curtain", False),
            Pick("left", "First photograph", KINDS, "front"),
            Pick("right", "Second photograph", KINDS, "open"),
        ]  # fmt: skip

    def make_figures(self) -> list[Any]:
        """Make the figure."""
        from splashkit.figures.trigger import ChainFigure

        return [ChainFigure()]

    def compute(self, state: Any) -> Any:
        """Compute all three chains."""
        exposure = OPEN_TIME if state.bulb else state.exposure
        made = {}
        for _, kind in KINDS:
            made[kind] = self._chain(kind, state, OPEN_TIME if kind == "open" else exposure)
        front = made["front"]
        for kind, one in made.items():
            if one.chain is not None:
                set_to = front.needed if state.same and front.needed is not None else one.needed
                self._place(kind, one, set_to, state)
        return SimpleNamespace(chains=made, moment=state.moment, valve=self.valve, touch=self.touch)

    def _chain(self, kind: str, state: Any, exposure: float) -> Any:
        """Make one chain, or say why there is none."""
        one = SimpleNamespace(kind=kind, chain=None, needed=None, set_to=None, light=None, spread=0.0, bars={},
                              open=(0.0, 0.0), late=0.0, exposure=exposure, refused="", words="")  # fmt: skip
        try:
            if kind == "rear" and state.bulb:
                raise ValueError(BULB_REAR)
            one.chain = chains.light_chain(kind, state.lag, state.lag_spread, self.travel, exposure, state.link)
        except ValueError as refusal:
            one.refused = str(refusal)
            one.words = "on bulb: fires when you let go" if state.bulb else "not possible: see the sentence below"
            return one
        one.needed, one.spread = state.moment - one.chain.mean, one.chain.spread
        return one

    def _place(self, kind: str, one: Any, set_to: float, state: Any) -> None:
        """Put a chain on the time axis for a delay set on the timer."""
        one.set_to, one.light = set_to, set_to + one.chain.mean
        one.late = one.light - state.moment
        signal = set_to + (one.chain.stages[0].mean if kind != "open" else 0.0)
        one.bars = {"timer": (min(set_to, 0.0) if set_to < 0 else 0.0, max(set_to, 0.0))}
        if kind == "open":
            middle = one.light
            one.open = (middle - OPEN_TIME / 2, middle + OPEN_TIME / 2)
        else:
            starts = signal + state.lag
            one.bars["lag"] = (signal, starts)
            one.bars["curtain"] = (starts, one.light - chains.FLASH_DELAY[0])
            one.open = (starts, starts + self.travel + one.exposure)
        if set_to < 0:
            one.bars.pop("timer")
            one.words = (f"the camera must be fired {words(-set_to, 's')} before the valve; "
                         f"spread {spread_words(one.spread)}")  # fmt: skip
        else:
            one.words = f"set {words(set_to, 's', 4)}: light at {words(one.light, 's', 4)} {spread_words(one.spread)}"

    def photos(self, state: Any, result: Any) -> list[str]:
        """Record the drop by the two chains chosen."""
        from splashkit.figures.base import photo_html

        shown = []
        for kind in (state.left, state.right):
            one = result.chains[kind]
            if one.chain is None:
                continue
            # flash and room together are a correct exposure at the shutter time set; a shutter open longer gets more
            level = 1 / (1 + state.room)
            ambient = min(level * state.room * one.exposure / state.exposure, 1e3)
            late = float(f"{one.late:.9f}")
            data, note = recorded(kind, one.exposure, self.travel, late, level, ambient, self.speed, self.diameter)
            caption = f"{NAMES[kind]}: {self._seen(state, one, note)}"
            shown.append(photo_html(data, f"Recorded frame. {caption}", caption, *PIXELS))
        return shown

    def _seen(self, state: Any, one: Any, note: str) -> str:
        if note:
            return inside(note)
        place = "the drop is where it was wanted"
        scatter = one.spread * self.speed
        if scatter > self.diameter / 2:
            place += f", give or take {words(scatter, 'm', 2)}"
        if one.set_to < 0:
            place = "with the camera fired before the valve, " + place
        if abs(one.late) > 1e-5:
            way = "below" if one.late > 0 else "above"
            place = f"the drop is {words(abs(one.late) * self.speed, 'm', 2)} {way} the place wanted"
        if state.room == 0:
            return f"{place}."
        behind, ahead = self._ghost(one)
        if one.kind == "open":
            return f"{place}; room light fogs the frame, with a trail above and below."
        side, length = ("below", ahead) if ahead > behind else ("above", behind)
        return f"{place}; room light draws a trail {words(length, 'm', 2)} long {side} it."

    def _ghost(self, one: Any) -> tuple[float, float]:
        after = flash_after(one.kind, one.exposure, self.travel)
        after -= 0.0 if one.kind == "open" else self.travel / 2  # the middle row opens halfway through the travel
        ghost = sync.ghost_lengths(self.speed, one.exposure, min(max(after, 0.0), one.exposure))
        return float(ghost.behind), float(ghost.ahead)

    def say(self, state: Any, result: Any) -> tuple[str, str]:
        """Say what to set in each chain, and which one is punctual."""
        parts = []
        for kind, one in result.chains.items():
            if one.chain is None:
                parts.append(one.refused if state.bulb else f"{NAMES[kind]}: {one.refused}")
            elif one.set_to < 0:
                parts.append(f"{NAMES[kind]}: no delay is short enough; the camera would have to be fired "
                             f"{words(-one.set_to, 's')} before the valve.")  # fmt: skip
            else:
                parts.append(f"{NAMES[kind]}: set {words(one.set_to, 's', 4)}, light at {words(one.light, 's', 4)}.")
        return " ".join(parts), self._verdict(state, result)

    def _verdict(self, state: Any, result: Any) -> str:
        front, rear = result.chains["front"], result.chains["rear"]
        if state.same and rear.chain is not None and abs(rear.late) > 1e-4:
            return (f"With the front curtain's delay left in, the rear curtain's light is {words(rear.late, 's')} "
                    f"late: the drop is {words(rear.late * self.speed, 'm', 2)} lower.")  # fmt: skip
        if front.chain is None:
            return "Only the open flash works here."
        open_spread = result.chains["open"].spread
        if front.spread < 1.5 * open_spread:
            return "All chains repeat about equally well."
        most = chains.jitter_budget(front.chain)[0]
        return (f"From frame to frame the light moves by {spread_words(front.spread)} with the camera in the chain, "
                f"±{words(front.spread * self.speed, 'm', 2)} of fall, most of it from the {most.name}. "
                f"Open flash: {spread_words(open_spread)}.")  # fmt: skip

    def alt(self, state: Any, result: Any) -> str:
        """Say what the figure shows."""
        parts = [f"{NAMES[kind]}: {one.words}" for kind, one in result.chains.items()]
        return f"Bars of delays for three chains; light wanted at {words(state.moment, 's')}. {'. '.join(parts)}."

    def relations(self, state: Any, result: Any) -> list[tuple[Any, dict[str, float]]]:
        """Show the three sums with the present numbers."""
        link, start = chains.LINK_DELAYS[state.link][0], chains.FLASH_DELAY[0]
        both = {"link": link, "flash_delay": start}
        pairs = [("front_light", {**both, "shutter_lag": state.lag, "curtain_travel": self.travel})]
        if result.chains["rear"].chain is not None:
            rear = {"exposure_time": state.exposure, "margin": chains.REAR_MARGIN}
            pairs += [("rear_light", {**both, "shutter_lag": state.lag, **rear}),
                      ("rear_less_front", {**rear, "curtain_travel": self.travel})]  # fmt: skip
        return [*pairs, ("open_light", both)]
