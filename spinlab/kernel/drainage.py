"""The way out of the water between face and ball: from the lands into the grooves and over the
patch's edge."""

from __future__ import annotations

import math


def drainage_length_squared(radius, land, groove, open_share):
    """Drainage length squared L² [m²] of a round patch of given radius [m] on lands and grooves
    of given widths [m].

    A film h between smooth, rigid, parallel plates thins by ``-dh/dt = p_mean h³ / (η L²)``
    (Reynolds 1886, from memory), with `p_mean` the load over the whole nominal patch π radius²,
    grooves included.  With ``A = 1.5 radius²`` (a plain disc) and ``B = land³ / (land + groove)``
    (endless lands, which carry all of the load):

        ``1/L² = 1/A + open_share (1/B + (0.38 + 0.86 groove/land) / √(A B))``

    The middle term is what the ends of the lands, cut off by the patch's edge, drain besides.
    Its two numbers are fitted to Reynolds' equation, solved by finite elements and averaged over
    where the ball sits on the grooves (`tests/reynolds.py`): within 3.2 % for radius 3 – 9 mm,
    land 1.5 – 6 mm, groove 0.3 – 1.0 mm; where the ball sits moves L² by up to ± 7 % for usual
    grooves.  Exact without grooves (open_share 0), far apart (land → ∞) and for endless lands
    (radius → ∞).

    `open_share` in between is a closure (our judgement): grooves filled evenly drain like open
    ones until they are full, and with every second groove closed whole L² is larger (four times
    that of open grooves, where the closure says twice).

    >>> round(drainage_length_squared(6.5e-3, 2.7e-3, 0.8e-3, 1.0) * 1e6, 2)
    4.4
    >>> round(drainage_length_squared(6.5e-3, 2.7e-3, 0.8e-3, 0.0) * 1e6, 2)
    63.37
    """
    disc = 1.5 * radius * radius
    lands = land * land * land / (land + groove)
    rim = (0.38 + 0.86 * groove / land) / math.sqrt(disc * lands)
    return 1.0 / (1.0 / disc + open_share * (1.0 / lands + rim))
