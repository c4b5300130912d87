"""Panels: controls, figure and sentence. ``from splashkit import panels; panels.flash_duration()``.

Each panel is a line in the table below and loads its own module only when it is called, so a
lesson's first panel opens fast. To add one, write its module (see ``panels/base.py``) and its line.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

# name in lessons: (module, class); the module must not have the name of a panel, which it would hide
PANELS = {
    "dark_room": ("dark", "DarkRoom"),
    "sharpness": ("sharp", "Sharpness"),
    "slow_motion": ("slow", "SlowMotion"),
    "flash_sheet": ("contact_sheets", "FlashSheet"),
    "four_ways": ("contact_sheets", "FourWays"),
    "timeline": ("chain_of_events", "Timeline"),
    "my_rig": ("rig_form", "MyRig"),
    "flash_duration": ("flash", "FlashDuration"),
    "curtains": ("shutter", "Curtains"),
    "trigger_chains": ("trigger", "TriggerChains"),
    "gap_and_height": ("gap", "GapAndHeight"),
    "outcome_map": ("gap_map", "OutcomeMap"),
    "falling": ("fall", "Falling"),
    "first_splash": ("splash", "FirstSplash"),
    "published_splash": ("published", "PublishedSplash"),
    "bowl_liquid": ("liquid", "BowlLiquid"),
    "mixing": ("mix", "Mixing"),
    "resting": ("rest", "Resting"),
    "light_placing": ("lights_plan", "LightPlacing"),
    "power_choice": ("power", "PowerChoice"),
    "run_sheet": ("runsheet_form", "RunSheet"),
    "fault_finder": ("runsheet_form", "FaultFinder"),
    "practice": ("practice_rig", "PracticeRig"),
    "shot_log": ("frames_log", "ShotLog"),
    "measure_lag": ("measuring", "MeasureLag"),
    "measure_curtains": ("measuring", "MeasureCurtains"),
    "measure_valve": ("measuring", "MeasureValve"),
    "weigh_drops": ("measuring_sizes", "WeighDrops"),
    "measure_flash": ("measuring_sizes", "MeasureFlash"),
}


def __getattr__(name: str) -> Any:
    if name not in PANELS:
        raise AttributeError(f"There is no panel called {name!r}. There are: {', '.join(PANELS)}.")
    module, kind = PANELS[name]
    return getattr(import_module(f"splashkit.panels.{module}"), kind)


def __dir__() -> list[str]:
    return [*PANELS, "PANELS"]
