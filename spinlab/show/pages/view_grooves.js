// A face cut through, and what the next pitch spins after every way of cleaning.

views.grooves = ({ dirty, bands }, { ways, sections }) => {
  const LOFT = (44.5 * Math.PI) / 180, SPEED = 20;
  const cleaned = (found, way) => ({
    face: found.face, water: Math.max(found.water * way.water, way.adds),
    soil_on_lands: found.soil_on_lands * way.on_lands, soil_in_grooves: found.soil_in_grooves * way.in_grooves });

  function section(box, state, shape, narrow) {
    const [x0, y0, x1, y1] = box, [left, top, right, bottom] = [0, 0, x1 - x0, y1 - y0], scale = (right - left) / 7.4e-3, y = top + 0.5 * (bottom - top);
    const pitch = shape ? shape.width + shape.land : 3.5e-3, first = (7.4e-3 - (shape ? shape.width : 0)) / 2;
    let told = draw.box(left, y, right - left, bottom - y, "steel");
    const mouths = [];
    if (shape) for (let k = -2; k <= 2; k += 1) {
      const a = left + (first + k * pitch) * scale, b = a + shape.width * scale;
      if (b > left + 2 && a < right - 2) mouths.push([Math.max(a, left), Math.min(b, right), a, b]);
    }
    const deep = shape ? shape.depth * scale : 0, holds = shape ? shape.holds : 0;
    const room = holds * (1 - state.soil_in_grooves), taken = Math.min(state.water, room), over = state.water - taken;
    for (const [, , a, b] of mouths) {
      const lean = 0.26 * deep, at = (share) => [a + lean * share, b - lean * share];
      told += draw.area([[a, y - 1], [b, y - 1], [b - lean, y + deep], [a + lean, y + deep]], "hole");
      const soil = state.soil_in_grooves, [s0, s1] = at(1 - soil);
      if (soil > 0.004) told += draw.area([[s0, y + deep * (1 - soil)], [s1, y + deep * (1 - soil)], [b - lean, y + deep], [a + lean, y + deep]], "mud");
      const fill = holds ? taken / holds : 0, level = 1 - soil - fill, [w0, w1] = at(level), [u0, u1] = at(1 - soil);
      if (fill > 0.004) told += draw.area([[w0, y + deep * level], [w1, y + deep * level], [u1, y + deep * (1 - soil)], [u0, y + deep * (1 - soil)]], "pool");
    }
    // soil lies on a share of every land; water that the grooves cannot hold stands above everything (drawn four times as thick)
    const lands = [];
    let from = left;
    for (const [a, b] of mouths) { lands.push([from, a]); from = b; }
    lands.push([from, right]);
    const rise = Math.max(over * scale * 4, state.water > 0 ? 1.5 : 0);
    if (rise > 0) told += draw.box(left, y - rise, right - left, rise, "pool");
    if (state.soil_on_lands > 0.004) for (const [a, b] of lands) {
      for (let x = a; x < b - 1; x += 14) told += draw.box(x, y - 7, Math.min(14, b - x) * state.soil_on_lands, 7, "mud");
    }
    told += draw.thin(left, y, right, y);
    const curve = [...Array(41)].map((_, k) => {
      const x = left + ((right - left) * k) / 40, off = (k - 20) / 20;
      return [x, top + (y - top - 12 - rise) - 10 * off * off];
    });
    told += draw.area([[left, top], ...curve, [right, top]], "cover") + draw.line(curve, "dry", "skin");
    told += draw.text(left + 8, top + 20, "ball", "small onball");
    told += draw.text(left + 8, bottom - 8, narrow ? "face" : "face, cut through; 7.4 mm wide", "small");
    return `<svg x="${x0}" y="${y0}" width="${right}" height="${bottom}" viewBox="0 0 ${right} ${bottom}">${told}</svg>`;
  }

  return {
    answer(values) {
      const clean = { water: 0, soil_on_lands: 0, soil_in_grooves: 0, face: 0 };
      const dry = launchOf(read(dirty, clean), LOFT, SPEED);
      const all = ways.map((way) => {
        const state = cleaned(values, way), found = read(dirty, state), band = read(bands, state);
        const ball = launchOf(found, LOFT, SPEED), ratio = ball.spin / dry.spin, rise = ball.launch - dry.launch;
        return { way, state, ball, ratio, rise, left: found.left, low: ratio * band.ratio_low, high: ratio * band.ratio_high,
          rise_low: rise + band.rise_low, rise_high: rise + band.rise_high };
      });
      return { values, dry, all, now: all[values.way] };
    },
    sentence({ dry, all, now }, units) {
      const one = (item) => `${item.way.name} ${units.say("spin", item.ball.spin)}`;
      return `Cleaned with ${now.way.name}: launch ${units.say("angle", now.ball.launch, 1)}, ${units.say("spin", now.ball.spin)}, ` +
        `${now.ratio.toFixed(2)} of the clean, dry spin of ${units.say("spin", dry.spin)}. All ways: ${all.map(one).join("; ")}.`;
    },
    say({ all, now }) {
      const tee = all.find((item) => item.way.name === "tee"), towel = all.find((item) => item.way.name === "damp towel, then dry");
      const share = (value) => Math.round(100 * value), told = (item) => `${share(item.ratio)} %` +
        (share(item.high) > share(item.low) ? ` (band ${share(item.low)} to ${share(item.high)} %)` : "");
      return [`Of the spin of a clean, dry face, a damp towel and then a dry one bring back ${told(towel)}; a tee ${told(tee)}.`,
        now.way.name === "tee" ? "The tee clears the grooves and leaves the flats between them, which are what meets the ball."
          : `Cleaned with ${now.way.name}: ${now.way.why}.`];
    },
    picture({ values, dry, all, now }, kept, units, narrow) {
      const right = narrow ? 376 : 785, left = narrow ? 168 : 190, top = narrow ? 222 : 228, step = narrow ? 40 : 38;
      let told = section(narrow ? [8, 8, 382, 180] : [14, 10, 785, 186], now.state, sections[values.face], narrow);
      const most = enough(dry.spin / RPM * 1.12, [7000, 9000]), X = (rpm) => left + ((right - left) * rpm) / most;
      const low = top + step * all.length;
      for (const v of steps(0, most, 2000)) {
        told += draw.thin(X(v), top - 12, X(v), low - 8, "grid") + draw.text(X(v), low + 10, thousands(v), "small", "middle");
      }
      told += draw.text(right, low + 29, "spin of the next pitch [rpm]", "small", "end");
      all.forEach((item, k) => {
        const y = top + step * k, spin = item.ball.spin / RPM, full = dry.spin / RPM, chosen = item === now;
        told += draw.text(left - 8, y + 10, item.way.name, `${chosen ? "bold" : ""} ${narrow ? "small" : ""}`, "end");
        told += draw.box(left, y - 6, X(spin) - left, 22, `bar ${chosen ? "f-dry" : "plain"}`);
        told += draw.thin(X(item.low * full), y + 5, X(item.high * full), y + 5, "whisker");
        for (const one of kept) told += draw.thin(X(one.all[k].ball.spin / RPM), y - 10, X(one.all[k].ball.spin / RPM), y + 20, "dash");
      });
      return told + draw.thin(X(dry.spin / RPM), top - 14, X(dry.spin / RPM), low - 8, "now") +
        draw.text(X(dry.spin / RPM), top - 18, "clean and dry", "small", "middle");
    },
  };
};
