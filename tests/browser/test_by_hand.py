"""What two lessons ask the learner to do by hand, done in a real browser: the trial of haste, and entries in inches."""

import re

from tools.browser import figure_words, sentence


def card(page, title):
    """The card whose heading has these words."""
    return page.locator(".splash-card").filter(has=page.get_by_role("heading", name=title, exact=True)).last


def says(panel, page, pattern):
    """Wait until the panel's sentence holds a pattern; gives the sentence."""
    page.wait_for_function(
        "([card, wanted]) => new RegExp(wanted).test("
        "[...card.querySelectorAll('.splash-sentence')].at(-1).textContent)",
        arg=[panel.element_handle(), pattern],
        timeout=30_000,
    )
    return sentence(panel)


def press(panel, page, words, pattern):
    """Press a button by keyboard, and wait for what the panel then says."""
    panel.get_by_role("button", name=words, exact=True).focus()
    page.keyboard.press("Enter")
    return says(panel, page, pattern)


def write(panel, page, label, text):
    """Type into a box, as a person does, and end with Enter."""
    panel.get_by_label(label, exact=True).fill(text)
    page.keyboard.press("Enter")


def frame(panel, page, number):
    """Take a frame and have it read; gives what was said to both."""
    taken = press(panel, page, "Take a frame", rf"Frame {number}, with gap")
    return taken, press(panel, page, "Read it for me", rf"Frame {number}, read with a ruler")


def test_haste_in_lesson_11(lesson, page):
    """To a hit by advice; 6 ms less, and more where the umbrella was old; five frames with rest, and five without."""
    lesson.open("11_test_frames.ipynb").run_all().uncover()
    panel, number, read = card(page, "Practice rig"), 0, ""
    while "umbrella" not in read and number < 30:
        press(panel, page, "Set what was advised", "Set as advised")
        _, read = frame(panel, page, number := number + 1)
    assert "The collision was caught" in read
    delay = float(panel.get_by_label("Delay (ms)", exact=True).input_value())
    for less in range(6, 30, 2):
        write(panel, page, "Delay (ms)", f"{delay - less:g}")
        says(panel, page, f"delay {delay - less:g} ms")
        _, read = frame(panel, page, number := number + 1)
        if "umbrella" not in read:
            break
    assert "umbrella" not in read
    for rest in (True, False):
        tick = panel.get_by_role("checkbox", name="Let the water come to rest before each frame")
        if tick.is_checked() != rest:
            tick.focus()
            page.keyboard.press("Space")
            says(panel, page, "^ *Next frame: ")
        taken = [frame(panel, page, number := number + 1) for _ in range(5)]
        assert all(("The water was still moving when the drops fell" in said) != rest for said, _ in taken)
        rows = panel.locator("table tbody tr").all_inner_texts()[-5:]
        assert all(("60 s" if rest else "1 s") in row.split("\t") for row in rows)
        # how high and how scattered is chance here; tests/test_lesson_numbers_11.py holds what the lesson promises
        assert all(re.search("column|crown|umbrella", row) for row in rows)
    assert lesson.errors() == []


def test_inches_in_lesson_12(lesson, page):
    """Lengths are typed in inches and told in inches; a refusal speaks in the box's own centimetres."""
    lesson.open("12_first_shoot.ipynb").run_all().uncover()
    panel, label = card(page, "Your run sheet"), "Nearest place for the flash (cm)"
    assert re.search(r"back light \d+ mm behind the drop", sentence(panel))
    panel.get_by_label("Lengths in", exact=True).focus()
    page.keyboard.press("End")
    says(panel, page, r"back light [\d.]+ in behind the drop")
    for written in ("10 in", "10 inches", '10"', "10″"):
        write(panel, page, label, "0.5 ft")
        far = says(panel, page, r"1/64 power, with the back light [\d.]+ in behind the drop")
        assert 6 <= float(re.search(r"back light ([\d.]+) in", far)[1]) < 10
        write(panel, page, label, written)
        near = says(panel, page, r"1/32 power, with the back light [\d.]+ in behind the drop")
        assert 10 <= float(re.search(r"back light ([\d.]+) in", near)[1]) < 15
        assert panel.get_by_label(label, exact=True).input_value() == "25.4"
    assert "nozzle, 9.84 in above it" in figure_words(panel)[0] and "Water at 68 °F" in figure_words(panel)[0]
    write(panel, page, label, "100 in")
    says(panel, page, "must be from 10 cm to 200 cm; got 254 cm")
    write(panel, page, label, "10 in")
    says(panel, page, r"back light [\d.]+ in behind the drop")
    panel.get_by_role("button", name="Save as HTML page", exact=True).focus()
    page.keyboard.press("Enter")
    panel.get_by_text("Saved in").wait_for()
    saved = (lesson.jupyter.root / "run_sheet.html").read_text(encoding="utf-8")
    assert "9.84 in" in saved and "250 mm" not in saved
    assert lesson.errors() == []
