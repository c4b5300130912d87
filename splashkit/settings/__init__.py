"""Power, aperture, ISO and distance as one solved problem: every setting that meets a wish, or the nearest wish."""

from splashkit.settings.answer import Cost, Margin, Plan, choose_settings, with_changes
from splashkit.settings.solve import Change, Setting
from splashkit.settings.wish import Gear, Wish

__all__ = ["Change", "Cost", "Gear", "Margin", "Plan", "Setting", "Wish", "choose_settings", "with_changes"]
