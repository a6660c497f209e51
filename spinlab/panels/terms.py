"""The words of the trade, each defined once: lesson 00's table and its scene read them here."""

TERMS = {
    "dynamic loft": "the loft of the face as it meets the ball, measured from upright",
    "attack angle": "the direction the head travels up or down; down is negative",
    "spin loft": "dynamic loft less attack angle: the angle between where the face points and where "
    "the head goes",
    "launch angle": "the direction in which the ball leaves, above level",
    "shaft lean": "how far the shaft leans toward the target; it takes that much loft away",
    "ball speed": "how fast the ball leaves",
    "spin rate": "turns a minute (rpm), backspin if not said otherwise",
    "lands": "the flat parts of the face between two grooves; they make the spin",
    "cover": "the ball's skin: soft on the balls that spin most, hard on many range balls",
    "film": "a thin layer of water, in micrometres (µm, thousandths of a millimetre; a hair is about "
    "70)",
    "grip, slip": "the cover is held by the face, or slides along it",
    "carry": "from where the ball lay to where it pitches",
    "run": "from where the ball pitches on to where it stops",
    "descent angle": "how steeply it comes down, from level",
    "check, release": "it stops soon after pitching, or runs on",
    "band": "how far a number may lie off, by what is not known well: nine tenths of the draws fall "
    "inside",
}
"""Word → what it is."""
SHOWN = (
    "dynamic loft",
    "attack angle",
    "spin loft",
    "launch angle",
    "ball speed",
    "spin rate",
    "lands",
    "cover",
    "film",
    "carry",
    "run",
)
"""The words that the impact close-up can point at."""
