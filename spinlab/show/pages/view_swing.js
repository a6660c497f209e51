// The same swing, clean and dry and as it is now.

const views = {};

// launch of a swing from a table that keeps spin and speed for each m/s of head speed
const launchOf = (found, loft, speed) => ({
  spin: found.spin * speed, launch: loft - found.below, below: found.below, speed: found.fast * speed });

// where it goes in still air
function flightOf(table, ball) {
  const found = read(table, { ball_speed: ball.speed, launch_angle: ball.launch, turn: ball.spin / ball.speed });
  const v2 = ball.speed ** 2, carry = found.reach * v2, apex = found.rise * v2, path = [];
  for (let k = 0; k < found.shape.length; k += 2) path.push([found.shape[k] * carry, found.shape[k + 1] * apex]);
  return { ...ball, carry, apex, descent: found.descent, path };
}

const signed = (text, value) => (value >= 0 ? `+${text}` : text);
const named = (ball, units) =>
  `launch ${units.say("angle", ball.launch, 1)},  ${units.say("spin", ball.spin)},  carry ${units.say("distance", ball.carry, 0)}`;
const brief = (ball, units) =>
  `${units.say("angle", ball.launch, 1)}  ${units.say("spin", ball.spin)}  ${units.say("distance", ball.carry, 0)}`;

// both flights over the ground, the same scale both ways
function sideView(box, balls, units, reach) {
  const [left, top, right, bottom] = box, scale = (right - left) / reach;
  const at = ([x, z]) => [left + x * scale, bottom - z * scale];
  let told = draw.thin(left, bottom, right, bottom);
  const unit = units.names.distance === "m" ? 1 : 0.9144, step = [10, 20, 40, 80].find((one) => one * unit * scale > 44);
  for (let x = 0; x <= reach / unit + 1e-9; x += step) {
    told += draw.thin(left + x * unit * scale, bottom, left + x * unit * scale, bottom + 5);
    told += draw.text(left + x * unit * scale, bottom + 19, x ? x : `0 ${units.names.distance}`, "small", x ? "middle" : "start");
  }
  for (const { ball, sign, kind } of balls) {
    told += draw.line(smooth(ball.path.map(at)), sign, kind || "");
    if (!kind) told += draw.mark(...at([ball.carry, 0]), sign, 5);
  }
  return told;
}

// the face as it meets the ball, and where the ball goes
function faceView(box, loft, balls) {
  const [left, top, right, bottom] = box, size = Math.min(right - left, bottom - top), r = size * 0.15;
  const x = left + 0.44 * size, y = bottom - 0.36 * size, n = [Math.cos(loft), -Math.sin(loft)], up = [-Math.sin(loft), -Math.cos(loft)];
  const touch = [x - r * n[0], y - r * n[1]], go = (a, b) => [touch[0] + a * n[0] + b * up[0], touch[1] + a * n[1] + b * up[1]];
  let told = draw.area([go(0, -1.7 * r), go(0, 2.6 * r), go(-0.5 * r, 2.6 * r), go(-0.9 * r, -1.7 * r)], "steel");
  for (let k = -3; k <= 4; k += 1) told += draw.area([go(0, k * r * 0.5), go(0, k * r * 0.5 + 2), go(-4, k * r * 0.5 + 2), go(-4, k * r * 0.5)], "cut");
  told += draw.ball(x, y, r);
  told += draw.thin(x, y, x + 3.3 * r * n[0], y + 3.3 * r * n[1], "dash");
  for (const { ball, sign } of balls) {
    told += draw.arrow(x, y, x + 3.1 * r * Math.cos(ball.launch), y - 3.1 * r * Math.sin(ball.launch), sign);
  }
  return told + draw.text(x + 3.4 * r * n[0], y + 3.4 * r * n[1] - 4, "face points", "small", "middle");
}

const filmTicks = { low: 0, high: Math.log1p(150), ticks: [0, 1, 3, 10, 30, 100].map((x) => Math.log1p(x)),
  say: (u) => Math.round(Math.expm1(u)), label: "water before contact [µm]" };
const spinTicks = (most) => {
  const top = enough(most, [4000, 6000, 9000, 12000, 16000, 20000]);
  return { low: 0, high: top, ticks: steps(0, top, { 4000: 1000, 6000: 2000, 9000: 3000, 12000: 3000 }[top] ?? top / 4), say: thousands, label: "spin [rpm]" };
};
const RPM = Math.PI / 30;

views.swing = ({ wet, bands, air }) => {
  const at = (values, changes = {}) => {
    const place = { ...values, ...changes }, found = read(wet, place);
    return { ...launchOf(found, place.dynamic_loft, place.head_speed), left: found.left, grip: found.grip };
  };
  const sign = (values) => (values.water > 0 && values.grooves >= 2 ? "blocked" : "wet");
  return {
    answer(values) {
      const dry = flightOf(air, at(values, { water: 0, grooves: 0 })), now = flightOf(air, at(values));
      const band = read(bands, values), ratio = now.spin / dry.spin, rise = now.launch - dry.launch;
      const places = steps(0, 72, 1).map((k) => (k / 72) * Math.log1p(150)), films = places.map((u) => Math.expm1(u) * UM);
      const spins = along(wet, values, "water", films, ["spin"]).spin.map((spin) => (spin * values.head_speed) / RPM);
      const wide = along(bands, values, "water", films);
      const curve = places.map((u, k) => [u, spins[k], spins[k] * wide.ratio_low[k], spins[k] * wide.ratio_high[k]]);
      return { values, dry, now, ratio, rise, curve, sign: sign(values), low: ratio * band.ratio_low, high: ratio * band.ratio_high,
        rise_low: rise + band.rise_low, rise_high: rise + band.rise_high };
    },
    sentence({ values, dry, now, ratio, rise }, units) {
      const told = (ball) => `${units.say("angle", ball.launch, 1)}, ${units.say("spin", ball.spin)}, carry ${units.say("distance", ball.carry, 1)}`;
      const wet = values.water >= 10e-6 ? "Wet" : values.water > 0 ? "Damp" : "Now";
      return `Clean and dry: ${told(dry)}. ${wet}: ${told(now)}; the ball ${now.grip > 0.02 ? "grips" : "slides all through"}. ` +
        `${ratio.toFixed(2)} times the spin, launch ${signed(units.say("angle", rise, 1), rise)}.`;
    },
    say({ values, ratio, low, high, rise, rise_low, rise_high }, units) {
      if (values.water === 0 && Math.abs(ratio - 1) < 0.005) return ["Clean and dry, this is the shot that everything else is held against.",
        "Grooves change little here: friction between the flats and the cover makes the spin."];
      const film = units.say("thickness", values.water, values.water < 1e-5 ? 1 : 0);
      return [`With ${film} of water the spin is ${ratio.toFixed(2)} times that of the dry shot (band ${low.toFixed(2)} to ${high.toFixed(2)}).`,
        `Launch changes by ${signed(units.say("angle", rise), rise)} (band ${between(units, "angle", rise_low, rise_high)}), because a ball that slides leaves closer to where the face points.`];
    },
    picture(result, kept, units, narrow) {
      const { values, dry, now, curve } = result, pair = [{ ball: dry, sign: "dry" }, { ball: now, sign: result.sign }];
      const reach = enough(1.03 * Math.max(dry.carry, now.carry), [20, 40, 60, 90, 120, 160]);
      const ghosts = kept.map((one) => ({ ball: one.now, sign: one.sign, kind: "ghost" }));
      const box = narrow ? [8, 56, 150, 200] : [10, 40, 220, 250];
      const name = values.water >= 10e-6 ? "wet" : values.water > 0 ? "damp" : "now";
      let told = "";
      pair.forEach(({ ball, sign }, k) => {
        const y = narrow ? 20 + 24 * k : 28 + 26 * k, x = narrow ? 12 : 250;
        told += draw.mark(x, y - 5, sign) + draw.text(x + 14, y, `${k ? name : "dry"}: ${named(ball, units)}`);
      });
      told += faceView(box, values.dynamic_loft, pair);
      told += sideView(narrow ? [160, 70, 376, 190] : [250, 80, 785, 232], [...ghosts, ...pair], units, reach);
      const area = narrow ? [56, 250, 376, 415] : [64, 300, 785, 400];
      const { X, Y, axes, band } = chart(area, filmTicks, spinTicks(dry.spin / RPM * 1.25), "band b-" + result.sign);
      told += axes + band(curve.map(([x, , low, high]) => [x, low, high]));
      for (const one of kept) told += draw.line(one.curve.map(([x, y]) => [X(x), Y(y)]), one.sign, "ghost");
      told += draw.line(curve.map(([x, y]) => [X(x), Y(y)]), result.sign);
      const x = X(Math.log1p(values.water / 1e-6));
      return told + draw.thin(x, area[1], x, area[3], "now") + draw.mark(X(0), Y(dry.spin / RPM), "dry") + draw.mark(x, Y(now.spin / RPM), result.sign, 7);
    },
  };
};
