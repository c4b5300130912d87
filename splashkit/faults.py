"""The fault finder: what a frame shows, its likely causes in order, the test that tells them apart.

Data only. Order and remedies are common practice, no source, save where a lesson derives them.
"""

from __future__ import annotations

from typing import NamedTuple

from splashkit.checks import Choice


class Cause(NamedTuple):
    """One likely cause: how to tell it from the others, what to do, and the lesson that explains it."""

    cause: str
    test: str
    remedy: str
    lesson: str


class Fault(NamedTuple):
    """One symptom with its causes, the likeliest first."""

    key: str
    symptom: str
    causes: tuple[Cause, ...]


# fmt: off
FAULTS: tuple[Fault, ...] = (
    Fault("empty_water", "Calm, empty water: no drop in the frame", (
        Cause("The light comes far too early: after a splash there would be rings.",
              "One drop only: lengthen the delay in steps of 30 ms until a drop or a crown shows.",
              "One drop, delay longer in steps of 30 ms; what shows is a clock.", "11"),
        Cause("No drop fell.", "Light the nozzle with a torch and let the timer run: nothing leaves it.",
              "Go on at 'No drop at all'.", "06"),
        Cause("The drops fall outside the frame.",
              "Hold the nail under the nozzle, room light on: it is not in the frame.",
              "Move the camera until the nail stands in the middle.", "05"),
    )),
    Fault("black_frame", "The whole frame is black", (
        Cause("The flash did not fire: it sleeps, still charges, or a plug is loose.",
              "Watch it from the side while the timer runs: it stays dark.",
              "Switch its sleep timer off, push the plugs home, wait for its ready lamp.", "10"),
        Cause("The flash fired while the shutter was closed.",
              "Hold the shutter open in the dark and fire the flash by hand: now there is a picture.",
              "Let the camera fire the flash, or open the shutter sooner and longer.", "04"),
        Cause("The light is far too weak for this aperture and distance.",
              "Open the aperture as wide as it goes: a dim picture shows.",
              "Bring the flash closer, or raise the ISO.", "10"),
    )),
    Fault("black_band", "A black band along one side of the frame", (
        Cause("The shutter is set faster than the sync speed.",
              "Set twice the exposure time: the band shrinks or goes.",
              "Use the sync speed or slower; in a dark room the flash freezes, not the shutter.", "03"),
        Cause("The flash is late: a slow link or a slow trigger eats the time the frame is wholly open.",
              "Same exposure, with a cable instead of the radio: the band changes.",
              "Use a cable, or an exposure a stop slower.", "03"),
        Cause("The timer fires the flash before the front curtain is across.",
              "Lengthen the delay by 5 ms: the band moves or goes.", "Open the shutter first, then fire the flash.",
              "04"),
    )),
    Fault("two_edges", "Every drop has two edges, a sharp one and a faint one", (
        Cause("Room light draws a second, blurred image while the shutter is open.",
              "Take a frame with the flash off: what is left is the ghost.",
              "Darken the room, stop down, or shorten the exposure to the sync speed.", "01"),
        Cause("Two flash units do not fire together, or one is set to a longer duration.",
              "Cover one unit at a time: each image alone is single.",
              "Set both to the same power; fire both by cable.", "02"),
        Cause("The flash is on pulsed burn and its pulses show.",
              "Look at a fast drop: evenly spaced edges mean pulses.",
              "Switch pulsed burn off and stay at the sync speed.", "03"),
    )),
    Fault("ghost_below", "A faint trail below the falling drop", (
        Cause("Room light after the flash: the front curtain fired it and the shutter stayed open.",
              "Flash off: the trail alone stays. Halve the exposure time: it gets shorter.",
              "Darken the room, or shorten the exposure.", "04"),
        Cause("A long tail of the flash at full power.",
              "Set a quarter of the power and open up two stops: the trail goes.",
              "Use low power and more units, or come closer.", "02"),
    )),
    Fault("ghost_above", "A faint trail above the falling drop", (
        Cause("Room light before the flash: rear curtain, or an open shutter that waited long.",
              "Flash off: the trail alone stays. Open the shutter later: it gets shorter.",
              "Darken the room, or open the shutter just before the drop comes into view.", "04"),
        Cause("A thread or satellite drop follows the main drop from the nozzle.",
              "It is sharp, and in every frame at the same place behind the drop. Flash off: it is gone.",
              "Shorten the valve opening a little, or raise the nozzle.", "06"),
    )),
    Fault("streak", "The drop is a streak, not a ball", (
        Cause("The flash lasts too long: its power is too high.",
              "Halve the power and open up a stop: the streak gets shorter.",
              "Go down in power until the streak is under two pixels or your own limit.", "02"),
        Cause("The unit makes less light by a lower voltage: then low power is not shorter.",
              "At 1/8 power the streak is as long as at full power, or longer.",
              "Use a unit that cuts its light off, or full power from farther away.", "02"),
        Cause("Room light.", "Flash off: the streak stays.", "Darken the room.", "01"),
    )),
    Fault("all_late", "Everything comes late (or early) by the same amount", (
        Cause("The shutter's lag was never taken off, or has another value in this mode.",
              "Measure the lag from one frame of a falling drop. With autofocus and picture review off it changes.",
              "Type the lag into your rig; set focus and aperture by hand.", "11"),
        Cause("Front and rear curtain were swapped.",
              "Double the exposure time: with the rear curtain everything shifts by it.",
              "Choose the front curtain for timing.", "04"),
        Cause("The nozzle hangs higher or lower than typed, or the level in the bowl sank.",
              "Measure again: 1 cm is about 4.5 ms at 25 cm.", "Top up the bowl; correct the height.", "06"),
        Cause("The delay counts from another signal than you think.",
              "Set the gap 20 ms longer: if the first drop's place shifts, the delay counts from the second signal.",
              "Read what the timer's delay counts from, and write it on the timer.", "04"),
    )),
    Fault("scatter", "Frames at one setting differ from shot to shot", (
        Cause("The shutter's lag scatters.",
              "Shoot ten frames on an open shutter in the dark: if they agree, it was the shutter.",
              "Use the open shutter; or set focus and aperture by hand, and keep the camera awake.", "04"),
        Cause("The drops' size scatters: air in the line, or the head of liquid sinks.",
              "Weigh ten drops, ten times. Look for bubbles in the tube.",
              "Bleed the line; keep the reservoir's level constant.", "06"),
        Cause("The water was not at rest.", "Wait three times as long: the scatter shrinks.",
              "Wait the resting time of lesson 09 between frames.", "09"),
        Cause("A sticky or dirty valve.",
              "On the open shutter the first drop's height scatters, and worse after a pause.",
              "Rinse it: see 'no drop'.", "06"),
        Cause("A draught, or somebody walking.", "Close the door, stand still, shoot ten.",
              "Shield the fall, put the stand on a firm floor.", "06"),
    )),
    Fault("off_axis", "The second drop misses the column to one side", (
        Cause("The nozzle is not upright, or a drop hangs at its rim.",
              "Dry the tip: if the side changes, it was the rim. Turn the nozzle: the side turns with it.",
              "Plumb the nozzle; dry or grease its rim.", "06"),
        Cause("A draught pushes the drops.", "Miss is larger from a higher nozzle and changes with time.",
              "Shield the fall.", "06"),
        Cause("The column leans: the bowl's wall is near, or the water was moving.",
              "Look at single-drop frames: a leaning column alone shows it.",
              "Drop in the middle of a wider bowl; wait longer.", "07"),
    )),
    Fault("tall_thin_column", "The column is tall and thin and breaks up", (
        Cause("Plain water and a small or slow drop: a thin column, whose head pinches off.",
              "Raise the nozzle by half, or take larger drops: from some height on it gets thick.",
              "Larger drops, or a little thickener.", "07"),
        Cause("The light is late: the head has parted already.", "Shorten the delay by 10 ms.",
              "Meet the column earlier on its rise.", "08"),
    )),
    Fault("short_fat_column", "The column is short and fat", (
        Cause("The light is early: it has not risen yet.", "Lengthen the delay by 10 ms: it grows.",
              "Go on until it is tallest: the search of lesson 12, or the advice of lesson 11.", "11"),
        Cause("The liquid is too thick.", "Compare with plain water at the same settings.", "Thin it by half.", "09"),
        Cause("The bowl is too shallow, below about 25 mm.", "Fill it up.",
              "Use at least 25 mm of liquid, or twice the crater's depth.", "07"),
    )),
    Fault("bubbles", "Bubbles on the surface or in the column", (
        Cause("Soap or milk in the liquid holds a froth from earlier drops.", "They stay for minutes and drift.",
              "Skim them with paper; wait; use less soap.", "09"),
        Cause("Air in the line or valve spits with the drop.",
              "The drop itself carries bubbles, or comes with a spray.",
              "Bleed the line; close its joints; keep the reservoir filled.", "06"),
        Cause("Drop size and height lie where a bubble is caught under every crater.",
              "Change the height by a third: they go.", "Choose a higher nozzle or a larger drop.", "07"),
        Cause("The crown closes to a dome: large drops from high up.",
              "Frames 10 to 20 ms after contact show the dome.", "Lower the nozzle.", "07"),
    )),
    Fault("no_drop", "No drop at all, or a weak one, after storage", (
        Cause("The valve is clogged: thickener or milk has dried inside.",
              "It clicks but nothing comes; pushing warm water through by hand is hard.",
              "Rinse with warm water until it runs free, leave it filled with clean water for an hour, rinse "
              "again. After every evening with thickener or milk: rinse at once, then run clean water, then air.",
              "09"),
        Cause("The valve sticks: it does not even click, or only the first time.",
              "Tap it gently while it is driven; listen. Measure its supply voltage under load.",
              "Rinse as above; if it clicks only with a shorter cable, the supply is too weak.", "06"),
        Cause("Air stands in the line, or a tap is closed.", "Look along the tube against a light.",
              "Open the tap; bleed the line with a long opening over a cup.", "06"),
        Cause("The opening is shorter than the valve can follow.",
              "Lengthen the opening in steps of 5 ms until a drop comes.", "Stay well above that opening.", "06"),
    )),
    Fault("many_drops", "Each opening gives more than one drop, or a jet", (
        Cause("The opening is too long.", "Shorten it in steps of 5 ms until one drop is left.",
              "Set the opening for the drop size you want.", "06"),
        Cause("The reservoir stands too high.", "Lower it by a third: the jet turns into drops.",
              "Keep the head low and constant.", "06"),
        Cause("The valve leaks or closes late.", "With no signal it drips.", "Rinse the seat; renew the seal.", "06"),
    )),
    Fault("no_collision", "Both drops fall, but they never meet on the column", (
        Cause("The gap is too short: the second drop falls into the crater.",
              "In a frame just before it lands, no column stands.", "Lengthen the gap in steps of 5 ms.", "08"),
        Cause("The gap is too long: the column has fallen back.",
              "In that frame the surface is rough or a low stump is seen.", "Shorten the gap in steps of 5 ms.", "08"),
        Cause("The second opening is so close that the valve has not closed.",
              "The drops run into each other in the air.", "Shorten the opening, or lengthen the gap.", "06"),
    )),
    Fault("dark", "The frame is too dark at the power that freezes", (
        Cause("Low power is little light.", "Bring the flash to half the distance: two stops more.",
              "Closer, more units, a wider aperture or a higher ISO, in this order.", "10"),
        Cause("Close-up loss: the lens marks its aperture for far subjects.",
              "Compare a far and a near frame of the same card: at magnification 0.5 more than a stop is lost.",
              "Count with the effective aperture.", "05"),
        Cause("The flash was not charged.", "Wait for its lamp, shoot again.",
              "Wait longer between frames; fresh batteries.", "10"),
    )),
    Fault("soft", "Nothing is quite sharp", (
        Cause("Focus is not where the drop falls.", "Lay a ruler or a nail under the nozzle: what is sharp there?",
              "Focus by hand on a nail under the nozzle, held at the height of the meeting.", "05"),
        Cause("The aperture is so small that diffraction softens all.",
              "Open up two stops: the plane in focus gets crisper.", "Use the best aperture of lesson 05.", "05"),
        Cause("The flash lasts too long.", "Falling drops are softer along the fall than across.", "Lower the power.",
              "02"),
        Cause("Spray on the lens or filter.", "Look at it against a light.", "Wipe it; stand farther off.", "05"),
    )),
    Fault("stripes", "Even stripes across the frame", (
        Cause("Pulsed burn: rows get different numbers of pulses.",
              "They change with the shutter setting and go at the sync speed.", "Switch pulsed burn off.", "03"),
        Cause("A lamp that flickers lights the room, and the sensor is read row by row.",
              "Flash off: the stripes stay.", "Switch the lamp off; use the mechanical shutter.", "03"),
    )),
    Fault("restless", "Rings on the water before a drop has touched it", (
        Cause("The water had not come to rest.", "Wait three times as long: the rings are gone.",
              "Wait the resting time of lesson 09 between frames.", "09"),
        Cause("The nozzle drips between the frames.", "Fire nothing for a minute, and watch the water.",
              "Rinse the valve's seat; lower the reservoir a little.", "06"),
        Cause("A step, a fan or the table shakes the bowl.",
              "Look at a lamp's image in the water while somebody walks past.",
              "A heavy table, a soft mat under the bowl, and nobody moves.", "09"),
    )),
)
# fmt: on
BY_KEY = {fault.key: fault for fault in FAULTS}


def symptoms() -> tuple[tuple[str, str], ...]:
    """Return (words, key) of every symptom, as a drop-down list wants them."""
    return tuple((fault.symptom, fault.key) for fault in FAULTS)


def fault(key: str) -> Fault:
    """Return one symptom with its causes by its key."""
    return BY_KEY[Choice("symptom", tuple(BY_KEY))(key)]


def search(words: str) -> tuple[Fault, ...]:
    """Return the symptoms that hold all the words, in the symptom itself before those in its causes."""
    wanted = [word for word in str(words).lower().split() if word]

    def rank(found: Fault) -> int:
        own = found.symptom.lower()
        whole = " ".join([own, *(" ".join(cause) for cause in found.causes)]).lower()
        if all(word in own for word in wanted):
            return 0
        return 1 if all(word in whole for word in wanted) else 2

    return tuple(sorted((f for f in FAULTS if rank(f) < 2), key=rank))
