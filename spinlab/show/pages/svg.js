// A small drawing kit: every picture is markup made afresh from an answer. Colours and dashes are classes (see page.css).

const round = (value) => Math.round(value * 10) / 10;
const points = (list) => list.map(([x, y]) => `${round(x)},${round(y)}`).join(" ");
const safe = (words) => String(words).replace(/&/g, "&amp;").replace(/</g, "&lt;");

// signs whose hue alone does not stand out from light paper get an edge of muted ink
const EDGED = ["soil", "water", "light"];

const draw = {
  text: (x, y, words, kind = "", anchor = "start") =>
    `<text x="${round(x)}" y="${round(y)}" class="t ${kind}" text-anchor="${anchor}">${safe(words)}</text>`,
  line: (list, sign, kind = "") =>
    `${EDGED.includes(sign) ? `<polyline points="${points(list)}" class="edge ${kind}"/>` : ""}` +
    `<polyline points="${points(list)}" class="l s-${sign} ${kind}"/>`,
  thin: (x0, y0, x1, y1, kind = "") =>
    `<line x1="${round(x0)}" y1="${round(y0)}" x2="${round(x1)}" y2="${round(y1)}" class="thin ${kind}"/>`,
  area: (list, kind) => `<polygon points="${points(list)}" class="${kind}"/>`,
  box: (x, y, wide, high, kind) =>
    `<rect x="${round(x)}" y="${round(y)}" width="${round(Math.max(wide, 0))}" height="${round(Math.max(high, 0))}" class="${kind}"/>`,
  ball: (x, y, radius, kind = "ball") => `<circle cx="${round(x)}" cy="${round(y)}" r="${round(radius)}" class="${kind}"/>`,
  arrow(x0, y0, x1, y1, sign) {
    const along = Math.atan2(y1 - y0, x1 - x0), tip = 11;
    const wing = (turn) => [x1 - tip * Math.cos(along + turn), y1 - tip * Math.sin(along + turn)];
    return draw.line([[x0, y0], [x1, y1]], sign) + draw.line([wing(0.45), [x1, y1], wing(-0.45)], sign, "solid");
  },
  // a marker by its meaning: shape as well as colour
  mark(x, y, sign, r = 6) {
    const shapes = {
      dry: [...Array(16)].map((_, k) => [x + r * Math.cos((k * Math.PI) / 8), y + r * Math.sin((k * Math.PI) / 8)]),
      wet: [[x - r, y - r], [x + r, y - r], [x + r, y + r], [x - r, y + r]],
      blocked: [[x, y - 1.2 * r], [x + 1.1 * r, y + r], [x - 1.1 * r, y + r]],
      soil: [[x - r / 2.4, y - r], [x + r / 2.4, y - r], [x + r / 2.4, y - r / 2.4], [x + r, y - r / 2.4], [x + r, y + r / 2.4],
        [x + r / 2.4, y + r / 2.4], [x + r / 2.4, y + r], [x - r / 2.4, y + r], [x - r / 2.4, y + r / 2.4], [x - r, y + r / 2.4],
        [x - r, y - r / 2.4], [x - r / 2.4, y - r / 2.4]],
    };
    return draw.area(shapes[sign] || shapes.dry, `mark f-${sign}`);
  },
};

// axes in a box [left, top, right, bottom]: places of values and the markup of ticks and labels
function chart(box, x, y, inside = "") {
  const [left, top, right, bottom] = box;
  const X = (v) => left + ((right - left) * (v - x.low)) / (x.high - x.low);
  const Y = (v) => bottom - ((bottom - top) * (v - y.low)) / (y.high - y.low);
  let axes = "";
  for (const v of y.ticks) {
    axes += draw.thin(left, Y(v), right, Y(v), "grid");
    axes += draw.text(left - 6, Y(v) + 5, y.say ? y.say(v) : v, "small", "end");
  }
  for (const v of x.ticks) {
    axes += draw.thin(X(v), bottom, X(v), bottom + 5);
    axes += draw.text(X(v), bottom + 19, x.say ? x.say(v) : v, "small", "middle");
  }
  axes += draw.thin(left, bottom, right, bottom);
  if (x.label) axes += draw.text(right, bottom + 36, x.label, "small", "end");
  if (y.label) axes += draw.text(left - 6, top - 8, y.label, "small");
  return { X, Y, axes, band: (list) => draw.area([...list.map(([a, b]) => [X(a), Y(b)]),
    ...[...list].reverse().map(([a, , c]) => [X(a), Y(c)])], inside) };
}

// a smooth line through points (Catmull and Rom's), for drawing alone
function smooth(list) {
  const at = (k) => list[Math.min(Math.max(k, 0), list.length - 1)], fine = [];
  for (let k = 0; k < list.length - 1; k += 1) {
    const [a, b, c, d] = [at(k - 1), at(k), at(k + 1), at(k + 2)];
    for (let t = 0; t < 1; t += 0.25) {
      fine.push([0, 1].map((i) => b[i] + 0.5 * t * (c[i] - a[i] + t * (2 * a[i] - 5 * b[i] + 4 * c[i] - d[i] + t * (3 * (b[i] - c[i]) + d[i] - a[i])))));
    }
  }
  return [...fine, list[list.length - 1]];
}

// ends of an axis that stay put while things move: the first of a few that is enough
const enough = (value, ends) => ends.find((end) => end >= value) ?? ends[ends.length - 1];
// whole thousands with a thin gap
const thousands = (v) => String(v).replace(/\B(?=(\d{3})+$)/g, "\u202f");
const steps = (low, high, step) => [...Array(Math.floor((high - low) / step + 1e-6) + 1)].map((_, k) => low + k * step);
