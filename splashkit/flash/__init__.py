"""The light of a flash over time: simple shapes, three kinds of unit, a lamp's circuit, a pulsed burn."""

from splashkit.flash.burn import DUTY, GLOW, PULSE_FREQUENCY, pulsed_burn
from splashkit.flash.control import (
    DURATION_FACTOR,
    UNITS,
    capacitor_switched,
    duration_estimate,
    durations,
    light_curve,
    quench_controlled,
    quench_cut,
    voltage_controlled,
)
from splashkit.flash.curve import LightCurve
from splashkit.flash.lamp import lamp_circuit, lamp_cut, lamp_pulse
from splashkit.flash.shapes import (
    critically_damped,
    double_exponential,
    exponential,
    gaussian,
    lamp_law,
    rectangular,
    sawtooth,
    triangle,
)

__all__ = [
    "DURATION_FACTOR",
    "DUTY",
    "GLOW",
    "PULSE_FREQUENCY",
    "UNITS",
    "LightCurve",
    "capacitor_switched",
    "critically_damped",
    "double_exponential",
    "duration_estimate",
    "durations",
    "exponential",
    "gaussian",
    "lamp_circuit",
    "lamp_cut",
    "lamp_law",
    "lamp_pulse",
    "light_curve",
    "pulsed_burn",
    "quench_controlled",
    "quench_cut",
    "rectangular",
    "sawtooth",
    "triangle",
    "voltage_controlled",
]
