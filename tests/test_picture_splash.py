"""What is drawn of a splash: sizes against Rayleigh's thread, volumes against the drop's, nothing jumps or dives."""

import dataclasses
import math

import numpy as np
import pytest
from brute_frame import painted

from splashkit import liquids, picture, splash
from splashkit.picture import fringe, specks
from splashkit.picture.backdrop import backdrop
from splashkit.picture.paint import Painter

# Rayleigh 1878: a thread of radius a pinches fastest at wavenumber 0.697/a (from memory)
WAVE = 2 * math.pi / 0.697
SPEEDS = (1.5, 2.18, 2.8)
ALONE = picture.collision(4e-3, 2.18, gap=0.5)
HIT = picture.collision(4e-3, 2.18, gap=0.069)
VIEW = picture.Camera(0.9, aim=(0.0, 9e-3), elevation=math.radians(8), pixels=(240, 160), softness=False)


def bodies(scene, kind):
    return [body for body in scene.bodies if type(body).__name__ == kind]


def named(scene, name):
    return next(body for body in scene.bodies if getattr(body, "name", "") == name)


def film_and_fringe(scene):
    film = bodies(scene, "Sheet")[0]
    return film, film.fringe


@pytest.mark.parametrize("speed", SPEEDS)
def test_a_loose_head_holds_one_wave_of_the_column(speed):
    """Volume of a thread one fastest wave long (Rayleigh), and the splash model's own head, to 2 %."""
    made = splash.first_drop(4e-3, speed)
    head = named(picture.collision(4e-3, speed, gap=0.6), "loose head")
    radius = made.column_radius.value
    assert math.pi / 6 * head.diameter**3 == pytest.approx(math.pi * radius**2 * WAVE * radius, rel=0.02)
    assert head.diameter == pytest.approx(made.head_diameter.value, rel=0.02)
    assert made.pinch_off.contains(head.start), "it leaves inside the band of the splash model"


def test_a_loose_head_leaves_from_the_column_and_comes_back():
    column, head = named(ALONE, "column"), named(ALONE, "loose head")
    assert head.centre(head.start) + head.diameter / 2 == pytest.approx(column.peak_height, abs=1e-6)
    before, after = (float(column.tip(head.start + late)) for late in (-1e-6, 1e-6))
    neck = head.centre(head.start) - head.diameter / 2
    assert before == pytest.approx(column.peak_height, rel=1e-3)
    assert after <= neck, "what is left of the column ends below the head"
    assert head.centre(head.end) + head.diameter / 2 == pytest.approx(0, abs=0.5e-3), "it is gone when it is under"
    t = np.linspace(head.start, head.end, 200)[1:]
    assert np.all(head.centre(t) - 0.55 * head.diameter > np.where(t < head.start + 0.05, column.tip(t), -1))


@pytest.mark.parametrize(
    ("scene", "why"),
    [
        (HIT, "a drop lands on it first"),
        (picture.collision(4e-3, 2.18, gap=0.11), "the second drop would meet it in the air"),
        (picture.collision(7e-3, 2.8, gap=0.9), "a thick column goes back whole"),
        (picture.collision(4e-3, 2.18, gap=0.5, liquid=liquids.pinch_of_xanthan(liquids.water())), "threads hold"),
    ],
    ids=["hit", "crossing", "thick", "xanthan"],
)
def test_no_loose_head_where(scene, why):
    assert not [body for body in scene.bodies if getattr(body, "name", "") == "loose head"], why
    assert not named(scene, "column").pinches


def test_a_head_left_out_is_said():
    late = picture.collision(4e-3, 2.18, gap=0.085)
    column = named(late, "column")
    assert late.met > column.peak_time and "loose head" in late.untold[0][1]
    assert "loose head" not in " ".join(sentence for _, sentence in HIT.untold)


@pytest.mark.parametrize("speed", SPEEDS)
def test_droplets_come_out_of_the_rim_volume(speed):
    """At every instant rim, fingers and droplets hold no more than the rim's half of the drop, and lose none of it."""
    scene = picture.collision(4e-3, speed, gap=picture.collision(4e-3, speed, gap=0.5).bodies[0].end + 0.02)
    film, edge = film_and_fringe(scene)
    drop = math.pi / 6 * film.drop_diameter**3
    t = np.linspace(film.start + 1e-4, film.end, 60)
    out, _, thick = film.rim(t)
    some = np.broadcast_to(t, (edge.angle.size, t.size))
    _, _, slim, length, bead, _, _ = edge.fingers_at(some)
    fingers = (math.pi * slim**2 * length + 4 / 3 * math.pi * bead**3).sum(axis=0)
    d = edge.droplets
    shed = np.array([(4 / 3 * math.pi * d.radius[d.born <= now] ** 3).sum() for now in t])
    held = 2 * math.pi**2 * out * thick**2 + fingers + shed
    assert np.all(held < 0.55 * drop)
    assert held[-1] > 0.3 * drop
    assert 0.05 * drop < shed[-1] < 0.35 * drop


@pytest.mark.parametrize("scene", [ALONE, HIT], ids=["crown", "sheet"])
def test_droplets_are_what_a_finger_can_shed(scene):
    """Each droplet holds one fastest wave of its finger (Rayleigh), and the finger is that wave long or shorter."""
    for edge in bodies(scene, "Fringe"):
        born, radius = edge.sheds
        slim = edge._slim(born, slice(None))
        assert 4 / 3 * math.pi * radius**3 == pytest.approx(math.pi * slim**2 * WAVE * slim, rel=0.01)
        assert np.all(slim < 0.75 * edge.film.bare_thick(born))
        length = edge._full_length(born, slice(None), slim)
        assert np.all(length <= 1.2 * WAVE * slim)


@pytest.mark.parametrize("scene", [ALONE, HIT], ids=["crown", "sheet"])
def test_nothing_is_drawn_below_the_water(scene):
    for edge in bodies(scene, "Fringe"):
        t = np.linspace(edge.start, edge.bounds[0][-1], 200)
        d = edge.droplets
        _, height, there = edge.drops_at(np.broadcast_to(t, (d.born.size, t.size)))
        assert np.all(there[height < -d.radius[:, None]] == 0)
        assert np.all(there[t < d.born[:, None]] == 0)
    for kind in ("Sheet", "Crown"):
        for film in bodies(scene, kind):
            t = np.linspace(film.start, film.end, 200)[1:-1]
            assert np.all(film.rim(t)[1] > 0)


@pytest.mark.parametrize("gap", [0.05, 0.06, 0.069, 0.078, 0.085])
def test_a_sheet_goes_down_with_its_column(gap):
    """It never hovers over the column that carries it, and ends when its rim reaches the water."""
    scene = picture.collision(4e-3, 2.18, gap=gap)
    film, column = bodies(scene, "Sheet")[0], named(scene, "column")
    t = np.linspace(film.start, film.end, 120)[1:-1]
    over = film.top(t) - np.maximum(column.tip(t), 0)
    assert np.all(over > 0) and np.all(over <= 0.1 * film.drop_diameter + 1e-9)
    assert np.all(film.rim(t)[1] > 0)
    assert film.end <= column.sheet_gone + 0.11 * (film.end - film.start)


def test_fingers_do_not_reshuffle():
    """Speed, size and gap a thousandth apart: the same fingers, each moved a little; one more moves no other."""
    for more in ({"speed": 2.18 * 1.001}, {"diameter": 4e-3 * 1.001}, {"gap": 0.069 * 1.001}):
        near = picture.collision(**{"diameter": 4e-3, "speed": 2.18, "gap": 0.069, **more})
        for one, other in zip(bodies(HIT, "Fringe"), bodies(near, "Fringe"), strict=True):
            count = min(one.angle.size, other.angle.size)
            assert np.array_equal(one.angle[:count], other.angle[:count])
            for a, b in zip(one.sheds, other.sheds, strict=True):
                assert a[: count - 1] == pytest.approx(b[: count - 1], rel=0.02)
            assert np.all(np.abs(one.weight[:count] - other.weight[:count]) < 0.05)
    low, high = fringe.places(15.999), fringe.places(16.001)
    assert np.array_equal(low[0], high[0][:16]) and high[1][16] == pytest.approx(0.001, abs=1e-9)


def test_counts_are_the_models():
    for speed in SPEEDS:
        scene = picture.collision(4e-3, speed, gap=0.5)
        crown = bodies(scene, "Crown")[0]
        assert crown.beads == pytest.approx(math.sqrt(splash.first_drop(4e-3, speed).weber))
    film, edge = film_and_fringe(HIT)
    falling = 2.18 - 9.80665 * (0.069 - HIT.met)
    made = splash.sheet(4e-3, falling, None, 0.0, named(HIT, "column").radius)
    assert film.beads == pytest.approx(made.fingers.value, rel=0.05)
    assert edge.angle.size == math.ceil(film.beads)


def test_a_thickened_liquid_sheds_nothing():
    thick = picture.collision(4e-3, 2.18, gap=0.069, liquid=liquids.pinch_of_xanthan(liquids.water()))
    assert all(edge.droplets.born.size == 0 for edge in bodies(thick, "Fringe"))


def test_the_crater_is_as_deep_as_the_model_says():
    made, hollow = splash.first_drop(4e-3, 2.18), bodies(ALONE, "Hollow")[0]
    crown = bodies(ALONE, "Crown")[0]
    for share in (0.1, 0.3, 0.55, 0.8, 0.95):
        t = share * made.column_start.value
        assert hollow.deep(t) == pytest.approx(-splash.column_height(made, t).value, rel=1e-6)
        assert hollow.wide(t) == pytest.approx(crown.base(t))
    assert hollow.end == pytest.approx(made.column_start.value)


def test_a_crater_shows_from_above():
    """Against the same frame without it: its far wall is darker than the water round it; milk keeps it pale."""
    steep = dataclasses.replace(VIEW, elevation=math.radians(15), aim=(0.0, 2e-3))
    for look, darker in ((picture.Look(), True), (picture.Look(cloudiness=0.9), False)):
        scene = dataclasses.replace(ALONE, look=look)
        painter, behind = Painter(scene, steep, picture.Lighting()), backdrop(steep, picture.Lighting(), look, None)
        work = np.ones_like(behind)
        hollow = bodies(scene, "Hollow")[0]
        hollow.paint(work, painter.x32, painter.z32, np.array([[18e-3]]), painter.view)
        inside = work[np.argmin(np.abs(painter.z)), np.argmin(np.abs(painter.x))]
        assert bool(inside < 0.2) is darker


def moment_pictures(scene, t):
    painter = Painter(scene, VIEW, picture.Lighting())
    behind = backdrop(VIEW, picture.Lighting(), scene.look, scene.surface)
    return [painted(painter, behind, np.array([float(now)])) for now in t]


def change(scene, t):
    """Mean change of the picture over a tenth of a millisecond, in 1/255."""
    one, other = moment_pictures(scene, (t, t + 1e-4))
    return 255 * picture.WHITE * float(np.abs(one - other).mean())


def test_pictures_change_smoothly():
    """A tenth of a millisecond changes the mean pixel by less than 1/255, at sheds, comings and goings too."""
    column, head = named(ALONE, "column"), named(ALONE, "loose head")
    crown, film = bodies(ALONE, "Crown")[0], bodies(HIT, "Sheet")[0]
    times = [5e-4, 2e-3, crown.end, crown.end - 1e-3, column.start, head.end, column.end]
    times += [float(born) for born in np.sort(crown.fringe.droplets.born)[::8]]
    for t in times:
        assert change(ALONE, t - 5e-5) < 0.55, t
    times = [film.end, film.end - 2e-3, film.start + film.full_time, film.start + 3e-4]
    times += [float(born) for born in np.sort(film.fringe.droplets.born)[::10]]
    for t in times:
        assert change(HIT, t - 5e-5) < 1.0, t
    # what does jump: the head that pinches off
    assert change(ALONE, column.peak_time - 5e-5) > 3 * change(ALONE, column.peak_time - 5e-4)


def test_fingers_and_droplets_keep_inside_their_bounds():
    """The box that a frame looks for them in holds them at every instant, from any angle of view."""
    for edge in (one for scene in (ALONE, HIT) for one in bodies(scene, "Fringe")):
        t = np.linspace(edge.start, edge.bounds[0][-1], 157)[1:-1]
        for sine in (0.0, 0.1, 0.34):
            half, low, high = edge.extent(t, sine)
            angle = edge.droplets.angle[:, None]
            out, height, there = edge.drops_at(np.broadcast_to(t, (angle.size, t.size)))
            across, up = specks.seen(out, height, angle, sine)
            size = edge.droplets.radius[:, None]
            seen = there > 0
            assert np.all((np.abs(across) + size <= half)[seen])
            assert np.all((up - size >= low)[seen]) and np.all((up + size <= high)[seen])
