// Reading a table of answers between its knots: the same sums as in grid.py, and nothing else.

const UM = 1e-6;
const warped = { "": (x) => x, film: (x) => Math.log1p(x / UM) };

function unpacked(told) {
  const axes = told.axes.map((axis) => ({ ...axis }));
  let stride = 1;
  for (const axis of [...axes].reverse()) {
    axis.stride = stride;
    stride *= axis.count;
  }
  const answers = Object.entries(told.answers).map(([name, { low, step, data, wide }]) => {
    const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
    const view = new DataView(bytes.buffer), values = new Float32Array(bytes.length / 2);
    for (let i = 0; i < values.length; i += 1) values[i] = low + step * view.getUint16(2 * i, true);
    return { name, values, wide };
  });
  return { axes, answers };
}

// knots and weights of the cubic at one place: [[knot, weight], …]; a knot told twice is a border
function weights(u, place) {
  const n = u.length, x = Math.min(Math.max(place, u[0]), u[n - 1]);
  let i = 0;
  while (i < n - 2 && x >= u[i + 1]) i += 1;
  const h = u[i + 1] - u[i], t = (x - u[i]) / h, w = [0, 1 - t, t, 0];
  const into = t * (1 - t) ** 2 * h, out = t * t * (t - 1) * h;
  const first = i === 0 || u[i] === u[i - 1], last = i === n - 2 || u[i + 1] === u[i + 2];
  const left = first ? 1 : u[i] - u[i - 1], right = last ? 1 : u[i + 2] - u[i + 1];
  const before = h / (left + h), after = h / (right + h);
  const lefts = (first ? 0 : into * before) + (last && !first ? -out * before : 0);
  const rights = (last ? 0 : out * after) + (first && !last ? -into * after : 0);
  w[0] -= lefts / left;
  w[1] += lefts / left + lefts / h + rights / h;
  w[2] -= lefts / h + rights / h + rights / right;
  w[3] += rights / right;
  return w.map((weight, k) => [i - 1 + k, weight]).filter(([knot, weight]) => weight !== 0 && knot >= 0 && knot < n);
}

// offsets and weights of all knots around one place; an axis that is left out stays at its first knot
function around(table, at, without) {
  let places = [[0, 1]];
  for (const axis of table.axes) {
    if (axis.name === without) continue;
    const here = axis.knots.length ? weights(axis.knots, warped[axis.warp](at[axis.name])) : [[at[axis.name], 1]];
    places = places.flatMap(([offset, weight]) => here.map(([knot, w]) => [offset + knot * axis.stride, weight * w]));
  }
  return places;
}

// all answers of a table at one place, by name; choices by number
function read(table, at, only) {
  const places = around(table, at), found = {};
  for (const { name, values, wide } of table.answers) {
    if (only && !only.includes(name)) continue;
    const sum = new Float64Array(wide);
    for (const [offset, weight] of places) for (let k = 0; k < wide; k += 1) sum[k] += weight * values[offset * wide + k];
    found[name] = wide === 1 ? sum[0] : sum;
  }
  return found;
}

// the same for a row of places along one axis: the other axes are summed once, at every knot
function along(table, at, name, row, only) {
  const places = around(table, at, name), axis = table.axes.find((one) => one.name === name), found = {};
  const near = row.map((x) => weights(axis.knots, warped[axis.warp](x)));
  for (const { name: answer, values, wide } of table.answers) {
    if (wide > 1 || (only && !only.includes(answer))) continue;
    const knots = new Float64Array(axis.count);
    for (const [offset, weight] of places) for (let k = 0; k < axis.count; k += 1) knots[k] += weight * values[offset + k * axis.stride];
    found[answer] = near.map((some) => some.reduce((sum, [knot, weight]) => sum + weight * knots[knot], 0));
  }
  return found;
}
