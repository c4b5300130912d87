"""Lesson 08: how do gap and height interact?"""

from __future__ import annotations

from typing import Any

from splashkit import workings
from splashkit.exercises.base import Prediction, Question, words

PREDICTION = Prediction(
    "Two drops meet at the top of the column. Your light comes when the sheet is full. You raise the nozzle by a "
    "few centimetres. Which of your two times needs the larger change?",
    (
        ("Neither: both drops fall farther by the same amount, so nothing shifts.", False,
         "Both drops do fall longer by nearly the same time. So the gap hardly changes. But the light counts from the "
         "release, and the whole play now comes later."),
        ("The gap, because the second drop has to catch the column.", False,
         "The second drop falls longer too, by nearly the same time. What moves is the light."),
        ("The delay to the light; the gap hardly changes.", True,
         "Both drops fall longer by nearly the same time, so the gap stays. The light must wait for the longer fall."),
        ("Both by the same amount.", False,
         "The longer fall is in the light's delay once. In the gap it is in there twice, with opposite signs."),
    ),
)  # fmt: skip


_HIGHER = Question(
    level=1,
    draw=lambda random, rig: {
        "height": random.choice([0.20, 0.25, 0.30]),
        "more": random.choice([0.01, 0.02, 0.03]),
        "per_mm": random.choice([0.48e-3, 0.50e-3, 0.52e-3]),
        "delay": random.choice([0.268, 0.281, 0.292, 0.305]),
    },
    text=lambda q: (
        f"Your light comes {words(q.delay, 's')} after the first drop lets go, and the sheet is full. You raise the "
        f"nozzle by {words(q.more, 'm')}. Each millimetre makes the meeting {1e3 * q.per_mm:.2f} ms later. "
        "Which delay do you set now?"
    ),
    answer=lambda q: q.delay + q.more * 1e3 * q.per_mm,
    unit="s",
    display="ms",
    quantity="delay to the light",
    tolerance=0.004,
    slips=(
        (lambda q: q.delay - q.more * 1e3 * q.per_mm, "You made the delay shorter. A higher nozzle makes all later."),
        (lambda q: q.delay + q.more * 1e2 * q.per_mm, "You counted centimetres. The number is for each millimetre."),
        (lambda q: q.more * 1e3 * q.per_mm, "That is the change alone. Add it to the delay you had."),
        (lambda q: q.delay, "The gap may stay, but the light has to wait for the longer fall."),
    ),
    hint="Multiply the millimetres by the change for each, then add it to the old delay.",
    right=lambda q: "The gap stays as it was: that is why the gap comes first and the light after.",
    worked=lambda q: (
        f"<p>{words(q.more, 'm')} times {1e3 * q.per_mm:.2f} ms for each millimetre is "
        f"{words(q.more * 1e3 * q.per_mm, 's')} later. {words(q.delay, 's')} plus that is "
        f"{words(q.delay + q.more * 1e3 * q.per_mm, 's', 4)}.</p>"
    ),
)  # fmt: skip


def _gap_of(q: Any) -> float:
    return float(
        workings.get("meeting_gap").value(
            column_time=q.column_time, height=q.height, meeting_height=q.meeting_height, gravity=9.81
        )
    )


_GAP = Question(
    level=2,
    draw=lambda random, rig: {
        "height": random.choice([0.20, 0.25, 0.30, 0.35]),
        "column_time": random.choice([0.055, 0.060, 0.065]),
        "meeting_height": random.choice([0.015, 0.018, 0.020]),
    },
    text=lambda q: (
        f"Both drops fall {words(q.height, 'm')}. The column is {words(q.meeting_height, 'm')} high "
        f"{words(q.column_time, 's')} after the first drop touches. You want the second drop to meet it there. "
        "Leave the air out and take g = 9.81 m/s². How long is the gap?"
    ),
    answer=_gap_of,
    unit="s",
    display="ms",
    quantity="gap",
    tolerance=0.01,
    slips=(
        (lambda q: q.column_time, "That would be right if they met at the water. The second drop has less far to fall, "
                                  "so it must start a little later."),
        (lambda q: 2 * q.column_time - _gap_of(q), "You took the small difference off. A shorter fall means the second "
                                                   "drop must start later, so it is added."),
        (lambda q: q.column_time + (2 * q.meeting_height / 9.81) ** 0.5, "You let the drop fall the column's height "
         "from rest. Up there it is already fast: take the difference of the two whole falls."),
        (lambda q: q.column_time + (2 * q.height / 9.81) ** 0.5, "You added the whole fall. Only the difference of the "
                                                                 "two falls counts."),
    ),
    hint="Time of the whole fall, less the time of the fall down to the column's top, plus the column's time.",
    right=lambda q: "Most of the gap is the column's own time; the height of the nozzle is only in the small rest.",
    worked=lambda q: workings.get("meeting_gap").html(
        column_time=q.column_time, height=q.height, meeting_height=q.meeting_height, gravity=9.81
    ),
)  # fmt: skip


def _later(q: Any) -> float:
    return float(round((q.larger - q.diameter) / 1e-4) * q.per_tenth)


_LOWER = Question(
    level=3,
    draw=lambda random, rig: {
        "diameter": 4e-3,
        "larger": random.choice([4.2e-3, 4.3e-3, 4.4e-3, 4.5e-3]),
        "per_tenth": random.choice([1.3e-3, 1.4e-3, 1.5e-3]),
        "per_mm": random.choice([0.48e-3, 0.50e-3, 0.52e-3]),
    },
    text=lambda q: (
        f"Your drops grow from {words(q.diameter, 'm')} to {words(q.larger, 'm')}. Each tenth of a millimetre makes "
        f"the meeting {words(q.per_tenth, 's')} later. Each millimetre of height makes it {1e3 * q.per_mm:.2f} ms "
        "later. You do not want to touch the light. By how much do you lower the nozzle?"
    ),
    answer=lambda q: _later(q) / q.per_mm * 1e-3,
    unit="m",
    display="mm",
    quantity="change of height",
    slips=(
        (lambda q: q.per_tenth / q.per_mm * 1e-3, "That is for one tenth of a millimetre. Your drops grew by more."),
        (lambda q: q.per_mm / _later(q) * 1e-3, "The division is upside down: how many times does one millimetre's "
                                                "change go into the whole change?"),
        (lambda q: _later(q), "You took the milliseconds for millimetres. Divide by what one millimetre changes."),
        (lambda q: _later(q) * q.per_mm * 1e3, "You multiplied. Divide the whole change by the change for each "
                                               "millimetre."),
    ),
    hint="First the milliseconds that the larger drops add. Then the millimetres that take them off again.",
    right=lambda q: "The light may stay. The gap may not: it has grown too, and height hardly moves it.",
    worked=lambda q: (
        f"<p>{round((q.larger - q.diameter) / 1e-4)} tenths of a millimetre, times {words(q.per_tenth, 's')}, make it "
        f"{words(_later(q), 's')} later. Divided by {1e3 * q.per_mm:.2f} ms for each millimetre, that is "
        f"{words(_later(q) / q.per_mm * 1e-3, 'm')}.</p>"
    ),
)  # fmt: skip

QUESTIONS = (_HIGHER, _GAP, _LOWER)
