// What each single fix would bring, its fair share of the whole difference, and what to do first.

views.fixes = ({ faults, bands }, { fixes, best, speed }) => {
  const RISE = (a, b) => (b - a) * speed;
  return {
    answer(values) {
      const found = read(faults, values), wide = read(bands, values), perfect = read(faults, { ...values, ...best }, ["spin"]).spin * speed;
      const now = { ...launchOf(found, values.dynamic_loft, speed) }, whole = perfect - now.spin;
      const all = fixes.map((fix) => {
        const after = read(faults, { ...values, [fix.knob]: best[fix.knob] }, ["spin"]).spin, gain = RISE(found.spin, after);
        const same = values[fix.knob] === best[fix.knob] || Math.abs(gain) < 1e-6;
        return { ...fix, gain, low: same ? gain : gain + wide[`low_${fix.knob}`] * speed, high: same ? gain : gain + wide[`high_${fix.knob}`] * speed,
          share: whole > 60 * RPM ? (found[`share_${fix.knob}`] * speed) / whole : null, same };
      });
      const helping = all.filter((fix) => fix.gain > 0.02 * perfect).sort((a, b) => b.gain / b.effort - a.gain / a.effort);
      return { values, now, perfect, whole, all, first: helping[0] || null };
    },
    sentence({ now, perfect, all, first }, units) {
      const told = all.filter((fix) => !fix.same).map((fix) => `${fix.name} ${fix.gain >= 0 ? "+" : ""}${units.say("spin", fix.gain)}`);
      return `This pitch: launch ${units.say("angle", now.launch, 1)}, ${units.say("spin", now.spin)}; the reference ${units.say("spin", perfect)}. ` +
        `${told.length ? `Alone: ${told.join(", ")}.` : "Nothing to put right."}${first ? ` First: ${first.name}.` : ""}`;
    },
    say({ now, perfect, all, first, whole }, units) {
      if (!first) return ["Nothing here would bring much: face, ball and lie are as good as they get.", "What is left is the swing, and that takes months."];
      const kinds = all.filter((fix) => fix.share !== null && fix.knob !== "dynamic_loft").reduce((sum, fix) => sum + fix.share, 0);
      return [`If you do only one thing: ${first.advice}. Spin goes from ${units.say("spin", now.spin)} to ${units.say("spin", now.spin + first.gain)} (band ${between(units, "spin", now.spin + first.low, now.spin + first.high)}).`,
        whole > 60 * RPM ? `Of the ${units.say("spin", whole)} that are missing, face, ball, lie and weather make ${Math.round(100 * Math.min(kinds, 1.5))} %.` : `Against ${units.say("spin", perfect)} of the reference next to nothing is missing.`];
    },
    picture({ now, perfect, all, first }, kept, units, narrow) {
      const left = narrow ? 14 : 180, right = narrow ? 376 : 610, step = narrow ? 58 : 54, top = narrow ? 66 : 64;
      const most = 8000, X = (spin) => left + ((right - left) * Math.max(spin / RPM, 0)) / most, low = top + step * all.length;
      let told = "";
      for (const v of steps(0, most, 2000)) {
        told += draw.thin(X(v * RPM), top - 8, X(v * RPM), low, "grid") + draw.text(X(v * RPM), low + 18, thousands(v), "small", v === 0 ? "start" : v === most ? "end" : "middle");
      }
      // the two upright lines first: words over them stay readable
      told += draw.thin(X(now.spin), top - 10, X(now.spin), low, "now") + draw.thin(X(perfect), top - 10, X(perfect), low, "dash");
      told += draw.text(right, low + 37, "spin with only this put right [rpm]", "small", "end");
      all.forEach((fix, k) => {
        const y = top + step * k, spin = now.spin + fix.gain, chosen = fix === first, thick = narrow ? 18 : 24, bar = narrow ? y + 22 : y + 8;
        const share = fix.share === null || fix.same ? "" : `share ${Math.round(100 * fix.share)} %`;
        if (narrow) told += draw.text(left, y + 14, fix.name + (chosen ? " – first" : ""), chosen ? "bold halo" : "halo") + draw.text(right, y + 14, share, "small halo", "end");
        else told += draw.text(left - 10, y + 26, fix.name, chosen ? "bold" : "", "end") + draw.text(right + 14, y + 26, (chosen ? "first, " : "") + share, chosen ? "bold" : "small");
        told += draw.box(left, bar, X(Math.min(now.spin, spin)) - left, thick, "bar plain");
        if (fix.gain > 0) told += draw.box(X(now.spin), bar, X(spin) - X(now.spin), thick, `bar ${chosen ? "f-dry" : "f-wet"}`);
        if (!fix.same) told += draw.thin(X(now.spin + fix.low), bar + thick / 2, X(now.spin + fix.high), bar + thick / 2, "whisker");
        for (const one of kept) told += draw.thin(X(one.now.spin), bar - 3, X(one.now.spin), bar + thick + 3, "dash");
      });
      const close = X(perfect) - X(now.spin) < 130;
      told += draw.text(X(now.spin), top - 16, `now ${units.say("spin", now.spin)}`, "small", X(now.spin) < left + 60 ? "start" : "middle");
      told += draw.text(Math.min(X(perfect), right), top - (close || narrow ? 36 : 16), `reference ${units.say("spin", perfect)}`, "small", narrow ? "end" : "middle");
      return told;
    },
  };
};
