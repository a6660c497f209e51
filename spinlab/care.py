"""The usual cautions, each sentence once: plans, sheets, pages and lessons take them from here.

Common practice, no source, but for the Rules of Golf, seen quoted (Q).  The facility and licensed
professionals come first everywhere.
"""

FACILITY = "The facility's rules and licensed professionals come first."
ROOM = (
    "Nobody within a full swing and follow-through, nor along the ball's line; the audience behind a "
    "net or rope."
)
ONE_HITTER = "One hitter at a time, and a stop word everyone knows."
CLUB = "Check head, ferrule, shaft and grip before starting; retire cracked balls."
EYES = "Impact-rated eyewear where a ball can rebound."
STOP = "Stop on pain; a clinician advises, not this sheet. Outdoors, stop for lightning."
SPRAY = (
    "Water from a small spray bottle; no open water on a hard floor; keep leads, sockets and the "
    "projector dry, and use battery power near water."
)
GRIP = "Dry a wet grip or glove before the next shot."
PRACTICE = (
    "Practice only: wetting face or ball on purpose is not allowed in play (Rules of Golf 4.1a(3) and "
    "4.2a(2)). Drying and towelling are fine, and dew or rain that comes by itself is no breach."
)

SAFETY = (FACILITY, ROOM, ONE_HITTER, CLUB, EYES, STOP)
"""Whenever shots are hit before people."""
WATER = (SPRAY, GRIP, PRACTICE)
"""Whenever water is on face or ball."""
