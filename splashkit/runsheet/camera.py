"""The parts of a run sheet that stand behind the lens and the lamps."""

from __future__ import annotations

from splashkit import lens
from splashkit.runsheet.fixed import BOX, Part
from splashkit.runsheet.writer import Writer, short_mm
from splashkit.units import format_aperture, format_number, format_power, format_quantity, format_shutter


class CameraParts(Writer):
    """Writes what is set on camera and flash; one method a part."""

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
                         f"*{short_mm(best.motion_blur)}*. Sharp over *{short_mm(best.depth)}*.")  # fmt: skip
            if chosen.possible:
                lines.append(chosen.reasons[-1])
            else:
                lines.append(f"*Not all wishes fit*, this is nearest. {chosen.changes[0].sentence}")
        return Part("Flash", tuple(lines))

    def _rim(self) -> str:
        if self.n.rim is None:
            return ""
        return f" (outer {format_number(100 * self.n.rim, 2)} % of the drop's radius is dark)"
