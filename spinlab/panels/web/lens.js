// The place of contact through a lens: metal below, cover above, both rough, and the water between them.
// Heights follow the water's own scale, which gives its first micrometres half of the way.

import { clamp, line, px, put, show, svg } from "./dom.js";

const POINTS = 48;
const ROUGH = 2e-6; // rms of face and cover together, as drawn [m]

// Fixed, uneven profiles: sums of a few waves, the same on every screen.
const waves = (parts) => (u) => parts.reduce((sum, [size, many, shift]) => sum + size * Math.sin(many * u + shift), 0);
const METAL = waves([[0.5, 9, 0.3], [0.35, 17, 1.9], [0.25, 31, 4.0], [0.15, 53, 2.2]]);
const COVER = waves([[0.55, 7, 1.1], [0.35, 13, 3.0], [0.2, 29, 0.4]]);

export function lens(id, name) {
  const clip = `${id}-${name}-lens`;
  const disc = svg("circle");
  const glass = svg("circle", { class: "glass" });
  const metal = svg("path", { class: "lens-metal", fill: `url(#${id}-steel-lens)` });
  const cover = svg("path", { class: "lens-cover" });
  const water = svg("path", { class: "lens-water", fill: `url(#${id}-water)` });
  const surface = svg("path", { class: "lens-surface" });
  const spots = svg("path", { class: "lens-spots" });
  const before = svg("path", { class: "lens-before" });
  const ticks = svg("g", { class: "lens-ticks" });
  const film = svg("text", { class: "lens-text", "text-anchor": "middle" });
  const state = svg("text", { class: "lens-state", "text-anchor": "middle" });
  const rim = svg("circle", { class: "rim" });
  const leader = svg("path", { class: "leader" });
  const node = svg("g", { class: "lens" }, leader, svg("clipPath", { id: clip }, disc),
    svg("g", { "clip-path": `url(#${clip})` }, glass, water, metal, cover, surface, spots, before, ticks, film), rim, state);
  let box = { x: 0, y: 0, r: 60, text: 14 };

  const floor = () => box.r * 0.27; // where the metal's mean line lies, below the middle
  const tall = () => box.r * 0.98; // the whole way of the water
  const level = (way) => floor() - way * tall();

  return {
    node,
    place(given, marks) {
      box = given;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      for (const part of [disc, glass, rim]) put(part, { r: box.r });
      ticks.replaceChildren(...marks.map(({ way, text }) => svg("g", { transform: `translate(${px(-Math.sqrt(Math.max(box.r ** 2 - level(way) ** 2, 0)) + 3)} ${px(level(way))})` },
        svg("path", { d: "M0 0h7" }), svg("text", { x: 10, dy: "0.35em", "font-size": Math.max(11, box.text * 0.8) }, text))));
      put(film, { "font-size": box.text * 0.88 });
      put(state, { "font-size": box.text });
      put(film, { y: box.r * 0.55 });
      put(state, { y: -box.r - box.text * 0.5 });
    },
    // Where a level of the water stands in the picture.
    at: (way) => [box.x, box.y + level(way)],
    wayAt: (y) => clamp((floor() - (y - box.y)) / tall(), 0, 1),
    // `touched` when the ball has been there: the lens keeps how it left;
    // `film` between the surfaces [m], `water` on the face, `gap` how far the cover still is (1 out of sight, 0 on the film),
    // `slipped` how far it has slid [m], `way` the water's scale
    show({ film: left, water: lying, gap, slipped, way, words, doing, touched, patch }) {
      const { r } = box;
      const rough = (value) => Math.abs(way(ROUGH)) * tall() * 0.2 * value;
      const across = Array.from({ length: POINTS + 1 }, (_, k) => -r + (2 * r * k) / POINTS);
      const low = across.map((x) => [x, floor() - rough(METAL((x / r) * 2))]);
      const rest = gap > 0 ? level(way(lying)) - gap * r * 1.6 - rough(1.2) : level(way(left)) - rough(1.1);
      const shift = (slipped / 4e-3) * 1.2;
      const high = across.map((x) => [x, rest + rough(COVER((x / r) * 2 - shift))]);
      // where the two would cross they touch, and the softer cover gives way
      const spotted = [];
      high.forEach((point, k) => {
        if (point[1] > low[k][1] - 1) {
          point[1] = low[k][1] - 0.5;
          spotted.push(k);
        }
      });
      put(metal, { d: `${line(low)}L${px(r)} ${px(r)}L${px(-r)} ${px(r)}Z` });
      put(cover, { d: `${line(high)}L${px(r)} ${px(-r)}L${px(-r)} ${px(-r)}Z` });
      const wet = lying > 0;
      show(water, wet);
      show(surface, wet && gap > 0);
      show(before, wet && touched);
      if (wet) {
        const top = gap > 0 ? level(way(lying)) : rest - 4;
        put(water, { d: `M${px(-r)} ${px(top)}L${px(r)} ${px(top)}L${px(r)} ${px(r)}L${px(-r)} ${px(r)}Z` });
        const was = level(way(lying));
        put(before, { d: `M${px(-r)} ${px(was)}L${px(r)} ${px(was)}` });
        put(surface, { d: `M${px(-r)} ${px(top)}L${px(r)} ${px(top)}` });
      }
      put(spots, { d: spotted.map((k) => `M${px(low[k][0] - 2.2)} ${px(low[k][1])}h4.4`).join("") || "M0 0" });
      show(spots, spotted.length > 0);
      put(film, { text: words });
      put(state, { text: doing });
      const [dx, dy] = [patch[0] - box.x, patch[1] - box.y];
      const far = Math.hypot(dx, dy) || 1;
      put(leader, { d: `M${px((dx / far) * r)} ${px((dy / far) * r)}L${px(dx)} ${px(dy)}` });
    },
  };
}
