// Reading between the rows of what moves.

import { clamp } from "./dom.js";

// The value at a place between two rows.
export function at(column, place) {
  const k = Math.min(Math.floor(place), column.length - 2);
  const share = place - k;
  return column[k] * (1 - share) + column[k + 1] * share;
}
export const row = (rows, place) => Object.fromEntries(Object.entries(rows).map(([name, column]) => [name, at(column, place)]));
// The place of a moment among rising times, as a number of rows.
export function placeAt(times, moment) {
  let k = 0;
  while (k < times.length - 2 && times[k + 1] <= moment) k += 1;
  return k + clamp((moment - times[k]) / (times[k + 1] - times[k] || 1), 0, 1);
}
export const lastOf = (column) => column[column.length - 1];
