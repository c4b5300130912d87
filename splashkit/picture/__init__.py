"""The recorded frame: bodies of water in motion, in front of lights, through a shutter, onto a sensor."""

from splashkit.picture.camera import ORIENTATIONS, Camera
from splashkit.picture.collision import collision
from splashkit.picture.frame import WHITE, Frame, record
from splashkit.picture.levels import dark_band_share, ghost_contrast, line_levels
from splashkit.picture.optics import bright_radius, display_curve, fresnel
from splashkit.picture.readout import (
    bright_share,
    edge_width,
    height_to_width,
    size,
    slant,
    streak_length,
)
from splashkit.picture.scene import Scene, Surface, falling_drop
from splashkit.picture.shade import Lighting, Look

__all__ = [
    "ORIENTATIONS",
    "WHITE",
    "Camera",
    "Frame",
    "Lighting",
    "Look",
    "Scene",
    "Surface",
    "bright_radius",
    "bright_share",
    "collision",
    "dark_band_share",
    "display_curve",
    "edge_width",
    "falling_drop",
    "fresnel",
    "ghost_contrast",
    "height_to_width",
    "line_levels",
    "record",
    "size",
    "slant",
    "streak_length",
]
