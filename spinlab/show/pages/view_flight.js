// Low with spin against high without: the flight, the first bounce, where both stop.

views.flight = ({ low, high, air, run_outs, bounces, low_bands, high_bands }, { far }) => {
  const sides = [{ name: "low", sign: "dry", needed: low, bands: low_bands }, { name: "high", sign: "wet", needed: high, bands: high_bands }];
  function shot({ name, sign, needed, bands }, values) {
    const wanted = { carry: values.carry, launch_angle: values[`${name}_launch`], spin_rate: values[`${name}_spin`] };
    const speed = read(needed, wanted).fast, found = read(air, { ...wanted, ball_speed: speed, wind: values.wind }), v2 = speed ** 2;
    const carry = found.reach * v2, apex = found.rise * v2, path = [];
    for (let k = 0; k < found.shape.length; k += 2) path.push([found.shape[k] * carry, found.shape[k + 1] * apex]);
    const landing = { landing_speed: found.lands * speed, descent: found.descent, spin: found.kept * speed, green: values.green };
    const rest = { ...read(run_outs, landing), ...read(bounces, landing) }, band = read(bands, { ...wanted, green: values.green });
    return { name, sign, speed, launch: wanted.launch_angle, spin: wanted.spin_rate, carry, apex, path, descent: found.descent, lasting: found.lasting * speed,
      ...rest, low: rest.run_out + band.run_low, high: rest.run_out + band.run_high };
  }
  // beyond `far` a ball has left every green: that is told, not how far
  const runs = (one, units) => (one.run_out > far ? `runs off the green, over ${units.say("distance", far)}` : one.run_out > -0.05 ? `runs ${units.say("distance", one.run_out, 1)}` : `comes back ${units.say("distance", -one.run_out, 1)}`);
  const band = ({ low, high }, units) => (low > far ? "off the green" : high > far ? `${units.say("distance", low)} to off the green` : between(units, "distance", low, high));
  // which stops sooner, as far as the bands let it be said
  const sooner = (first, second) => (first.low > second.high ? "the low one has too little spin to stop as soon" :
    second.low > first.high ? "here spin stops a ball sooner than height" : "one is stopped by spin, the other by height, and the bands do not tell which is sooner");
  return {
    answer: (values) => ({ values, all: sides.map((side) => shot(side, values)) }),
    sentence({ values, all }, units) {
      const one = (ball) => `${ball.name}: rises ${units.say("height", ball.apex)}, carries ${units.say("distance", ball.carry, 1)}, comes down at ${units.say("angle", ball.descent)} and ${runs(ball, units)}`;
      const wind = values.wind === 0 ? "in still air" : `with ${units.say("wind", Math.abs(values.wind))} of wind ${values.wind > 0 ? "behind" : "against"}`;
      return `${wind[0].toUpperCase()}${wind.slice(1)} – ${all.map(one).join("; ")}.`;
    },
    say({ values, all: [first, second] }, units) {
      const told = (ball) => `${runs(ball, units)} (band ${band(ball, units)})`;
      const after = first.after > 30 ? `keeps ${units.say("spin", first.after)} of backspin after its first bounce, so it checks` : "has lost its backspin after the first bounce, so it releases";
      return [`The low ball ${told(first)}; the high one ${told(second)}: ${sooner(first, second)}.`,
        `The low ball ${after}${values.wind ? "; the bands are those of still air" : ""}.`];
    },
    picture({ all }, kept, units, narrow) {
      const near = (run) => Math.min(run, far);
      const ends = (ball) => ball.carry + Math.max(0, near(ball.run_out), near(ball.high), ball.first_bounce);
      const reach = enough(1.03 * Math.max(...all.map(ends)), [30, 40, 50, 60, 70, 80, 100, 120, 160]);
      const [left, top, right, bottom] = narrow ? [10, 96, 380, 300] : [14, 84, 786, 330];
      const tall = Math.max(...all.map((ball) => ball.apex)), across = (right - left) / reach, upward = Math.min(across, (bottom - top) / tall);
      const at = ([x, z]) => [left + x * across, bottom - z * upward];
      const unit = units.names.distance === "m" ? 1 : 0.9144, step = narrow ? 20 : 10;
      let told = draw.box(left, bottom, right - left, 9, "turf") + draw.thin(left, bottom, right, bottom);
      for (let x = 0; x <= reach / unit; x += step) {
        told += draw.thin(left + x * unit * across, bottom + 9, left + x * unit * across, bottom + 14);
        told += draw.text(left + x * unit * across, bottom + 28, x || `0 ${units.names.distance}`, "small", x ? "middle" : "start");
      }
      for (const one of kept) for (const ball of one.all) told += draw.line(smooth(ball.path.map(at)), ball.sign, "ghost");
      all.forEach((ball, k) => {
        const hop = [...Array(13)].map((_, i) => at([ball.carry + (ball.first_bounce * i) / 12, (4 * ball.hop * i * (12 - i)) / 144]));
        told += draw.line(smooth(ball.path.map(at)), ball.sign) + draw.line(hop, ball.sign, "fine");
        const row = bottom + 48 + 26 * k, rest = at([ball.carry + near(ball.run_out), 0])[0];
        told += draw.box(at([ball.carry + near(ball.low), 0])[0], row - 6, (near(ball.high) - near(ball.low)) * across, 12, "range");
        told += draw.line([[at([ball.carry, 0])[0], row], [rest, row]], ball.sign) + draw.thin(at([ball.carry, 0])[0], row - 9, at([ball.carry, 0])[0], row + 9);
        told += ball.run_out > far ? draw.arrow(rest - 12, row, rest, row, ball.sign) : draw.mark(rest, row, ball.sign, 6);
        const words = `${ball.name}: ${units.say("height", ball.apex)} high, lands at ${units.say("angle", ball.descent)}`, x = narrow ? 14 : 24 + 390 * k;
        const y = narrow ? 20 + 44 * k : 28;
        told += draw.mark(x, y - 5, ball.sign) + draw.text(x + 14, y, words, "bold") + draw.text(x + 14, y + 20, `${runs(ball, units)} (${band(ball, units)})`);
      });
      const y = bottom + 48 + 52;
      return told + draw.text(left, y + 8, "bar: band of where it stops", "small") + (upward < across * 0.99 ? draw.text(right, y + 8, "heights drawn smaller", "small", "end") : "");
    },
  };
};
