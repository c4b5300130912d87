"""What the lens draws: how large, how deep, how sharp, and from which height."""

from splashkit.lens.blur import Blur, BlurBudget, blur_budget, blur_in_units, motion_blur
from splashkit.lens.depth import (
    DepthOfField,
    aperture_for_depth,
    defocus_blur,
    depth_of_field,
    depth_of_field_close_up,
    effective_aperture,
)
from splashkit.lens.diffraction import BestAperture, airy_diameter, best_aperture
from splashkit.lens.geometry import (
    entrance_pupil_distance,
    field_at_offset,
    field_of_view,
    image_distance,
    magnification_for_field,
    magnification_from_distance,
    natural_falloff,
    subject_distance,
    subject_to_sensor,
)
from splashkit.lens.view import (
    View,
    depth_span,
    focus_lean,
    focus_offset,
    hidden_by_rim,
    meeting_in_frame,
    surface_in_frame,
    view_from,
)

__all__ = [
    "BestAperture",
    "Blur",
    "BlurBudget",
    "DepthOfField",
    "View",
    "airy_diameter",
    "aperture_for_depth",
    "best_aperture",
    "blur_budget",
    "blur_in_units",
    "defocus_blur",
    "depth_of_field",
    "depth_of_field_close_up",
    "depth_span",
    "effective_aperture",
    "entrance_pupil_distance",
    "field_at_offset",
    "field_of_view",
    "focus_lean",
    "focus_offset",
    "hidden_by_rim",
    "image_distance",
    "magnification_for_field",
    "magnification_from_distance",
    "meeting_in_frame",
    "motion_blur",
    "natural_falloff",
    "subject_distance",
    "subject_to_sensor",
    "surface_in_frame",
    "view_from",
]
