"""How sharp: depth of field, diffraction, motion, and all of them together.

Blur is counted on the sensor unless said otherwise; divide by the magnification for the subject.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from splashkit.checks import Number, checked
from splashkit.lens.geometry import _in_front
from splashkit.lens.ranges import BLUR_CIRCLE, RANGES, WAVELENGTH

AIRY = 2.44  # diameter of the first dark ring in units of wavelength times f-number: textbook value, 2 x 1.21967


class DepthOfField(NamedTuple):
    """Depth that looks sharp in front of and behind the focus target, and both together [m]."""

    near: Any
    far: Any
    total: Any


class BestAperture(NamedTuple):
    """The f-number to set, the working f-number it becomes, and the blurs on the sensor there [m]."""

    f_number: Any
    effective: Any
    defocus: Any
    airy: Any
    together: Any


class Blur(NamedTuple):
    """One blur on the sensor [m], on the subject [m], in pixels, and as a share of the drop's diameter."""

    sensor: Any
    subject: Any
    pixels: Any
    share: Any


class BlurBudget(NamedTuple):
    """Every blur in a frame, each as a :class:`Blur`, and their root-sum-square."""

    motion: Blur
    defocus: Blur
    diffraction: Blur
    pixel: Blur
    together: Blur

    @property
    def largest(self) -> Any:
        """Name the part that blurs most: the one to work on first."""
        names = np.array(["motion", "defocus", "diffraction", "pixel"])
        sizes = np.stack(np.broadcast_arrays(*(part.sensor for part in self[:4])))
        found = names[np.argmax(sizes, axis=0)]
        return str(found) if np.ndim(found) == 0 else found


def effective_aperture(f_number: Number, magnification: Number, pupil_ratio: Number = 1.0) -> Any:
    """Return the f-number the lens really works at when focused close.

    .. math:: N_{eff} = N (1 + m/P)

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Working f-number [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics. Some cameras already show this number when focused close: do not apply it twice.

    Examples
    --------
    >>> float(effective_aperture(8, 1))
    16.0

    References
    ----------
    Derived here and ray traced; pupil ratio as in van Walree, Derivation of the DOF equations.
    """
    aperture, scale, pupils = checked(
        {**RANGES, "magnification": RANGES["any_magnification"]},
        f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio,
    )  # fmt: skip
    return aperture * (1 + scale / pupils)


def depth_of_field(
    focal_length: Number,
    f_number: Number,
    magnification: Number,
    pupil_ratio: Number = 1.0,
    blur_circle: Number = BLUR_CIRCLE,
) -> DepthOfField:
    """Return the depth that looks sharp around the focus target.

    .. math:: \\mathrm{near} = \\frac{c\\,s_e}{m f/N + c}, \\quad \\mathrm{far} = \\frac{c\\,s_e}{m f/N - c}

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    DepthOfField
        Near, far and total depth; far is infinite beyond the hyperfocal setting [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics, without diffraction. The far side is always the deeper one.

    Examples
    --------
    >>> depth = depth_of_field(0.1, 8, 1)
    >>> round(float(depth.near) * 1e3, 5), round(float(depth.far) * 1e3, 5)
    (0.47885, 0.48115)

    References
    ----------
    Derived here from similar triangles at the entrance pupil, ray traced; van Walree, Derivation of the DOF equations.
    """
    focal, aperture, scale, pupils, circle = checked(
        RANGES, focal_length=focal_length, f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio,
        blur_circle=blur_circle,
    )  # fmt: skip
    reach = focal * (1 / scale + 1 / pupils)
    opening = scale * focal / aperture
    near = circle * reach / (opening + circle)
    with np.errstate(divide="ignore"):
        far = circle * reach / np.maximum(opening - circle, 0.0)
    return DepthOfField(near, far, near + far)


def depth_of_field_close_up(
    f_number: Number, magnification: Number, pupil_ratio: Number = 1.0, blur_circle: Number = BLUR_CIRCLE
) -> Any:
    """Return the total depth that looks sharp, in the short form for close work.

    .. math:: Z = 2 N c (1 + m/P) / m^2

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    float or array
        Total depth [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid where N c is far below m f, so for magnifications above about 0.2. The focal length drops out.

    Examples
    --------
    >>> round(float(depth_of_field_close_up(8, 0.5)) * 1e3, 4)
    2.88

    References
    ----------
    Limit of :func:`depth_of_field`; derived here.
    """
    aperture, scale, pupils, circle = checked(
        RANGES, f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio, blur_circle=blur_circle
    )
    return 2 * aperture * circle * (1 + scale / pupils) / scale**2


def aperture_for_depth(
    focal_length: Number,
    depth: Number,
    magnification: Number,
    pupil_ratio: Number = 1.0,
    blur_circle: Number = BLUR_CIRCLE,
) -> Any:
    """Return the f-number at which a wanted depth just looks sharp.

    .. math:: N = \\frac{m^2 Z}{c \\left( q + \\sqrt{q^2 + m^2 Z^2 / f^2} \\right)}, \\quad q = 1 + m/P

    Parameters
    ----------
    focal_length : float or array
        Focal length at this focus [m].
    depth : float or array
        Total depth wanted [m].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    blur_circle : float or array
        Largest defocus disc allowed on the sensor [m].

    Returns
    -------
    float or array
        F-number to set; it may lie beyond what the lens offers [1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for paraxial optics, without diffraction: look at :func:`best_aperture` beside it.

    Examples
    --------
    >>> round(float(aperture_for_depth(0.072, 2.880128e-3, 0.5)), 4)
    8.0

    References
    ----------
    The depth of field formula solved for the f-number; derived here.
    """
    focal, wanted, scale, pupils, circle = checked(
        RANGES, focal_length=focal_length, depth=depth, magnification=magnification, pupil_ratio=pupil_ratio,
        blur_circle=blur_circle,
    )  # fmt: skip
    factor = 1 + scale / pupils
    return scale**2 * wanted / (circle * (factor + np.sqrt(factor**2 + (scale * wanted / focal) ** 2)))


def defocus_blur(
    offset: Number, focal_length: Number, f_number: Number, magnification: Number, pupil_ratio: Number = 1.0
) -> Any:
    """Return the disc a point off the focus plane becomes on the sensor.

    .. math:: b = m \\frac{f}{N} \\frac{|\\delta|}{s_e + \\delta}

    Parameters
    ----------
    offset : float or array
        Distance behind the focus plane, negative in front [m].
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].

    Returns
    -------
    float or array
        Diameter of the disc on the sensor [m].

    Raises
    ------
    ValueError
        If a value is out of range, or the point lies behind the entrance pupil.

    Notes
    -----
    Valid for paraxial optics, without diffraction.

    Examples
    --------
    >>> round(float(defocus_blur(0.002, 0.1, 11, 0.5)) * 1e6, 1)
    30.1

    References
    ----------
    Similar triangles at the entrance pupil; derived here and ray traced.
    """
    shift, focal, aperture, scale, pupils = checked(
        RANGES, offset=offset, focal_length=focal_length, f_number=f_number, magnification=magnification,
        pupil_ratio=pupil_ratio,
    )  # fmt: skip
    reach = focal * (1 / scale + 1 / pupils)
    _in_front(shift, reach)
    return scale * focal / aperture * np.abs(shift) / (reach + shift)


def airy_diameter(
    f_number: Number, magnification: Number = 0.0, pupil_ratio: Number = 1.0, wavelength: Number = WAVELENGTH
) -> Any:
    """Return the disc that diffraction makes of a point, on the sensor.

    .. math:: a = 2.44 \\, \\lambda N (1 + m/P)

    Parameters
    ----------
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    float or array
        Diameter of the first dark ring on the sensor [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for a round aperture and a well-made lens. Half of the light's peak is left at 0.42 of this width.

    Examples
    --------
    >>> round(float(airy_diameter(11, 0.5)) * 1e6, 2)
    22.14

    References
    ----------
    Textbook optics (from memory).
    """
    aperture, scale, pupils, length = checked(
        {**RANGES, "magnification": RANGES["any_magnification"]},
        f_number=f_number, magnification=magnification, pupil_ratio=pupil_ratio, wavelength=wavelength,
    )  # fmt: skip
    return AIRY * length * aperture * (1 + scale / pupils)


def best_aperture(
    depth: Number, magnification: Number, pupil_ratio: Number = 1.0, wavelength: Number = WAVELENGTH
) -> BestAperture:
    """Return the aperture that draws a wanted depth as sharply as it can be drawn.

    .. math:: N_{eff} = m \\sqrt{Z / (4.88 \\lambda)}

    Parameters
    ----------
    depth : float or array
        Total depth wanted, focused in its middle [m].
    magnification : float or array
        Image size over subject size [1].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    BestAperture
        F-number to set, working f-number, defocus at the ends, diffraction, and both together [1, m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for close work, as a rule of thumb: more stopping down blurs everything, less blurs the ends.

    Examples
    --------
    >>> best = best_aperture(0.010, 0.5)
    >>> round(float(best.f_number), 2), round(float(best.together) * 1e6, 1)
    (20.35, 57.9)

    References
    ----------
    Least root-sum-square of defocus disc and Airy disc; derived here.
    """
    wanted, scale, pupils, length = checked(
        RANGES, depth=depth, magnification=magnification, pupil_ratio=pupil_ratio, wavelength=wavelength
    )
    working = scale * np.sqrt(wanted / (2 * AIRY * length))
    airy = AIRY * length * working
    defocus = wanted * scale**2 / (2 * working)
    return BestAperture(working / (1 + scale / pupils), working, defocus, airy, np.hypot(airy, defocus))


def motion_blur(speed: Number, light_time: Number, magnification: Number = 1.0) -> Any:
    """Return the trail a moving thing draws on the sensor while the light lasts.

    .. math:: b = v \\, t \\, m

    Parameters
    ----------
    speed : float or array
        Speed across the view at that instant [m/s].
    light_time : float or array
        Time the light lasts: t0.1 for the trail that is seen [s].
    magnification : float or array
        Image size over subject size; 1 gives the trail on the subject [1].

    Returns
    -------
    float or array
        Length of the trail [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for steady speed while the light lasts. With t0.5 in place of t0.1 a full-power flash looks better than it is.

    Examples
    --------
    >>> round(float(motion_blur(3.132, 1 / 20000, 0.5)) * 1e6, 1)
    78.3

    References
    ----------
    Derived here.
    """
    pace, time, scale = checked(RANGES, speed=speed, light_time=light_time, magnification=magnification)
    return pace * time * scale


def blur_in_units(blur: Number, magnification: Number, pixel_pitch: Number, drop_diameter: Number) -> Blur:
    """Say one blur in the four ways people judge it.

    .. math:: b, \\quad b/m, \\quad b/\\mathrm{pitch}, \\quad b/(m d)

    Parameters
    ----------
    blur : float or array
        Blur on the sensor [m].
    magnification : float or array
        Image size over subject size [1].
    pixel_pitch : float or array
        Distance between pixels [m].
    drop_diameter : float or array
        Diameter of the drop [m].

    Returns
    -------
    Blur
        On the sensor, on the subject, in pixels, as a share of the drop [m, m, 1, 1].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid for any blur. Sharp is: up to 30 µm for a print, 1 to 2 pixels on the screen, 1 to 3 % of the drop.

    Examples
    --------
    >>> blur = blur_in_units(80e-6, 0.5, 4e-6, 0.005)
    >>> round(float(blur.pixels), 3), round(float(blur.share), 3)
    (20.0, 0.032)

    References
    ----------
    Definitions; the limits are common practice, no source.
    """
    size, scale, pitch, drop = checked(
        RANGES, blur=blur, magnification=magnification, pixel_pitch=pixel_pitch, drop_diameter=drop_diameter
    )
    return Blur(size + 0.0, size / scale, size / pitch, size / (scale * drop))


def blur_budget(
    speed: Number,
    light_time: Number,
    offset: Number,
    focal_length: Number,
    f_number: Number,
    magnification: Number,
    pixel_pitch: Number,
    drop_diameter: Number,
    pupil_ratio: Number = 1.0,
    wavelength: Number = WAVELENGTH,
) -> BlurBudget:
    """Return every blur in a frame and all of them together.

    .. math:: b = \\sqrt{b_{motion}^2 + b_{defocus}^2 + a^2 + \\mathrm{pitch}^2}

    Parameters
    ----------
    speed : float or array
        Speed across the view at that instant [m/s].
    light_time : float or array
        Time the light lasts, t0.1 [s].
    offset : float or array
        Distance of the thing behind the focus plane, negative in front [m].
    focal_length : float or array
        Focal length at this focus [m].
    f_number : float or array
        F-number set, as for a far subject [1].
    magnification : float or array
        Image size over subject size [1].
    pixel_pitch : float or array
        Distance between pixels [m].
    drop_diameter : float or array
        Diameter of the drop [m].
    pupil_ratio : float or array
        Exit pupil over entrance pupil diameter [1].
    wavelength : float or array
        Wavelength of the light [m].

    Returns
    -------
    BlurBudget
        Motion, defocus, diffraction, pixel and all together; ``largest`` names the worst [m].

    Raises
    ------
    ValueError
        If a value is out of range.

    Notes
    -----
    Valid as a rough sum of independent blurs: good for deciding what to work on, not for a lens test.

    Examples
    --------
    >>> budget = blur_budget(2.2, 50e-6, 0.001, 0.1, 11, 0.5, 4e-6, 0.004)
    >>> budget.largest, round(float(budget.together.pixels), 1)
    ('motion', 15.3)

    References
    ----------
    Root-sum-square of independent blurs: common practice, no source.
    """
    sizes = (
        motion_blur(speed, light_time, magnification),
        defocus_blur(offset, focal_length, f_number, magnification, pupil_ratio),
        airy_diameter(f_number, magnification, pupil_ratio, wavelength),
        RANGES["pixel_pitch"](pixel_pitch),
    )
    names = ("motion", "defocus", "airy", "pixel")
    sizes = checked(dict.fromkeys(names, RANGES["blur"]), **dict(zip(names, sizes, strict=True)))
    together = np.sqrt(sum(size**2 for size in sizes))
    return BlurBudget(*(blur_in_units(size, magnification, pixel_pitch, drop_diameter) for size in (*sizes, together)))
