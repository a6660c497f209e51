// A scene's answers from its own functions; the same on the page and in its worker.

export function answerer(spec, compute) {
  // One row of shares for every number of a shot; negative ones move nothing.
  const draws = spec.draws.map((draw) => spec.spread.map((column) => (column < 0 ? -1 : draw[column] / 1e4)));

  const table = Float64Array.from(draws.flat());

  // The arrays that `compute` fills, empty where nothing is to be drawn; the usual shot comes with its numbers.
  function roomOf(part, filled) {
    if (part.draws) return table;
    if (part.fields) return Object.fromEntries(Object.entries(part.fields).map(([name, inner]) => [name, roomOf(inner, filled)]));
    return part.data ? Float64Array.from(part.data) : new Float64Array(filled ? part.size : 0);
  }
  const room = (filled) => roomOf({ fields: spec.room }, filled);
  const scratch = room(true);
  const empty = room(false);

  // Controls as plain numbers by the names that `compute` has for them.
  function numbers(values, rested = 0) {
    const found = spec.rests ? { rested } : {};
    for (const control of spec.controls) {
      if (control.options) Object.assign(found, control.options[values[control.name]]);
      else found[control.name] = values[control.name];
    }
    return found;
  }

  const asked = (given, arrays) => spec.parameters.map((name) => arrays[name] ?? given[name]);

  function answer(values, rested = 0) {
    const { usual, ...fresh } = room(true);
    const arrays = { ...fresh, usual: scratch.usual };
    const given = numbers(values, rested);
    return { ...given, ...compute(...asked(given, arrays)), ...fresh };
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
    const found = Object.fromEntries(names.map((name) => [name, new Float64Array(draws.length)]));
    draws.forEach((draw, k) => {
      empty.usual.shares.set(draw);
      const result = compute(...asked(given, empty));
      for (const name of names) found[name][k] = result[name];
    });
    const tail = (1 - spec.level) / 2;
    return (name) => {
      const sorted = found[name].sort();
      return [quantile(sorted, tail), quantile(sorted, 1 - tail)];
    };
  }

  function bands(values) {
    if (!spec.banded.length) return null;
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

  // What is worked out once the hand rests, in the order in which it is wanted.
  function* atRest(values) {
    if (spec.rests) yield { rested: answer(values, 1) };
    yield { bands: bands(values) };
    for (let k = 2; k <= spec.rests; k += 1) yield { rested: answer(values, k) };
  }

  return { answer, sweep, bands, numbers, atRest };
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
      for (const part of ours.atRest(values)) self.postMessage({ id, ...part });
      self.postMessage({ id, over: true });
    }, 0);
  };
}
