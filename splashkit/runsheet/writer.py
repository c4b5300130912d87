"""How a number is written on a run sheet: bold, in the learner's units, or as a box to fill in."""

from __future__ import annotations

from splashkit.runsheet.fixed import BOX
from splashkit.runsheet.numbers import Numbers
from splashkit.units import format_measure, format_number


def whole_ms(time: float) -> str:
    return f"{format_number(round(1e3 * float(time)), 4)} ms"


def short_mm(length: float, digits: int = 2) -> str:
    # what is judged on the screen stays in millimetres; what is measured with a tape may be in inches
    return f"{format_number(1e3 * float(length), digits)} mm"


def span(low: float, high: float) -> str:
    return f"{round(1e3 * float(low))} to {whole_ms(high)}"


class Writer:
    """Writes the numbers of one run sheet; who writes its parts builds on it."""

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

    def at(self, after_contact: float, more: str = "") -> str:
        """Write a delay: on the timer where the lags are known, and counted from Z; ``more`` goes into its bracket."""
        sign = "+" if after_contact >= 0 else "−"
        from_zero = f"Z {sign} {whole_ms(abs(after_contact))}"
        setting = self.n.setting(after_contact)
        if setting is None:
            bold, notes = from_zero, [more]
        elif setting < 0:
            bold, notes = from_zero, ["before the valve: raise the nozzle, or use an open shutter", more]
        else:
            bold, notes = whole_ms(setting), [from_zero, more]
        said = "; ".join(note for note in notes if note)
        return f"*{bold}* ({said})" if said else f"*{bold}*"

    def short(self, after_contact: float) -> str:
        """Write a delay in one way only."""
        setting = self.n.setting(after_contact)
        return f"*Z + {whole_ms(after_contact)}*" if setting is None else f"*{whole_ms(setting)}*"

    def band(self, low: float, high: float) -> str:
        zero = self.n.zero or 0.0
        return span(zero + low, zero + high)
