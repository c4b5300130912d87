"""The frame: for every line of the sensor, the scene added up over the light that line receives.

A line receives room light while it is open, and whatever the flash gives while it is open. That time is cut
into slices; in each the scene is painted once, at the middle of the slice's light, and weighed with that light.
At least one slice falls on each pixel of motion, up to a limit. A single drop on a long streak needs no such
limit: it is swept along its path exactly.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, of_kind, require, shown
from splashkit.picture.backdrop import backdrop
from splashkit.picture.camera import Camera
from splashkit.picture.fringe import Fringe
from splashkit.picture.optics import screen_table
from splashkit.picture.paint import Painter, per_line, soften, union_of
from splashkit.picture.scene import Scene, Surface
from splashkit.picture.shade import Lighting
from splashkit.picture.slices import Cut, Light, all_alike, lit_window
from splashkit.picture.streak import sweep, sweepable
from splashkit.units import format_number, format_quantity

WHITE = 0.62  # what the middle of the panel records at level 1, as a share of a full sensor
MOST_SLICES = 96
USUAL = Lighting()
DRAWN = "Fingers and droplets are drawn, not predicted."

LEVEL = Range("level of a light", "1", 0, 1e4, "1 is a correct exposure, 2 is one stop over")
INSTANT = Range("time of the flash", "s", -1e4, 1e4, "give seconds")


@dataclass(frozen=True)
class Frame:
    """One recorded frame. ``linear`` is light, 1 where the sensor is full; ``note`` says what to know about it.

    ``plate`` is the same frame with nothing in it; ``settings`` are what made it, in SI.
    """

    linear: Any
    plate: Any
    camera: Camera
    note: str = ""
    settings: dict[str, Any] = field(default_factory=dict)

    def screen(self) -> Any:
        """Return the frame as 8-bit screen values, through the display curve."""
        steps = np.multiply(self.linear, np.float32(4095))
        np.minimum(steps, np.float32(4095), out=steps)
        return screen_table().take(steps.astype(np.uint16), mode="clip")


def record(
    scene: Scene,
    camera: Camera,
    light: Any,
    shutter: Any,
    *,
    moment: Number = 0.0,
    flash_time: Number | None = None,
    flash_level: Number = 1.0,
    ambient: Number = 0.0,
    lighting: Lighting | None = None,
) -> Frame:
    r"""Record a frame: add up, line by line, the light that falls on it times what it sees.

    .. math:: I(r, c) = \int_{o_r}^{c_r} \left[\frac{A}{T} + E\,\dot F(t)\right] S(r, c, t)\,dt

    Parameters
    ----------
    scene : Scene
        What is in front of the camera [any].
    camera : Camera
        Sensor, scale and aim [any].
    light : LightCurve or None
        The flash, from splashkit.flash; None leaves it off [any].
    shutter : Shutter
        When each line is open, from splashkit.sync [any].
    moment : float
        Where the scene's clock stands when the flash starts [s].
    flash_time : float or None
        From when the first curtain starts to the start of the flash; None fires as the last line opens [s].
    flash_level : float
        Level of all of the flash's light together; 1 is a correct exposure [1].
    ambient : float
        Level of the room light over the whole exposure time, for what stands still [1].
    lighting : Lighting or None
        Backlight and key light; None is a middle-sized panel and one softbox [any].

    Returns
    -------
    Frame
        Linear light, the empty plate, a note and the settings.

    Raises
    ------
    ValueError
        If a level or a time lies outside its range, or light or shutter are not what they should be.

    Notes
    -----
    Valid for a camera far from the drop beside its size, and bodies round about an upright axis. Room light is
    taken to light the scene as the panel does. The background does not blur; defocus is that of one plane.

    Examples
    --------
    >>> from splashkit import flash, picture, sync
    >>> shot = record(picture.falling_drop(), Camera(), flash.exponential(50e-6), sync.Shutter(1 / 125, 3e-3))
    >>> shot.linear.shape
    (427, 640)

    References
    ----------
    The integral and its slices: derived here.
    """
    lighting = USUAL if lighting is None else lighting
    for thing, kind in ((scene, Scene), (camera, Camera), (lighting, Lighting)):
        of_kind(thing, kind, kind.__name__.lower(), f"build a picture.{kind.__name__} first")
    require(hasattr(shutter, "open_interval"), "shutter", shown(shutter), "a sync.Shutter", "build one first")
    require(
        light is None or hasattr(light, "cumulative"),
        "light",
        shown(light),
        "a flash.LightCurve",
        "build one first",
    )
    moment, flash_level, ambient = INSTANT.one(moment), LEVEL.one(flash_level), LEVEL.one(ambient)
    if flash_time is None:
        flash_time = float(np.max(shutter.open_interval(np.array([0.0, 1.0]))[0]))
    flash_time = INSTANT.one(flash_time)

    places = camera.lines()
    opens, closes = (np.broadcast_to(np.asarray(e, dtype=float) - flash_time, places.shape) for e in
                     shutter.open_interval(places))  # fmt: skip
    exposure_time = float(shutter.exposure_time)
    lights = _lights(light, flash_level, ambient, (float(opens.min()), float(closes.max())), exposure_time)

    painter = Painter(scene, camera, lighting)
    by_rows, colour = painter.by_rows, scene.look.channels == 3
    behind = backdrop(camera, lighting, scene.look, _surface_at(scene, moment))
    if colour:
        behind = np.repeat(behind[..., None], 3, axis=2)
    share = np.zeros(places.shape)
    for one in lights:
        first, last = lit_window(one, opens, closes)
        share += one.level * (one.cumulative(last) - one.cumulative(first))
    everywhere = slice(None), slice(None)
    plate = behind * per_line(share.astype(np.float32), by_rows, *everywhere, colour)
    linear = plate.copy()
    touched: list[Any] = []
    for one in lights:
        touched += _add(painter, one, opens, closes, moment, linear, behind)
    if touched:
        _defocus(linear, plate, touched, camera.blur_pixels())
    note = _note(scene, camera, lights, opens, closes, moment, bool(touched))
    settings = {
        "scene": scene.words,
        "magnification": camera.magnification,
        "orientation": camera.orientation,
        "exposure_time_s": exposure_time,
        "curtain_travel_s": float(getattr(shutter, "curtain_travel", 0.0) or 0.0),
        "flash_time_s": flash_time,
        "moment_s": moment,
        "flash_level": flash_level if light is not None else 0.0,
        "ambient_level": ambient,
        "backlight_half_angle_rad": lighting.half_angle,
        "f_number": camera.f_number,
    }
    return Frame(linear, plate, camera, note, settings)


def _lights(light: Any, flash_level: float, ambient: float, open_while: tuple[float, float], exposure_time: float,
            ) -> list[Light]:  # fmt: skip
    """List what lights the scene: the flash, and the room while the shutter is open."""
    lights = []
    if light is not None and flash_level > 0:
        lights.append(Light(light.cumulative, float(light.start), float(light.end), flash_level * WHITE))
    if ambient > 0:
        begin, end = open_while
        lights.append(Light(lambda t: (t - begin) / exposure_time, begin, end, ambient * WHITE, steady=True))
    return lights


def _add(painter: Painter, light: Light, opens: Any, closes: Any, moment: float, linear: Any, behind: Any) -> list[Any]:
    """Add to a frame what the scene makes of one light; return the boxes it changed."""
    scene, camera = painter.scene, painter.camera
    start, stop = scene.window(camera)
    lines = slice(0, 1) if all_alike(light, opens, closes) else slice(None)
    first, last = lit_window(light, opens[lines], closes[lines])
    first, last = np.maximum(first, start - moment), np.minimum(last, stop - moment)
    lit = last > first
    if lit.size > 1 and lit.any():
        lit &= painter.active(moment + first, moment + last)
    if not lit.any():
        return []
    cut = Cut(light, first, last, lit)
    probe, bulk = cut.bulk()
    moved = float(np.max(scene.fastest(moment + probe))) * bulk / camera.pixel
    if sweepable(scene, moved):
        edges, _, weights = cut.slices(8 if light.steady else int(np.clip(np.ceil(0.5 * moved), 24, 40)))
        passed = sweep(painter, moment + edges, weights)
        if passed is None:
            return []
        box, covered, gained = passed
        linear[box] += gained - (covered[..., None] if linear.ndim == 3 else covered) * behind[box]
        return [box]
    # what comes or goes in between is known to half a slice: 34 slices keep that below 3/255
    slices = 10 + 1.2 * moved if len(scene.bodies) == 1 else max(3 + moved, min(2 + 4 * moved, 34))
    most = int(np.clip(np.ceil(110 * light.level), 15, MOST_SLICES))
    _, centres, weights = cut.slices(int(min(np.ceil(slices), most)))
    return list(painter.expose(linear, behind, moment + centres, weights))


def _defocus(linear: Any, plate: Any, touched: list[Any], spread: float) -> None:
    """Blur what stands before the plate; the plate itself stays."""
    if spread <= 0.25:
        return
    rows, columns = union_of(touched)
    pad = int(np.ceil(3 * spread)) + 1
    rows = slice(max(rows.start - pad, 0), rows.stop + pad)
    columns = slice(max(columns.start - pad, 0), columns.stop + pad)
    difference = linear[rows, columns] - plate[rows, columns]
    linear[rows, columns] = plate[rows, columns] + soften(difference, spread)


def _surface_at(scene: Scene, moment: float) -> Surface | None:
    """The water with its rings as they stand at the flash; they hardly move while it lasts."""
    if scene.surface is None:
        return None
    return Surface(scene.surface.bowl_radius, round(max(moment, 0.0), 3))


def _note(
    scene: Scene, camera: Camera, lights: list[Light], opens: Any, closes: Any, moment: float, touched: bool
) -> str:
    """Say what a surprised photographer would ask: why is it black, or where is the drop."""
    if not lights:
        return "The frame is black: no flash and no room light."
    main = lights[0]
    first, last = lit_window(main, opens, closes)
    if not np.any(last > first):
        late = main.start >= float(closes.max())
        return f"The flash fired {'after the shutter had closed' if late else 'before the shutter opened'}."
    untold = " ".join(sentence for since, sentence in scene.untold if moment > since)
    if touched or untold or not scene.bodies:
        fringes = [body.window(-1.0, 1.0) for body in scene.bodies if isinstance(body, Fringe)]
        drawn = touched and any(start < moment < end for start, end in fringes)
        return f"{untold} {DRAWN if drawn else ''}".strip()
    t = np.array([moment + 0.5 * (float(first.min()) + float(last.max()))])
    if not main.steady:
        probe = np.linspace(float(first.min()), float(last.max()), 257)
        t = np.array([moment + float(np.interp(0.5, main.cumulative(probe), probe))])
    wide, _ = camera.field
    heights = camera.heights()
    low, high = float(heights[-1]), float(heights[0])
    for body in scene.bodies:
        half, bottom, top = (float(np.ravel(v)[0]) for v in body.extent(t))
        name = getattr(body, "name", "")
        if half < 0 or not name:
            continue
        if bottom > high:
            return f"Nothing in the frame: the {name} was {format_quantity(bottom - high, 'm')} above its top edge."
        if top < low:
            return f"Nothing in the frame: the {name} was {format_quantity(low - top, 'm')} below its lower edge."
        beside = abs(body.side - camera.aim[0]) - half - wide / 2
        if beside > 0:
            where = "right" if body.side > camera.aim[0] else "left"
            return f"Nothing in the frame: the {name} was {format_quantity(beside, 'm')} past its {where} edge."
    return f"Nothing in the frame at {format_number(1e3 * float(t[0]))} ms: nothing was there yet, or any more."
