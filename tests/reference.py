"""The stated equations integrated anew: the outside check of contact, flight and ground.

Nothing here is shared with the engine, property functions included.

**Contact** (`struck`), in seconds, by SciPy's adaptive integrators at 1e-10:

* ``m* ẍ = −N``, ``N = K x^1.5 (1 + c ẋ)``, K = 4/3 E* √R, ``ln[(1+d)/(1−e d)] = d (1+e)``,
  d = c v (Hertz 1882; Hunt & Crossley 1975; both from memory);
* ``ṡ = −F (1 + 1/k + m/M)/m − N D/(k m R)``, s the slip of the face past the ball;
* ``Ḟ = κ · 1.5 K √x · s``, stiffer where the spring unloads, softer once it is loaded the other way,
  held within ``±μ(h, s, p) N``;
* ``ḣ = −1/(1/(a h³) + 1/(b h) + c)``, the squeeze film with its inertia limit and the venting of
  full grooves.

Sliding and holding are two sets of smooth equations.  A step at whose end, or inside which, a set
no longer holds is cut where it ceases to hold, by bisection on the step's own interpolant.

**Flight** (`flown`): point mass, drag, lift and fading spin, the landing by an event.

**Ground** (`landed`): bounces, slide and roll in closed form.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from scipy.integrate import DOP853, solve_ivp
from scipy.optimize import brentq

from spinlab.records import Air, Assumptions, Between

GRAVITY = 9.80665
TOLERANCE = 1e-10
ROUNDING = 1e-12
"""A border passed by less than this share of its scale is not yet passed."""
MOST_PHASES = 200


# -- water and grooves --------------------------------------------------------------------------


def water_viscosity(kelvin):
    """IAPWS SR6-08 (2011) at 0.1 MPa [Pa s]."""
    t = kelvin / 300.0
    return 1e-6 * (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0)


def water_density(kelvin):
    """Kell 1975 at 0.1 MPa [kg/m³] (from memory)."""
    t = kelvin - 273.15
    powers = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
    return sum(a * t**n for n, a in enumerate(powers)) / (1 + 16.879850e-3 * t)


def groove_depth_of_water(grooves):
    """Section over pitch [m]: a trapezoid, or a V, and what two rounded edges open (geometry)."""
    lean, wall = grooves.draft_angle, math.pi / 2 - grooves.draft_angle
    # half of what the edges take off a width that is read where they have turned by 30°
    taken = math.tan(wall / 2) - math.sin(min(wall, math.pi / 6))
    sunk = 1 - math.cos(wall)
    whole = 2 * (taken + math.tan(lean) * sunk)
    edge = min(grooves.edge_radius, grooves.depth / sunk, grooves.width / max(whole, 1e-9))
    mouth = max(grooves.width - 2 * edge * taken, 0.0)
    depth = min(grooves.depth, mouth / (2 * math.tan(max(lean, 1e-9))))
    section = mouth * depth - depth**2 * math.tan(lean)
    section += 2 * edge**2 * (math.tan(wall / 2) - wall / 2)
    return section / (grooves.width + grooves.separation)


# -- contact ------------------------------------------------------------------------------------


class Struck(NamedTuple):
    """How a strike ends.  `phases` counts the changes between sliding and holding and of sign."""

    ball_speed: float
    launch_angle: float
    spin_rate: float
    time: float
    film_left: float
    energy_left: float
    energy_before: float
    slid_throughout: bool
    phases: int


class Phase(NamedTuple):
    """What holds between two events: friction at its limit or held by the spring, the signs of
    friction force and slip, and whether the force has gone through zero."""

    slides: bool
    way: float
    side: float
    turned: bool


def restitution(speed, ball):
    """``e₀ − s v`` within 0.75 … 0.88; a ball without slope has one restitution."""
    if ball.restitution_slope == 0:
        return ball.restitution
    return min(max(ball.restitution - ball.restitution_slope * speed, 0.75), 0.88)


def loss_number(e):
    """Hunt & Crossley's d, the root of ``ln[(1+d)/(1−e d)] = d (1+e)`` above zero.

    Sought as y = −ln(1 − e d), in which neither end of the range is crowded.
    """
    def miss(y):
        d = -math.expm1(-y) / e
        return y + math.log1p(d) - d * (1 + e)

    return -math.expm1(-brentq(miss, 1e-4, 200.0, xtol=1e-15, rtol=1e-15)) / e


class Strike:
    """The equations of one strike.  State: x, ẋ, s, F, J_t and, where there is water, ln h."""

    def __init__(self, arriving, face, ball, between, assume):
        self.arriving, self.face, self.ball, self.assume = arriving, face, ball, assume
        self.m, self.k, self.R, self.D = ball.mass, ball.inertia_factor, ball.radius, arriving.normal_offset
        self.r = ball.mass / face.head_mass
        self.v = arriving.head_speed * math.cos(arriving.dynamic_loft - arriving.attack_angle)
        self.s = arriving.head_speed * math.sin(arriving.dynamic_loft - arriving.attack_angle)
        self.e = restitution(self.v, ball)
        self.d = loss_number(self.e)
        self.c = self.d / self.v
        self.lever, inertia = arriving.strike_height, face.head_inertia
        self.reduced = 1 / (1 / self.m + 1 / face.head_mass + self.lever**2 / inertia)
        self.K = 4 / 3 * ball.modulus * math.sqrt(self.R)
        self.coupling = (1 + 1 / self.k + self.r) / self.m
        self.turning = self.D / (self.k * self.m * self.R)
        self.length = (self.reduced * self.v**2 / self.K) ** 0.4
        self.newtons = self.K * self.length**1.5
        self.deepest = self.length * (2.5 * (self.d - math.log1p(self.d)) / self.d**2) ** 0.4
        self.wet = between.water > 0
        self.start = between.water
        self.eta = water_viscosity(between.temperature)
        self.rho = water_density(between.temperature)
        clear = (1 - between.soil_on_lands) * (1 - between.grass)
        wetted = assume.wet_factor + (1 - assume.wet_factor) * math.exp(-between.water / 1e-6)
        self.clear, self.solid = clear, clear * wetted
        self.rest = (1 - clear) * assume.solid_friction
        self.decay = assume.load_decay / face.roughness
        self.lands = self.ends = self.brim = 0.0
        if face.grooves is not None:
            opened = 1 - between.soil_in_grooves
            self.brim = opened * groove_depth_of_water(face.grooves) * assume.void
            if self.brim > 1e-15:
                land, groove = face.grooves.separation, face.grooves.width
                between_grooves = (land + groove) / land**3
                self.lands = opened * between_grooves
                self.ends = opened * (0.38 + 0.86 * groove / land) * math.sqrt(between_grooves)
        self.brim = max(self.brim, 1e-15)
        self.soft = 1.5 * assume.tangential_stiffness * self.K

    def thinning(self, h, x, p):
        """−ḣ/h [1/s]."""
        if p <= 0:
            return 0.0
        a2 = self.R * x
        head, disc = math.sqrt(2 * p / self.rho), 1 / (1.5 * a2)
        thick, bulk = p / self.eta * h * h, 2 * head
        drains = disc + self.lands + self.ends * math.sqrt(disc)  # 1/L²
        resist = 1 / (thick * drains) + 1 / (bulk * math.sqrt(drains))
        full = ((self.start - h) / self.brim - 0.3) / 0.7
        if full > 0:
            resist += min(full, 1.0) * h * math.sqrt(a2) / (bulk * self.brim)
            # past the grooves, to the edge of the patch
            resist = min(resist, 1 / (thick * disc) + 1 / (bulk * math.sqrt(disc)))
        return 1 / resist

    def limit(self, x, w, s, log_h, w_rate, s_rate):
        """The most that friction can be [N], its rate [N/s], N and the rate of ln h."""
        x, size = max(x, 1e-300), abs(s)
        root = math.sqrt(x)
        N = self.K * x * root * (1 + self.c * w)
        N_rate = self.K * root * (1.5 * w * (1 + self.c * w) + x * self.c * w_rate)
        sign = -1.0 if s < 0 else 1.0
        fall = (self.ball.friction_fast - self.ball.friction) / 14.0
        dry = self.ball.friction + fall * min(max(size - 12.8, 0.0), 14.0)
        dry_rate = fall * sign * s_rate if 12.8 < size < 26.8 else 0.0
        if not self.wet:
            share = self.solid * dry + self.rest
            return N * share, N_rate * share + N * self.solid * dry_rate, N, 0.0
        # a trial step of an integrator may ask beyond what a film can be
        h = math.exp(min(max(log_h, -80.0), math.log(self.start)))
        area = math.pi * self.R * x
        p, p_rate = N / area, (N_rate - N * w / x) / area
        gone = self.thinning(h, x, p)
        carried = math.exp(-self.decay * h)
        carried_rate = carried * self.decay * h * gone
        film, film_rate = self.assume.film_friction, 0.0
        shear = self.eta * size / (h * p) if p > 0 else film
        if shear < film:
            film = shear
            film_rate = self.eta * sign * s_rate / (h * p) + shear * (gone - p_rate / p)
        share = self.solid * carried * dry + self.clear * (1 - carried) * film + self.rest
        rate = (self.solid * (carried_rate * dry + carried * dry_rate)
                + self.clear * ((1 - carried) * film_rate - carried_rate * film))
        return N * share, N_rate * share + N * rate, N, -gone

    def spring(self, x, s, phase, unloads):
        """How fast the spring would change the force [N/s]."""
        rate = self.soft * math.sqrt(max(x, 0.0)) * s
        if unloads:
            return rate * self.assume.unloading
        return rate * (self.assume.reversal if phase.turned else 1.0)

    def parts(self, y, phase):
        """The rates of the state, the limit of friction and what is left of it.

        Left while it holds: the limit less the force.  Left while it slides: how much faster the
        spring alone would change the force than the limit does.
        """
        x, w, s, F = y[0], y[1], y[2], y[3]
        log_h = y[5] if self.wet else 0.0
        deep = max(x, 0.0)
        N = self.K * deep * math.sqrt(deep) * (1 + self.c * w)
        w_rate = -N / self.reduced
        if phase.slides:
            F = phase.way * self.limit(x, w, s, log_h, 0.0, 0.0)[0]
        s_rate = -F * self.coupling - N * self.turning
        most, most_rate, _, film_rate = self.limit(x, w, s, log_h, w_rate, s_rate)
        if phase.slides:
            spring = self.spring(x, s, phase, phase.way * s < 0)
            left, F_rate = phase.way * spring - most_rate, 0.0
        else:
            F_rate = self.spring(x, s, phase, phase.way * phase.side < 0)
            left = most - abs(F)
        rates = [w, w_rate, s_rate, F_rate, F]
        if self.wet:
            rates.append(film_rate)
        return rates, most, left

    def ceases(self, y, phase):
        """Which border of a phase is passed: "part", "change", "stop", "turn" or none."""
        if y[0] <= 0:
            return "part"
        _, _, left = self.parts(y, phase)
        if phase.slides:
            return "change" if left < -ROUNDING * self.newtons * self.v / self.length else ""
        if left < -ROUNDING * self.newtons:
            return "change"
        if phase.side * y[2] < -ROUNDING * self.v:
            return "stop"
        if phase.way * y[3] < -ROUNDING * self.newtons:
            return "turn"
        return ""

    def next_phase(self, why, y, phase):
        """The phase after an event; the state is set onto the border that it has passed."""
        if why == "stop":
            y[2] = 0.0
            return phase._replace(side=-phase.side)
        if why == "turn":
            y[3] = 0.0
            return phase._replace(way=-phase.way, turned=True)
        side = -1.0 if y[2] < 0 else 1.0 if y[2] > 0 else phase.side
        y[3] = phase.way * self.parts(y, phase._replace(slides=True))[1]
        return phase._replace(slides=not phase.slides, side=side)


def struck(arriving, face, ball, between=None, assume=None, *, rtol=TOLERANCE, method=DOP853):
    """One strike, integrated step by step by one of SciPy's integrators."""
    one = Strike(arriving, face, ball, between or Between(), assume or Assumptions())
    # Hertz from rest: until here the force is that of a spring pressed at one speed
    x = 1e-7 * one.length
    t, end = x / one.v, 100 * one.length / (one.v * one.e)
    side = math.copysign(1.0, one.s if one.s else -one.D if one.D else 1.0)
    phase = Phase(slides=False, way=side, side=side, turned=False)
    y = [x, one.v, one.s, 0.0, 0.0] + ([math.log(one.start)] if one.wet else [])
    most = one.parts(y, phase)[1]
    y[3] = one.assume.tangential_stiffness * one.s / one.v * one.K * x**1.5
    if y[3] >= most:
        y[3] = most
        phase = phase._replace(slides=True)
    only_slid = phase.slides
    scales = [one.length, one.v, one.v, one.newtons, one.newtons * one.length / one.v, 1.0]
    atol = rtol * np.array(scales[: len(y)])
    phases = 0
    why = ""
    while why != "part":
        phases += 1
        if phases > MOST_PHASES:
            raise AssertionError(f"sliding and holding change places without end: {phase}, {y}")
        only_slid = only_slid and phase.slides

        def rates(_, y, phase=phase):
            return one.parts(y.tolist(), phase)[0]

        solver = method(rates, t, y, end, rtol=max(rtol, 3e-14), atol=atol)
        why = ""
        while not why:
            trouble = solver.step()
            if solver.status != "running":
                raise AssertionError(f"the contact did not end: {trouble}")
            course = None
            for share in (0.25, 0.5, 0.75, 1.0):
                high = solver.t_old + share * (solver.t - solver.t_old)
                if share < 1.0:
                    course = course or solver.dense_output()
                    here = course(high).tolist()
                else:
                    here = solver.y.tolist()
                why = one.ceases(here, phase)
                if why:
                    break
        course = course or solver.dense_output()
        low = solver.t_old
        for _ in range(60):
            middle = 0.5 * (low + high)
            if not low < middle < high:
                break
            found = one.ceases(course(middle).tolist(), phase)
            if found:
                high, why = middle, found
            else:
                low = middle
        t, y = high, course(high).tolist()
        if why != "part":
            phase = one.next_phase(why, y, phase)
    return _left(one, t, y, only_slid, phases)


def _left(one, t, y, only_slid, phases):
    """What impulses make of ball and head."""
    across, down, M = one.reduced * (one.v - y[1]), y[4], one.face.head_mass
    inertia = one.k * one.m * one.R**2
    spin = (down * one.R + across * one.D) / inertia
    head = (one.v - across / M) ** 2 + (one.s - down / M) ** 2
    turning = (across * one.lever) ** 2 / one.face.head_inertia
    energy = 0.5 * (across**2 + down**2) / one.m + 0.5 * inertia * spin**2 + 0.5 * M * head + 0.5 * turning
    return Struck(
        ball_speed=math.hypot(across, down) / one.m,
        launch_angle=(one.arriving.dynamic_loft - math.atan2(down, across)
                      + across * one.lever * t / (9 * one.face.head_inertia)), spin_rate=spin, time=t,
        film_left=math.exp(y[5]) if one.wet else 0.0, energy_left=energy,
        energy_before=0.5 * M * one.arriving.head_speed**2, slid_throughout=only_slid, phases=phases)


# -- flight -------------------------------------------------------------------------------------


class Flown(NamedTuple):
    """A flight as `fly` names it, in SI."""

    carry: float
    side: float
    apex: float
    flight_time: float
    descent_angle: float
    landing_speed: float
    landing_spin: float


def wind_profile(height):
    """Wind against that at 10 m: ``(z/10)^0.14``, √(z² + 1) in place of z."""
    return (math.sqrt(height * height + 1.0) / 10.0) ** 0.14


def air(air):
    """Density [kg/m³], the gas law for dry air and vapour, and viscosity [Pa s] by Sutherland."""
    t = air.temperature
    saturated = math.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t)
    vapour = min(air.humidity * saturated, 0.5 * air.pressure)
    return (air.pressure - 0.378 * vapour) / (287.05287 * t), 1.458e-6 * t**1.5 / (t + 110.4)


def coefficients(spin, reynolds):
    """C_D and C_L of a pitch: Smits & Smith 1994, lift that saturates, the drag crisis."""
    below = 1 / (1 + math.exp(min((reynolds * (1 + 0.5 * spin) - 4.8e4) / 4e3, 700.0)))
    drag = 0.24 + 0.18 * spin
    drag += 0.06 * math.sin(math.pi * (min(max(reynolds, 7e4), 2.1e5) - 9e4) / 2e5)
    lift = 0.54 * spin**0.4 if spin > 0.08 else 0.54 * 0.08**0.4 * spin / 0.08
    lift /= (1 + (lift / 0.355) ** 6) ** (1 / 6)
    return drag + 0.24 * below * max(1 - spin, 0.0), lift * (1 - 0.35 * below)


def flown(launch, weather=None, *, mass=0.04593, radius=0.021335, drag_scale=1.0, lift_scale=1.0,
          law=coefficients, rtol=TOLERANCE, method="DOP853"):
    """One flight: ``dv/dt = −k C_D U u + k C_L U (n × u) − g``, ``dω/dt = −2.0e-5 U ω/R``.

    `law` gives C_D and C_L from spin parameter and Reynolds number.
    """
    weather = weather or Air()
    density, viscosity = air(weather)
    pull = density * math.pi * radius**2 / (2 * mass)
    a, d, tilt = launch.launch_angle, launch.direction, launch.spin_tilt
    ahead = math.cos(a) * math.cos(d), math.cos(a) * math.sin(d), math.sin(a)
    # lift at launch points up, leant to the right by the tilt; the axis is square to both
    up = tuple(math.cos(tilt) * p + math.sin(tilt) * q for p, q in zip(
        (-math.sin(a) * math.cos(d), -math.sin(a) * math.sin(d), math.cos(a)),
        (-math.sin(d), math.cos(d), 0.0)))
    nx = ahead[1] * up[2] - ahead[2] * up[1]
    ny = ahead[2] * up[0] - ahead[0] * up[2]
    nz = ahead[0] * up[1] - ahead[1] * up[0]

    def rates(_, y):
        _, _, z, vx, vy, vz, spin = y.tolist()
        share = wind_profile(z)
        ux, uy, uz = vx - weather.wind * share, vy - weather.crosswind * share, vz
        speed = math.sqrt(ux * ux + uy * uy + uz * uz)
        if speed == 0:
            return [vx, vy, vz, 0.0, 0.0, -GRAVITY, 0.0]
        drag, lift = law(radius * abs(spin) / speed, 2 * radius * speed * density / viscosity)
        drag *= -pull * drag_scale * speed
        lift *= math.copysign(pull * lift_scale * speed, spin)
        return [vx, vy, vz, drag * ux + lift * (ny * uz - nz * uy),
                drag * uy + lift * (nz * ux - nx * uz),
                drag * uz + lift * (nx * uy - ny * ux) - GRAVITY, -2.0e-5 * speed * spin / radius]

    def height(_, y):
        return y[2]

    def climb(_, y):
        return y[5]

    height.terminal, height.direction, climb.direction = True, -1, -1
    start = [0.0, 0.0, 0.0, *(launch.ball_speed * part for part in ahead), launch.spin_rate]
    rises = a > 0 or (a == 0 and rates(0.0, np.array(start))[5] > 0)
    if not rises or launch.ball_speed == 0:
        return Flown(0.0, 0.0, 0.0, 0.0, -a, launch.ball_speed, launch.spin_rate)
    # the first step is so short that no hop worth the name can end within it
    got = solve_ivp(rates, (0, 120), start, method=method, rtol=rtol, atol=rtol * 1e-2,
                    first_step=1e-7, max_step=0.2, events=[height, climb])
    assert got.status == 1, "the flight did not end"
    x, y, _, vx, vy, vz, spin = got.y[:, -1].tolist()
    apex = max((state[2] for state in got.y_events[1]), default=0.0)
    speed = math.sqrt(vx * vx + vy * vy + vz * vz)
    return Flown(x, y, apex, float(got.t[-1]), math.atan2(-vz, math.hypot(vx, vy)), speed, spin)


# -- ground -------------------------------------------------------------------------------------


class Landed(NamedTuple):
    """A landing as `land` names it; `tail` is how much of the run-out [m] hangs on where bounces
    cease to be followed: twice the length of a hop from the slowest rebound that counts."""

    run_out: float
    first_bounce: float
    spin_after_first: float
    furthest: float
    tail: float


LAST_REBOUND = 1e-4
LONGEST_ROLL = 50.0


def bounce(along, down, spin, green, *, radius=0.021335, grip=0.0):
    """One bounce in the plane: speed along and up, and spin, after it."""
    resting = math.atan(0.784 * 0.3048 / green.speed)
    speed, incidence = math.hypot(along, down), math.atan2(along, down)
    lean = resting + green.tilt * (math.radians(15.4) - resting) * speed / 18.6
    grazing = min(1.0, (math.cos(incidence) / math.cos(math.radians(55.0))) ** 2)
    lean = max(lean, 0.0) * incidence / math.radians(44.4) * grazing
    lean = min(max(lean, -math.radians(40.0)), math.radians(40.0))
    tangential = speed * math.sin(incidence - lean)
    normal = max(speed * math.cos(incidence - lean), 0.0)
    lowest = 0.0375 / (2 * 0.000903)
    v = min(normal, lowest)
    e = min((0.510 - 0.0375 * v + 0.000903 * v * v) * green.restitution, 0.95)
    slip = tangential + radius * spin
    impulse = min(2 / 7 * (1 + grip) * abs(slip), green.friction * (1 + e) * normal)
    impulse = math.copysign(impulse, slip)
    tangential, normal, spin = tangential - impulse, e * normal, spin - 2.5 * impulse / radius
    return (tangential * math.cos(lean) - normal * math.sin(lean),
            tangential * math.sin(lean) + normal * math.cos(lean), spin)


def slide_and_roll(along, spin, green, *, radius=0.021335):
    """Where a ball on the ground stops, and the furthest it came, from where it begins to slide."""
    pull, press = -GRAVITY * math.sin(green.slope), GRAVITY * math.cos(green.slope)
    slip = along + radius * spin
    grip = max(green.friction, 0.05) * press
    # slip changes by the slope's pull and by 7/2 of friction
    time = 0.0
    rolling = along
    if slip:
        time = abs(slip) / max(3.5 * grip - pull * math.copysign(1.0, slip), grip)
        rolling = (5 * along - 2 * radius * spin + 5 * pull * time) / 7
    slid = 0.5 * (along + rolling) * time
    turned = slid
    if along * rolling < 0:
        turned = 0.5 * along * along * time / (along - rolling)
    way = math.copysign(1.0, rolling)
    hold = 0.784 * 0.3048 / green.speed * press
    slowing = 5 / 7 * (hold - way * pull)
    assert slowing > 0 and abs(pull) < hold, "the ball does not stay on so steep a slope"
    rolled = way * min(rolling * rolling / (2 * slowing), LONGEST_ROLL)
    return slid + rolled, max(0.0, turned, slid, slid + rolled)


def landed(speed, descent_angle, spin, green, *, radius=0.021335, last_rebound=LAST_REBOUND):
    """From the pitch mark to rest, the last bounce being the first of less than `last_rebound` [m/s]."""
    pull, press = -GRAVITY * math.sin(green.slope), GRAVITY * math.cos(green.slope)
    along = speed * math.cos(descent_angle + green.slope)
    down = speed * math.sin(descent_angle + green.slope)
    x = furthest = 0.0
    first = first_spin = None
    for _ in range(400):
        along, up, spin = bounce(along, down, spin, green, radius=radius)
        down = up if up >= last_rebound else 0.0
        time = 2 * down / press
        x += along * time + 0.5 * pull * time * time
        along += pull * time
        furthest = max(furthest, x)
        if first is None:
            first, first_spin = x, spin
        if not down:
            break
    tail = 2 * abs(along) * 2 * last_rebound / press
    stop, far = slide_and_roll(along, spin, green, radius=radius)
    return Landed(x + stop, first, first_spin, max(furthest, x + far), tail)
