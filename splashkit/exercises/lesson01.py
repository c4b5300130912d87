"""Lesson 01: how dark is dark?"""

from __future__ import annotations

import math

from splashkit import exposure, units, workings
from splashkit.exercises.base import ChoiceQuestion, Prediction, Question, words

PREDICTION = Prediction(
    "Room lights are on as in the evening. You open the shutter for one second at f/11. A drop falls past, and the "
    "flash fires once while it is in view. What does the frame show?",
    (
        ("A sharp drop on black: the flash is so much brighter than the lamps.", False,
         "It is brighter while it lasts, but it lasts for a moment only. The lamps are added up for a whole second."),
        ("A sharp drop, with the background of the room over the whole frame.", True,
         "What keeps still gathers room light for the whole second. The drop passes far too quickly to gather any."),
        ("A sharp drop with a bright streak, as strong as the drop itself.", False,
         "The drop is before each spot for a thousandth of a second or two. Its streak is far weaker than the still "
         "background."),
        ("The same frame as at 1/200 s: the flash alone decides the exposure.", False,
         "The shutter does not change the flash. But it does change what the room adds, and one second adds much."),
    ),
)  # fmt: skip

_OPEN = Question(
    level=1,
    draw=lambda random, rig: {"asked": random.choice([8.0, 15.0, 20.0, 30.0]), "stops": random.choice([5, 6])},
    text=lambda q: (
        f"You set your lens and ISO as for the shot. The camera's meter then asks for {units.format_shutter(q.asked)}. "
        f"How long may the shutter be open, if the room is to stay {q.stops} stops under?"
    ),
    answer=lambda q: q.asked / 2**q.stops,
    unit="s",
    display="s",
    quantity="longest shutter time",
    slips=(
        (lambda q: q.asked / q.stops, "You divided by the number of stops. Each stop is one halving of its own."),
        (lambda q: q.asked / (2 * q.stops), "Two for each stop, but multiplied, not added: 2 × 2 × 2 and so on."),
        (lambda q: q.asked / 2 ** (q.stops - 1), "One halving is missing. Count them on your fingers."),
        (lambda q: q.asked * 2**q.stops, "Longer gives more light. You want less: halve, do not double."),
    ),
    tolerance=0.07,  # the camera's nearest mark is right too
    hint="Each stop under is one halving of the time the meter asks for.",
    right=lambda q: "At that time, or at the next shorter mark, the frame with the flash off looks black.",
    worked=lambda q: (
        f"<p>Each stop is a halving, and {q.stops} halvings are a division by {2**q.stops}: "
        f"{words(q.asked, 's')} / {2**q.stops} = {units.format_number(q.asked / 2**q.stops)} s.</p>"
    ),
)  # fmt: skip

_GHOST = Question(
    level=2,
    draw=lambda random, rig: {
        "size": random.choice([3e-3, 4e-3, 5e-3]),
        "speed": random.choice([2.0, 2.5, 3.0]),
        "time": random.choice([2.0, 4.0]),  # not 1 s, which may be left out of the sum unseen
    },
    text=lambda q: (
        f"A drop {words(q.size, 'm')} across falls at {words(q.speed, 'm/s')}. The shutter is open for "
        f"{units.format_shutter(q.time)}. How many times weaker is the drop's ghost than the ghost of the still "
        "background?"
    ),
    answer=lambda q: 1 / float(exposure.ghost_ratio(q.size, q.speed, q.time)),
    unit="1",
    quantity="ratio of the ghosts",
    slips=(
        (lambda q: q.size / (q.speed * q.time), "That is the share it keeps. Asked is how many times weaker: turn it "
                                                "over."),
        (lambda q: math.log2(q.speed * q.time / q.size), "That is the answer in stops. Asked is how many times."),
        (lambda q: q.speed * q.time / (q.size / 2), "You took the radius. The drop passes with its whole diameter."),
        (lambda q: q.speed / q.size, "You left out how long the shutter is open."),
        (lambda q: q.speed * q.time, "That is the way it falls, in metres. Divide by its diameter."),
    ),
    hint="How long does it take to pass its own length? Compare that with the time the shutter is open.",
    right=lambda q: f"That is {units.format_number(math.log2(q.speed * q.time / q.size), 2)} stops: the background "
                    "decides how dark the room must be.",
    worked=lambda q: (
        workings.get("ghost").html(size=q.size, speed=q.speed, exposure_time=q.time)
        + "<p>Asked is one divided by this share: "
        f"{units.format_number(q.speed * q.time / q.size)} times weaker.</p>"
    ),
)  # fmt: skip

_FIX = ChoiceQuestion(
    level=3,
    draw=lambda random, rig: {"stops": random.choice([2, 3, 4])},
    text=lambda q: (
        f"With the flash off, your frame must be {q.stops} stops darker. With the flash on it is just right. "
        "You change one thing, or two at once. Which leaves the flash's picture as it is?"
    ),
    options=lambda q: (
        (f"Make the shutter time {2**q.stops} times shorter, but not shorter than the sync speed.", True,
         "The shutter cuts the room's light and does not touch the flash, as long as the flash fits in."),
        (f"Close the aperture by {q.stops} stops.", False,
         "That takes as much from the flash as from the room. The picture gets darker, the ratio stays."),
        (f"Lower the ISO by {q.stops} stops.", False,
         "ISO turns down both alike, as the aperture does. The ratio of room to flash stays."),
        (f"Raise the flash by {q.stops} stops of power and close the aperture by as much.", False,
         "That brings the wanted ratio. But a stronger flash may last longer and smear the drop: see lesson 02."),
    ),
    hint="Ask of each thing: does it change the flash, the room, or both?",
    worked=lambda q: (
        "<p>Shutter time: room only. Aperture and ISO: both alike. Power and distance of the flash: flash only. "
        "Power also changes how long the flash lasts. Lamps off and windows covered: room only, and it costs "
        "nothing.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_OPEN, _GHOST, _FIX)
