// Calls functions of a module with arguments from JSON, in node and in every browser.
// Floats travel as text, because JSON has no NaN and loses the sign of −0.

function read(value) {
  if (typeof value === "string") return Number(value);
  if (Array.isArray(value)) return Float64Array.from(value, read);
  if (typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, read(part)]));
}

function write(value) {
  if (typeof value === "number") return Object.is(value, -0) ? "-0" : String(value);
  if (Array.isArray(value) || value instanceof Float64Array) return Array.from(value, write);
  if (typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, write(part)]));
}

// Each call is [name, arguments]; each answer [result, arrays among the arguments afterwards].
export function answers(module, calls) {
  return calls.map(([name, given]) => {
    const values = given.map(read);
    const result = module[name](...values);
    const arrays = values.filter((value) => value instanceof Float64Array);
    return [result === undefined ? null : write(result), arrays.map(write)];
  });
}

// The shortest of some rounds through all calls [ms].
export function shortest(module, calls, rounds) {
  const ready = calls.map(([name, given]) => [module[name], given.map(read)]);
  let best = Infinity;
  for (let round = 0; round < rounds; round += 1) {
    const begin = performance.now();
    for (const [call, values] of ready) call(...values);
    best = Math.min(best, performance.now() - begin);
  }
  return best;
}
