"""The model's page: every model's equation, where it holds, its source, its band, what it leaves out, and its curve.

The bands are read from the register of uncertain numbers; the curves are worked out by the functions that the engine calls.
Marks: S seen in the source, Q quoted by a later text, M from memory, C computed by us, J our judgement.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..physics.uncertain import HEAD_TURNS, PARAMETERS
from . import model_curves as curves
from .draw_model import model_curve
from .still import drawn


@dataclass(frozen=True, kw_only=True)
class Model:
    """One model: its `part` of the chain, `equation` (TeX) and the `words` that name its symbols, where it `holds`, its
    `source` with marks, the names of its `uncertain` numbers, what it `leaves_out`, its `curve`, and the functions (`calls`)
    whose own words say the same.  `checked` pairs what from outside it was held against with the test that does so (what
    set a number of the model is no check and stands nowhere here); `unmeasured` is what nobody has measured, or we found
    nobody who has."""

    part: str
    name: str
    equation: str
    words: str
    holds: str
    source: str
    leaves_out: str
    calls: tuple[str, ...]
    unmeasured: str
    checked: tuple[tuple[str, str], ...] = ()
    uncertain: tuple[str, ...] = ()
    also: str = ""
    curve: Callable | None = None

    @property
    def band(self) -> str:
        """What is drawn from when a band is asked for, in words."""
        known = {p.name: p for p in PARAMETERS}
        told = [f"{p.what} {_range(p)} [{p.mark}]" for p in map(known.__getitem__, self.uncertain)]
        return "; ".join([*told, *([self.also] if self.also else [])])


def _range(parameter) -> str:
    low, high = (f"{value:g}".replace("-", "−") for value in (parameter.low, parameter.high))
    unit = " kg" if parameter.name == "face.head_mass" else ""
    return {"factor": f"× {low} to {high}", "shift": f"{low} to +{high}", "value": f"{low} to {high}{unit}"}[parameter.how]


MODELS = (
    Model(part="Contact", name="Push across the face",
          equation=r"N = \tfrac43 E^* \sqrt R\; x^{3/2}\,(1 + c\,\dot x) \qquad e = e_0 - s\,v",
          words="x how far the ball is pressed in, E* its stiffness, R its radius, c its loss, e how much of the speed v "
                "comes back",
          holds="head speeds of 1 to 50 m/s (2 to 112 mph), near the middle of the face; e kept within 0.75 to 0.88",
          source="Hertz 1882 [M]; Hunt and Crossley 1975 [M]; e after Chou 1994, quoted in Penner 2003 [Q]",
          uncertain=("arriving.dynamic_loft", "ball.modulus", "ball.restitution", "face.head_mass"),
          leaves_out="fixed rebound numbers cannot fully describe a golf ball (Johnson and Lieberman 1994 [S]); layers "
                     "of the ball",
          unmeasured="how much comes back from a slanted, grooved face, and how long that "
                     "contact lasts; the two times known, of a ball on a flat target and of a "
                     "drive, set its stiffness and cannot check it",
          checked=(("a general rigid-body engine (MuJoCo), sliding, at its own rebound [C]",
                    "test_rigid_body.test_strike_where_it_slides"),),
          calls=("contact.normal_force", "contact.normal_restitution", "contact.hertz_stiffness"),
          curve=curves.across_the_face),
    Model(part="Contact", name="Strikes above and below the middle",
          equation=r"m_e = \left(\frac1m + \frac1M + \frac{b^2}{I}\right)^{-1} \qquad "
                   r"\Delta\theta = \frac{J\,b\,T}{9\,I}",
          words="mₑ the mass that pushes, m ball, M head, b height of the strike above the head's centre of mass, I the "
                "head's moment of inertia; Δθ how far the face turns up while it pushes, J the impulse, T its time",
          holds="strikes within 20 mm; small turns of a head that the shaft does not hold",
          source="mechanics of a free body [C]; size of I our judgement [J]",
          also=f"the head's inertia {1e7 * HEAD_TURNS.low:.0f} to {1e7 * HEAD_TURNS.high:.0f} g cm² "
               f"[{HEAD_TURNS.mark}], drawn where it is asked for",
          leaves_out="strikes toward heel or toe; spin that comes from a centre of mass behind the face; the shaft",
          unmeasured="how a wedge's ball speed falls off the middle, and a wedge's inertia with "
                     "its shaft",
          checked=(("a point mass against a free body, solved by hand from momentum and "
                    "restitution [C]",
                    "test_off_centre.test_point_mass_against_a_free_body"),),
          calls=("contact.contact_of", "contact.face_turning", "uncertain.HEAD_TURNS"), curve=curves.off_the_middle),
    Model(part="Contact", name="Friction along the face",
          equation=r"dF = \kappa\,\frac{dN}{dx}\,v_s\,dt \qquad |F| \le \mu N",
          words="a spring of stiffness κ that holds while friction μ lasts, vₛ the sliding speed; stiffer on the way "
                "back, soft once "
                "the force has turned round",
          holds="from all sliding to all gripping; with no spring it becomes the closed forms of Penner 2001 [Q]",
          source="Mindlin 1949 [M] for κ; that balls grip and the force turns round: Cross 2002 [S]",
          uncertain=("assume.tangential_stiffness", "assume.unloading", "assume.reversal", "ball.inertia_factor"),
          leaves_out="edges of grooves that interlock with the cover. How stiff the cover is "
                     "once the force "
                     "has turned was never measured, and it sets the spin of low lofts",
          unmeasured="friction through a wedge's contact in time; how much of the sliding comes "
                     "back (e_t)",
          checked=(("Maw, Barber and Fawcett 1976 [M]: where sliding lasts through the "
                    "contact",
                    "test_oblique_impact.test_gross_sliding_above_the_border"),
                   ("a general rigid-body engine (MuJoCo) [C]",
                    "test_rigid_body.test_strike_where_it_slides"),
                   ("more spin than rolling: Cross 2002 [S]",
                    "test_contact.test_grip_gives_tangential_restitution_about_a_third"),),
          calls=("contact.rates", "contact.spring_rate"), curve=curves.along_the_face),
    Model(part="Contact", name="Grip of the cover",
          equation=r"\mu_{dry} = \mu_1 + (\mu_2 - \mu_1)\,\frac{v_s - 12.8}{14.0}",
          words="μ₁ up to 12.8 m/s (29 mph) of sliding, μ₂ from 26.8 m/s (60 mph) on",
          holds="clean and dry, on steel",
          source="Gobush 1996, quoted in Penner 2003 [Q]; urethane and ionomer: Proceedings 49(1):27, 2020 [Q]",
          uncertain=("ball.friction",),
          leaves_out="wear, temperature of the cover, load. The sources for hard covers disagree and are never merged",
          unmeasured="friction against the face's finish, milling, wear, and at a pitch's load; "
                     "worn faces that are seen to cost 10 to 24 % on a dry day would need 0.70 "
                     "to 0.58 of it",
          checked=(("covers a few per cent apart, common practice without a source",
                    "test_contact.test_soft_and_hard_covers_differ_little_when_clean"),),
          calls=("contact.dry_friction", "Ball.published_soft_cover", "Ball.published_hard_cover"),
          curve=curves.friction_of_covers),
    Model(part="Contact", name="Water film",
          equation=r"\dot h = -\frac{p\,h^3}{\eta\,L^2} \qquad \frac1{L^2} = \frac1{1.5\,a^2} + o\left(\frac1{S^2} - "
                   r"\frac1{1.5\,a_{max}^2}\right)",
          words="h the film, p the pressure, η the water's viscosity, a the patch's radius, S the land's width, o how "
                "open the "
                "grooves are; no faster than the water's inertia allows, slower as the grooves fill",
          holds="exact for smooth plates and steady pressure; used beyond that, as a closure",
          source="Reynolds 1886, Stefan 1874 [M]; water: IAPWS SR6-08 2011 [Q], checked against a general library",
          uncertain=("assume.void", "between.water"),
          leaves_out="dewetting, cavitation, water caught in the roughness; no published golf test was found. Square and "
                     "V grooves "
                     "come out nearly alike, while tests from rough saw more",
          unmeasured="the film in a strike: no golf test of it was found",
          checked=(("water: a general library (IAPWS) [S]",
                    "test_film.test_water_against_the_iapws_library"),
                   ("way out: Reynolds' equation against the published torsion table of a "
                    "rectangle [M]",
                    "test_reynolds.test_rectangle_against_the_published_torsion_table"),),
          calls=("contact.film_rate", "film.squeeze_rate", "water.water_viscosity"),
          curve=curves.film_thins),
    Model(part="Contact", name="Load that a film leaves to friction",
          equation=r"f = e^{-c\,h/\sigma} \qquad \mu = f\,b\,\mu_{dry} + (1-f)\,\mu_{film}",
          words="σ roughness of face and ball, b what wetting leaves of solid friction",
          holds="our closure; its upper end comes near the law for elastic rough planes",
          source="form after Greenwood and Tripp 1971 [M]; b after Persson et al. 2005 [S]; size our judgement [J]",
          uncertain=("assume.wet_factor", "assume.film_friction", "face.roughness"),
          leaves_out="the direction of milling; how a cover wraps round single tips",
          unmeasured="friction of a wet cover at a pitch's pressure and speed; the roughness of "
                     "face and ball together",
          checked=(("size of the share: Greenwood and Tripp 1971 [C], by quadrature",
                    "test_film.test_load_share_greenwood_tripp"),),
          calls=("film.solid_share", "film.solid_share_greenwood_tripp_1971", "film.boundary_factor"),
          curve=curves.load_on_solids),
    Model(part="Contact", name="What grooves hold, and the limits",
          equation=r"A = W_0\,d - d^2 \tan\delta + r^2\,(\ldots) \qquad \frac{A}{W + S} \le 0.0030\ \mathrm{in}",
          words="W₀ mouth if the edges were sharp, d depth, δ lean of the walls, r edge radius, W width, S land",
          holds="straight, parallel grooves; irons and wedges of 25° and more, made since 2010",
          source="plane geometry; Equipment Rules, Part 2 section 5 [S]",
          also="none: geometry. Only the governing bodies rule on a club",
          leaves_out="roughness limits known from memory only, so they never decide",
          unmeasured="how far a cover bulges into a groove",
          checked=(("limit as a depth of water: Equipment Rules [S]",
                    "test_grooves.test_limit_as_water_depth"),),
          calls=("grooves.area", "grooves.capacity", "grooves.limits"), curve=curves.water_held),
    Model(part="Contact", name="Soil, grass and cleaning",
          equation=r"\mu = (1-\varphi)\,\mu_{clean} + \varphi\,\mu_{soil}",
          words="φ the share of the flats that is covered; soil in the grooves closes them",
          holds="soil and grass as shares; each way of cleaning leaves its own share of each",
          source="our judgement of common practice [J]; no measurement was found",
          uncertain=("assume.solid_friction", "between.soil_on_lands", "between.soil_in_grooves", "between.grass"),
          leaves_out="wet soil that is itself slippery, long grass between face and ball",
          unmeasured="what soil and grass do to friction, and what each way of cleaning leaves; "
                     "the two lies were set by what is seen from rough and are no check",
          calls=("cleaning.clean", "contact.friction_coefficient"), curve=curves.soiled_flats),
    Model(part="Flight", name="Air",
          equation=r"\rho = \frac{p - 0.378\,e}{R\,T} \qquad \eta_{air} = \frac{1.458\cdot10^{-6}\,T^{1.5}}{T + 110.4}",
          words="p pressure, e the vapour's pressure, T temperature, R the gas constant of dry air",
          holds="golf weather; within 0.06 % of CIPM-2007 [C]",
          source="gas law; CIPM-2007 [Q]; Sutherland, ISO 2533 [Q]; checked against a general library",
          also="far smaller than the doubt about drag", leaves_out="rain in the air",
          unmeasured="nothing that matters here",
          checked=(("CIPM-2007 [Q]",
                    "test_air.test_cipm_2007"),
                   ("a general library of the atmosphere [C]",
                    "test_air.test_against_an_open_library"),),
          calls=("air.air_density", "air.air_viscosity", "air.saturation_pressure"), curve=curves.air_density),
    Model(part="Flight", name="Drag and lift",
          equation=r"C_D = 0.24 + 0.18\,S + 0.06 \sin\frac{\pi (Re - 9\cdot10^4)}{2\cdot10^5} \qquad C_L = 0.54\,S^{0.4}",
          words="S surface speed over flight speed, Re Reynolds number; lift is held at 0.355, and below Re 7·10⁴ both "
                "are blended "
                "into the slow flow",
          holds="measured from 24 m/s (54 mph) up; most pitches fly slower, and there it is our judgement",
          source="Smits and Smith 1994 [M]; ceiling of lift and blend ours [J]; band: Lyu, Kensrud, Smith and Tosaya "
                 "2018 [S]",
          uncertain=("flight.drag_scale", "flight.lift_scale"),
          leaves_out="dimples of one ball against another, mud; lift that turns downward is a switch (Lyu, Kensrud and "
                     "Smith 2020 [S])",
          unmeasured="drag and lift below 24 m/s (54 mph) at a pitch's spin",
          checked=(("drag of a spinless ball, 8 % under its range at one speed: Jenkins 2018 "
                    "[S]",
                    "test_flight.test_spinless_drag_jenkins_2018"),
                   ("the equations: an adaptive integrator (DOP853) [C]",
                    "test_flight.test_against_dop853"),),
          calls=("flight.drag_smits_smith_1994", "flight.lift_smits_smith_1994", "flight.saturated",
                 "flight.drag_crisis_share", "flight.reverse_lift_share"), curve=curves.drag_and_lift),
    Model(part="Flight", name="Loss of spin",
          equation=r"\frac{d\omega}{dt} = -2.0\cdot10^{-5}\,\frac{U\,\omega}{R}",
          words="ω spin, U flight speed, R the ball's radius", holds="all flights here",
          source="size: Dewhurst 2015 [S]; form: Nathan 2008 [S]", also="a few per cent of the spin of a pitch at most",
          leaves_out="nothing that matters for a pitch",
          unmeasured="spin along the flight of a pitch; test pages see 3.3 to 4 % a second, this "
                     "law gives less",
          checked=(("3.3 to 4 % a second, common practice without a source: a miss",
                    "test_outside.test_expected_misses_are_misses"),),
          calls=("flight.fly",), curve=curves.spin_fades),
    Model(part="Flight", name="Wind",
          equation=r"w(z) = w_{10} \left(\frac{z}{10\,\mathrm m}\right)^{0.14}",
          words="w₁₀ the wind at 10 m (33 ft)", holds="open, short grass, steady wind",
          source="power law of meteorology [M]", also="none is drawn: it is the wind that you enter",
          leaves_out="gusts, trees, buildings, which change it far more",
          unmeasured="wind on the course below 10 m",
          calls=("air.wind_profile",),
          curve=curves.wind_near_the_ground),
    Model(part="Green", name="Bounce",
          equation=r"J = \min\left[\tfrac27\,|s|,\ \mu\,(1+e)\,v_n\right] \qquad s = v_t + R\,\omega \qquad "
                   r"e = 0.510 - 0.0375\,v_n + 0.000903\,v_n^2",
          words="vₜ, vₙ speed along and into ground that the ball's own crater leans toward it; μ grip of the turf",
          holds="pitches onto a level or gently sloping green",
          source="Penner 2002 [M]; the lean's form Biber et al. 2023 [S]; kinds of green after Haake 1987, 1989 [S]; "
                 "presets ours [J]",
          uncertain=("green.friction", "green.tilt", "green.restitution", "green.grip_restitution"),
          also="run-out in metres ± 50 % [J]",
          leaves_out="grain, old pitch marks, plugging, water on the green; hops are flown without air",
          unmeasured="friction and lean of greens at a pitch's landing; their sizes are our "
                     "judgement",
          checked=(("a general rigid-body engine (MuJoCo) [C]",
                    "test_rigid_body.test_bounce"),),
          calls=("ground.bounce", "ground.ground_tilt", "ground.restitution_penner_2002"), curve=curves.first_bounce),
    Model(part="Green", name="Skid and roll",
          equation=r"v_r = \frac{5v - 2R\omega}{7} \qquad a = \tfrac57\,g\,(\rho_g \cos\beta \pm \sin\beta) \qquad "
                   r"\rho_g = \frac{0.784}{S_{ft}}",
          words="vᵣ speed when it begins to roll, β slope, S the ramp reading in feet",
          holds="ramp readings of 3 to 18 ft; slopes on which a ball stops",
          source="mechanics; Penner, The physics of putting, Can. J. Phys. 80:83, 2002 [M] for the size; ramp: Holmes 1986 "
                 "[M]", also="with that of the bounce",
          leaves_out="grain; a slope across the line does not bend the roll",
          unmeasured="the skid of a pitched ball on grass",
          checked=(("a general rigid-body engine (MuJoCo) [C]",
                    "test_rigid_body.test_slide_to_roll"),
                   ("Daish, The Physics of Ball Games [M]",
                    "test_green.test_daish_skid"),),
          calls=("ground.rolling_resistance", "ground.land"), curve=curves.rolling),
    Model(part="Shots", name="Scatter of a player",
          equation=r"v = \bar v\,(1 + \sigma_v z_1) \quad L = \bar L + \sigma_L z_2 \quad \ldots \qquad z \sim N(0, C)",
          words="σ one standard deviation of speed, loft, attack, strike height, direction, water; C how they hang together",
          holds="one meant shot; a few hundred draws through the whole chain",
          source="sizes our judgement [J]; your own shots replace them", also="three standards of player are offered",
          leaves_out="mis-hits: heavy, thin and shank",
          unmeasured="the scatter of any player, here: the three standards are our judgement",
          calls=("spread.scatter", "spread.Spread"), curve=curves.chances),
    Model(part="Shots", name="Bands",
          equation=r"[\,q_{5\%},\ q_{95\%}\,]\ \mathrm{of}\ f(p_1, p_2, \ldots)",
          words="all uncertain numbers p are drawn at once, evenly and independently (Latin hypercube)",
          holds="what the model's own doubts amount to; not a measured population",
          source="ranges as listed on this page, each with its mark", also="this is the band",
          leaves_out="whatever the model itself leaves out",
          unmeasured="how often the truth lies inside: too few outside numbers, and those loose",
          checked=(("loose outside numbers, with the interval score of Gneiting and Raftery "
                    "2007 [M]",
                    "test_outside.test_interval_score_is_least_for_the_right_band"),),
          calls=("bands.band", "bands.ranking")),
    Model(part="Shots", name="Each cause's share",
          equation=r"\varphi_i = \sum_S \frac{|S|!\,(n-|S|-1)!}{n!}\,\left[v(S \cup i) - v(S)\right]",
          words="v the spin with a set S of causes put right; the average over every order of putting right",
          holds="up to ten causes, every combination computed",
          source="Shapley 1953 [M]", also="as for spin, draw by draw", leaves_out="causes that are not listed",
          unmeasured="any real pair of players: the example players are invented",
          checked=(("published games: the Security Council [M]",
                    "test_shares.test_security_council"),),
          calls=("shares.shapley",)),
    Model(part="Shots", name="Few measured shots",
          equation=r"t = \frac{\bar x - \bar y}{\sqrt{s_x^2/n_x + s_y^2/n_y}}",
          words="means x̄ and ȳ, scatters s, numbers of shots n; beside it, every other way of dealing out the labels is "
                "counted",
          holds="shots of one player, day and wedge; three of each kind can never reach 5 %",
          source="Welch 1947 [M]; Student 1908 and Fisher 1935 as worked examples [S, M]", also="ranges at 95 %",
          leaves_out="other players, days, wedges",
          unmeasured="how shots of one player really scatter: normal scatter is assumed",
          checked=(("Student 1908 [S]",
                    "test_smallsample.test_student_1908_sleep_welch"),
                   ("Fisher 1935 [M]",
                    "test_smallsample.test_fisher_1935_darwin_sign_flips"),
                   ("NIST reference sets [M]",
                    "test_smallsample.test_nist_reference_sets_of_numerical_accuracy"),),
          calls=("smallsample.welch", "smallsample.permutation"),
          curve=curves.few_shots),
)
"""Every model, along the chain."""
_HEADS = {"Contact": "Contact of face and ball", "Flight": "Flight", "Green": "The green", "Shots": "Many shots, few shots"}


def models(*parts):
    """The model's page, each model folded under its name; `parts` chooses among Contact, Flight, Green and Shots."""
    from IPython.display import Markdown

    unknown = set(parts) - set(_HEADS)
    if unknown:
        raise ValueError(f"part of the chain {sorted(unknown)[0]!r} is not known; use one of: {', '.join(_HEADS)}")
    told = []
    for part in parts or _HEADS:
        told += [f"### {_HEADS[part]}", *(_folded(model) for model in MODELS if model.part == part)]
    return Markdown("\n\n".join(told))


def _folded(model) -> str:
    rows = {"holds for": model.holds, "source": model.source, "band": model.band, "leaves out": model.leaves_out}
    checked = "; ".join(what for what, _ in model.checked) or "nothing from outside, only limits and laws"
    evidence = f"| checked against | never measured |\n|---|---|\n| {_plain(checked)} | {_plain(model.unmeasured)} |"
    table = "\n".join(["| | |", "|---|---|", *(f"| {name} | {_plain(words)} |" for name, words in rows.items())])
    words = f"Symbols: {model.words}."
    return "\n\n".join([f"<details><summary>{model.name}</summary>", f"$$ {model.equation} $$", words,
                        *([_picture(model)] if model.curve else []), table, evidence,
                        "</details>"])


def _plain(words) -> str:
    """Words for a cell of a table: no bar, no sign that would set them otherwise."""
    return words.replace("|", "/").replace("*", "\\*")


def _picture(model) -> str:
    picture, said = drawn(model_curve, model.curve(), width=640, height=300)
    return f"{picture}\n\n{said}"
