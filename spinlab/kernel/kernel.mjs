// Written by `python -m spinlab.kernel.javascript` from the Python source: edit that.

function max(a, b) {
  return b > a ? b : a;
}

function min(a, b) {
  return b < a ? b : a;
}

const GAS_CONSTANT_DRY = 287.05287;
const CALM_HEIGHT = 1.0;
const LEAST_RESTITUTION = 0.75;
const MOST_RESTITUTION = 0.88;
const SLOW_SLIDING = 12.8;
const FAST_SLIDING = 26.8;
const THINNEST_FILM = 1e-15;
const WETTING = 1e-06;
const EASY_FILL = 0.3;
const STEPS = 60.0;
const FILM_STEP = 0.07;
const NEVER = 1e+300;
const FLOAT_NOISE = 1e-12;
const ROOT_ROUNDS = 60;
const ROOT_PRECISION = 1e-13;
const WITHIN_ROUNDS = 8;
const MOST_STEPS = 4000;
const MOST_EVENTS = 60;
const LEAST_REYNOLDS = 70000.0;
const MOST_REYNOLDS = 210000.0;
const LEAST_SPIN_PARAMETER = 0.08;
const LIFT_CEILING = 0.355;
const CRISIS_REYNOLDS = 48000.0;
const CRISIS_WIDTH = 4000.0;
const STILL = 1e-18;
const GRAVITY = 9.80665;
const SPIN_DECAY = 2e-05;
const LANDING_PRECISION = 1e-12;
const STEP = 0.1;
const LONGEST_FLIGHT = 200.0;
const SHORTEST_STEP = 1e-07;
const ft = 0.3048;
const TINY = 1e-12;
const GRAZING_ANGLE = 0.9599310885968813;
const REFERENCE_TILT = 0.26878070480712674;
const REFERENCE_SPEED = 18.6;
const REFERENCE_ANGLE = 0.7749261878854823;
const STEEPEST_TILT = 0.6981317007977318;
const MOST_BOUNCE = 0.95;
const LEAST_SLIDING_FRICTION = 0.05;
const LONGEST_ROLL = 50.0;
const MOST_BOUNCES = 400;
const LAST_REBOUND = 0.0001;
const VISIBLE_REBOUND = 0.25;
const FLIGHT_STAGE = 1;
const GREEN_STAGE = 2;
const SLOWEST_HEAD = 1.0;
const FASTEST_HEAD = 79.0;
const OUT_OF_REACH = -1.0;
const CLOSE_CARRY = 0.0001;
const FASTEST_BALL = 90.0;
const CONTACT_STAGE = 0;
const PEAK_POINTS = 24;
const GOLDEN = 0.3819660112501051;
const PEAK_ROUNDS = 40;
const deg = 0.017453292519943295;
const FACTOR = 1.0;
const SHIFT = 2.0;
const GROOVE_NUMBERS = 5;
const AT_DELIVERY = 0;
const AT_FACE = 5;
const AT_BALL = 14;
const AT_BETWEEN = 22;
const AT_ASSUMPTIONS = 27;
const FLIGHT_AT_AIR = 5;
const FLIGHT_AT_BALL = 10;
const FLIGHT_AT_AERODYNAMICS = 18;
const GROUND_AT_GREEN = 4;
const GROUND_AT_RADIUS = 10;
const GROUND_AT_RESTING_TILT = 11;
const AT_AIR = 35;
const AT_AERODYNAMICS = 40;
const AT_GREEN = 52;

/** Pressure of saturated water vapour over water [Pa], temperature [K] from 223 to 333. */
export function saturation_pressure(temperature) {
  const t = temperature;
  return Math.exp(1.2378847e-05 * t * t - 0.019121316 * t + 33.93711047 - 6343.1645 / t);
}

/** Density of moist air [kg/m³] from temperature [K], pressure [Pa], relative humidity (0 … 1). */
export function air_density(temperature, pressure, humidity) {
  const vapour = min(humidity * saturation_pressure(temperature), 0.5 * pressure);
  return (pressure - 0.378 * vapour) / (GAS_CONSTANT_DRY * temperature);
}

/** Viscosity of air [Pa s], temperature [K] from 170 to 1900: ``1.458e-6 T^1.5/(T + 110.4)``. */
export function air_viscosity(temperature) {
  return 1.458e-06 * temperature * Math.sqrt(temperature) / (temperature + 110.4);
}

/** Wind at a height z [m] against the wind at 10 m: ``(z/10)^0.14``, √(z² + 1) in place of z. */
export function wind_profile(height) {
  return ((height * height + CALM_HEIGHT * CALM_HEIGHT) / 100.0) ** 0.07;
}

/** A bracket of which no end has moved; the values differ in sign. */
export function bracket_between(low, high, at_low, at_high) {
  return { low, high, at_low, at_high, moved: 0.0 };
}

/** Where the straight line between the two ends is zero: the next place to look. */
export function secant(bracket) {
  const share = (bracket.high - bracket.low) * bracket.at_low / (bracket.at_low - bracket.at_high);
  return bracket.low + share;
}

/** The bracket with its end of the same sign moved to a place inside it; zero moves the high end. */
export function narrowed(bracket, here, value) {
  let kept;
  if (value * bracket.at_low > 0.0) {
    kept = bracket.moved < 0.0 ? 0.5 * bracket.at_high : bracket.at_high;
    return {
      low: here,
      high: bracket.high,
      at_low: value,
      at_high: kept,
      moved: -1.0,
    };
  }
  kept = bracket.moved > 0.0 ? 0.5 * bracket.at_low : bracket.at_low;
  return {
    low: bracket.low,
    high: here,
    at_low: kept,
    at_high: value,
    moved: 1.0,
  };
}

/** Restitution across the face at a closing speed [m/s]: ``e₀ − s v`` kept within 0.75 … 0.88. */
export function normal_restitution(speed, ball) {
  if (ball.restitution_slope <= 0.0) {
    return ball.restitution;
  }
  const fitted = ball.restitution - ball.restitution_slope * speed;
  return min(max(fitted, LEAST_RESTITUTION), MOST_RESTITUTION);
}

/** Hunt & Crossley's d = c v_n for a wanted restitution e: ``ln[(1+d)/(1−e d)] = d (1+e)``. */
export function loss_number(restitution) {
  const e = restitution;
  let y = (1.0 + e) / e - Math.log1p(1.0 / e);
  if (e >= 0.58) {
    y = -Math.log1p(-min(1.5 * e * (1.0 - e * e) / (1.0 + e * e * e), 0.9));
  }
  for (let _ = 0; _ < 8; _ += 1) {
    const left = Math.exp(-y);
    const d = (1.0 - left) / e;
    const miss = y + Math.log1p(d) - d * (1.0 + e);
    y = y - miss / (1.0 + left / e * (1.0 / (1.0 + d) - (1.0 + e)));
  }
  return (1.0 - Math.exp(-y)) / e;
}

/** K in ``N = K x^1.5`` [N/m^1.5]: ``4/3 E* √R`` (Hertz 1882, from memory). */
export function hertz_stiffness(ball) {
  return 4.0 / 3.0 * ball.modulus * Math.sqrt(ball.radius);
}

/** Dry friction coefficient at a sliding speed [m/s], not negative. */
export function dry_friction(sliding_speed, ball) {
  let along = (sliding_speed - SLOW_SLIDING) / (FAST_SLIDING - SLOW_SLIDING);
  along = min(max(along, 0.0), 1.0);
  return ball.friction + (ball.friction_fast - ball.friction) * along;
}

/** Compression at which the ball stops coming closer [m]. */
export function largest_compression(mass, speed, stiffness, loss_number) {
  const length = (mass * speed * speed / stiffness) ** 0.4;
  const stored = 1.0 / loss_number - Math.log1p(loss_number) / (loss_number * loss_number);
  return length * (2.5 * stored) ** 0.4;
}

/** Half of what rounded edges take off the width, over their radius, `wall` from land to wall */
export function width_lost_to_edge(wall) {
  return Math.tan(wall / 2.0) - Math.sin(min(wall, Math.PI / 6.0));
}

/** Radius of the edges [m]: the one asked for, or the largest whose arc fits into the groove. */
export function fitting_edge(grooves) {
  const wall = Math.PI / 2.0 - grooves.draft_angle;
  const sunk = 1.0 - Math.cos(wall);
  const across = 2.0 * (width_lost_to_edge(wall) + Math.tan(grooves.draft_angle) * sunk);
  return min(min(grooves.edge_radius, grooves.depth / sunk), grooves.width / max(across, 1e-09));
}

/** Width of the mouth if its edges were sharp [m]. */
export function sharp_width(grooves) {
  const wall = Math.PI / 2.0 - grooves.draft_angle;
  return max(grooves.width - 2.0 * fitting_edge(grooves) * width_lost_to_edge(wall), 0.0);
}

/** Depth of the groove [m]: the depth asked for, or where leaning walls meet in a V. */
export function full_depth(grooves) {
  const slope = Math.tan(max(grooves.draft_angle, 1e-09));
  return min(grooves.depth, sharp_width(grooves) / (2.0 * slope));
}

/** Cross-section of the groove A below the plane of the lands [m²]. */
export function area(grooves) {
  const depth = full_depth(grooves);
  const wall = Math.PI / 2.0 - grooves.draft_angle;
  const edge = fitting_edge(grooves);
  const sickles = 2.0 * edge * edge * (Math.tan(wall / 2.0) - wall / 2.0);
  return sharp_width(grooves) * depth - depth * depth * Math.tan(grooves.draft_angle) + sickles;
}

/** Water the full grooves hold, as an even film over the whole face [m]: A/P, P the pitch. */
export function capacity(grooves) {
  return area(grooves) / (grooves.width + grooves.separation);
}

/** What is left of solid friction on wetted surfaces: ``b + (1 − b) exp(−h₀/1 µm)``. */
export function boundary_factor(water, wet_factor) {
  return wet_factor + (1.0 - wet_factor) * Math.exp(-min(water / WETTING, 300.0));
}

/** Viscosity of water at 0.1 MPa [Pa s], temperature [K] from 273.15 to 333.15. */
export function water_viscosity(temperature) {
  const t = temperature / 300.0;
  return 1e-06 * (280.68 * t ** -1.9 + 511.45 * t ** -7.7 + 61.131 * t ** -19.6 + 0.45903 * t ** -40.0);
}

/** Density of water at 0.1 MPa [kg/m³], temperature [K] from 273.15 to 333.15. */
export function water_density(temperature) {
  const t = temperature - 273.15;
  const cubic = -4.6170461e-05 + t * (1.0556302e-07 - t * 2.8054253e-10);
  const above = 999.83952 + t * (16.945176 + t * (-0.0079870401 + t * cubic));
  return above / (1.0 + 0.01687985 * t);
}

/** Gather the constants of one contact. */
export function contact_of(arriving, face, ball, between, assume) {
  const spin_loft = arriving.dynamic_loft - arriving.attack_angle;
  const closing_speed = arriving.head_speed * Math.cos(spin_loft);
  const ratio = ball.mass / face.head_mass;
  const lever = arriving.strike_height;
  const mass = ball.mass / (1.0 + ratio + ball.mass * lever * lever / face.head_inertia);
  const stiffness = hertz_stiffness(ball);
  const restitution = normal_restitution(closing_speed, ball);
  const loss = loss_number(restitution);
  const deepest = largest_compression(mass, closing_speed, stiffness, loss);
  const brim = (1.0 - between.soil_in_grooves) * capacity(face.grooves) * assume.void;
  const open_share = brim > THINNEST_FILM ? 1.0 - between.soil_in_grooves : 0.0;
  const clear = (1.0 - between.soil_on_lands) * (1.0 - between.grass);
  return {
    ball,
    mass,
    stiffness,
    loss: loss / closing_speed,
    restitution,
    closing_speed,
    sliding_speed: arriving.head_speed * Math.sin(spin_loft),
    mobility: (1.0 + 1.0 / ball.inertia_factor + ratio) / ball.mass,
    turning: arriving.normal_offset / (ball.inertia_factor * ball.mass * ball.radius),
    spring: assume.tangential_stiffness,
    unloading: assume.unloading,
    reversal: assume.reversal,
    wet: between.water > 0.0,
    roughness: face.roughness,
    load_decay: assume.load_decay,
    film_friction: assume.film_friction,
    solid_factor: boundary_factor(between.water, assume.wet_factor),
    clear,
    dirt_friction: (1.0 - clear) * assume.solid_friction,
    viscosity: water_viscosity(between.temperature),
    density: water_density(between.temperature),
    water: max(between.water, THINNEST_FILM),
    land: face.grooves.separation,
    groove: face.grooves.width,
    open_share,
    brim: max(brim, THINNEST_FILM),
    deepest,
    pace: 2.0 * Math.sqrt(deepest) / closing_speed,
  };
}

/** Hertz with Hunt & Crossley's loss: ``N = K x^1.5 (1 + c ẋ)`` [N]. */
export function normal_force(state, contact) {
  const root = state.root;
  return contact.stiffness * root * root * root * (1.0 + contact.loss * state.approach);
}

/** ``N/(π a²)`` with the patch's radius a = √(R x) [Pa]. */
export function mean_pressure(state, contact) {
  const pressed = contact.stiffness * state.root * (1.0 + contact.loss * state.approach);
  return pressed / (Math.PI * contact.ball.radius);
}

/** Drainage length squared L² [m²] of a round patch of given radius [m] on lands and grooves */
export function drainage_length_squared(radius, land, groove, open_share) {
  const disc = 1.5 * radius * radius;
  const lands = land * land * land / (land + groove);
  const rim = (0.38 + 0.86 * groove / land) / Math.sqrt(disc * lands);
  return 1.0 / (1.0 / disc + open_share * (1.0 / lands + rim));
}

/** How fast a film thins by viscous flow [m/s]: ``ḣ = −p h³/(η L²)``. */
export function squeeze_rate(film, pressure, viscosity, drainage) {
  return -pressure * film * film * film / (viscosity * drainage);
}

/** The fastest that water with inertia can leave over a path L [m/s]: ``ḣ = −(2h/L) √(2p/ρ)``. */
export function bulk_rate(film, pressure, density, path) {
  return -2.0 * film / path * Math.sqrt(2.0 * pressure / density);
}

/** Time in which a film would be gone at its present rate [s]: ``h/|ḣ|`` of viscous flow and of */
export function thinning_time(film, pressure, viscosity, density, drainage) {
  const viscous = film / -squeeze_rate(film, pressure, viscosity, drainage);
  return viscous + film / -bulk_rate(film, pressure, density, Math.sqrt(drainage));
}

/** How fast the logarithm of the film changes with time [1/s]; never positive. */
export function film_rate(state, contact) {
  const film = Math.exp(state.film);
  const pressure = max(mean_pressure(state, contact), 1e-09);
  const radius = Math.sqrt(contact.ball.radius * max(state.root * state.root, 1e-12));
  const path = drainage_length_squared(radius, contact.land, contact.groove, contact.open_share);
  let time = thinning_time(film, pressure, contact.viscosity, contact.density, path);
  if (contact.water > EASY_FILL * contact.brim) {
    const full = ((contact.water - film) / contact.brim - EASY_FILL) / (1.0 - EASY_FILL);
    const rush = -bulk_rate(film, pressure, contact.density, radius) / film;
    const venting = min(max(full, 0.0), 1.0) * film / (rush * contact.brim);
    const edge = 1.5 * radius * radius;
    const past_the_grooves = thinning_time(film, pressure, contact.viscosity, contact.density, edge);
    time = min(time + venting, past_the_grooves);
  }
  return -1.0 / time;
}

/** Share of the load carried by solid contact, from 1 (no film) to 0: ``exp(−c λ)``, λ = h/σ. */
export function solid_share(film, roughness, decay) {
  return Math.exp(-min(decay * film / roughness, 300.0));
}

/** The most that friction can be, against the normal force. */
export function friction_coefficient(state, sliding_speed, contact) {
  const solid = contact.solid_factor * dry_friction(sliding_speed, contact.ball);
  if (!contact.wet) {
    return contact.clear * solid + contact.dirt_friction;
  }
  const film = Math.exp(state.film);
  const share = solid_share(film, contact.roughness, contact.load_decay);
  const pressure = max(mean_pressure(state, contact), 1e-09);
  const shear = min(contact.viscosity * sliding_speed / (film * pressure), contact.film_friction);
  return contact.clear * (share * solid + (1.0 - share) * shear) + contact.dirt_friction;
}

/** The most that friction can be [N]. */
export function friction_limit(state, phase, contact) {
  const sliding_speed = phase.slip_sign * state.slip;
  return friction_coefficient(state, sliding_speed, contact) * normal_force(state, contact);
}

/** How fast the tangential spring would load [N per unit of the clock]. */
export function spring_rate(state, phase, contact) {
  let factor = 1.0;
  if (phase.turned) {
    factor = contact.reversal;
  }
  if (phase.force_sign * phase.slip_sign < 0.0) {
    factor = contact.unloading;
  }
  const elastic = 1.5 * contact.stiffness * state.root * state.root;
  return factor * contact.spring * elastic * state.slip;
}

/** The equations of motion, per unit of the clock u: ``dt = √x du``. */
export function rates(state, phase, contact) {
  let force = state.friction;
  let loading = 0.0;
  if (phase.slides) {
    force = phase.force_sign * friction_limit(state, phase, contact);
  } else {
    loading = spring_rate(state, phase, contact);
  }
  const normal = normal_force(state, contact);
  let thinning = 0.0;
  if (contact.wet) {
    thinning = film_rate(state, contact);
  }
  const seconds = state.root;
  return {
    time: seconds,
    root: 0.5 * state.approach,
    approach: -normal / contact.mass * seconds,
    slip: -(contact.mobility * force + contact.turning * normal) * seconds,
    friction: loading,
    film: thinning * seconds,
  };
}

/** The state after a straight step. */
export function moved(state, change, size) {
  return {
    time: state.time + size * change.time,
    root: state.root + size * change.root,
    approach: state.approach + size * change.approach,
    slip: state.slip + size * change.slip,
    friction: state.friction + size * change.friction,
    film: state.film + size * change.film,
  };
}

/** One step of the classical Runge–Kutta rule; `first` are the rates at its start. */
export function step(state, first, phase, contact, size) {
  const second = rates(moved(state, first, 0.5 * size), phase, contact);
  const third = rates(moved(state, second, 0.5 * size), phase, contact);
  const last = rates(moved(state, third, size), phase, contact);
  const mean = {
    time: (first.time + 2.0 * (second.time + third.time) + last.time) / 6.0,
    root: (first.root + 2.0 * (second.root + third.root) + last.root) / 6.0,
    approach: (first.approach + 2.0 * (second.approach + third.approach) + last.approach) / 6.0,
    slip: (first.slip + 2.0 * (second.slip + third.slip) + last.slip) / 6.0,
    friction: (first.friction + 2.0 * (second.friction + third.friction) + last.friction) / 6.0,
    film: (first.film + 2.0 * (second.film + third.film) + last.film) / 6.0,
  };
  return moved(state, mean, size);
}

/** Size of the next step: an even share of the contact, and for water shorter ones. */
export function step_size(state, change, contact) {
  let even = contact.pace * 2.0 / STEPS;
  if (!contact.wet) {
    return even;
  }
  if (state.approach > 0.0) {
    even = even * min(0.1 + state.root / (0.4 * Math.sqrt(contact.deepest)), 1.0);
  }
  return even / (1.0 + even * Math.abs(change.film) / FILM_STEP);
}

/** How much faster the spring would load than the limit grows, per unit of the clock [N]. */
export function spare_grip(state, change, phase, contact) {
  const share = max(state.root / Math.sqrt(contact.deepest), 1e-06);
  const size = 0.0001 * contact.pace * min(share, 1.0);
  const ahead = friction_limit(moved(state, change, size), phase, contact);
  const behind = friction_limit(moved(state, change, -size), phase, contact);
  const spring = phase.force_sign * spring_rate(state, phase, contact);
  return spring - (ahead - behind) / (2.0 * size);
}

/** How far a state is from each event that ends its phase; each falls through zero there. */
export function measures(state, change, phase, contact) {
  const deepest = Math.sqrt(contact.deepest);
  const pressed = max(state.root * state.root, 1e-18 * contact.deepest);
  const force = contact.stiffness * pressed * deepest;
  let hold = NEVER;
  let grip = NEVER;
  let turn = NEVER;
  let slip = NEVER;
  if (!phase.final) {
    slip = phase.slip_sign * state.slip / contact.closing_speed + FLOAT_NOISE;
    if (phase.slides) {
      hold = spare_grip(state, change, phase, contact) * contact.pace / force + FLOAT_NOISE;
    } else {
      const signed = phase.force_sign * state.friction;
      grip = (friction_limit(state, phase, contact) - signed) / force + FLOAT_NOISE;
      turn = signed / force + FLOAT_NOISE;
    }
  }
  return { depart: state.root / deepest, hold, grip, slip, turn };
}

/** The smallest of the measures. */
export function nearest(left) {
  return min(min(min(min(left.depart, left.hold), left.grip), left.slip), left.turn);
}

/** Size of the step that ends just beyond the first event within a step of `size`. */
export function size_to_event(state, change, phase, contact, size, left_at_end) {
  let bracket = bracket_between(0.0, size, -left_at_end, left_at_end);
  let beyond = left_at_end;
  for (let _ = 0; _ < ROOT_ROUNDS; _ += 1) {
    if (bracket.high - bracket.low <= ROOT_PRECISION * size || beyond > -ROOT_PRECISION) {
      break;
    }
    const middle = secant(bracket);
    const trial = step(state, change, phase, contact, middle);
    const left = nearest(measures(trial, rates(trial, phase, contact), phase, contact));
    bracket = narrowed(bracket, middle, left);
    if (left <= 0.0) {
      beyond = left;
    }
  }
  return bracket.high;
}

/** The state with the quantity that made the event put exactly where it belongs. */
export function at_event(state, phase, left, contact) {
  const first = nearest(left);
  let slip = state.slip;
  let friction = state.friction;
  if (left.slip <= first) {
    slip = 0.0;
  }
  if (phase.slides || left.grip <= first) {
    friction = phase.force_sign * friction_limit(state, phase, contact);
  } else if (left.turn <= first) {
    friction = 0.0;
  }
  return {
    time: state.time,
    root: state.root,
    approach: state.approach,
    slip,
    friction,
    film: state.film,
  };
}

/** The phase that follows an event. */
export function phase_after(phase, left, final) {
  const first = nearest(left);
  let slides = phase.slides;
  if (left.hold <= first) {
    slides = false;
  }
  if (left.grip <= first || final) {
    slides = true;
  }
  let slip_sign = phase.slip_sign;
  if (left.slip <= first) {
    slip_sign = -slip_sign;
  }
  let force_sign = phase.force_sign;
  let turned = phase.turned;
  if (left.turn <= first) {
    force_sign = -force_sign;
    turned = true;
  }
  return { slides, force_sign, slip_sign, turned, final };
}

/** The state when the ball meets the face. */
export function first_touch(contact) {
  return {
    time: 0.0,
    root: 0.0,
    approach: contact.closing_speed,
    slip: contact.sliding_speed,
    friction: 0.0,
    film: Math.log(contact.water),
  };
}

/** Holding if the spring asks for less than friction can do when the ball meets the face. */
export function first_phase(state, contact) {
  let later = state.slip;
  if (later === 0.0) {
    later = -contact.turning;
  }
  let sign = 1.0;
  if (later < 0.0) {
    sign = -1.0;
  }
  const damped = 1.0 + contact.loss * contact.closing_speed;
  const asked = contact.spring * Math.abs(state.slip) / (contact.closing_speed * damped);
  const slides = asked >= friction_coefficient(state, Math.abs(state.slip), contact) && state.slip !== 0.0;
  return {
    slides,
    force_sign: sign,
    slip_sign: sign,
    turned: false,
    final: false,
  };
}

/** The impulses so far, from what is left of approach and slip. */
export function impulses_at(state, contact) {
  const across = contact.mass * (contact.closing_speed - state.approach);
  const lost = contact.sliding_speed - state.slip;
  return { across, down: (lost - contact.turning * across) / contact.mobility };
}

/** Backspin [rad/s] that the impulses so far have made. */
export function spin_at(state, contact) {
  const given = impulses_at(state, contact);
  const ball = contact.ball;
  const by_friction = given.down / (ball.inertia_factor * ball.mass);
  return (by_friction + contact.turning * given.across) / ball.radius;
}

/** The state at departure, with the impulse across the face that the restitution gives. */
export function departed(state, contact) {
  const approach = -contact.restitution * contact.closing_speed;
  const counted = contact.closing_speed - state.approach;
  const given = contact.closing_speed - approach;
  const off_centre = contact.turning * contact.mass;
  const along = (contact.sliding_speed - state.slip - off_centre * counted) * given / counted;
  return {
    time: state.time,
    root: 0.0,
    approach,
    slip: contact.sliding_speed - along - off_centre * given,
    friction: 0.0,
    film: state.film,
  };
}

/** The state at a time within a step: the end of a shorter one, by Newton's rule. */
export function within_step(before, first, after, phase, contact, size, time) {
  if (time <= before.time) {
    return before;
  }
  if (time >= after.time) {
    return after;
  }
  let part = 0.0;
  if (after.root > before.root) {
    part = size;
  }
  for (let _ = 0; _ < WITHIN_ROUNDS; _ += 1) {
    const here = step(before, first, phase, contact, part);
    part = part + (time - here.time) / max(here.root, 1e-09);
    part = min(max(part, 0.0), size);
  }
  return step(before, first, phase, contact, part);
}

/** Fill the rows of a history whose times lie within a step of `size`. */
export function write_history(before, first, after, phase, contact, size, duration, history) {
  const rows = history.time.length;
  for (let row = 0; row < rows; row += 1) {
    const time = duration * (row / (rows - 1.0));
    if (before.time <= time && time <= after.time) {
      const now = within_step(before, first, after, phase, contact, size, time);
      let friction = now.friction;
      if (phase.slides) {
        friction = phase.force_sign * friction_limit(now, phase, contact);
      }
      let film = 0.0;
      let solid = 1.0;
      if (contact.wet) {
        film = Math.exp(now.film);
        solid = solid_share(film, contact.roughness, contact.load_decay);
      }
      history.time[row] = time;
      history.compression[row] = now.root * now.root;
      history.normal_force[row] = max(normal_force(now, contact), 0.0);
      history.friction_force[row] = friction;
      history.slip[row] = now.slip;
      history.film[row] = film;
      history.friction_limit[row] = friction_coefficient(now, Math.abs(now.slip), contact);
      history.solid_share[row] = solid;
      history.spin_rate[row] = spin_at(now, contact);
    }
  }
}

/** From first touch to departure. */
export function follow_contact(contact, duration, history) {
  let state = first_touch(contact);
  let phase = first_phase(state, contact);
  let held = 0.0;
  let events = 0.0;
  let change = rates(state, phase, contact);
  for (let _ = 0; _ < MOST_STEPS; _ += 1) {
    let size = step_size(state, change, contact);
    let after = step(state, change, phase, contact, size);
    let then = rates(after, phase, contact);
    let left = measures(after, then, phase, contact);
    const event = nearest(left) < 0.0;
    if (event) {
      size = size_to_event(state, change, phase, contact, size, nearest(left));
      after = step(state, change, phase, contact, size);
      left = measures(after, rates(after, phase, contact), phase, contact);
      if (left.depart <= nearest(left)) {
        after = departed(after, contact);
      }
    }
    if (duration >= 0.0) {
      write_history(state, change, after, phase, contact, size, duration, history);
    }
    if (!phase.slides) {
      held = held + state.approach - after.approach;
    }
    if (event) {
      if (left.depart <= nearest(left)) {
        state = after;
        break;
      }
      events = events + 1.0;
      state = at_event(after, phase, left, contact);
      phase = phase_after(phase, left, events >= MOST_EVENTS);
      then = rates(state, phase, contact);
    } else {
      state = after;
    }
    change = then;
  }
  return { state, held, events };
}

/** The largest normal force of the contact [N]. */
export function peak_force(contact) {
  const d = contact.loss * contact.closing_speed;
  let q = 0.0;
  for (let _ = 0; _ < 12; _ += 1) {
    const miss = d - 1.6 * q - Math.log((1.0 + d) / (1.0 + q));
    q = q + miss / (1.6 - 1.0 / (1.0 + q));
  }
  const compression = 1.5 * contact.mass * q / (contact.loss * contact.loss * contact.stiffness);
  return contact.stiffness * compression ** 0.6 * (1.0 + q);
}

/** How far the face has turned up when it pushes, weighted by the force [rad]: ``J b T/(9 I)``. */
export function face_turning(across, duration, arriving, face) {
  return across * arriving.strike_height * duration / (9.0 * face.head_inertia);
}

/** What the ball and the head do after the contact. */
export function impact_of(arriving, face, contact, left) {
  const ball = contact.ball;
  const end = left.state;
  const given = impulses_at(end, contact);
  const across = given.across;
  const down = given.down;
  let restored = 0.0;
  if (contact.sliding_speed > 1e-09 * contact.closing_speed) {
    restored = -end.slip / contact.sliding_speed;
  }
  return {
    ball_speed: Math.hypot(across, down) / ball.mass,
    launch_angle: arriving.dynamic_loft - Math.atan2(down, across) + face_turning(across, end.time, arriving, face),
    spin_rate: spin_at(end, contact),
    time: end.time,
    peak_force: peak_force(contact),
    compression: contact.deepest,
    contact_radius: Math.sqrt(ball.radius * contact.deepest),
    film_left: contact.wet ? Math.exp(end.film) : 0.0,
    effective_friction: down / across,
    grip_share: left.held / (contact.closing_speed - end.approach),
    tangential_restitution: restored,
    normal_restitution: contact.restitution,
    head_speed_after: Math.hypot(contact.closing_speed - across / face.head_mass, contact.sliding_speed - down / face.head_mass),
  };
}

/** One strike: how the ball leaves, from how the club arrives. */
export function strike(arriving, face, ball, between, assume, history) {
  const contact = contact_of(arriving, face, ball, between, assume);
  const left = follow_contact(contact, -1.0, history);
  if (history.time.length > 0) {
    follow_contact(contact, left.state.time, history);
  }
  return impact_of(arriving, face, contact, left);
}

/** Film after some time at constant pressure [m]: ``1/h² = 1/h₀² + 2pt/(η L²)``. */
export function film_after_squeeze(seconds, pressure, viscosity, drainage, start) {
  return 1.0 / Math.sqrt(1.0 / start ** 2 + 2.0 * pressure * seconds / (viscosity * drainage));
}

/** Share of the load on asperities between elastic rough planes: F₅⸝₂(λ)/F₅⸝₂(0). */
export function solid_share_greenwood_tripp_1971(film, roughness) {
  const ratio = film / roughness;
  return Math.exp(-ratio * (1.8 + 0.25 * ratio));
}

/** ``C_D = 0.24 + 0.18 S + 0.06 sin[π (Re − 9e4)/2e5]``, Re kept within 7e4 … 2.1e5. */
export function drag_smits_smith_1994(spin, reynolds, law) {
  const within = min(max(reynolds, LEAST_REYNOLDS), MOST_REYNOLDS);
  const wave = Math.sin(Math.PI / 200000.0 * (within - 90000.0));
  return law.drag + law.drag_per_spin * spin + law.drag_wave * wave;
}

/** ``C_L = 0.54 S^0.4``, a straight line to zero below S = 0.08. */
export function lift_smits_smith_1994(spin, law) {
  const line = law.lift_power * LEAST_SPIN_PARAMETER ** -0.6 * spin;
  return min(law.lift_power * spin ** 0.4, line);
}

/** ``C_L = c/[1 + (c/0.355)⁶]^(1/6)``: lift stops growing with spin. */
export function saturated(lift) {
  const square = (lift / LIFT_CEILING) ** 2.0;
  return lift * (1.0 + square * square * square) ** (-1.0 / 6.0);
}

/** How far the flow is below the drag crisis: 0 well above it, 1 well below. */
export function drag_crisis_share(spin, reynolds) {
  const above = (reynolds * (1.0 + 0.5 * spin) - CRISIS_REYNOLDS) / CRISIS_WIDTH;
  return 1.0 / (1.0 + Math.exp(min(above, 300.0)));
}

/** Smooth from 0 at `low` to 1 at `high`. */
export function ramp(value, low, high) {
  const t = min(max((value - low) / (high - low), 0.0), 1.0);
  return t * t * (3.0 - 2.0 * t);
}

/** Where some balls' lift turns negative, C_L near −0.125: a window in spin and Reynolds number. */
export function reverse_lift_share(spin, reynolds) {
  const slow = ramp(spin, 0.02, 0.08) * (1.0 - ramp(spin, 0.17, 0.23));
  return slow * ramp(reynolds, 45000.0, 52000.0) * (1.0 - ramp(reynolds, 68000.0, 75000.0));
}

/** C_D and C_L at a spin parameter S = R ω/U (not negative) and a Reynolds number U D/ν. */
export function coefficients(spin, reynolds, law) {
  const crisis = drag_crisis_share(spin, reynolds);
  let drag = drag_smits_smith_1994(spin, reynolds, law);
  drag = drag + law.crisis_drag * crisis * max(1.0 - spin, 0.0);
  let lift = law.lift;
  if (law.lift_power > 0.0) {
    lift = lift + saturated(lift_smits_smith_1994(spin, law));
  }
  if (law.lift_growth > 0.0) {
    lift = lift + law.lift_growth * (1.0 - Math.exp(-law.lift_rate * spin));
  }
  lift = lift * (1.0 - law.crisis_lift * crisis);
  if (law.reverse_lift > 0.0) {
    const share = law.reverse_lift * reverse_lift_share(spin, reynolds);
    lift = lift * (1.0 - share) - 0.125 * share;
  }
  return { drag: law.drag_scale * drag, lift: law.lift_scale * lift };
}

/** Gather the constants of one flight. */
export function flight_of(launch, air, ball, law) {
  const density = air_density(air.temperature, air.pressure, air.humidity);
  const rise = Math.sin(launch.launch_angle);
  const level = Math.cos(launch.launch_angle);
  const ahead = Math.cos(launch.direction);
  const right = Math.sin(launch.direction);
  const flat = Math.cos(launch.spin_tilt);
  const lean = Math.sin(launch.spin_tilt);
  let turning = 0.0;
  if (launch.spin_rate > 0.0) {
    turning = 1.0;
  }
  if (launch.spin_rate < 0.0) {
    turning = -1.0;
  }
  return {
    pull: density * Math.PI * ball.radius * ball.radius / (2.0 * ball.mass),
    per_reynolds: 2.0 * ball.radius * density / air_viscosity(air.temperature),
    radius: ball.radius,
    turning,
    axis_x: flat * right - lean * rise * ahead,
    axis_y: -flat * ahead - lean * rise * right,
    axis_z: lean * level,
    wind: air.wind,
    crosswind: air.crosswind,
    law,
  };
}

/** The state at the launch. */
export function launched(launch) {
  const level = launch.ball_speed * Math.cos(launch.launch_angle);
  return {
    x: 0.0,
    y: 0.0,
    z: 0.0,
    vx: level * Math.cos(launch.direction),
    vy: level * Math.sin(launch.direction),
    vz: launch.ball_speed * Math.sin(launch.launch_angle),
    spin: Math.abs(launch.spin_rate),
  };
}

/** Rates of the state: ``dv/dt = −k C_D U u + k C_L U (n × u) − g``, ``dω/dt = −c U ω/R``. */
export function motion(state, flight) {
  let ux = state.vx;
  let uy = state.vy;
  const uz = state.vz;
  if (flight.wind !== 0.0 || flight.crosswind !== 0.0) {
    const profile = wind_profile(state.z);
    ux = ux - flight.wind * profile;
    uy = uy - flight.crosswind * profile;
  }
  const speed = Math.sqrt(ux * ux + uy * uy + uz * uz + STILL);
  const spin = flight.radius * Math.abs(state.spin) / speed;
  const air = coefficients(spin, flight.per_reynolds * speed, flight.law);
  const drag = flight.pull * speed * air.drag;
  const lift = flight.pull * speed * air.lift * flight.turning;
  return {
    x: state.vx,
    y: state.vy,
    z: state.vz,
    vx: -drag * ux + lift * (flight.axis_y * uz - flight.axis_z * uy),
    vy: -drag * uy + lift * (flight.axis_z * ux - flight.axis_x * uz),
    vz: -drag * uz + lift * (flight.axis_x * uy - flight.axis_y * ux) - GRAVITY,
    spin: -SPIN_DECAY / flight.radius * speed * state.spin,
  };
}

/** The state after a straight step. */
export function flown(state, change, seconds) {
  return {
    x: state.x + seconds * change.x,
    y: state.y + seconds * change.y,
    z: state.z + seconds * change.z,
    vx: state.vx + seconds * change.vx,
    vy: state.vy + seconds * change.vy,
    vz: state.vz + seconds * change.vz,
    spin: state.spin + seconds * change.spin,
  };
}

/** One step of the classical Runge–Kutta rule. */
export function flight_step(state, flight, seconds) {
  const first = motion(state, flight);
  const second = motion(flown(state, first, 0.5 * seconds), flight);
  const third = motion(flown(state, second, 0.5 * seconds), flight);
  const last = motion(flown(state, third, seconds), flight);
  const mean = {
    x: (first.x + 2.0 * (second.x + third.x) + last.x) / 6.0,
    y: (first.y + 2.0 * (second.y + third.y) + last.y) / 6.0,
    z: (first.z + 2.0 * (second.z + third.z) + last.z) / 6.0,
    vx: (first.vx + 2.0 * (second.vx + third.vx) + last.vx) / 6.0,
    vy: (first.vy + 2.0 * (second.vy + third.vy) + last.vy) / 6.0,
    vz: (first.vz + 2.0 * (second.vz + third.vz) + last.vz) / 6.0,
    spin: (first.spin + 2.0 * (second.spin + third.spin) + last.spin) / 6.0,
  };
  return flown(state, mean, seconds);
}

/** What falls through zero: the speed upward at the top, the height at the landing. */
export function falling(state, climbs) {
  return climbs ? state.vz : state.z;
}

/** Seconds from a state until the top or the landing, which lies within a step. */
export function seconds_until(state, after, flight, seconds, climbs) {
  let bracket = bracket_between(0.0, seconds, falling(state, climbs), falling(after, climbs));
  for (let _ = 0; _ < ROOT_ROUNDS; _ += 1) {
    const near = bracket.high - bracket.low <= LANDING_PRECISION * seconds;
    if (near || bracket.at_high === 0.0) {
      break;
    }
    const middle = secant(bracket);
    bracket = narrowed(bracket, middle, falling(flight_step(state, flight, middle), climbs));
  }
  return bracket.high;
}

/** The state at a landing, put exactly on the ground. */
export function grounded(state) {
  return {
    x: state.x,
    y: state.y,
    z: 0.0,
    vx: state.vx,
    vy: state.vy,
    vz: state.vz,
    spin: state.spin,
  };
}

/** The cubic with given values and slopes (per step) at both ends, at a share of the step. */
export function cubic(share, start, end, start_slope, end_slope) {
  const away = share * share * (3.0 - 2.0 * share);
  const leaving = share * (1.0 - share) * (1.0 - share);
  const arriving = share * share * (share - 1.0);
  return start + away * (end - start) + leaving * start_slope + arriving * end_slope;
}

/** Fill the points of a drawn flight whose times lie within a step. */
export function draw_flight(before, after, start, seconds, duration, drawing) {
  const points = drawing.time.length;
  for (let i = 0; i < points; i += 1) {
    const time = duration * (i / (points - 1.0));
    let share = (time - start) / max(seconds, 1e-300);
    if (-1e-09 <= share && share <= 1.0 + 1e-09) {
      if (share > 1.0 - 1e-09) {
        share = 1.0;
      }
      drawing.time[i] = time;
      drawing.x[i] = cubic(share, before.x, after.x, before.vx * seconds, after.vx * seconds);
      drawing.y[i] = cubic(share, before.y, after.y, before.vy * seconds, after.vy * seconds);
      const height = cubic(share, before.z, after.z, before.vz * seconds, after.vz * seconds);
      drawing.z[i] = max(height, 0.0);
    }
  }
}

/** From launch to landing; fills `drawing` if the flight's `duration` [s] is not negative. */
export function follow_flight(launch, flight, duration, drawing) {
  let state = launched(launch);
  let time = 0.0;
  let apex = 0.0;
  let seconds = STEP;
  const rises = state.vz > 0.0 || state.vz === 0.0 && motion(state, flight).vz > 0.0;
  while (rises && time < LONGEST_FLIGHT) {
    let after = flight_step(state, flight, seconds);
    if (after.z <= 0.0 && time === 0.0 && seconds > SHORTEST_STEP) {
      seconds = 0.5 * seconds;
      continue;
    }
    const lands = after.z <= 0.0;
    if (state.vz > 0.0 && 0.0 >= after.vz) {
      const top = flight_step(state, flight, seconds_until(state, after, flight, seconds, true));
      apex = max(apex, top.z);
    }
    if (lands) {
      if (time === 0.0) {
        break;
      }
      seconds = seconds_until(state, after, flight, seconds, false);
      after = grounded(flight_step(state, flight, seconds));
    }
    if (duration >= 0.0) {
      draw_flight(state, after, time, seconds, duration, drawing);
    }
    time = time + seconds;
    state = after;
    if (lands) {
      break;
    }
  }
  return { state, time, apex };
}

/** Where and how the ball comes down. */
export function landing_of(flight, down) {
  const end = down.state;
  const along = Math.hypot(end.vx, end.vy);
  const heading = Math.atan2(end.vy, end.vx);
  const ahead = Math.cos(heading);
  const right = Math.sin(heading);
  const spin = flight.turning * end.spin;
  return {
    carry: end.x,
    side: end.y,
    apex: down.apex,
    flight_time: down.time,
    descent_angle: Math.atan2(-end.vz, along),
    landing_speed: Math.hypot(along, end.vz),
    landing_spin: spin,
    landing_direction: heading,
    spin_tilt: Math.atan2(flight.axis_z, flight.axis_x * right - flight.axis_y * ahead),
    landing_side_spin: spin * (flight.axis_x * ahead + flight.axis_y * right),
  };
}

/** One flight from level ground to level ground. */
export function fly(launch, air, ball, law, drawing) {
  const flight = flight_of(launch, air, ball, law);
  const down = follow_flight(launch, flight, -1.0, drawing);
  if (drawing.time.length > 0) {
    follow_flight(launch, flight, down.time, drawing);
  }
  return landing_of(flight, down);
}

/** ρ_g = 0.784/S, S the ramp reading in feet; `green_speed` in [m]. */
export function rolling_resistance(green_speed) {
  return 0.784 * ft / green_speed;
}

/** θ_r, the lean of the ground [rad] that just holds a ball at rest: ``atan(ρ_g)``; our */
export function resting_tilt_of(green_speed) {
  return Math.atan(rolling_resistance(green_speed));
}

/** ``e = 0.510 − 0.0375 v + 0.000903 v²``, 0.120 above 20 m/s. */
export function restitution_penner_2002(normal_speed) {
  const v = min(normal_speed, 0.0375 / (2.0 * 0.000903));
  return 0.51 + v * (-0.0375 + 0.000903 * v);
}

/** Angle [rad] by which the ball's own crater leans the ground towards it. */
export function ground_tilt(along, down, tilt, resting_tilt) {
  const speed = Math.hypot(along, down);
  const sine = along / (speed + TINY);
  const grazing_cosine = Math.cos(GRAZING_ANGLE);
  const grazing = min((1.0 - sine * sine) / (grazing_cosine * grazing_cosine), 1.0);
  let lean = resting_tilt + tilt * (REFERENCE_TILT - resting_tilt) * speed / REFERENCE_SPEED;
  lean = max(lean, 0.0) * Math.asin(sine) / REFERENCE_ANGLE * grazing;
  return min(max(lean, -STEEPEST_TILT), STEEPEST_TILT);
}

/** Impulse per mass against the slip [m/s]: ``min[(2/7)(1 + e_t)|s|, limit]``. */
export function tangential_impulse(slip, limit, grip_restitution) {
  return min(2.0 / 7.0 * (1.0 + grip_restitution) * slip, limit);
}

/** Gather what stays the same during one landing. */
export function turf_of(green, radius, resting_tilt) {
  return {
    green,
    radius,
    resting_tilt,
    pull: -GRAVITY * Math.sin(green.slope),
    press: GRAVITY * Math.cos(green.slope),
  };
}

/** The ball after one bounce; `up` is negative before it. */
export function bounce(ball, turf) {
  const down = max(-ball.up, 0.0);
  const theta = ground_tilt(ball.along, down, turf.green.tilt, turf.resting_tilt);
  const sine = Math.sin(theta);
  const cosine = Math.cos(theta);
  let tangential = ball.along * cosine - down * sine;
  let normal = max(down * cosine + ball.along * sine, 0.0);
  const e = min(restitution_penner_2002(normal) * turf.green.restitution, MOST_BOUNCE);
  const slip_along = tangential + turf.radius * ball.spin;
  const slip_across = ball.across + turf.radius * ball.side_spin;
  const slip = Math.hypot(slip_along, slip_across);
  const limit = turf.green.friction * (1.0 + e) * normal;
  const share = tangential_impulse(slip, limit, turf.green.grip_restitution) / (slip + TINY);
  const given_along = share * slip_along;
  const given_across = share * slip_across;
  tangential = tangential - given_along;
  normal = e * normal;
  return {
    along: tangential * cosine - normal * sine,
    across: ball.across - given_across,
    up: tangential * sine + normal * cosine,
    spin: ball.spin - 2.5 / turf.radius * given_along,
    side_spin: ball.side_spin - 2.5 / turf.radius * given_across,
  };
}

/** Speed when the slide ends: ``(5 v − 2 R ω + 5 Δv)/7``, Δv what the slope gave meanwhile. */
export function rolling_speed(speed, spin, radius, pulled) {
  return (5.0 * speed - 2.0 * radius * spin + 5.0 * pulled) / 7.0;
}

/** Sliding until it rolls; from no spin a level slide ends after ``12 v²/(49 μ g)``. */
export function slide(ball, turf) {
  const radius = turf.radius;
  const slip_along = ball.along + radius * ball.spin;
  const slip_across = ball.across + radius * ball.side_spin;
  const slip = Math.hypot(slip_along, slip_across);
  const grip = max(turf.green.friction, LEAST_SLIDING_FRICTION) * turf.press;
  const ending = max(3.5 * grip - turf.pull * slip_along / (slip + TINY), grip);
  const time = slip / ending;
  const end = rolling_speed(ball.along, ball.spin, radius, turf.pull * time);
  const end_across = rolling_speed(ball.across, ball.side_spin, radius, 0.0);
  const x = 0.5 * (ball.along + end) * time;
  let furthest = x;
  if (ball.along * end < 0.0) {
    furthest = max(x, 0.5 * ball.along * ball.along * time / (ball.along - end));
  }
  return { time, x, y: 0.5 * (ball.across + end_across) * time, furthest };
}

/** How a roll slows on its way [m/s²]; negative where the slope speeds it up. */
export function roll_slowing(along, across, turf) {
  const hold = 5.0 / 7.0 * rolling_resistance(turf.green.speed) * turf.press;
  return hold - 5.0 / 7.0 * turf.pull * along / (Math.hypot(along, across) + TINY);
}

/** How a ball at rest gathers speed along the ground [m/s²]; 0 where the green holds it. */
export function rolling_back(turf) {
  const hold = 5.0 / 7.0 * rolling_resistance(turf.green.speed) * turf.press;
  const pull = 5.0 / 7.0 * turf.pull;
  const excess = max(Math.abs(pull) - hold, 0.0);
  return pull < 0.0 ? -excess : excess;
}

/** Does a rolling ball come to rest, on this slope and within `LONGEST_ROLL`? */
export function roll_stops(along, across, turf) {
  const speed = Math.hypot(along, across);
  const slowing = roll_slowing(along, across, turf);
  const within = speed * speed <= 2.0 * max(slowing, 1e-100) * LONGEST_ROLL;
  return within && rolling_back(turf) === 0.0;
}

/** Rolling to a stop: ``a = (5/7) g (ρ_g cos β ± sin β)``. */
export function roll(along, across, turf) {
  const speed = Math.hypot(along, across);
  const ahead = along / (speed + TINY);
  const slowing = roll_slowing(along, across, turf);
  let distance = speed * speed / (2.0 * max(slowing, 1e-100));
  const reaches_rest = distance <= LONGEST_ROLL;
  distance = min(distance, LONGEST_ROLL);
  const end = Math.sqrt(max(speed * speed - 2.0 * slowing * distance, 0.0));
  let time = 2.0 * distance / (speed + end + TINY);
  const furthest = distance * ahead;
  let x = furthest;
  const back = rolling_back(turf);
  if (back !== 0.0 && reaches_rest) {
    x = x + (back > 0.0 ? LONGEST_ROLL : -LONGEST_ROLL);
    time = time + Math.sqrt(2.0 * LONGEST_ROLL / Math.abs(back));
  }
  return {
    time,
    x,
    y: distance * across / (speed + TINY),
    furthest: max(furthest, x),
  };
}

/** Write the points of one hop. */
export function trace_hop(trace, first, points, start, ball, turf) {
  const seconds = 2.0 * max(ball.up, 0.0) / turf.press;
  for (let i = 0; i < points; i += 1) {
    if (first + i < trace.time.length) {
      const t = seconds * i / (points - 1.0);
      trace.time[first + i] = start.time + t;
      trace.x[first + i] = start.x + (ball.along + 0.5 * turf.pull * t) * t;
      trace.z[first + i] = (ball.up - 0.5 * turf.press * t) * t;
    }
  }
}

/** Write the points of a slide with steady slowing from `speed` to `end`. */
export function trace_slide(trace, first, points, start, run, speed, end) {
  for (let i = 0; i < points; i += 1) {
    if (first + i < trace.time.length) {
      const share = i / (points - 1.0);
      const t = share * run.time;
      trace.time[first + i] = start.time + t;
      trace.x[first + i] = start.x + t * (speed + 0.5 * share * (end - speed));
      trace.z[first + i] = 0.0;
    }
  }
}

/** Write the points of a roll to a stop, and of the way back down where the green is too steep. */
export function trace_roll(trace, first, points, start, run, along, across, turf) {
  const speed = Math.hypot(along, across);
  const slowing = roll_slowing(along, across, turf);
  const stop = slowing > 0.0 ? speed / slowing : run.time;
  const back = rolling_back(turf);
  for (let i = 0; i < points; i += 1) {
    if (first + i < trace.time.length) {
      const t = run.time * (i / (points - 1.0));
      const before = min(t, stop);
      const after = t - before;
      const way = (speed - 0.5 * slowing * before) * before * along / (speed + TINY);
      trace.time[first + i] = start.time + t;
      trace.x[first + i] = start.x + way + 0.5 * back * after * after;
      trace.z[first + i] = 0.0;
    }
  }
}

/** How the ball comes to the ground, in the ground's own frame. */
export function touchdown(arrival, turf) {
  const ahead = arrival.speed * Math.cos(arrival.angle);
  const falling = arrival.speed * Math.sin(arrival.angle);
  const cosine = Math.cos(turf.green.slope);
  const sine = Math.sin(turf.green.slope);
  return {
    along: ahead * cosine - falling * sine,
    across: 0.0,
    up: -max(falling * cosine + ahead * sine, 0.0),
    spin: arrival.backspin,
    side_spin: arrival.side_spin,
  };
}

/** From the pitch mark to rest. */
export function land(arrival, green, radius, resting_tilt, trace, points) {
  const turf = turf_of(green, radius, resting_tilt);
  let ball = touchdown(arrival, turf);
  let here = { time: 0.0, x: 0.0, y: 0.0, furthest: 0.0 };
  let first_bounce = 0.0;
  let first_spin = 0.0;
  let bounces = 0.0;
  let drawn = 0;
  for (let i = 0; i < MOST_BOUNCES; i += 1) {
    ball = bounce(ball, turf);
    let up = ball.up;
    if (up < LAST_REBOUND) {
      up = 0.0;
    }
    if (up >= VISIBLE_REBOUND) {
      bounces = bounces + 1.0;
      trace_hop(trace, drawn, points, here, ball, turf);
      drawn = drawn + points;
    }
    const seconds = 2.0 * up / turf.press;
    const gained = turf.pull * seconds;
    const x = here.x + (ball.along + 0.5 * gained) * seconds;
    here = {
      time: here.time + seconds,
      x,
      y: here.y + ball.across * seconds,
      furthest: max(here.furthest, x),
    };
    ball = {
      along: ball.along + gained,
      across: ball.across,
      up: -up,
      spin: ball.spin,
      side_spin: ball.side_spin,
    };
    if (i === 0) {
      first_bounce = here.x;
      first_spin = ball.spin;
    }
    if (up <= 0.0) {
      break;
    }
  }
  const sliding = slide(ball, turf);
  const pulled = turf.pull * sliding.time;
  const along = rolling_speed(ball.along, ball.spin, radius, pulled);
  const across = rolling_speed(ball.across, ball.side_spin, radius, 0.0);
  const rolling = roll(along, across, turf);
  const stops = roll_stops(along, across, turf);
  const slid = {
    time: here.time + sliding.time,
    x: here.x + sliding.x,
    y: here.y + sliding.y,
    furthest: 0.0,
  };
  trace_slide(trace, drawn, points, here, sliding, ball.along, along);
  trace_roll(trace, drawn + points, points, slid, rolling, along, across, turf);
  const furthest = max(max(here.furthest, here.x + sliding.furthest), slid.x + rolling.furthest);
  return {
    run_out: slid.x + rolling.x,
    run_side: slid.y + rolling.y,
    first_bounce,
    spin_after_first: first_spin,
    bounces,
    time: slid.time + rolling.time,
    furthest,
    stops: stops ? 1.0 : 0.0,
  };
}

/** The launch of a straight shot. */
export function launch_of(impact) {
  return {
    ball_speed: impact.ball_speed,
    launch_angle: impact.launch_angle,
    spin_rate: impact.spin_rate,
    direction: 0.0,
    spin_tilt: 0.0,
  };
}

/** What the ground meets.  The spin that pulls the ball back is the part square to its line of */
export function arrival_of(landing) {
  const whole = landing.landing_spin;
  const side = landing.landing_side_spin;
  const level = Math.sqrt(max(whole * whole - side * side, 0.0)) * Math.cos(landing.spin_tilt);
  return {
    speed: landing.landing_speed,
    angle: landing.descent_angle,
    backspin: whole >= 0.0 ? level : -level,
    side_spin: side,
  };
}

/** How the ball comes to rest after a flight. */
export function stop_of(landing, shot, trace, points) {
  const tilt = resting_tilt_of(shot.green.speed);
  return land(arrival_of(landing), shot.green, shot.ball.radius, tilt, trace, points);
}

/** The numbers of a shot, worked out as far down the chain as `stage` says; beyond it, zeros. */
export function answers(shot, stage, nothing) {
  const impact = strike(shot.arriving, shot.face, shot.ball, shot.between, shot.assume, nothing.history);
  let landing = {
    carry: 0.0,
    side: 0.0,
    apex: 0.0,
    flight_time: 0.0,
    descent_angle: 0.0,
    landing_speed: 0.0,
    landing_spin: 0.0,
    landing_direction: 0.0,
    spin_tilt: 0.0,
    landing_side_spin: 0.0,
  };
  let stop = {
    run_out: 0.0,
    run_side: 0.0,
    first_bounce: 0.0,
    spin_after_first: 0.0,
    bounces: 0.0,
    time: 0.0,
    furthest: 0.0,
    stops: 0.0,
  };
  if (stage >= FLIGHT_STAGE) {
    landing = fly(launch_of(impact), shot.air, shot.ball, shot.aerodynamics, nothing.drawing);
  }
  if (stage >= GREEN_STAGE) {
    stop = stop_of(landing, shot, nothing.trace, 0);
  }
  return {
    spin_rate: impact.spin_rate,
    launch_angle: impact.launch_angle,
    ball_speed: impact.ball_speed,
    effective_friction: impact.effective_friction,
    grip_share: impact.grip_share,
    carry: landing.carry,
    apex: landing.apex,
    flight_time: landing.flight_time,
    descent_angle: landing.descent_angle,
    landing_speed: landing.landing_speed,
    landing_spin: landing.landing_spin,
    run_out: stop.run_out,
    first_bounce: stop.first_bounce,
    total: landing.carry + stop.run_out,
  };
}

/** The same shot with another head speed and dynamic loft. */
export function delivered(shot, head_speed, dynamic_loft) {
  const arriving = {
    head_speed,
    dynamic_loft,
    attack_angle: shot.arriving.attack_angle,
    normal_offset: shot.arriving.normal_offset,
    strike_height: shot.arriving.strike_height,
  };
  return {
    arriving,
    face: shot.face,
    ball: shot.ball,
    between: shot.between,
    assume: shot.assume,
    air: shot.air,
    aerodynamics: shot.aerodynamics,
    green: shot.green,
  };
}

/** Root of the carry [m^0.5]: carry grows nearly with the square of speed, so this is nearly */
export function root_carry(shot, head_speed, nothing) {
  const now = delivered(shot, head_speed, shot.arriving.dynamic_loft);
  return Math.sqrt(max(answers(now, FLIGHT_STAGE, nothing).carry, 0.0));
}

/** The head speed [m/s] that gives a carry [m], everything else of the shot kept. */
export function head_speed_for_carry(carry, shot, nothing) {
  const wanted = Math.sqrt(carry);
  const low = SLOWEST_HEAD;
  const high = FASTEST_HEAD;
  const short = root_carry(shot, low, nothing) - wanted;
  const over = root_carry(shot, high, nothing) - wanted;
  if (over < 0.0) {
    return OUT_OF_REACH;
  }
  if (short > 0.0) {
    return low;
  }
  let bracket = bracket_between(low, high, short, over);
  let here = high;
  for (let _ = 0; _ < ROOT_ROUNDS; _ += 1) {
    here = secant(bracket);
    const miss = root_carry(shot, here, nothing) - wanted;
    if (Math.abs(miss) * 2.0 * wanted < CLOSE_CARRY) {
      break;
    }
    bracket = narrowed(bracket, here, miss);
  }
  return here;
}

/** Root of the carry [m^0.5] of a launch at another ball speed. */
export function root_carry_of_launch(speed, launch, air, ball, law, drawing) {
  const now = {
    ball_speed: speed,
    launch_angle: launch.launch_angle,
    spin_rate: launch.spin_rate,
    direction: launch.direction,
    spin_tilt: launch.spin_tilt,
  };
  return Math.sqrt(max(fly(now, air, ball, law, drawing).carry, 0.0));
}

/** The smallest ball speed [m/s] that carries a ball of this launch angle and spin so far [m]. */
export function ball_speed_for_carry(carry, launch, air, ball, law, drawing) {
  const wanted = Math.sqrt(carry);
  const without_air = Math.sqrt(carry * GRAVITY / Math.sin(2.0 * launch.launch_angle));
  let low = 0.4 * without_air;
  let short = root_carry_of_launch(low, launch, air, ball, law, drawing) - wanted;
  while (short > 0.0) {
    low = 0.5 * low;
    short = root_carry_of_launch(low, launch, air, ball, law, drawing) - wanted;
  }
  let high = low;
  let over = short;
  while (over < 0.0 && high < FASTEST_BALL) {
    low = high;
    short = over;
    high = min(1.1 * high, FASTEST_BALL);
    over = root_carry_of_launch(high, launch, air, ball, law, drawing) - wanted;
  }
  if (over < 0.0) {
    return OUT_OF_REACH;
  }
  let bracket = bracket_between(low, high, short, over);
  let here = high;
  for (let _ = 0; _ < ROOT_ROUNDS; _ += 1) {
    here = secant(bracket);
    const miss = root_carry_of_launch(here, launch, air, ball, law, drawing) - wanted;
    if (Math.abs(miss) * 2.0 * wanted < CLOSE_CARRY) {
      break;
    }
    bracket = narrowed(bracket, here, miss);
  }
  return here;
}

/** Spin at a dynamic loft [rad/s]: with the same swing, or for the same carry where `carry` > 0. */
export function spin_at_loft(dynamic_loft, shot, carry, nothing) {
  let now = delivered(shot, shot.arriving.head_speed, dynamic_loft);
  if (carry > 0.0) {
    const head_speed = head_speed_for_carry(carry, now, nothing);
    if (head_speed === OUT_OF_REACH) {
      return OUT_OF_REACH;
    }
    now = delivered(shot, head_speed, dynamic_loft);
  }
  return answers(now, CONTACT_STAGE, nothing).spin_rate;
}

/** The dynamic loft with most spin between two lofts [rad]: a grid, then golden sections. */
export function peak_of_spin(low, high, shot, carry, nothing) {
  let spin;
  const step = (high - low) / (PEAK_POINTS - 1.0);
  let best = low;
  let most = -Infinity;
  for (let i = 0; i < PEAK_POINTS; i += 1) {
    const loft = low + step * i;
    spin = spin_at_loft(loft, shot, carry, nothing);
    if (spin > most) {
      most = spin;
      best = loft;
    }
  }
  let left = max(best - step, low);
  let right = min(best + step, high);
  let first = left + GOLDEN * (right - left);
  let second = right - GOLDEN * (right - left);
  let at_first = spin_at_loft(first, shot, carry, nothing);
  let at_second = spin_at_loft(second, shot, carry, nothing);
  for (let _ = 0; _ < PEAK_ROUNDS; _ += 1) {
    if (right - left < 1e-05 * deg) {
      break;
    }
    if (at_first > at_second) {
      right = second;
      second = first;
      at_second = at_first;
      first = left + GOLDEN * (right - left);
      at_first = spin_at_loft(first, shot, carry, nothing);
    } else {
      left = first;
      first = second;
      at_first = at_second;
      second = right - GOLDEN * (right - left);
      at_second = spin_at_loft(second, shot, carry, nothing);
    }
  }
  const middle = 0.5 * (left + right);
  spin = spin_at_loft(middle, shot, carry, nothing);
  if (spin > most) {
    most = spin;
    best = middle;
  }
  const margin = 0.01 * deg;
  const inside = low + margin < best && best < high - margin ? 1.0 : 0.0;
  return { dynamic_loft: best, spin_rate: most, inside };
}

/** A number moved to a share 0 … 1 of its range of doubt; a negative share leaves it as it is. */
export function moved_in_range(own, low, high, how, share) {
  const value = low + (high - low) * share;
  if (share < 0.0) {
    return own;
  }
  if (how === FACTOR) {
    return own * value;
  }
  if (how === SHIFT) {
    return own + value;
  }
  if (low <= own && own <= high) {
    return value;
  }
  return own;
}

/** Fill `varied` with a row whose numbers are moved to shares of their ranges. */
export function vary_row(row, shares, doubts, varied) {
  for (let i = 0; i < row.length; i += 1) {
    const moved = moved_in_range(row[i], doubts.low[i], doubts.high[i], doubts.how[i], shares[i]);
    varied[i] = row[i];
    if (shares[i] >= 0.0) {
      varied[i] = min(max(moved, doubts.lowest[i]), doubts.highest[i]);
    }
  }
}

/** Sort in place, smallest first (insertion; for a few hundred numbers). */
export function sort(values) {
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i];
    let place = i;
    while (place > 0 && values[place - 1] > value) {
      values[place] = values[place - 1];
      place = place - 1;
    }
    values[place] = value;
  }
}

/** The quantile of sorted values, on straight lines between them (Hyndman & Fan's type 7, from */
export function quantile(ordered, share) {
  const place = share * (ordered.length - 1.0);
  let before = 0;
  while (before + 2 < ordered.length && before + 1.0 <= place) {
    before = before + 1;
  }
  return ordered[before] + (place - before) * (ordered[before + 1] - ordered[before]);
}

/** ``|S|!(n−|S|−1)!/n!``: how often, of all orders, exactly this coalition comes first. */
export function coalition_weight(size, players) {
  let weight = 1.0 / players;
  for (let k = 0; k < players; k += 1) {
    if (k < size) {
      weight = weight * (k + 1.0) / (players - k - 1.0);
    }
  }
  return weight;
}

/** Fill `shares` [players] with the Shapley values of a game. */
export function shapley(values, players, sizes, shares) {
  let count = 1;
  sizes[0] = 0.0;
  for (let _ = 0; _ < players; _ += 1) {
    for (let coalition = 0; coalition < count; coalition += 1) {
      sizes[count + coalition] = sizes[coalition] + 1.0;
    }
    count = 2 * count;
  }
  let bit = 1;
  for (let i = 0; i < players; i += 1) {
    shares[i] = 0.0;
    let start = 0;
    while (start < count) {
      for (let k = 0; k < bit; k += 1) {
        const without = start + k;
        const weight = coalition_weight(sizes[without], players);
        shares[i] = shares[i] + weight * (values[without + bit] - values[without]);
      }
      start = start + 2 * bit;
    }
    bit = 2 * bit;
  }
}

/** The delivery that begins at a place of a row. */
export function delivery_at(row, at) {
  return {
    head_speed: row[at],
    dynamic_loft: row[at + 1],
    attack_angle: row[at + 2],
    normal_offset: row[at + 3],
    strike_height: row[at + 4],
  };
}

/** The grooves that begins at a place of a row. */
export function grooves_at(row, at) {
  return {
    width: row[at],
    depth: row[at + 1],
    separation: row[at + 2],
    draft_angle: row[at + 3],
    edge_radius: row[at + 4],
  };
}

/** The face that begins at a place of a row; its grooves follow its loft. */
export function face_at(row, at) {
  const after = at + 1 + GROOVE_NUMBERS;
  return {
    loft: row[at],
    grooves: grooves_at(row, at + 1),
    roughness: row[after],
    head_mass: row[after + 1],
    head_inertia: row[after + 2],
  };
}

/** The ball that begins at a place of a row. */
export function ball_at(row, at) {
  return {
    friction: row[at],
    friction_fast: row[at + 1],
    mass: row[at + 2],
    radius: row[at + 3],
    inertia_factor: row[at + 4],
    modulus: row[at + 5],
    restitution: row[at + 6],
    restitution_slope: row[at + 7],
  };
}

/** The between that begins at a place of a row. */
export function between_at(row, at) {
  return {
    water: row[at],
    temperature: row[at + 1],
    soil_on_lands: row[at + 2],
    soil_in_grooves: row[at + 3],
    grass: row[at + 4],
  };
}

/** The assumptions that begins at a place of a row. */
export function assumptions_at(row, at) {
  return {
    tangential_stiffness: row[at],
    unloading: row[at + 1],
    reversal: row[at + 2],
    wet_factor: row[at + 3],
    film_friction: row[at + 4],
    solid_friction: row[at + 5],
    load_decay: row[at + 6],
    void: row[at + 7],
  };
}

/** The launch that begins at a place of a row. */
export function launch_at(row, at) {
  return {
    ball_speed: row[at],
    launch_angle: row[at + 1],
    spin_rate: row[at + 2],
    direction: row[at + 3],
    spin_tilt: row[at + 4],
  };
}

/** The air that begins at a place of a row. */
export function air_at(row, at) {
  return {
    temperature: row[at],
    pressure: row[at + 1],
    humidity: row[at + 2],
    wind: row[at + 3],
    crosswind: row[at + 4],
  };
}

/** The aerodynamics that begins at a place of a row. */
export function aerodynamics_at(row, at) {
  return {
    drag: row[at],
    drag_per_spin: row[at + 1],
    drag_wave: row[at + 2],
    lift: row[at + 3],
    lift_power: row[at + 4],
    lift_growth: row[at + 5],
    lift_rate: row[at + 6],
    crisis_drag: row[at + 7],
    crisis_lift: row[at + 8],
    reverse_lift: row[at + 9],
    drag_scale: row[at + 10],
    lift_scale: row[at + 11],
  };
}

/** The arrival that begins at a place of a row. */
export function arrival_at(row, at) {
  return {
    speed: row[at],
    angle: row[at + 1],
    backspin: row[at + 2],
    side_spin: row[at + 3],
  };
}

/** The green that begins at a place of a row. */
export function green_at(row, at) {
  return {
    speed: row[at],
    slope: row[at + 1],
    friction: row[at + 2],
    tilt: row[at + 3],
    restitution: row[at + 4],
    grip_restitution: row[at + 5],
  };
}

/** The contact of the shot in a row. */
export function strike_row(row, history) {
  return strike(delivery_at(row, AT_DELIVERY), face_at(row, AT_FACE), ball_at(row, AT_BALL), between_at(row, AT_BETWEEN), assumptions_at(row, AT_ASSUMPTIONS), history);
}

/** The flight in a row: launch, air, ball, aerodynamics. */
export function fly_row(row, drawing) {
  return fly(launch_at(row, 0), air_at(row, FLIGHT_AT_AIR), ball_at(row, FLIGHT_AT_BALL), aerodynamics_at(row, FLIGHT_AT_AERODYNAMICS), drawing);
}

/** The landing in a row: arrival, green, radius, resting tilt. */
export function land_row(row, trace, points) {
  return land(arrival_at(row, 0), green_at(row, GROUND_AT_GREEN), row[GROUND_AT_RADIUS], row[GROUND_AT_RESTING_TILT], trace, points);
}

/** All that the whole shot in a row needs. */
export function situation_at(row) {
  return {
    arriving: delivery_at(row, AT_DELIVERY),
    face: face_at(row, AT_FACE),
    ball: ball_at(row, AT_BALL),
    between: between_at(row, AT_BETWEEN),
    assume: assumptions_at(row, AT_ASSUMPTIONS),
    air: air_at(row, AT_AIR),
    aerodynamics: aerodynamics_at(row, AT_AERODYNAMICS),
    green: green_at(row, AT_GREEN),
  };
}

/** A whole shot from how the club arrives to where the ball rests. */
export function play(shot, history, drawing, trace, points) {
  const impact = strike(shot.arriving, shot.face, shot.ball, shot.between, shot.assume, history);
  const landing = fly(launch_of(impact), shot.air, shot.ball, shot.aerodynamics, drawing);
  const stop = stop_of(landing, shot, trace, points);
  return { impact, landing, stop };
}

/** Film on an upright plate [m], `height` [m] below its top, some `seconds` after pouring. */
export function drained_film(height, seconds, viscosity, density, gravity) {
  return Math.sqrt(viscosity * height / (density * gravity * seconds));
}
