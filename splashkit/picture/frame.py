"""The frame: for every line of the sensor, the scene added up over the light that line receives.

A line receives room light while it is open, and whatever the flash gives while it is open. The time it is
open is cut into slices that hold about equal shares of light and of motion; each slice weighs exactly the
light that falls in it (a difference of the light's cumulative curve), so the cost does not depend on how
many pulses a burn has. At least one slice falls on each pixel of motion, up to a limit that keeps the
error of any pixel below half a slice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from splashkit.checks import Number, Range, require
from splashkit.picture.bodies import Drop, View, facets, outline
from splashkit.picture.camera import Camera
from splashkit.picture.scene import Scene, Surface, backdrop, water_glow
from splashkit.picture.shade import Lighting, facet_tables, fresnel, screen_table
from splashkit.units import format_number, format_quantity

WHITE = 0.62  # what the middle of the panel records at level 1, as a share of a full sensor
MOST_SLICES = 96
NODES = 193
LONG_STREAK = 40  # pixels of motion from which a single drop is added up along its path

LEVEL = Range("level of a light", "1", 0, 1e4, "1 is a correct exposure, 2 is one stop over")
INSTANT = Range("time of the flash", "s", -1e4, 1e4, "give seconds")

Cumulative = Callable[[Any], Any]


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


@dataclass(frozen=True)
class _Light:
    """One light on the flash's clock: its cumulative share, when it starts and ends, its level."""

    cumulative: Cumulative
    start: float
    end: float
    level: float
    steady: bool = False


def _window(light: _Light, opens: Any, closes: Any) -> tuple[Any, Any]:
    first = np.minimum(np.maximum(opens, light.start), light.end)
    last = np.minimum(np.maximum(closes, light.start), light.end)
    return first, np.maximum(first, last)


def _alike(light: _Light, opens: Any, closes: Any) -> bool:
    """Whether every line receives this light over the same time."""
    same = bool(np.ptp(opens) == 0 and np.ptp(closes) == 0)
    return same or (not light.steady and bool(opens.max() <= light.start and closes.min() >= light.end))


def _inverse(light: _Light, low: float, high: float, span: float) -> tuple[Any, Any]:
    """Table of times against a measure that runs half with the light and half with time."""
    times = np.linspace(low, high, NODES)
    if light.steady:
        return times, times / span
    measure = times
    for _ in range(4):
        share = light.cumulative(times)
        widest = max(float(share[-1] - share[0]), 1e-12)
        measure = (share - share[0]) / widest + 0.35 * (times - low) / max(high - low, 1e-12)
        times = np.interp(np.linspace(0, measure[-1], NODES), measure, times)
    return times, np.linspace(0, float(measure[-1]), NODES)


class _Cut:
    """One light's time on each line, ready to be cut into slices; times on the flash's clock."""

    def __init__(self, light: _Light, first: Any, last: Any, lit: Any):
        # lines without light rest at a harmless instant and weigh nothing
        self.rest = float(first[lit][0])
        first, last = np.where(lit, first, self.rest), np.where(lit, last, self.rest)
        self.light, self.first, self.last, self.lit = light, first, last, lit
        if light.steady:
            lo, hi = first, last
        else:
            # the thousandth of the light at either end joins the outermost slices
            times, _ = _inverse(light, float(first.min()), float(last.max()), 1.0)
            share = light.cumulative(times)
            total = max(float(share[-1] - share[0]), 1e-12)
            ends = np.interp((share[0] + 0.001 * total, share[0] + 0.999 * total), share, times)
            lo, hi = np.clip(first, *ends), np.clip(last, *ends)
        span = max(float((hi - lo).max()), 1e-9)
        self.times, self.measure = _inverse(light, float(lo.min()), max(float(hi.max()), float(lo.min()) + 1e-9), span)
        self.low, self.high = np.interp(lo, self.times, self.measure), np.interp(hi, self.times, self.measure)
        self.widest = int(np.argmax(hi - lo))

    def bulk(self) -> tuple[Any, float]:
        """Instants over the line with the longest light, and the time the bulk of its light takes."""
        steps = np.linspace(self.low[self.widest], self.high[self.widest], 33)
        probe = np.interp(steps, self.measure, self.times)
        held = self.light.cumulative(probe)
        total = float(np.ptp(held))
        if not total > 0:
            return probe, float(np.ptp(probe))
        ends = np.interp((held[0] + 0.03 * total, held[0] + 0.97 * total), held, probe)
        return probe, float(ends[1] - ends[0])

    def slices(self, count: int) -> tuple[Any, Any, Any]:
        """Edges, centres of light, and weights of each line's slices, as (lines, slices) arrays."""
        low, high = self.low[self.lit, None], self.high[self.lit, None]
        ladder = np.interp(low + (high - low) * np.linspace(0, 1, 2 * count + 1), self.measure, self.times)
        inner = ladder.copy()
        inner[:, 0], inner[:, -1] = self.first[self.lit], self.last[self.lit]
        halves = np.maximum(np.diff(self.light.cumulative(inner), axis=1), 0)
        weights = halves[:, 0::2] + halves[:, 1::2]
        # a slice is seen from where its light lies: between its quarters, by how much falls in either half
        late = halves[:, 1::2] / np.maximum(weights, 1e-30)
        edges = ladder[:, 0::2]
        centres = edges[:, :-1] + np.diff(edges, axis=1) * (0.25 + 0.5 * late)
        weights *= self.light.level * WHITE
        if self.lit.all():
            return edges, centres, weights
        whole = []
        for values, rest in ((edges, self.rest), (centres, self.rest), (weights, 0.0)):
            full = np.full((self.lit.size, values.shape[1]), rest)
            full[self.lit] = values
            whole.append(full)
        return whole[0], whole[1], whole[2]


def _boxes(body: Any, t: Any, x: Any, z: Any, by_rows: bool, pad: float, mirrored: bool) -> list[Any]:
    """For each slice, the rows and columns of the picture that a body touches, or None; ``t`` is (lines, slices)."""
    half, low, high = body.extent(t)
    side = body.side
    if mirrored:
        low, high = -high, np.minimum(-low, 0.0)
    there = half >= 0
    across = x[:, None]
    if by_rows:
        lines = there & (z[:, None] >= low - pad) & (z[:, None] <= high + pad)
        wide = np.where(lines, half, -1.0).max(axis=0)
        others = np.abs(across - side) <= wide + pad
        others &= wide >= 0
    else:
        lines = there & (np.abs(across - side) <= half + pad)
        bottom = np.where(lines, low, np.inf).min(axis=0)
        top = np.where(lines, high, -np.inf).max(axis=0)
        others = (z[:, None] >= bottom - pad) & (z[:, None] <= top + pad)
    spans = []
    for touched in (lines, others) if by_rows else (others, lines):
        first = touched.argmax(axis=0)
        last = touched.shape[0] - touched[::-1].argmax(axis=0)
        spans.append((first.tolist(), last.tolist(), touched.any(axis=0)))
    (r0, r1, some_rows), (c0, c1, some_columns) = spans
    some = some_rows & some_columns
    return [
        (slice(r0[k], r1[k]), slice(c0[k], c1[k])) if some[k] else None for k in range(len(some))
    ]


class _Painter:
    """Paints a scene at one instant of every line; used by the fast frame and by the brute-force check alike."""

    def __init__(self, scene: Scene, camera: Camera, lighting: Lighting):
        self.scene, self.camera = scene, camera
        self.by_rows = camera.lines_are_rows
        self.x, self.z = camera.sideways(), camera.heights()
        self.x32, self.z32 = self.x.astype(np.float32)[None, :], self.z[:, None]
        self.pad = 1.5 * camera.pixel / np.cos(camera.elevation)
        sine = float(np.sin(camera.elevation))
        water = scene.surface
        horizon = None if water is None else 0.3 * camera.elevation
        tables = facet_tables(lighting, scene.look, horizon)
        upright = facet_tables(lighting, scene.look)[0]
        edge = -np.inf if water is None else float(water.bowl_radius * np.tan(camera.elevation))
        self.view = View(camera.pixel, sine, tables, None, upright, edge)
        self.mirror = None
        if scene.surface is not None and self.z[-1] < 0:
            seen = float(fresnel(np.pi / 2 - max(camera.elevation, 0.012)))
            glow = np.float32((1 - seen) * water_glow(lighting, scene.look))
            self.mirror = self.view._replace(mirror=(seen, glow))

    def active(self, first: Any, last: Any) -> Any:
        """Which lines any body may touch between two instants of each."""
        steps = np.linspace(0, 1, 9)
        t = first[:, None] + (last - first)[:, None] * steps
        touched = np.zeros(first.shape, dtype=bool)
        span = float(np.max(last - first)) / (len(steps) - 1)
        reach = 6 * self.pad + span * float(np.max(self.scene.fastest(t)))
        place = self.z if self.by_rows else self.x
        for body in self.scene.bodies:
            half, low, high = body.extent(t)
            there = half >= 0
            if self.by_rows:
                near = (place[:, None] >= low - reach) & (place[:, None] <= high + reach)
                if self.mirror is not None and body.reflects:
                    near |= (place[:, None] >= -high - reach) & (place[:, None] <= reach)
            else:
                near = np.abs(place[:, None] - body.side) <= half + reach
            touched |= (near & there).any(axis=1)
        return touched

    def plan(self, instants: Any) -> list[list[tuple[Any, bool, tuple[slice, slice]]]]:
        """For each slice, what is to be painted where, in order; ``instants`` is (lines or 1, slices)."""
        found: list[list[Any]] = [[] for _ in range(instants.shape[1])]
        for mirrored in (True, False) if self.mirror is not None else (False,):
            for body in self.scene.bodies:
                if mirrored and not body.reflects:
                    continue
                pad = self.pad * (6 if mirrored else 1)
                for k, box in enumerate(_boxes(body, instants, self.x, self.z, self.by_rows, pad, mirrored)):
                    if box is not None:
                        found[k].append((body, mirrored, box))
        return found

    def paint(self, work: Any, corner: tuple[int, int], t: Any, found: list[Any]) -> None:
        """Paint onto ``work``, whose first pixel is at ``corner`` of the picture."""
        r0, c0 = corner
        for body, mirrored, (rows, columns) in found:
            part = work[rows.start - r0 : rows.stop - r0, columns.start - c0 : columns.stop - c0]
            x, z = self.x32[:, columns], self.z32[rows]
            when = t.reshape(1, 1) if t.size == 1 else t[rows, None] if self.by_rows else t[None, columns]
            if mirrored:
                assert self.mirror is not None
                body.paint(part, x, -z, when, self.mirror)
            else:
                body.paint(part, x, z, when, self.view)


def _even(scene: Scene, moved: float) -> bool:
    """Whether to add up along the path: one drop that keeps its shape, and so much motion that it pays."""
    if moved < LONG_STREAK:
        return False
    drop = scene.bodies[0] if len(scene.bodies) == 1 and scene.surface is None else None
    return isinstance(drop, Drop) and not drop.wobble and drop.floor is None and drop.always


def _pass(painter: _Painter, edges: Any, weights: Any) -> Any:
    """One drop of fixed shape passing: the box of pixels it touches, what covers them, what they gain.

    In a slice of time each pixel sees a stretch of the drop run past. So the drop is added up once along its path,
    and a pixel's mean over the stretch is the difference of that sum at its two ends: exact for even light and
    motion within the slice. Edges of slices are on the scene's clock. None when nothing is touched.
    """
    drop, camera = painter.scene.bodies[0], painter.camera
    where = drop.centre(edges)
    step = camera.pixel / (8 * np.cos(camera.elevation))
    half = 0.5 * drop.diameter + painter.pad
    lit = weights.sum(axis=1) > 0
    columns = np.flatnonzero(np.abs(painter.x - drop.side) <= half)
    highest, lowest = where[lit].max() + half, where[lit].min() - half
    rows = np.flatnonzero((painter.z <= highest) & (painter.z >= lowest))
    if not columns.size or not rows.size:
        return None
    box = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
    count = 2 * int(np.ceil(half / step)) + 1
    along = ((np.arange(count) - count // 2) * step).astype(np.float32)[:, None]
    x = painter.x32[:, box[1]] - np.float32(drop.side)
    q, slope = np.float32(0.25 * drop.diameter**2) - along * along, -2 * along
    cover = outline(x, q, slope, camera.pixel)
    shade = painter.view.tables[0].take(facets(x, q, slope), axis=0, mode="clip")
    shade = shade.reshape(*cover.shape, -1) * cover[..., None]
    every = np.concatenate([cover[..., None], shade], axis=2)  # what covers, then each channel
    run = np.zeros_like(every)
    np.cumsum(0.5 * (every[1:] + every[:-1]), axis=0, out=run[1:])

    # each slice weighs the stretch of the drop between its ends, counted in steps along the drop
    middle, wide = 0.5 * (where[:, 1:] + where[:, :-1]), np.abs(np.diff(where, axis=1)) / step
    wide = np.maximum(wide, 1.0)
    density = weights / wide
    flat = np.zeros((rows.size, columns.size, every.shape[2]), dtype=np.float32)
    z = painter.z[box[0]]
    by_rows = painter.by_rows
    lines = slice(None) if where.shape[0] == 1 else box[0] if by_rows else box[1]
    across = np.arange(columns.size)[None, :]
    for k in range(weights.shape[1]):
        spot, stretch, amount = middle[lines, k], wide[lines, k], density[lines, k].astype(np.float32)
        reach = half + 0.5 * step * float(stretch.max())
        if by_rows:
            near = np.flatnonzero(np.abs(z - spot) <= reach)
        else:
            near = np.flatnonzero((z <= spot.max() + reach) & (z >= spot.min() - reach))
        if not near.size:
            continue
        part = slice(int(near[0]), int(near[-1]) + 1)
        if where.shape[0] == 1 or not by_rows:
            centre = (z[part, None] - spot) / step + count // 2
        else:
            centre, stretch, amount = (z[part] - spot[part])[:, None] / step + count // 2, stretch[part, None], amount[part]
        for sign in (0.5, -0.5):
            place = np.clip(centre + sign * stretch, 0, count - 1.001).astype(np.float32)
            whole = place.astype(np.int32)
            rest = (place - whole)[..., None]
            if by_rows:
                low, high = run[whole[:, 0]], run[whole[:, 0] + 1]
            else:
                whole, rest = np.broadcast_to(whole, (place.shape[0], columns.size)), rest
                low, high = run[whole, across], run[whole + 1, across]
            low += rest * (high - low)
            low *= (np.sign(sign) * amount).reshape((-1, 1, 1) if by_rows else (1, -1, 1))
            flat[part] += low
    return box, flat[..., 0], flat[..., 1] if every.shape[2] == 2 else flat[..., 1:]


def _union(found: list[Any]) -> tuple[slice, slice]:
    rows = slice(min(b[0].start for _, _, b in found), max(b[0].stop for _, _, b in found))
    columns = slice(min(b[1].start for _, _, b in found), max(b[1].stop for _, _, b in found))
    return rows, columns


def _per_line(values: Any, by_rows: bool, rows: slice, columns: slice, colour: bool) -> Any:
    """Shape a number per line to go with a box of the picture."""
    if values.size == 1:
        return values.reshape((1,) * (3 if colour else 2))
    part = values[rows, None] if by_rows else values[None, columns]
    return part[..., None] if colour else part


def _soften(picture: Any, spread: float) -> Any:
    """Blur by a Gaussian of a given spread in pixels, along both sides in turn; only a box that needs it is given."""
    reach = int(np.ceil(3 * spread))
    taps = np.exp(-0.5 * (np.arange(-reach, reach + 1) / spread) ** 2)
    taps = (taps / taps.sum()).astype(np.float32)
    for axis in (0, 1):
        padding = [(0, 0)] * picture.ndim
        padding[axis] = (reach, reach)
        wide = np.pad(picture, padding, mode="edge")
        length = picture.shape[axis]
        out = np.zeros_like(picture)
        for k, tap in enumerate(taps):
            out += tap * (wide[k : k + length] if axis == 0 else wide[:, k : k + length])
        picture = out
    return picture


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
    >>> from splashkit import flash, sync
    >>> shot = record(falling_drop(), Camera(), flash.exponential(50e-6), sync.Shutter(1 / 125, 3e-3))
    >>> shot.linear.shape
    (427, 640)

    References
    ----------
    The integral and its slices: derived here.
    """
    lighting = lighting or Lighting()
    require(hasattr(shutter, "open_interval"), "shutter", repr(shutter)[:40], "a sync.Shutter", "build one first")
    require(
        light is None or hasattr(light, "cumulative"), "light", repr(light)[:40], "a flash.LightCurve", "build one first"
    )
    moment, flash_level, ambient = float(INSTANT(moment)), float(LEVEL(flash_level)), float(LEVEL(ambient))
    if flash_time is None:
        flash_time = float(np.max(shutter.open_interval(np.array([0.0, 1.0]))[0]))
    flash_time = float(INSTANT(flash_time))

    places = camera.lines()
    opens, closes = (np.broadcast_to(np.asarray(e, dtype=float) - flash_time, places.shape) for e in
                     shutter.open_interval(places))  # fmt: skip
    exposure_time = float(shutter.exposure_time)
    lights = []
    if light is not None and flash_level > 0:
        lights.append(_Light(light.cumulative, float(light.start), float(light.end), flash_level))
    if ambient > 0:
        begin = float(opens.min())
        lights.append(
            _Light(lambda t: (t - begin) / exposure_time, begin, float(closes.max()), ambient, steady=True)
        )

    painter = _Painter(scene, camera, lighting)
    by_rows, colour = painter.by_rows, scene.look.channels == 3
    behind = backdrop(camera, lighting, scene.look, _surface_at(scene, moment))
    if colour:
        behind = np.repeat(behind[..., None], 3, axis=2)
    share = np.zeros(places.shape)
    for one in lights:
        first, last = _window(one, opens, closes)
        share += one.level * WHITE * (one.cumulative(last) - one.cumulative(first))
    everywhere = slice(None), slice(None)
    plate = behind * _per_line(share.astype(np.float32), by_rows, *everywhere, colour)
    linear = plate.copy()
    touched: list[Any] = []
    start, stop = scene.window(camera)
    for one in lights:
        lines = slice(0, 1) if _alike(one, opens, closes) else slice(None)
        first, last = _window(one, opens[lines], closes[lines])
        first, last = np.maximum(first, start - moment), np.minimum(last, stop - moment)
        lit = last > first
        if not lit.any():
            continue
        if lit.size > 1:
            lit &= painter.active(moment + first, moment + last)
            if not lit.any():
                continue
        cut = _Cut(one, first, last, lit)
        probe, bulk = cut.bulk()
        moved = float(np.max(scene.fastest(moment + probe))) * bulk / camera.pixel
        if _even(scene, moved):
            edges, _, weights = cut.slices(8 if one.steady else int(np.clip(np.ceil(0.7 * moved), 24, 64)))
            passed = _pass(painter, moment + edges, weights)
            if passed is not None:
                box, covered, gained = passed
                linear[box] += gained - (covered[..., None] if colour else covered) * behind[box]
                touched.append((None, False, box))
            continue
        most = int(np.clip(np.ceil(110 * one.level * WHITE), 12, MOST_SLICES))
        _, centres, weights = cut.slices(int(np.clip(np.ceil((1.2 if len(scene.bodies) == 1 else 0.8) * moved) + 6, 6, most)))
        instants = moment + centres
        for k, found in enumerate(painter.plan(instants)):
            if not found:
                continue
            rows, columns = _union(found)
            work = behind[rows, columns].copy()
            painter.paint(work, (rows.start, columns.start), instants[:, k], found)
            work -= behind[rows, columns]
            work *= _per_line(weights[:, k].astype(np.float32), by_rows, rows, columns, colour)
            linear[rows, columns] += work
            touched.append((None, False, (rows, columns)))

    spread = camera.blur_pixels()
    if touched and spread > 0.25:
        rows, columns = _union(touched)
        pad = int(np.ceil(3 * spread)) + 1
        rows = slice(max(rows.start - pad, 0), rows.stop + pad)
        columns = slice(max(columns.start - pad, 0), columns.stop + pad)
        difference = linear[rows, columns] - plate[rows, columns]
        linear[rows, columns] = plate[rows, columns] + _soften(difference, spread)

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


def _surface_at(scene: Scene, moment: float) -> Surface | None:
    """The water with its rings as they stand at the flash; they hardly move while it lasts."""
    if scene.surface is None:
        return None
    return Surface(scene.surface.bowl_radius, round(max(moment, 0.0), 3))


def _note(
    scene: Scene, camera: Camera, lights: list[_Light], opens: Any, closes: Any, moment: float, touched: bool
) -> str:
    """Say what a surprised photographer would ask: why is it black, or where is the drop."""
    if not lights:
        return "The frame is black: no flash and no room light."
    main = lights[0]
    first, last = _window(main, opens, closes)
    if not np.any(last > first):
        late = main.start >= float(closes.max())
        return f"The flash fired {'after the shutter had closed' if late else 'before the shutter opened'}."
    if touched or not scene.bodies:
        return ""
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
