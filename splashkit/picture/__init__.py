"""The recorded frame: bodies of water in motion, in front of lights, through a shutter, onto a sensor."""

from splashkit.picture.camera import ORIENTATIONS, Camera
from splashkit.picture.frame import WHITE, Frame, record
from splashkit.picture.scene import Look, Scene, Surface, collision, falling_drop
from splashkit.picture.shade import Lighting, bright_radius, display_curve, fresnel

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
    "collision",
    "display_curve",
    "falling_drop",
    "fresnel",
    "record",
]
