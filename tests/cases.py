"""Random strikes, flights and landings of every regime, the same ones each time: what the engine is judged on."""

from __future__ import annotations

import dataclasses
from typing import NamedTuple

import numpy as np

from spinlab.records import Air, Assumptions, Ball, Between, Delivery, Face, Green, Grooves, Launch
from spinlab.units import deg, rpm, um


class Case(NamedTuple):
    """One strike, in the order `strike` takes its records; `assume` goes by name."""

    arriving: Delivery
    face: Face
    ball: Ball
    between: Between
    assume: Assumptions


REGIMES = ("dry", "damp", "wet", "flooded", "blocked", "soiled", "grass", "plain", "offset",
           "steady", "corners")
"""Steady: neither friction nor restitution depends on speed.  Corners: every field of every record
anywhere in its range, often at an end of it."""


def _usual(rng, **changes):
    """Records of a believable wedge shot, by name."""
    width = rng.uniform(0.4e-3, 1.0e-3)
    friction = rng.uniform(0.05, 0.5)
    grooves = Grooves(width=width, depth=rng.uniform(0.2e-3, 0.5e-3),
                      separation=rng.uniform(1.5e-3, 4.0e-3), draft_angle=rng.uniform(0, 40) * deg,
                      edge_radius=rng.uniform(0.1e-3, 0.5e-3))
    ball = Ball(friction=friction, friction_fast=friction * rng.uniform(0.5, 1.0),
                modulus=rng.uniform(0.1e9, 0.4e9))
    arriving = Delivery(head_speed=rng.uniform(3, 45), attack_angle=rng.uniform(-10, 2) * deg,
                        dynamic_loft=rng.uniform(5, 70) * deg)
    face = Face(grooves=grooves, roughness=rng.uniform(0.5, 6) * um,
                head_mass=rng.uniform(0.2, 0.4))
    assume = Assumptions(
        tangential_stiffness=rng.uniform(0.5, 0.9), unloading=rng.uniform(1.0, 3.0),
        reversal=rng.uniform(0.0, 1.0), wet_factor=rng.uniform(0.7, 0.8),
        film_friction=rng.uniform(0.01, 0.1), solid_friction=rng.uniform(0.05, 0.15),
        load_decay=rng.uniform(1.2, 2.0), void=rng.uniform(0.5, 0.9))
    return Case(arriving, face, ball, Between(temperature=rng.uniform(274, 310)), assume)


def _somewhere(kind, rng, **fixed):
    """A record with every bounded field in its range; one in five at an end of it."""
    values = {}
    for field in dataclasses.fields(kind):
        if "low" in field.metadata and field.name not in fixed:
            low, high = field.metadata["low"], field.metadata["high"]
            share = rng.choice([0.0, 1.0, *rng.random(8)])
            values[field.name] = min(max(low + (high - low) * share, low), high)
    return kind(**values | fixed)


def _corner(rng):
    """A strike with every field of every record anywhere in its range."""
    spin_loft = rng.choice([0.0, 85.0, *rng.uniform(0, 85, 8)]) * deg
    attack = rng.uniform(max(-30.0, -10.0 - spin_loft / deg), min(20.0, 85.0 - spin_loft / deg))
    water = rng.choice([0.0, 1e-3, *10.0 ** rng.uniform(-9, -3, 6)])
    # a hair inside, so that no sum of two rounded angles lies beyond the border
    loft = min(max(spin_loft + attack * deg, -10 * deg, attack * deg), 85 * deg)
    attack = max(attack * deg, loft - 85 * deg)
    # steep faces that turn on would launch beyond the upright, which no record holds
    head = rng.spawn(1)[0]
    height = head.uniform(-20e-3, 20e-3) if loft < 60 * deg else 0.0
    arriving = _somewhere(Delivery, rng, attack_angle=attack, dynamic_loft=loft,
                          strike_height=height)
    grooves = None if rng.random() < 0.2 else _somewhere(Grooves, rng)
    face = _somewhere(Face, rng, grooves=grooves, head_inertia=10 ** head.uniform(-4.5, 0.0))
    return Case(arriving, face, _somewhere(Ball, rng),
                _somewhere(Between, rng, water=water), _somewhere(Assumptions, rng))


def strike_case(regime, rng):
    """One random strike of a regime."""
    if regime == "corners":
        return _corner(rng)
    case = _usual(rng)
    water = rng.uniform(5, 60) * um
    between = {
        "damp": {"water": rng.uniform(0.1, 5) * um},
        "flooded": {"water": rng.uniform(100, 1000) * um},
        "blocked": {"water": water, "soil_in_grooves": rng.uniform(0.2, 1)},
        "soiled": {"water": rng.choice([0.0, water]), "soil_on_lands": rng.uniform(0, 1),
                   "soil_in_grooves": rng.uniform(0, 1)},
        "grass": {"water": rng.choice([0.0, water]), "grass": rng.uniform(0, 1)},
        "wet": {"water": water}, "plain": {"water": water},
        "offset": {"water": rng.choice([0.0, water])},
        "steady": {"water": rng.choice([0.0, water])},
    }.get(regime, {})
    case = case._replace(between=case.between.but(**between))
    if regime == "plain":
        case = case._replace(face=case.face.but(grooves=None))
    if regime == "offset":
        case = case._replace(arriving=case.arriving.but(normal_offset=rng.uniform(-3e-3, 3e-3)))
    if regime == "steady":
        case = case._replace(ball=case.ball.but(
            friction_fast=case.ball.friction, restitution=rng.uniform(0.5, 0.95),
            restitution_slope=0.0))
    return case


def strikes(count, seed=20):
    """(regime, case) of `count` strikes, the regimes in turn."""
    rng = np.random.default_rng(seed)
    for number in range(count):
        regime = REGIMES[number % len(REGIMES)]
        yield regime, strike_case(regime, rng)


def flights(count, seed=21):
    """(launch, air) of `count` flights of pitches and full shots in up to 15 m/s of wind."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        wind, towards = rng.uniform(0, 15), rng.uniform(0, 2 * np.pi)
        launch = Launch(ball_speed=rng.uniform(8, 75), launch_angle=rng.uniform(2, 65) * deg,
                        spin_rate=rng.uniform(0, 11_000) * rpm, direction=rng.uniform(-20, 20) * deg,
                        spin_tilt=rng.uniform(-20, 20) * deg)
        yield launch, Air(temperature=rng.uniform(263, 313), pressure=rng.uniform(7e4, 1.05e5),
                          humidity=rng.uniform(0, 1), wind=wind * np.cos(towards),
                          crosswind=wind * np.sin(towards))


def level_flights(count, seed=22):
    """(launch, air) of launches at or just above level, with lift near the weight."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        speed = rng.uniform(40, 80)
        # at 15 °C a launch rises where its lift coefficient exceeds m g/(½ ρ A U²)
        needed = 0.04593 * 9.80665 / (0.5 * 1.225 * np.pi * 0.021335**2 * speed**2)
        spin = (needed / 0.54) ** 2.5 if needed > 0.54 * 0.08**0.4 else needed / (0.54 * 0.08**-0.6)
        yield Launch(ball_speed=speed, launch_angle=rng.choice([0.0, 0.0, rng.uniform(0, 1) * deg]),
                     spin_rate=rng.uniform(0.9, 1.2) * spin * speed / 0.021335), Air()


def landings(count, seed=23):
    """(speed, descent angle, backspin, green) of `count` landings on greens the ball stays on."""
    rng = np.random.default_rng(seed)
    for _ in range(count):
        green = Green(speed=rng.uniform(2.0, 4.0), slope=rng.uniform(-1.5, 1.5) * deg,
                      friction=rng.uniform(0.1, 0.5), tilt=rng.uniform(0.5, 1.8),
                      restitution=rng.uniform(0.7, 1.3))
        yield rng.uniform(3, 28), rng.uniform(15, 75) * deg, rng.uniform(-200, 1000), green
