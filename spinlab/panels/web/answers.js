// A scene's answers from its own functions; the same on the page and in its worker.

export function answerer(spec, { compute, uncertain }) {
  const rows = spec.draws;

  // The arrays that `compute` fills: each by itself, or a record of several.
  function room(fill) {
    const made = {};
    for (const [name, { size, fields }] of Object.entries(spec.arrays)) {
      const fresh = () => new Float64Array(fill ? size : 0);
      made[name] = fields ? Object.fromEntries(fields.map((field) => [field, fresh()])) : fresh();
    }
    return made;
  }
  const scratch = room(true);
  const nothing = room(false);

  // Controls as plain numbers by the names that `compute` has for them.
  function numbers(values) {
    const found = {};
    for (const control of spec.controls) {
      if (control.options) Object.assign(found, control.options[values[control.name]]);
      else found[control.name] = values[control.name];
    }
    return found;
  }

  const asked = (given, arrays) => spec.parameters.map((name) => arrays[name] ?? given[name]);
  const uncertainParameters = spec.uncertain_parameters.slice(0, -1); // the last is the draw

  function answer(values) {
    const arrays = room(true);
    const given = numbers(values);
    return { ...given, ...compute(...asked(given, arrays)), ...arrays };
  }

  // A curve: one control walks its whole range, the others stay.
  function sweep(values, { x, y, points }, control) {
    const given = numbers(values);
    return Array.from({ length: points }, (_, k) => {
      given[x] = control.low + ((control.high - control.low) * k) / (points - 1);
      return compute(...asked(given, scratch))[y];
    });
  }

  // Ends of the band of every named result: a share `level` of the stored draws lies inside.
  function ends(given, names) {
    const found = Object.fromEntries(names.map((name) => [name, new Float64Array(rows.length)]));
    const fixed = uncertainParameters.map((name) => nothing[name] ?? given[name]);
    rows.forEach((draw, k) => {
      const result = uncertain(...fixed, draw);
      for (const name of names) found[name][k] = result[name];
    });
    const tail = (1 - spec.level) / 2;
    return (name) => {
      const sorted = found[name].sort();
      return [quantile(sorted, tail), quantile(sorted, 1 - tail)];
    };
  }

  function bands(values) {
    if (!uncertain) return null;
    const given = numbers(values);
    const middle = compute(...asked(given, scratch));
    const at = ends(given, spec.banded);
    const found = {};
    for (const name of spec.banded) {
      const [low, high] = at(name);
      found[name] = [Math.min(low, middle[name]), Math.max(high, middle[name])];
    }
    const curves = spec.band_curves.map(({ x, y, points }) => {
      const control = spec.controls.find(({ name }) => name === x);
      const walked = { ...given };
      return Array.from({ length: points }, (_, k) => {
        walked[x] = control.low + ((control.high - control.low) * k) / (points - 1);
        return ends(walked, [y])(y);
      });
    });
    return { values: found, curves };
  }

  return { answer, sweep, bands, numbers };
}

// Linear between the sorted draws, as numpy's quantile.
export function quantile(sorted, share) {
  const place = share * (sorted.length - 1);
  const below = Math.floor(place);
  const above = Math.min(below + 1, sorted.length - 1);
  return sorted[below] + (sorted[above] - sorted[below]) * (place - below);
}

// In a worker: the latest question is answered, older ones are dropped.
export function serve(make) {
  if (typeof WorkerGlobalScope === "undefined" || !(self instanceof WorkerGlobalScope)) return;
  let ours = null;
  let latest = null;
  self.onmessage = ({ data }) => {
    if (data.spec) {
      ours = make(data.spec);
      return;
    }
    const idle = latest === null;
    latest = data;
    if (!idle) return;
    setTimeout(() => {
      const { id, values } = latest;
      latest = null;
      self.postMessage({ id, bands: ours.bands(values) });
    }, 0);
  };
}
