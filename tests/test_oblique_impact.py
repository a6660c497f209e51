"""Oblique impact of elastic spheres: where sliding begins to last through the whole contact.

Maw, Barber & Fawcett, Wear 38:101 (1976), from memory (also Johnson, Contact Mechanics, 1985, section 11.4, from memory):
with ``ψ₁ = 2(1−ν) V_t / [μ (2−ν) V_n]`` and ``χ = (1−ν)(1+1/K²)/(2−ν)`` a sphere slides from the first touch to the last if
ψ₁ > 4χ − 1 and sticks before the end below.  The model has one tangential spring for the whole patch instead of a
slipping ring; the border must be the same, because the last instants of the contact set it.
"""

import numpy as np
import pytest

from spinlab.physics.contact import strike
from spinlab.records import Assumptions, Ball, Delivery, Face

POISSON = 0.3
STIFFNESS = 2 * (1 - POISSON) / (2 - POISSON)
CHI = (1 - POISSON) * (1 + 1 / 0.4) / (2 - POISSON)
ELASTIC = Assumptions(tangential_stiffness=STIFFNESS, unloading=1.0, reversal=1.0)
FRICTION = 0.2
SPHERE = Ball(friction=FRICTION, friction_fast=FRICTION, restitution=0.99, restitution_slope=0.0)


def pulled(incidence):
    """Tangential over normal impulse, as a share of μ, at a dimensionless angle of incidence ψ₁; a heavy target, nearly no
    loss."""
    angle = np.arctan(incidence * FRICTION / STIFFNESS)
    arriving = Delivery(head_speed=10.0, dynamic_loft=angle)
    return strike(arriving, Face(head_mass=5.0), SPHERE, assume=ELASTIC).contact


def test_the_published_chi():
    # a sphere of ν 0.3: χ = 1.441 (Maw, Barber & Fawcett 1976, quoted by Biber et al., seen)
    assert pytest.approx(1.441, abs=0.0005) == CHI


@pytest.mark.parametrize("above", [1.005, 1.2, 2.0])
def test_gross_sliding_above_the_border(above):
    contact = pulled(above * (4 * CHI - 1))
    assert contact.effective_friction == pytest.approx(FRICTION, rel=2e-6)
    assert contact.grip_share == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("below", [0.985, 0.9, 0.5])
def test_sticking_at_the_end_below_the_border(below):
    contact = pulled(below * (4 * CHI - 1))
    assert contact.effective_friction < FRICTION * (1 - 1e-5)
    assert contact.grip_share > 0


def test_impulse_grows_with_incidence_up_to_friction():
    ratio = [pulled(incidence).effective_friction for incidence in np.linspace(0.2, 6, 30)]
    assert (np.diff(ratio) > -1e-6).all()
    assert max(ratio) == pytest.approx(FRICTION, rel=1e-6)
