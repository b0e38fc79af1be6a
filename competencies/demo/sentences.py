"""What people write down in the demo plant, about the work and never about the person."""

RUN_NOTES = (
    "",
    "",
    "",
    "Steady from start to end.",
    "Asked before going on, as agreed.",
    "Named each key point without help.",
    "Read the display first, then wrote it down.",
    "Needed one reminder of the order; the rest without help.",
)
FEEDBACK = (
    "Every step in order, and said why it matters.",
    "Sure of the limits, and knew what to do when one is passed.",
    "Calm when the line stopped; the readings agreed with mine.",
    "Good housekeeping: left the place ready for the next shift.",
)
PRACTISE = (
    "Say the limit aloud before reading the display.",
    "Do the check before the start, not after it.",
    "Write the reading down at once; two were from memory.",
    "Practise the order of the steps with the card, then without.",
)
OLD_RECORD = "Signed sheet of the old paper record seen, and the work watched here."
