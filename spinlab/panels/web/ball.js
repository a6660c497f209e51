// A golf ball seen from the side: light stays where it is while the dimples and the mark turn.

import { px, put, show, svg } from "./dom.js";

const DIMPLES = 252; // on the whole ball
const WIDE = 0.09; // radius of a dimple, as a share of the ball's
const LIFT = 0.013; // how far its shade and light lie apart

// Dimples spread evenly over the sphere (golden angle), those that face us, as one path for a ball of radius 1000.
const PATTERN = (() => {
  const parts = [];
  for (let k = 0; k < DIMPLES; k += 1) {
    const y = 1 - (2 * k + 1) / DIMPLES;
    const ring = Math.sqrt(1 - y * y);
    const around = k * Math.PI * (3 - Math.sqrt(5));
    const [x, z] = [ring * Math.cos(around), ring * Math.sin(around)];
    if (z < 0.1) continue;
    const lean = (Math.atan2(y, x) * 180) / Math.PI;
    const [across, along] = [WIDE * z * 1000, WIDE * 1000].map(Math.round);
    const angle = Math.atan2(y, x);
    const [dx, dy] = [across * Math.cos(angle), across * Math.sin(angle)].map(Math.round);
    const [cx, cy] = [x * 1000, y * 1000].map(Math.round);
    parts.push(`M${cx - dx} ${cy - dy}a${across} ${along} ${Math.round(lean)} 1 0 ${2 * dx} ${2 * dy}a${across} ${along} ${Math.round(lean)} 1 0 ${-2 * dx} ${-2 * dy}z`);
  }
  return parts.join("");
})();

// Defs that all balls of a picture share.
export function ballDefs(id) {
  const stops = (...all) => all.map(([offset, name, opacity = 1]) => svg("stop", { offset, class: name, "stop-opacity": opacity }));
  return [
    svg("path", { id: `${id}-dimples`, d: PATTERN }),
    svg("radialGradient", { id: `${id}-cover`, cx: 0.36, cy: 0.3, r: 0.78 },
      ...stops([0, "cover-bright"], [0.45, "cover-mid"], [0.85, "cover-low"], [1, "cover-edge"])),
    svg("radialGradient", { id: `${id}-hard`, cx: 0.36, cy: 0.3, r: 0.78 },
      ...stops([0, "hard-bright"], [0.45, "hard-mid"], [0.85, "hard-low"], [1, "hard-edge"])),
    svg("radialGradient", { id: `${id}-round`, cx: 0.38, cy: 0.32, r: 0.74 },
      ...stops([0, "gleam", 0.35], [0.3, "gleam", 0], [0.6, "dusk", 0], [1, "dusk", 0.5])),
  ];
}

// Outline of a ball pressed on a flat in its own frame (t along the flat, n away from it), radius 1.  Outside the patch the
// surface sinks as Hertz's solution has it, u = x/π [(2 − ρ²) asin(1/ρ) + √(ρ² − 1)] with ρ = t/a (Johnson, Contact
// Mechanics 1985, eq. 3.42a, from memory); towards the middle of the ball it fades out.
export function pressedOutline(compression) {
  const height = 1 - compression;
  const lower = [];
  const upper = [];
  for (let k = 0; k <= 60; k += 1) {
    const angle = -Math.PI / 2 + (Math.PI * k) / 60;
    const t = Math.sin(angle);
    let below = height - Math.cos(angle);
    if (compression > 1e-5) {
      const rho = Math.max(Math.abs(t) / Math.sqrt(compression), 1);
      const sunk = (compression / Math.PI) * ((2 - rho * rho) * Math.asin(1 / rho) + Math.sqrt(rho * rho - 1));
      below = Math.max(below + sunk * (1 - t ** 6), 0);
    }
    lower.push([t, below]);
    upper.unshift([t, height + Math.cos(angle)]);
  }
  return [...lower, ...upper].map(([t, n]) => [t, n - height]);
}

// A ball of a picture; `show` puts it somewhere, turned and pressed.
export function ball(id, name) {
  const clip = `${id}-${name}-clip`;
  const outline = svg("path", { class: "ball-outline" });
  const cut = svg("path");
  const body = svg("circle", { r: 1, fill: `url(#${id}-cover)` });
  const use = (kind) => svg("use", { href: `#${id}-dimples`, class: kind });
  const [dark, light, floor] = [use("dimple-dark"), use("dimple-light"), use("dimple-floor")];
  const darkAt = svg("g", {}, dark);
  const lightAt = svg("g", {}, light);
  const mark = svg("g", { class: `mark ${name}` },
    svg("path", { class: "stripe", d: "M-1000 -46H1000V46H-1000Z" }), svg("circle", { cx: 735, r: 150 }));
  const stripes = svg("g", { class: "stripes" }, svg("path", { d: "M-900 420Q0 620 900 420L880 500Q0 710 -880 500Z" }),
    svg("path", { d: "M-900 -420Q0 -620 900 -420L880 -500Q0 -710 -880 -500Z" }));
  const round = svg("circle", { r: 1, fill: `url(#${id}-round)` });
  const began = svg("path", { class: "began" });
  const wedge = svg("path", { class: `wedge ${name}` });
  const inside = svg("g", { "clip-path": `url(#${clip})` }, body, darkAt, lightAt, floor, stripes, mark, round, wedge, began);
  const node = svg("g", { class: "ball" }, svg("clipPath", { id: clip }, cut), inside, outline);
  let pressed = -1;
  let sized = 0;
  let faced = 0;
  return {
    node,
    show({ x, y, radius, turned, compression, loft, hard }) {
      put(node, { transform: `translate(${px(x)} ${px(y)})` });
      if (compression !== pressed || sized !== radius || (faced !== loft && compression > 0)) {
        [pressed, sized, faced] = [compression, radius, loft];
        const [c, s] = [Math.cos(loft), Math.sin(loft)];
        const points = pressedOutline(compression).map(([t, n]) => [radius * (-t * s + n * c), -radius * (t * c + n * s)]);
        const d = `M${points.map(([a, b]) => `${px(a)} ${px(b)}`).join("L")}Z`;
        put(outline, { d });
        put(cut, { d });
        for (const disc of [body, round]) put(disc, { r: radius * 1.02 });
      }
      const degrees = (-turned * 180) / Math.PI;
      const turn = `rotate(${px(degrees)}) scale(${radius / 1000})`;
      for (const part of [dark, light, floor, mark, stripes]) put(part, { transform: turn });
      put(darkAt, { transform: `translate(${px(-LIFT * radius)} ${px(-LIFT * radius)})` });
      put(lightAt, { transform: `translate(${px(LIFT * radius)} ${px(LIFT * radius)})` });
      put(body, { fill: `url(#${id}-${hard ? "hard" : "cover"})` });
      show(stripes, Boolean(hard));
      put(node, { class: hard ? "ball hard" : "ball" });
      // where the mark began, and how far it has come
      const near = radius * 0.99;
      put(began, { d: `M0 0L${px(near)} 0` });
      const seen = Math.min(turned, 2 * Math.PI - 0.01);
      const [ex, ey] = [near * Math.cos(seen), -near * Math.sin(seen)];
      show(wedge, turned > 0.01);
      show(began, turned > 0.01);
      put(wedge, { d: `M0 0L${px(near)} 0A${px(near)} ${px(near)} 0 ${seen > Math.PI ? 1 : 0} 0 ${px(ex)} ${px(ey)}Z` });
    },
  };
}
