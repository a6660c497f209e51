"""The contact's documented equations in plain time, for an adaptive integrator: the outside check of the contact engine.

Nothing here is shared with the engine.  It steps over shares of the normal impulse; this integrates, in seconds,

* ``m* ẍ = −N``, ``N = K x^1.5 (1 + c ẋ)``, K = 4/3 E* √R, ``ln[(1+d)/(1−e d)] = d (1+e)``, d = c v;
* ``ṡ = −F (1 + 1/k + m/M)/m − N D/(k m R)``, s the slip of the face past the ball;
* ``Ḟ = κ · 1.5 K √x · s``, stiffer where the spring unloads, softer once it is loaded the other way, held within
  ``±μ(h, s, p) N``;
* ``ḣ = −1/(1/(a h³) + 1/(b h) + c)``, the squeeze film with its inertia limit and the venting of full grooves.

Grip and slide are two sets of equations; events carry the one into the other.  Property functions (viscosity, groove
capacity) are taken from the package, where they have checks of their own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from spinlab.physics import film as water
from spinlab.physics.grooves import capacity
from spinlab.records import Assumptions, Between

NOTHING = 1e-15  # [m] a film so thin is none


@dataclass(frozen=True)
class Struck:
    ball_speed: float
    launch_angle: float
    spin_rate: float
    time: float
    film_left: float
    energy_left: float
    energy_before: float


def restitution(speed, ball):
    if ball.restitution_slope == 0:
        return ball.restitution
    return min(max(ball.restitution - ball.restitution_slope * speed, 0.75), 0.88)


def loss_number(e):
    """Hunt & Crossley's d by bisection, away from the root at nought."""
    def miss(d):
        return math.log1p(d) - math.log1p(-e * d) - d * (1 + e)

    low = 1e-9
    high = (1 - 1e-15) / e
    while miss(low) >= 0:
        low *= 10
    return brentq(miss, low, high, xtol=1e-14, rtol=1e-14)


class Equations:
    """Right-hand sides for one strike.  State: x, ẋ, s, F, J_t, and ln h where there is water."""

    def __init__(self, arriving, face, ball, between, assume):
        self.m, self.k, self.R = ball.mass, ball.inertia_factor, ball.radius
        self.r = ball.mass / face.head_mass
        self.v = arriving.head_speed * math.cos(arriving.spin_loft)
        self.s = arriving.head_speed * math.sin(arriving.spin_loft)
        self.e = restitution(self.v, ball)
        self.d = loss_number(self.e)
        self.c = self.d / self.v
        self.reduced = ball.mass / (1 + self.r)
        self.K = 4 / 3 * ball.modulus * math.sqrt(ball.radius)
        self.D, self.ball, self.face, self.between, self.assume = arriving.normal_offset, ball, face, between, assume
        self.length = (self.reduced * self.v**2 / self.K) ** 0.4
        self.most = self.length * (2.5 * (1 / self.d - math.log1p(self.d) / self.d**2)) ** 0.4
        self.wet = between.water > 0
        self.eta = float(water.water_viscosity(between.temperature))
        self.rho = float(water.water_density(between.temperature))
        self.start = max(between.water, NOTHING)
        self.factor = assume.wet_factor + (1 - assume.wet_factor) * math.exp(-between.water / 1e-6)
        self.clear = (1 - between.soil_on_lands) * (1 - between.grass)
        self.open = self.brim = self.land = 0.0
        if face.grooves is not None:
            self.open = 1 - between.soil_in_grooves
            self.land = 1 / face.grooves.separation
            self.brim = self.open * float(capacity(face.grooves)) * assume.void
        self.brim = max(self.brim, NOTHING)
        self.turned = False  # has the friction force gone through nought?

    def normal(self, x, rate):
        return self.K * max(x, 0.0) ** 1.5 * (1 + self.c * rate)

    def thinning(self, h, x, N):
        """−ḣ [m/s]."""
        a2 = max(self.R * max(x, 0.0), 1e-12)
        p = N / (math.pi * a2)
        if p <= 0:
            return 0.0
        head, disc, least = math.sqrt(2 * p / self.rho), 1 / (1.5 * a2), 1 / (1.5 * self.R * self.most)
        paths = disc + self.open * max(self.land**2 - least, 0.0)
        ways = math.sqrt(disc) + self.open * max(self.land - math.sqrt(least), 0.0)
        viscous, bulk = p / self.eta * paths, 2 * head * ways
        resist = 1 / (viscous * h**3) + 1 / (bulk * h)
        if self.start > 0.3 * self.brim:
            over = min(max(((self.start - h) / self.brim - 0.3) / 0.7, 0.0), 1.0)
            resist += over / (2 * head * self.brim / math.sqrt(a2))
            resist = min(resist, 1 / (p / self.eta * disc * h**3) + 1 / (2 * head * math.sqrt(disc) * h))
        return 1 / resist

    def thickness(self, y):
        """Film [m]; an integrator's trial beyond what a film can be is held there."""
        return math.exp(min(max(y[5], math.log(1e-15)), math.log(self.start)))

    def limit(self, y):
        """The most that friction can be [N]."""
        x, rate, s = y[0], y[1], abs(y[2])
        N = self.normal(x, rate)
        share = min(max((s - 12.8) / 14.0, 0.0), 1.0)
        dry = self.ball.friction + (self.ball.friction_fast - self.ball.friction) * share
        rest = (1 - self.clear) * self.assume.solid_friction
        if not self.wet:
            return N * (self.clear * self.factor * dry + rest)
        h = self.thickness(y)
        solid = math.exp(-self.assume.load_decay * h / self.face.roughness)
        p = N / (math.pi * max(self.R * max(x, 0.0), 1e-12))
        shear = min(self.eta * s / (h * p), self.assume.film_friction) if p > 0 else self.assume.film_friction
        return N * (self.clear * (solid * self.factor * dry + (1 - solid) * shear) + rest)

    def spring(self, y, force):
        soft = self.assume.tangential_stiffness * 1.5 * self.K * math.sqrt(max(y[0], 0.0)) * y[2]
        if force * y[2] < 0:
            return soft * self.assume.unloading
        return soft * (self.assume.reversal if self.turned else 1.0)

    def rates(self, y, slides):
        """dy/dt; `slides` is 0 in grip, else the sign of the friction force."""
        x, rate = y[0], y[1]
        N = self.normal(x, rate)
        F = slides * self.limit(y) if slides else y[3]
        out = [rate, -N / self.reduced, -F * (1 + 1 / self.k + self.r) / self.m - N * self.D / (self.k * self.m * self.R),
               0.0 if slides else self.spring(y, F), F]
        if self.wet:
            h = self.thickness(y)
            out.append(-self.thinning(h, x, N) / h)
        return out

    def lets_go(self, y, slides):
        """Rate of the spring less rate of the limit while it slides: below nought it grips again."""
        rates = self.rates(y, slides)
        dt = 1e-6 * self.length / self.v
        ahead = self.limit([a + dt * b for a, b in zip(y, rates)])
        behind = self.limit([a - dt * b for a, b in zip(y, rates)])
        return slides * self.spring(y, slides) - (ahead - behind) / (2 * dt)


def integrate(arriving, face, ball, between=None, assume=None, *, rtol=1e-10, method="DOP853"):
    """One strike by `scipy.integrate.solve_ivp`, grip and slide joined by events."""
    between, assume = between or Between(), assume or Assumptions()
    eq = Equations(arriving, face, ball, between, assume)
    t, end = 1e-7 * eq.length / eq.v, 20 * eq.length / eq.v / eq.e
    x = eq.v * t
    y = [x, eq.v, eq.s, 0.0, 0.0] + ([math.log(eq.start)] if eq.wet else [])
    y[3] = min(assume.tangential_stiffness * eq.s / eq.v * eq.K * x**1.5, eq.limit(y))
    slides = 1 if y[3] == eq.limit(y) and eq.s > 0 else 0
    newtons = eq.K * eq.length**1.5
    atol = np.array([eq.length, eq.v, eq.v, newtons, newtons * eq.length / eq.v, 1.0][: len(y)]) * rtol

    def leaves(t, y):
        return y[0] - 1e-6 * eq.most

    def limits(t, y):
        return abs(y[3]) - eq.limit(y)

    leaves.terminal, leaves.direction = True, -1
    limits.terminal, limits.direction = True, 1
    for _ in range(60):
        sign = slides
        events = [leaves]
        if slides:
            def change(t, y, sign=sign):
                return eq.lets_go(y, sign)
            change.terminal, change.direction = True, -1
            events.append(change)
        else:
            def slip(t, y):
                return y[2]

            def force(t, y):
                return y[3]
            slip.terminal = force.terminal = limits.terminal = bool(eq.s or eq.D)  # else all is nought throughout
            events += [limits, slip, force]
        got = solve_ivp(lambda t, y, sign=sign: eq.rates(y, sign), (t, end), y, method=method, rtol=max(rtol, 3e-14),
                        atol=atol, events=events)
        assert got.status == 1, f"the contact did not end: {got.message}"
        t, y = got.t[-1], got.y[:, -1].tolist()
        if slides:
            y[3] = slides * eq.limit(y)
        if got.t_events[0].size:
            break
        if slides:
            slides = 0
        elif got.t_events[1].size:
            slides = 1 if y[3] > 0 else -1
            if eq.lets_go(y, slides) < 0:
                slides = 0
        else:
            eq.turned = eq.turned or bool(got.t_events[3].size)
            # a step past the nought of slip or force, or the same event would be met again
            dt = 1e-9 * eq.length / eq.v
            y = [a + dt * b for a, b in zip(y, eq.rates(y, slides))]
            t += dt
    else:
        raise AssertionError("grip and slide change places without end")
    across, down = eq.reduced * (eq.v - y[1]), y[4]
    inertia = eq.k * eq.m * eq.R**2
    spin = (down * eq.R + across * eq.D) / inertia
    M = face.head_mass
    head = (eq.v - across / M) ** 2 + (eq.s - down / M) ** 2
    left = 0.5 * (across**2 + down**2) / eq.m + 0.5 * inertia * spin**2 + 0.5 * M * head
    return Struck(math.hypot(across, down) / eq.m, arriving.dynamic_loft - math.atan2(down, across), spin, t,
                  math.exp(y[5]) if eq.wet else 0.0, left, 0.5 * M * arriving.head_speed**2)
