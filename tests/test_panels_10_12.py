"""The panels of lessons 10 and 12: edges by ray tracing and in recorded drops, settings by brute force, files."""

import base64
import io
import math
import re

import numpy as np
import pytest
from pypdf import PdfReader

from splashkit import faults, flash, panels, picture, runsheet, settings, store, sync, workings
from splashkit import rig as rigs
from splashkit.figures.lights_plan import LIMITS


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))


@pytest.fixture
def placing():
    return panels.light_placing()


@pytest.fixture
def choice():
    return panels.power_choice()


@pytest.fixture
def sheet():
    return panels.run_sheet()


# ---------------------------------------------------------------- where the lights go


def traced_edge(size, distance, index=1.333):
    """Trace rays from a far camera through a ball of radius 1, in steps: the place where they just miss the light.

    Snell's law at both faces with vectors; no formula of the library.
    """
    hits = []
    for b in np.linspace(1e-4, 0.9999, 20001):
        ray, point = np.array([0.0, 1.0]), np.array([b, -math.sqrt(1 - b * b)])
        for normal_sign, ratio in ((1, 1 / index), (-1, index)):
            normal = normal_sign * point / np.linalg.norm(point)
            cosine = -ray @ normal
            inside = 1 - ratio**2 * (1 - cosine**2)
            if inside < 0:
                break
            ray = ratio * ray + (ratio * cosine - math.sqrt(inside)) * normal
            if normal_sign == 1:
                point = point - 2 * (point @ ray) * ray
        away = abs(ray[0] / ray[1]) * distance
        hits.append((b, away <= size / 2 and ray[1] > 0))
    return max(b for b, lit in hits if lit)


@pytest.mark.parametrize(("width", "height", "distance"), [(0.6, 0.6, 0.5), (0.2, 0.6, 0.5), (0.3, 0.1, 0.8)])
def test_dark_edge_by_ray_tracing(placing, width, height, distance):
    placing.set(width=width, height=height, distance=distance)
    zones = placing.result.zones
    assert float(zones.bright_across) == pytest.approx(traced_edge(width, distance), abs=2e-4)
    assert float(zones.bright_upright) == pytest.approx(traced_edge(height, distance), abs=2e-4)


def test_the_face_drawn_ends_where_the_rays_do(placing):
    placing.set(width=0.2, height=0.6, distance=0.5)
    outline = placing._figures[0].bright.get_xy()
    assert outline[:, 0].max() == pytest.approx(traced_edge(0.2, 0.5), abs=2e-4)
    assert outline[:, 1].max() == pytest.approx(traced_edge(0.6, 0.5), abs=2e-4)
    # along a slant the ray meets the light's nearer edge: toward the corner it goes farther out than sideways
    assert np.hypot(*outline.T).max() >= outline[:, 1].max() - 1e-9


@pytest.mark.parametrize("size", [0.15, 0.3, 0.6])
def test_dark_edge_of_the_recorded_drop(placing, size):
    """Half way between bright and dark along the middle row of the recorded frame, in pixels: no shared formula."""
    placing.set(width=size, height=size)
    half = placing.result.half_across
    camera = picture.Camera(magnification=2.0, sensor=(0.018, 0.018), pixels=(600, 600), softness=False)
    shot = picture.record(picture.falling_drop(4e-3, 1.0), camera, flash.exponential(1e-6),
                          sync.Shutter(0.5, kind="open"), flash_time=0.1,
                          lighting=picture.Lighting(half_angle=half, key=0.0))  # fmt: skip
    row = np.asarray(shot.linear)[300].reshape(600, -1)[:, 0]
    inside = row[300:]
    radius = 4e-3 / 2 * 2.0 / (0.018 / 600)
    edge = np.argmax(inside < 0.5 * inside[:10].mean())
    assert edge / radius == pytest.approx(float(placing.result.zones.bright_across), abs=0.03)


def test_smaller_is_thicker_and_only_the_ratio_counts(placing):
    placing.set(width=0.6, height=0.6, distance=0.6)
    large = float(placing.result.zones.dark_across)
    placing.set(width=0.2, height=0.2)
    small = float(placing.result.zones.dark_across)
    assert small > large
    placing.set(distance=0.2)
    assert float(placing.result.zones.dark_across) == pytest.approx(large)


def test_powers_by_hand(placing):
    """Guide number 36 at 50 cm, f/11, ISO 200, half life size, two stops lost: (0.5*11*1.5/36)² / 2 * 4."""
    placing.set(guide_number=36.0, distance=0.5, aperture=11.0, iso=200.0, loss=2.0, front_distance=0.5)
    by_hand = (0.5 * 11 * 1.5 / 36) ** 2 / 2 * 4
    assert float(placing.result.plan.back_power) == pytest.approx(by_hand)
    placing.set(front_level=-1.0)
    assert float(placing.result.plan.front_power) == pytest.approx(by_hand / 2)
    shown = workings.get("light_power").value(level=2.0, distance=0.5, aperture=11.0, magnification=0.5,
                                              pupil_ratio=1.0, guide_number=36.0, iso=200.0)  # fmt: skip
    assert shown == pytest.approx(by_hand)


def test_too_weak_a_unit_is_said(placing):
    placing.set(guide_number=5.0, distance=1.5, aperture=32.0, iso=100.0)
    assert "Too little light by" in placing.sentence and "above full" in placing.sentence


def test_too_strong_a_unit_is_said(placing):
    """With both lights above what 1/256 allows the verdict was 'A clear dark edge'."""
    placing.set(guide_number=100.0, aperture=4.0, iso=800.0, distance=0.3, front_distance=0.3)
    plan = placing.result.plan
    over = math.log2(1 / 256 / min(float(plan.back_power), float(plan.front_power)))
    said = re.search(r"Too much light by ([\d.]+) stops, even at 1/256 power: close the aperture", placing.sentence)
    assert float(said[1]) == pytest.approx(over, abs=0.05) and "clear dark edge" not in placing.sentence
    placing.reset()
    placing.set(guide_number=60.0, front_distance=0.2, front_level=-4.0)
    assert "Too much light from the front light by" in placing.sentence and "move that light" in placing.sentence


def test_a_depth_of_metres_is_in_metres(choice):
    """A depth of '1709 mm' looked sharp."""
    choice.set(magnification=0.01)
    assert re.search(r"A depth of 1\.\d+ m looks sharp; you want 4 mm\.", choice.sentence)
    assert not re.search(r"(?<![.\d])\d{4} mm", choice.sentence + choice.static_html())


def test_strip_and_round_light_photographs(placing):
    placing.press(placing.presets["Upright strip"])
    views = placing.photos(placing.state, placing.result)
    assert len(views) == 2 and "as wide as yours" in views[0] and "as high as yours" in views[1]
    assert "thick edges at the sides" in placing.sentence
    placing.press(placing.presets["Lying strip"])
    assert "thick edges at the top and bottom" in placing.sentence
    placing.press(placing.presets["Large softbox"])
    assert len(placing.photos(placing.state, placing.result)) == 1


def test_plan_is_to_scale_and_holds_both_lights(placing):
    figure = placing._figures[1]
    for values in ({}, {"width": 1.2, "distance": 1.5}, {"front_distance": 1.5, "front_size": 1.2},
                   {"distance": 0.1, "width": 0.04, "front_distance": 0.1}):  # fmt: skip
        placing.reset()
        placing.set(**values)
        (left, right), (low, high) = figure.axes.get_xlim(), figure.axes.get_ylim()
        wide, tall = figure.shape
        assert (right - left) / wide == pytest.approx((high - low) / tall)
        for artist in (figure.back, figure.front):
            xs, ys = artist.get_data()
            assert left <= min(xs) and max(xs) <= right and low <= min(ys) and max(ys) <= high
        assert figure.back.get_ydata()[0] == pytest.approx(100 * placing.state.distance)


# ---------------------------------------------------------------- the choice of settings


def test_every_mark_is_right_by_brute_force(choice):
    """Each power and aperture judged on its own, from the definitions, for a few settings of the map."""
    result, state = choice.result, choice.state
    times = result.gear.durations()
    for p in range(0, len(result.powers), 2):
        for a in range(0, len(result.apertures), 3):
            aperture = result.apertures[a]
            working = aperture * (1 + state.magnification / choice.pupils)
            away = state.guide_number * math.sqrt(result.powers[p] * result.iso / 100 * 2**-state.loss) / working
            depth = 2 * aperture * choice.circle * (1 + state.magnification / choice.pupils) / state.magnification**2
            fits = (
                times[p] * state.speed <= state.blur and depth >= state.depth * 0.99
                and 2.44 * 550e-9 * working <= state.softness and state.nearest <= away <= state.farthest
            )  # fmt: skip
            clear = abs(depth / state.depth - 1) > 0.02
            if clear:
                assert (result.worst[p, a] == "fits") == fits, (result.powers[p], aperture)


def test_the_ring_stands_on_a_setting_that_fits(choice):
    result = choice.result
    row, column = result.powers.index(result.chosen.power), result.apertures.index(result.chosen.f_number)
    assert result.plan.possible and result.worst[row, column] == "fits"
    x, y = choice._figures[0].ring.get_data()
    assert x[0] == math.log2(result.chosen.f_number) and y[0] == math.log2(result.chosen.power)


def test_smallest_change_makes_it_possible(choice):
    for values in ({"blur": 5e-5, "depth": 1.5e-2}, {"blur": 2e-6}, {"unit": "voltage"}, {"guide_number": 5.0}):
        choice.reset()
        choice.set(**values)
        assert not choice.result.plan.possible and "No setting meets" in choice.sentence
        choice.press(choice._change)
        assert choice.result.plan.possible, (values, choice.sentence)


def test_no_change_where_none_is_needed(choice):
    choice.press(choice._change)
    assert "To fix it: ask for more first" in choice.sentence


def test_margins_are_what_can_be_tightened(choice):
    """Tighten each wish by a little less than its stops: it still fits; a little more: it does not."""
    margins = dict(choice.result.margins)
    blur = choice.state.blur
    choice.set(blur=blur * 2 ** -(margins["motion"] - 0.02))
    assert choice.result.plan.possible
    choice.set(blur=blur * 2 ** -(margins["motion"] + 0.02))
    assert not choice.result.plan.possible
    choice.reset()
    loss = choice.state.loss
    choice.set(loss=loss + margins["dark"] - 0.02)
    assert choice.result.plan.possible
    choice.set(loss=loss + margins["dark"] + 0.02)
    assert not choice.result.plan.possible


def test_three_kinds_in_the_table(choice):
    views = choice.photos(choice.state, choice.result)
    assert len(views) == 2 and views[1].count("<tr>") == 4 and "(chosen)" in views[1]
    for kind, plan in choice.result.others.items():
        again = settings.choose_settings(choice.result.wish, settings.Gear(**{**vars(choice.result.gear),
                                                                             "unit": kind}))  # fmt: skip
        assert again.possible == plan.possible
    choice.set(unit="voltage")
    assert "quench-controlled, could do it" in choice.sentence


def test_each_limit_has_a_mark_of_its_own():
    assert len({marker for marker, _, _ in LIMITS.values()}) == len(LIMITS)


# ---------------------------------------------------------------- the run sheet


def test_sentence_and_sheet_agree(sheet):
    for words in ("Invented: small camera", "Invented: full frame", "More than the light allows"):
        sheet.press(sheet.presets[words])
        on_paper = " ".join(line for part in (sheet.result.sheet.timer, sheet.result.sheet.camera)
                            for line in part.lines).replace("*", "")  # fmt: skip
        for wanted in re.findall(r"gap to (\d+ ms)|delay to (\d+ ms)|Set (f/[\d.]+)|ISO (\d+)", sheet.sentence):
            assert "".join(wanted) in on_paper, (words, wanted)


def test_presets_of_invented_rigs_are_their_own_wishes(sheet):
    sheet.press(sheet.presets["Invented: full frame"])
    assert sheet.result.sheet.light.lines == runsheet.sheet(*runsheet.large_demo()).light.lines
    assert sheet.result.sheet.paper == "Letter" and "Invented demo numbers" in sheet.static_html()


def test_a_rig_with_blanks_keeps_them(sheet):
    rigs.save(rigs.Rig(name="mine", nozzle_height=0.3, first_diameter=4e-3))
    own = panels.run_sheet()
    assert own.result.rig.name == "mine" and "numbers of the rig are not measured yet" in own.sentence
    assert "Camera and flash settings wait" in own.sentence and "find Z" in own.sentence
    assert len(own.result.sheet.missing) > 10


def test_damaged_rig_file_is_said(sheet):
    rigs.path().parent.mkdir(parents=True, exist_ok=True)
    rigs.path().write_text('{"nozzle_height_mm": "tall"}')
    said = panels.run_sheet().sentence
    assert "rig.json cannot be read" in said and "invented demo rig" in said


def test_saved_files_and_the_link(sheet, tmp_path):
    for kind, name, head in (("pdf", "run_sheet.pdf", b"%PDF"), ("html", "run_sheet.html", b"<!DOCTYPE html>")):
        said = sheet.save(kind)
        data = (tmp_path / name).read_bytes()
        assert name in said and data.startswith(head) and data == sheet.sheet_bytes(kind)
        link = re.search(rf'download="{name}" href="data:[a-z/]+;base64,([^"]+)"', sheet._saved.value)
        assert base64.b64decode(link[1]) == data
    assert len(PdfReader(io.BytesIO(sheet.sheet_bytes("pdf"))).pages) == 2
    sheet.set(depth=7e-3)
    assert sheet._saved.value == "", "a link to an older sheet must not stay"


def test_a_disk_that_refuses_still_gives_the_link(sheet, monkeypatch):
    def full(path, data):
        raise store.SaveProblem("The disk is full. To fix it: make room.")

    monkeypatch.setattr(store, "write", full)
    assert "Not saved. The disk is full." in sheet.save("pdf")
    assert "Download it as run_sheet.pdf" in sheet._saved.value


def test_refused_wish_keeps_the_last_sheet_and_says_so(sheet):
    sheet.set(depth=3.0)
    assert "must be from" in sheet.sentence and "splash-stale" in sheet._picture._dom_classes
    sheet.reset()
    assert "splash-stale" not in sheet._picture._dom_classes


def test_preview_is_the_page_and_speaks(sheet):
    (view,) = sheet._view
    assert "textLength" in view.value and 'role="img"' in view.value and "<style" not in view.value
    label = re.search(r'aria-label="([^"]+)"', view.value)[1]
    for word in ("nozzle", "Set on the timer", "Flash", "looking down"):
        assert word in label


# ---------------------------------------------------------------- the fault finder


@pytest.mark.parametrize("key", list(faults.BY_KEY))
def test_each_symptom_gives_its_causes_in_order(key):
    finder = panels.fault_finder(symptom=key)
    (table,) = finder.photos(finder.state, finder.result)
    plain = table.replace("&quot;", '"')
    places = [plain.index(cause.cause) for cause in faults.fault(key).causes]
    assert places == sorted(places) and table.count("<tr>") == 1 + len(places)
    assert finder.sentence.startswith(faults.fault(key).symptom)
    assert finder.sentence.endswith(faults.fault(key).causes[0].test)


def test_links_lead_to_lessons_that_are_there():
    from tools import lessons

    from splashkit.panels.runsheet_form import LESSONS

    names = {path.name for path in lessons.present()}
    used = {cause.lesson for fault in faults.FAULTS for cause in fault.causes}
    assert used <= set(LESSONS)
    assert all(LESSONS[number] in names for number in used)


def test_without_a_gap_the_sheet_is_not_called_complete():
    """Drops of 1 mm make no column; the verdict was "Complete", and "It takes 2 drops that meet" stood before it."""
    tiny = rigs.demo().with_values(first_diameter=1e-3, second_diameter=1e-3)
    said = panels.run_sheet(rig=tiny).sentence
    assert "No gap yet: the first drop must be" in said and said.endswith("there is nothing to search.")
    assert "2 drops" not in said and "All numbers" not in said
    assert "All numbers of the rig are there" in panels.run_sheet(rig=rigs.demo()).sentence


def test_what_to_measure_first_is_quoted_from_the_form():
    said = panels.run_sheet(rig=rigs.demo().with_values(valve_delay=None)).sentence
    assert said.endswith(f"Measure first what the form of lesson 00 calls “{rigs.BY_NAME['valve_delay'].question}”.")


@pytest.mark.parametrize("key", list(faults.BY_KEY))
def test_the_finder_names_the_cause_before_its_test(key):
    """ "Test this first: They stay for minutes and drift" said neither what drifts nor why."""
    said, first = panels.fault_finder(symptom=key).sentence, faults.fault(key).causes[0]
    assert said.endswith(f"The likeliest: {first.cause} How to tell: {first.test}")


@pytest.mark.parametrize("values", [{"blur": 1e-4}, {"blur": 1e-6}])
def test_the_flash_stands_from_the_drop_whatever_fits(choice, values):
    choice.set(**values)
    assert "from the drop." in choice.sentence and "subject" not in choice.sentence
