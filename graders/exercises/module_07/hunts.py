"""07.5 to 07.7: hunts at the bench: on one boat with a stray, on any boat with a stray or none, and on any boat with anything."""

from __future__ import annotations

from graders.exercises.module_07.common import MODULE
from graders.hunt.exercise import hunt_exercise

FIRST = hunt_exercise(
    "07.5",
    MODULE,
    "A first hunt",
    ("07.find", "07.order", "07.prove"),
    "{boat}, the {kind}, at {marina}: her owner says only that something eats metal, fast. Find what is wrong and with which "
    "part, in the order of a hunt. "
    "Mend it. Prove it. Perhaps nothing is wrong.",
    (
        "Baseline first, with everything as found. Then all off, the fuses of what bypasses the battery switch too. Wait, and read again.",
        "If the reading moved: one circuit at a time, or by halves, a reading each. If it did not, her battery is not at work: "
        "read every metal.",
        "Close in with the clamp round both wires of a circuit and the probe in the bilge; mend that one thing; then the same "
        "reading again.",
    ),
    family="first_hunt",
)
SECOND = hunt_exercise(
    "07.6",
    MODULE,
    "A hunt on another boat",
    ("07.find", "07.tools", "07.prove"),
    "Another day, another boat: {boat}, the {kind}, at {marina} in {water}. Something may leak. Find it, mend it, prove it, or "
    "say that nothing is wrong.",
    (
        "What does she read as found, and what with all off, each at rest?",
        "The bonded metals may go more negative while something else dies. The change tells, not its direction.",
        "One circuit on at a time names the circuit. The clamp round both its wires shows what leaks. The probe tells whether "
        "the bilge water is fed, the clip on each fitting which metal stands aside. Mend that, everything on, same reading.",
    ),
    family="stray_hunt",
)
THIRD = hunt_exercise(
    "07.7",
    MODULE,
    "Stray, galvanic, or nothing",
    ("07.find", "07.order", "07.prove"),
    "{boat}, the {kind}, at {marina} in {water}. This time it may be a stray current, a bond, an anode, a metal that does not "
    "belong there, or nothing.",
    (
        "First ask the question of the whole hunt: does anything move when all is off?",
        "If nothing moves, measure metal by metal against the common bonding point: which one stands aside?",
        "A metal that stands aside: its bond or contact. All less negative: anodes. All more negative with nothing on: too much "
        "anode or the wrong alloy. Moves with the shore lead: ashore. Nothing of all that: nothing is wrong.",
    ),
    family="any_hunt",
)
