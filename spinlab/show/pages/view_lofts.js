// Spin against the club's loft for one swing: clean and dry, dirty, wet.

views.lofts = ({ wet, dirty, wet_bands, dirty_bands, air }) => {
  const D = Math.PI / 180, FIRST = 46, LAST = 64, LOFTS = steps(FIRST, LAST, 0.5);
  const states = (values) => [
    { name: "clean, dry", sign: "dry", table: wet, bands: wet_bands, amount: { water: 0 } },
    { name: "dirty", sign: "soil", table: dirty, bands: dirty_bands, amount: { soil: values.soil } },
    { name: values.water >= 10e-6 ? "wet" : values.water > 0 ? "damp" : "no water", sign: "wet", table: wet, bands: wet_bands, amount: { water: values.water } },
  ];
  // the highest point of a line
  const top = (curve) => {
    const k = curve.reduce((best, point, i) => (point[1] > curve[best][1] ? i : best), 0);
    return { loft: curve[k][0], spin: curve[k][1], end: k === curve.length - 1, start: k === 0 };
  };
  return {
    answer(values) {
      const all = states(values).map((state) => {
        const place = { head_speed: values.head_speed, cover: values.cover, ...state.amount };
        const dynamic = LOFTS.map((loft) => loft * D - values.lean);
        const found = along(state.table, place, "dynamic_loft", dynamic, ["spin"]).spin.map((spin) => (spin * values.head_speed) / RPM);
        const wide = along(state.bands, place, "dynamic_loft", dynamic);
        const curve = LOFTS.map((loft, k) => [loft, found[k], found[k] * wide.spin_low[k], found[k] * wide.spin_high[k]]);
        const here = { ...place, dynamic_loft: values.loft - values.lean }, band = read(state.bands, here);
        const ball = flightOf(air, launchOf(read(state.table, here), here.dynamic_loft, values.head_speed));
        return { ...state, curve, ball, peak: top(curve), low: ball.spin * band.spin_low, high: ball.spin * band.spin_high };
      });
      return { values, all };
    },
    sentence({ values, all }, units) {
      const one = ({ name, peak, ball }) => `${name}, most spin at ${peak.loft.toFixed(0)}°${peak.end ? " or beyond" : peak.start ? " or less" : ""}; here ${units.say("spin", ball.spin)} and ${units.say("distance", ball.carry)} of carry`;
      return `Spin against the club’s loft, now ${units.say("angle", values.loft)} – ${all.map(one).join(". ")}.`;
    },
    say({ values, all: [dry, dirt, wet] }, units) {
      const where = ({ peak }) => (peak.end ? `not before ${peak.loft.toFixed(0)}°` : peak.start ? `at ${peak.loft.toFixed(0)}° or less` : `near ${peak.loft.toFixed(0)}°`);
      return [`With this swing the most spin comes ${where(dry)} when face and ball are clean and dry, ${where(dirt)} with a dirty face, and ${where(wet)} ${wet.name === "no water" ? "without water" : `when ${wet.name}`}.`,
        `A ${units.say("angle", values.loft)} spins ${units.say("spin", dry.ball.spin)} clean and dry (band ${between(units, "spin", dry.low, dry.high)}), dirty ${units.say("spin", dirt.ball.spin)} (band ${between(units, "spin", dirt.low, dirt.high)}): clean the face before you buy loft.`];
    },
    picture({ values, all }, kept, units, narrow) {
      const most = Math.max(...all.flatMap((one) => one.curve.map((point) => point[3])));
      const area = narrow ? [52, 120, 372, 420] : [64, 40, 560, 400];
      const x = { low: FIRST, high: LAST, ticks: steps(FIRST, LAST, narrow ? 6 : 2), label: "club’s loft [°]" };
      const { X, Y, axes } = chart(area, x, spinTicks(most));
      let told = axes;
      for (const { curve, sign } of all) {
        told += draw.area([...curve.map(([a, , low]) => [X(a), Y(low)]), ...[...curve].reverse().map(([a, , , high]) => [X(a), Y(high)])], `band b-${sign}`);
      }
      for (const one of kept) for (const { curve, sign } of one.all) told += draw.line(curve.map(([a, b]) => [X(a), Y(b)]), sign, "ghost");
      const here = X(values.loft / D);
      told += draw.thin(here, area[1], here, area[3], "now");
      all.forEach(({ name, curve, sign, peak, ball }, k) => {
        told += draw.line(curve.map(([a, b]) => [X(a), Y(b)]), sign) + draw.mark(X(peak.loft), Y(peak.spin), sign, 7);
        const y = narrow ? 22 + 27 * k : 90 + 96 * k, left = narrow ? 14 : 590;
        told += draw.mark(left, y - 5, sign, 7);
        if (narrow) told += draw.text(left + 14, y, `${name}: ${brief(ball, units)}`);
        else {
          told += draw.text(left + 16, y, name, "bold") + draw.text(left + 16, y + 24, brief(ball, units), "small");
          told += draw.text(left + 16, y + 45, peak.end ? "still rising at 64°" : peak.start ? "falling from 46°" : `peak at ${peak.loft.toFixed(0)}°`, "small");
        }
      });
      return told;
    },
  };
};
