"""The curves of the models, worked out by the functions that the engine itself calls."""

from __future__ import annotations

import numpy as np

from ..catalogue import BALLS, GREENS, PITCH, WETNESS
from ..evidence.power import half_width
from ..physics import air, film, flight, green, grooves
from ..physics.contact import dry_friction, strike
from ..physics.spread import Spread, scatter
from ..physics.uncertain import HEAD_TURNS, PARAMETERS
from ..records import Assumptions, Ball, Between, Face
from ..units import deg, ft, mm, rpm, said, um, written
from .draw_model import Trace, Traced

_SOFT, _WET = BALLS["soft cover"], WETNESS["dew"].between()
_KN, _US, _KRPM = 1e3, 1e-6, 1e3 * rpm


def _histories(*cases):
    """Through the contact of the lessons' pitch, one history for each (face, between)."""
    return [strike(PITCH, face, _SOFT, between, history=True).contact.history for face, between in cases]


def _times(*histories):
    """Instants of contacts from touch to the first departure, close enough for smooth lines."""
    return np.linspace(0, min(history.time[-1] for history in histories), 241)


def _over(time, history, values):
    """Values of a history at other times, by curves that hardly swing out; none after the ball has gone."""
    from scipy.interpolate import Akima1DInterpolator

    return Akima1DInterpolator(history.time, values, method="makima", extrapolate=False)(time)


def across_the_face():
    """Push across the face through a contact."""
    told, = _histories((Face(), Between()))
    time = _times(told)
    return Trace(x=time / _US, lines=(Traced(name="push", y=_over(time, told, told.normal_force) / _KN),),
                 across="Time [µs]", up="Push [kN]",
                 said=f"The push of a pitch rises to {told.normal_force.max() / _KN:.1f} kN and is over after "
                      f"{told.time[-1] / _US:.0f} µs.")


def off_the_middle():
    """Ball speed over the height of the strike, with the range of the head's inertia."""
    height = np.linspace(-20 * mm, 20 * mm, 41)
    arriving = PITCH.but(strike_height=height)
    inertia = HEAD_TURNS.low, Face().head_inertia, HEAD_TURNS.high
    faces = [Face(head_inertia=each) for each in inertia]
    low, mid, high = (strike(arriving, face, _SOFT).ball_speed for face in faces)
    lost = 100 * (1 - mid / mid[20])
    return Trace(x=height / mm, lines=(Traced(name="ball speed", y=mid, low=low, high=high),),
                 across="Height above the head's centre of mass [mm]", up="Ball speed [m/s]",
                 said=f"A strike 10 mm high or low costs {lost[10]:.0f}% of the ball speed, one of 20 mm "
                      f"{lost[0]:.0f}%.")


def along_the_face():
    """Friction along the face, dry and in dew; below nought it has turned round."""
    dry, wet = _histories((Face(), Between()), (Face(), _WET))
    time = _times(dry, wet)
    lines = (Traced(name="dry", y=_over(time, dry, dry.friction_force) / _KN),
             Traced(name="dew", y=_over(time, wet, wet.friction_force) / _KN))
    return Trace(x=time / _US, lines=lines, across="Time [µs]", up="Friction [kN]",
                 said=f"Dry, friction rises to {dry.friction_force.max() / _KN:.2f} kN and turns round before the ball "
                      f"leaves; in dew it rises to {wet.friction_force.max() / _KN:.2f} kN.")


def friction_of_covers():
    """Dry friction over sliding speed for the published covers."""
    speed = np.linspace(0, 35, 71)
    balls = {"urethane 2020": Ball.published_urethane_cover(), "soft 1996": _SOFT,
             "ionomer 2020": Ball.published_ionomer_cover(), "hard 1996": Ball.published_hard_cover()}
    lines = tuple(Traced(name=name, y=dry_friction(speed, ball))
                  for name, ball in balls.items())
    return Trace(x=speed, lines=lines, across="Sliding speed [m/s]", up="Friction coefficient",
                 said="Friction of a cover on dry steel falls with sliding speed where that was measured. The two "
                      "sources for hard "
                      "covers disagree, so both are kept.")


def film_thins():
    """Film through a contact, with grooves and without."""
    open_, none = _histories((Face(), _WET), (Face(grooves=None), _WET))
    time = _times(open_, none)
    lines = tuple(Traced(name=name, y=_over(time, told, told.film) / um)
                  for name, told in (("plain face", none), ("open grooves", open_)))
    return Trace(x=time / _US, lines=lines, across="Time [µs]", up="Film [µm]", log=True,
                 said=f"Dew of {_WET.water / um:.0f} µm thins to {open_.film[-1] / um:.1f} µm over grooves and to "
                      f"{none.film[-1] / um:.1f} µm on a plain face.")


def load_on_solids():
    """Share of the load on solid contact over film against roughness."""
    ratio = np.linspace(0, 3, 61)
    rough = next(p for p in PARAMETERS if p.name == "face.roughness")
    decay = Assumptions().load_decay
    low, high = (film.solid_share(ratio, factor, decay) for factor in (rough.low, rough.high))
    lines = (Traced(name="used here", y=film.solid_share(ratio, 1.0, decay), low=low, high=high),
             Traced(name="elastic planes", y=film.solid_share_greenwood_tripp_1971(ratio, 1.0)))
    return Trace(x=ratio, lines=lines, across="Film over roughness", up="Share of the load",
                 said="The thicker the film against the roughness, the less load is left for solid contact; shaded, the "
                      "range drawn from, which reaches beyond the law for elastic planes.")


def water_held():
    """Water held by grooves of one width over their depth."""
    depth = np.linspace(0.10, 0.55, 46) * mm
    size = {"width": 0.8 * mm, "separation": 2.7 * mm, "depth": depth}
    kinds = {"square": grooves.rectangle(**size), "V": grooves.vee(**size)}
    lines = tuple(Traced(name=name, y=grooves.capacity(kind) / um) for name, kind in kinds.items())
    limit = next(row.bound for row in grooves.limits(Face().grooves).limits if row.name == "area over pitch")
    return Trace(x=depth / mm, lines=lines, across="Depth [mm]", up="Water held [µm]", mark=("limit", limit / um),
                 said=f"A groove holds more the deeper it is; square walls hold twice what a V holds. The limit lies at "
                      f"{limit / um:.0f} µm as an even film.")


def soiled_flats():
    """Spin of the lessons' pitch over the share of the flats under soil, with the band of the soil's friction."""
    share = np.linspace(0, 1, 21)
    soil = next(p for p in PARAMETERS if p.name == "assume.solid_friction")
    between, used = Between(soil_on_lands=share), Assumptions()
    low, mid, high = (strike(PITCH, Face(), _SOFT, between, assume=used.but(solid_friction=mu)).spin_rate
                      for mu in (soil.low, used.solid_friction, soil.high))
    return Trace(x=100 * share, lines=(Traced(name="dry pitch", y=mid / _KRPM, low=low / _KRPM, high=high / _KRPM),),
                 across="Flats under soil [%]", up="Spin [thousand rpm]",
                 said=f"A dry pitch falls from {said(mid[0], 'rpm')} on clean flats to {said(mid[-1], 'rpm')} "
                      f"where soil lies on all of them ({said(low[-1], 'rpm')} to {said(high[-1], 'rpm')}).")


def air_density():
    """Density of dry and of damp air over temperature, against dry air at 15 °C and sea level."""
    celsius, standard = np.linspace(0, 40, 41), air.air_density(temperature=288.15)
    dry, damp = (air.air_density(temperature=celsius + 273.15, humidity=humidity) for humidity in (0.0, 1.0))
    thin = air.air_density(temperature=celsius + 273.15, pressure=air.pressure_at_altitude(1500.0))
    lines = tuple(Traced(name=name, y=100 * (density / standard - 1))
                  for name, density in (("dry", dry), ("saturated", damp), ("dry, 1\u202f500 m", thin)))
    return Trace(x=celsius, lines=lines, across="Temperature [°C]", up="Against 15 °C [%]", mark=("1.225 kg/m³", 0.0),
                 said="Warm air is lighter than cold air, damp air a little lighter than dry air, and height takes most.")


def _range(name):
    """The range of an uncertain number."""
    parameter = next(p for p in PARAMETERS if p.name == name)
    return parameter.low, parameter.high


def drag_and_lift():
    """Drag and lift coefficients of a pitch over the spin parameter, with their bands."""
    spin = np.linspace(0.02, 0.9, 89)
    drag, lift = flight.drag_and_lift(spin, 7e4)
    lines = tuple(Traced(name=name, y=y, low=band[0] * y, high=band[1] * y)
                  for name, y, band in (("drag", drag, _range("flight.drag_scale")),
                                        ("lift", lift, _range("flight.lift_scale"))))
    return Trace(x=spin, lines=lines, across="Spin parameter (surface speed over flight speed)", up="Coefficient",
                 said="Drag grows with spin all the way; lift grows at first and then no more. Shaded, how far balls "
                      "differ.")


def spin_fades():
    """Share of the spin left over time at three speeds."""
    time = np.linspace(0, 6, 61)
    lines = tuple(Traced(name=f"{speed} m/s", y=100 * np.exp(-flight.SPIN_DECAY * speed * time / flight.BALL_RADIUS))
                  for speed in (15, 25, 40))
    return Trace(x=time, lines=lines, across="Time in the air [s]", up="Spin left [%]",
                 said="Spin fades slowly, and sooner the faster the ball flies: a pitch keeps nearly all of it.")


def wind_near_the_ground():
    """Height over wind speed as a share of that at 10 m."""
    height = np.linspace(0, 30, 61)
    return Trace(x=height, lines=(Traced(name="wind", y=100 * air.wind_profile(height)),), across="Height [m]",
                 up="Wind, of that at 10 m [%]", mark=("as told", 100.0),
                 said="The wind is weaker near the ground: a low ball meets less of it.")


def first_bounce():
    """Backspin after the first bounce over backspin before it, on two kinds of ground."""
    spin = np.linspace(0, 10000, 101) * rpm
    lines = []
    for name, ground in ((name, GREENS[name]) for name in ("medium", "gripping")):
        after = green.bounce(along=18.6 * np.sin(44.4 * deg), down=18.6 * np.cos(44.4 * deg), spin=spin, green=ground).spin
        lines.append(Traced(name=name, y=after / _KRPM))
    kept = [spin[np.argmax(line.y > 0)] / rpm for line in lines]
    return Trace(x=spin / _KRPM, lines=tuple(lines), across="Backspin at landing [thousand rpm]", up="Afterwards",
                 mark=("no spin", 0.0),
                 said=f"After its first bounce a ball still spins backward if it brought more than about "
                      f"{written(kept[0])} rpm to the medium green, {written(kept[1])} rpm to a gripping one; below "
                      "that it leaves rolling forward.")


def rolling():
    """Distance rolled over the speed at which rolling begins, on three green speeds."""
    speed = np.linspace(0, 2.5, 51)
    lines = tuple(Traced(name=f"{reading} ft", y=speed**2 / (2 * 5 / 7 * 9.80665 * green.rolling_resistance(reading * ft)))
                  for reading in (12, 10, 8))
    return Trace(x=speed, lines=lines, across="Speed when it begins to roll [m/s]", up="Rolls [m]",
                 said="A ball rolls the further the faster the green, and four times as far at twice the speed.")


def chances():
    """Share of a player's pitches that finish near where the meant one does."""
    metres = np.linspace(0, 10, 41)
    players = {"touring": Spread.tuned_touring(), "club": Spread.tuned_club(), "beginner": Spread.tuned_beginner()}
    lines = tuple(Traced(name=name, y=100 * scatter(PITCH, Face(), _SOFT, spread=who, shots=1600).chance(metres))
                  for name, who in players.items())
    return Trace(x=metres, lines=lines, across="Within [m]", up="Shots [%]",
                 said="The less a player's strikes scatter, the more pitches finish near the meant one.")


def few_shots():
    """Half the 95 % interval of a difference over the number of shots of each kind."""
    shots = np.arange(3, 21)
    return Trace(x=shots, lines=(Traced(name="half the range", y=np.array([half_width(int(n)) for n in shots])),),
                 across="Shots of each kind", up="In shot-to-shot scatters",
                 said=f"With three shots of each kind a difference is known to ± {half_width(3):.1f} times what single "
                      f"shots scatter "
                      f"by, with ten to ± {half_width(10):.1f}.")
