// The scene under the ball drawn by hand: a face cut through, as found beside cleaned, the ball's cover pressing from above;
// below it the ways of cleaning, which can be taken and wiped with, and the film against time.  It never computes a shot:
// what moves is read from the rows that the scene's `compute` has filled.

import { clamp, dragged, grip, keyed, line, px, put, show, svg, valueAt, wayOf } from "./dom.js";
import { guessGrip } from "./guess.js";
import { at, row } from "./rows.js";

const RADIUS = 21.335e-3; // of the ball [m]
const VIEW = 6.4e-3; // the least width of the face that is seen [m]
const BESIDE = 2.1e-3; // of the flats beyond the two grooves
const APPROACH = 0.14; // share of the story before first touch
const LEAVING = 0.9; // so late in the contact the picture comes to rest, the cover about to depart
const SECONDS = 7;
const DECAY = 1.5; // how the tips are spread: as many stand in the cover as the usual contact has solid share
const TIPS = 19; // on a flat
const TIP = [[-0.5, 0], [-0.3, 0.3], [-0.16, 0.8], [-0.06, 0.98], [0.06, 0.98], [0.16, 0.8], [0.3, 0.3]]; // outline of one
const TICKS = [1e-6, 3e-6, 10e-6, 60e-6];
const SWEEP = 550; // a tapped tool takes so long over the face [ms]
const WAYS = ["nothing", "tee", "dry_towel", "damp_towel", "then_dry"];
const TOOLS = {
  nothing: "M-9 0h18",
  tee: "M-9 -10h18l-5 7l-2.5 14l-1.5 6l-1.5 -6l-2.5 -14z",
  towel: "M-13 -8q6 -4 13 0t13 0l-2 9q2 5 0 9q-6 4 -11 0t-12 0q-3 -5 0 -9z",
  drops: "M-6 16q-3.5 5 0 6.500q3.500 -1.500 0 -6.500zM5 15q-3.500 5 0 6.500q3.500 -1.500 0 -6.500z",
};

// An even spread of numbers in 0 … 1 that looks uneven.
const spread = (k) => (0.35 + k * 0.6180339887) % 1;

// The gap between a sphere and a plane outside a pressed patch: Hertz's solution (Johnson, Contact Mechanics 1985, from memory).
function gapBeyond(x, patch) {
  const r = Math.abs(x);
  if (r <= patch) return 0;
  if (patch < 1e-6) return (r * r) / (2 * RADIUS);
  return (patch * Math.sqrt(r * r - patch * patch) + (r * r - 2 * patch * patch) * Math.acos(patch / r)) / (Math.PI * RADIUS);
}

export function under(scene) {
  const { spec, id, speak, controls } = scene;
  const phrase = (name, values) => speak.choose(spec.texts[name], { ...scene.answer, ...scene.values, ...values });
  const water = (value) => wayOf(controls.water, clamp(value, 0, controls.water.high));
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let wiped = null; // while a tool passes: what of the face it has passed [m, m]

  const stops = (...all) => all.map(([offset, name]) => svg("stop", { offset, class: name }));
  const fade = (name, ...all) => svg("linearGradient", { id: `${id}-${name}`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops(...all));
  const defs = svg("defs", {},
    fade("steel", [0, "steel-bright"], [0.28, "steel-mid"], [0.7, "steel-low"], [1, "steel-dark"]),
    fade("water", [0, "water-light"], [1, "water-deep"]),
    fade("rubber", [0, "rubber-deep"], [0.75, "rubber-mid"], [1, "rubber-light"]),
    fade("air", [0, "air-top"], [1, "air-wet"]));
  const lanes = [lane("found"), lane("now")];
  const rack = toolRack();
  const chart = filmChart();
  const tool = svg("g", { class: "tool", "aria-hidden": "true" });
  const node = svg("svg", { class: "under", role: "group" }, defs, ...lanes.map((one) => one.node), rack.node, chart.node, tool);
  let wide = 0;

  const contactShare = () => clamp((scene.moment - APPROACH) / (1 - APPROACH), 0, 1);
  const secretOf = (name) => scene.hidden && name === "now";

  // ---- one face

  function lane(name) {
    const first = name === "found";
    const inside = `${id}-${name}-inside`;
    const frame = svg("rect", { rx: 14 });
    const air = svg("rect", { fill: `url(#${id}-air)` });
    const part = (kind, fill) => svg("path", { class: kind, fill });
    const film = part("under-film", `url(#${id}-water)`);
    const pools = part("under-film", `url(#${id}-water)`);
    const cover = part("under-cover", `url(#${id}-rubber)`);
    const specks = part("under-specks");
    const metal = part("metal", `url(#${id}-steel)`);
    const filling = part("under-soil");
    const soil = part("under-soil");
    const grit = part("under-grit");
    const grass = part("under-grass");
    const flow = part("under-flow");
    const spots = part("lens-spots");
    const before = part("lens-before");
    const ticks = svg("g", { class: "under-ticks" });
    const ruler = part("under-ruler");
    const millimetre = svg("text", { class: "under-light", "text-anchor": "middle" });
    const named = { cover: svg("text", { class: "under-dark", "text-anchor": "middle" }), doing: svg("text", { class: "under-dark", "text-anchor": "end" }),
      flat: svg("text", { class: "under-light", "text-anchor": "middle" }), groove: svg("text", { class: "under-light", "text-anchor": "middle" }) };
    const told = [svg("text", { class: "under-light" }), svg("text", { class: "under-light" })];
    const sign = svg(first ? "circle" : "rect", { class: `sign ${first ? "plain" : "wet"}` });
    const tag = svg("text", { class: "tag" });
    const spin = svg("text", { class: "spin" });
    const likely = svg("text", { class: "quiet" });
    const facts = Array.from({ length: 3 }, () => svg("text", { class: "facts", "text-anchor": "end" }));
    const gauge = svg("g", { class: "gauge" }, svg("path", { class: "track" }), svg("path", { class: `range ${first ? "plain" : "wet"}` }),
      svg("path", { class: "guess-mark" }), svg("path", { class: "needle" }));
    const [track, range, guessMark, needle] = gauge.children;
    const clipped = svg("g", { "clip-path": `url(#${inside})` }, air, filling, pools, film, flow, cover, specks, metal, soil, grit, grass, spots, before, ticks, ruler,
      millimetre, ...Object.values(named), ...told);
    const body = svg("g", {}, svg("clipPath", { id: inside }, frame), clipped);
    const node = svg("g", { class: `lane ${name}` }, body, gauge, sign, tag, spin, likely, ...facts);
    let box = {};
    let k = 1;

    const turns = first ? {
      water: grip(scene, controls.water, {
        describe: "Water: pull its surface up or down",
        shape: svg("path", { d: "M-12 0a12 12 0 1 0 24 0a12 12 0 1 0 -24 0M0 -6v12M-4 -2l4 -4l4 4M-4 2l4 4l4 -4", class: "knob" }),
        drag: ([, y]) => valueAt(controls.water, clamp((box.floor - (y - box.y - box.top)) / box.tall, 0, 1)),
      }),
      soil_in_grooves: grip(scene, controls.soil_in_grooves, {
        describe: "Soil in the grooves: pull its surface up or down",
        shape: svg("path", { d: "M-11 0a11 11 0 1 0 22 0a11 11 0 1 0 -22 0M-5 0h10", class: "knob soil-knob" }),
        drag: ([, y]) => 1 - (y - box.y - box.top - box.floor) / reachOf(),
      }),
      soil_on_lands: grip(scene, controls.soil_on_lands, {
        describe: "Soil on the flats: pull its end sideways",
        shape: svg("path", { d: "M-11 0a11 11 0 1 0 22 0a11 11 0 1 0 -22 0M-5 0h10M-2 -3l-3 3l3 3M2 -3l3 3l-3 3", class: "knob soil-knob" }),
        drag: ([x]) => (2 * (x - box.x - box.w / 2)) / (k * scene.values.land),
      }),
      groove: grip(scene, controls.groove_depth, {
        describe: "Groove: pull its floor for its depth, its edge sideways for the flats between",
        shape: svg("path", { d: "M-12 0a12 12 0 1 0 24 0a12 12 0 1 0 -24 0M-6 0h12M0 -6v12", class: "knob" }),
        drag: ([x, y]) => {
          const across = Math.abs(x - box.x - box.w / 2);
          const { groove_width: width } = scene.values;
          // the picture widens with the flats: solve for the flat whose groove has its middle here
          const still = ((across * VIEW) / box.w) * 2 - width;
          const rest = 2 * width + BESIDE;
          const widening = (across * 2 * rest - box.w * width) / (box.w - 2 * across);
          const land = still + rest > VIEW ? (box.w > 2.05 * across ? widening : controls.land.high) : still;
          scene.turn({ land: Math.round(clamp(land, controls.land.low, controls.land.high) / controls.land.step) * controls.land.step });
          return (y - box.y - box.top - box.floor) / k;
        },
      }),
    } : {};
    node.append(...Object.values(turns));
    const guessing = first ? null : guessGrip(scene, "now_spin_rate", ([x]) => ((x - box.x - box.gx) / box.gw) * spec.most.spin_rate, svg("path", { d: "M0 2L11 20L-11 20Z", class: "knob" }));
    if (guessing) node.append(guessing);
    const reachOf = () => Math.max(k * (scene.answer?.groove_bottom ?? 0), 14);

    function resize(given) {
      box = given;
      const { w, h, text, big } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      put(body, { transform: `translate(0 ${px(box.top)})` });
      for (const one of [frame, air]) put(one, { width: w, height: h });
      put(sign, first ? { cx: text * 0.35, cy: box.ty - text * 0.33, r: text * 0.36 } : { x: 0, y: box.ty - text * 0.66, width: text * 0.68, height: text * 0.68 });
      put(tag, { x: text, y: box.ty, "font-size": text });
      put(spin, { x: 0, y: box.ty + big * 1.08, "font-size": big });
      put(track, { d: `M${box.gx} ${box.gy}h${box.gw}` });
      put(likely, { x: 0, y: box.gy + text * 1.5, "font-size": text * 0.92 });
      facts.forEach((one, i) => put(one, { x: w, y: box.ty + i * text * 1.42, "font-size": text }));
      const small = Math.max(12, text * 0.82);
      put(named.cover, { x: w / 2, y: small * 1.5, "font-size": small });
      put(named.doing, { x: w - small * 0.8, y: small * 1.5, "font-size": small });
      told.forEach((one, i) => put(one, { x: small * 0.8, y: h - small * (1.95 - i * 1.3), "font-size": small }));
      ticks.replaceChildren(...TICKS.map((value) => svg("g", { transform: `translate(0 ${px(box.floor - water(value) * box.tall)})` },
        svg("path", { d: "M0 0h8" }), svg("text", { x: 11, dy: "0.35em", "font-size": Math.max(11, text * 0.72) }, speak.number("thickness", value, 0) + (value === TICKS[3] ? "\u00a0µm" : "")))));
    }

    // The outline of one groove about its middle, from left to right, up positive.
    function grooveOutline() {
      const { groove_mouth: mouth, groove_bottom: deep, groove_lean: lean, groove_edge: edge } = scene.answer;
      if (deep < 1e-6 || mouth < 1e-6) return [];
      const wall = Math.PI / 2 - lean;
      const reach = edge * Math.tan(wall / 2);
      const arc = Array.from({ length: 7 }, (_, i) => {
        const turn = (wall * i) / 6;
        return [-mouth / 2 - reach + edge * Math.sin(turn), -edge * (1 - Math.cos(turn))];
      });
      const left = [...arc, [-Math.max(mouth / 2 - deep * Math.tan(lean), 0), -deep]];
      return [...left, ...left.map(([x, y]) => [-x, y]).reverse()];
    }

    function draw() {
      const { answer, values } = scene;
      const secret = secretOf(name);
      const rows = answer[`${name}_film`];
      const share = secret ? 0 : contactShare();
      const gap = secret ? 1 : clamp(1 - scene.moment / APPROACH, 0, 1);
      const now = row(rows, share * (rows.time.length - 1));
      const touched = !secret && scene.moment >= APPROACH;
      const { w, h, floor, tall } = box;
      const { land, groove_width: width } = values;
      const view = Math.max(VIEW, land + 2 * width + BESIDE);
      k = w / view;
      const pitch = land + width;
      const X = (x) => w / 2 + k * x;
      const level = (value) => floor - water(value) * tall;
      const outline = grooveOutline();
      const half = outline.length ? -outline[0][0] : width / 2;
      const many = Math.ceil(view / pitch / 2) + 1;
      const grooves = Array.from({ length: 2 * many }, (_, i) => (i - many + 0.5) * pitch);
      const lands = Array.from({ length: 2 * many + 1 }, (_, i) => (i - many) * pitch);
      const clean = (x) => !first && (!wiped || (x > wiped[0] && x < wiped[1]));
      const lies = (x, of) => (clean(x) ? answer[`now_${of}`] : values[of]);
      const wet = (x) => lies(x, "water");

      // metal, with its tips: as many stand in the cover as carry it
      const rough = values.roughness;
      const edge = [];
      const tips = [];
      const blockedAt = (middle) => !outline.length || lies(middle, "soil_in_grooves") > 0.95;
      for (const middle of lands) {
        const [from, to] = [middle - pitch / 2 + half, middle + pitch / 2 - half];
        if (to <= from) continue;
        edge.push([X(from), floor]);
        const step = (to - from) / TIPS;
        for (let i = 0; i < TIPS; i += 1) {
          const high = (-rough * Math.log(0.15 + 0.83 * spread(i))) / DECAY;
          const top = from + step * (i + 0.5);
          for (const [off, share_] of TIP) edge.push([X(top + off * step), floor + (level(high) - floor) * share_]);
          tips.push({ x: X(top), at: top, high, bare: spread(i + 7) >= lies(middle, "grass") });
        }
        edge.push([X(to), floor]);
        const groove = middle + pitch / 2;
        edge.push(...outline.map(([x, y]) => [X(groove + x), floor - y * k]));
      }
      put(metal, { d: `${line(edge)}L${px(edge.at(-1)[0])} ${h + 5}L${px(edge[0][0])} ${h + 5}Z` });

      // the cover: flat where it is pressed, round beyond, and let into the grooves a little
      const most = Math.max(...rows.patch);
      const patch = touched ? at(rows.patch, Math.min(share, LEAVING) * (rows.patch.length - 1)) : 0;
      const bulge = 0.3 * answer.groove_bottom * k * (most > 0 ? patch / most : 0);
      const rest = touched ? level(now.film) : level(secret ? values.water : rows.film[0]) - gap * floor * 1.15;
      const low = Array.from({ length: 97 }, (_, i) => {
        const x = (i / 96 - 0.5) * view;
        let y = rest - gapBeyond(x, patch) * k;
        if (bulge > 0 && outline.length) {
          const off = Math.abs(x - (Math.round(x / pitch - 0.5) + 0.5) * pitch);
          if (off < half * 0.9 && !blockedAt((Math.round(x / pitch - 0.5) + 0.5) * pitch)) y += bulge * Math.cos((off / (half * 0.9)) * (Math.PI / 2)) ** 2;
        }
        return [X(x), y];
      });
      put(cover, { d: `${line(low)}L${w} -20L0 -20Z` });
      // specks in the cover slide with it
      const slid = touched ? now.slipped * k : 0;
      const cell = 34;
      put(specks, {
        d: Array.from({ length: Math.ceil(w / cell) + 2 }, (_, i) => {
          const x = (((i * cell + slid) % (w + 2 * cell)) + w + 2 * cell) % (w + 2 * cell) - cell;
          const y = rest - gapBeyond((x - w / 2) / k, patch) * k - 12 - ((i * 29) % 5) * 9;
          return `M${px(x)} ${px(y)}l5 -4`;
        }).join(""),
      });

      // water: on the flats, and what has left them in the grooves
      const reached = touched ? (share >= rows.patch.indexOf(most) / (rows.patch.length - 1) ? most : patch) : 0;
      const sheet = [];
      const pooled = [];
      const thickAt = (x) => (Math.abs(x) <= reached && !wiped ? now.film : wet(x));
      for (const middle of lands) {
        if (!(wet(middle) > 0)) continue;
        // over a blocked groove it lies as on the flats; an open one it only hangs over
        const ends = [-1, 1].map((side) => {
          const groove = middle + (side * pitch) / 2;
          return blockedAt(groove) ? { x: groove, down: [] } : { x: groove - side * half, down: [[X(groove - side * half * 0.8), floor + 4]] };
        });
        const points = Array.from({ length: 17 }, (_, i) => {
          const x = ends[0].x + ((ends[1].x - ends[0].x) * i) / 16;
          return [X(x), level(thickAt(x))];
        });
        const [first_, last] = [points[0], points[16]];
        const close = (end, [x, y]) => (end.down.length ? `Q${px((x + end.down[0][0]) / 2)} ${px(y)} ${px(end.down[0][0])} ${px(end.down[0][1])}` : `L${px(x)} ${px(floor + 4)}`);
        const open = ends[0].down.length ? `M${px(ends[0].down[0][0])} ${px(floor + 4)}Q${px((first_[0] + ends[0].down[0][0]) / 2)} ${px(first_[1])} ${px(first_[0])} ${px(first_[1])}` : `M${px(first_[0])} ${px(floor + 4)}L${px(first_[0])} ${px(first_[1])}`;
        sheet.push(`${open}${line(points).replace("M", "L")}${close(ends[1], last)}Z`);
      }
      const deep = answer.groove_bottom * k;
      const stuffed = [];
      for (const middle of grooves) {
        if (!outline.length) break;
        const blocked = lies(middle, "soil_in_grooves");
        const top = floor + deep * (1 - blocked);
        const [a, b] = [X(middle - half), X(middle + half)];
        if (blocked > 0) stuffed.push(`M${px(a)} ${px(floor + deep + 2)}V${px(top + 2)}Q${px((3 * a + b) / 4)} ${px(top - 1.500)} ${px((a + b) / 2)} ${px(top + 0.500)}T${px(b)} ${px(top + 1)}V${px(floor + deep + 2)}Z`);
        const filled = touched && !wiped ? now.filled : 0;
        const stands = Math.max(filled * deep * (1 - blocked), wet(middle) > 0 && blocked < 0.97 ? 2.5 : 0);
        if (stands > 0) pooled.push(`M${px(a)} ${px(top)}V${px(top - stands)}Q${px((a + b) / 2)} ${px(top - stands + Math.min(3, stands / 2))} ${px(b)} ${px(top - stands)}V${px(top)}Z`);
      }
      put(film, { d: sheet.join("") || "M0 0" });
      put(pools, { d: pooled.join("") || "M0 0" });
      put(filling, { d: stuffed.join("") || "M0 0" });
      const lying = secret ? values.water : rows.film[0];
      show(before, touched && lying > 0);
      put(before, { d: `M0 ${px(level(lying))}H${w}` });

      // the way the water goes, from the middle of a flat to its grooves, or all along
      const shut = blockedAt(0);
      const moving = touched && share < 1 && now.film > 0 && lying > 0;
      show(flow, moving);
      if (moving) {
        const y = px((floor + level(now.film)) / 2);
        const spans = shut ? [[0, view / 2], [0, -view / 2]] : lands.flatMap((middle) => [[middle, middle + land / 2], [middle, middle - land / 2]]);
        put(flow, { d: spans.map(([from, to]) => `M${px(X(from))} ${y}H${px(X(to))}`).join(""), "stroke-dashoffset": px(-Math.log(lying / now.film) * 24) });
      }

      // where metal stands in the cover
      const on = touched ? tips.filter((tip) => tip.bare && tip.high > now.film && Math.abs(tip.at) < patch && !(Math.abs(tip.at - Math.round(tip.at / pitch) * pitch) < (lies(tip.at, "soil_on_lands") * land) / 2)) : [];
      show(spots, on.length > 0);
      put(spots, { d: on.map(({ x }) => `M${px(x - 3)} ${px(rest)}h6`).join("") || "M0 0" });

      // soil and grass on the flats
      const lumps = [];
      const grains = [];
      const blades = [];
      for (const middle of lands) {
        for (const cleaned of first ? [false] : [false, true]) {
          const covered = (cleaned ? answer.now_soil_on_lands : values.soil_on_lands) * land;
          if (!(covered > 0)) continue;
          const bumps = Math.max(2, Math.round((covered * k) / 24));
          const wide = covered / bumps;
          for (let i = 0; i < bumps; i += 1) {
            const x = middle + (i + 0.5) * wide - covered / 2;
            if (clean(x) !== cleaned) continue;
            const high = tall * (0.22 + 0.13 * spread(i));
            const half_ = px((wide * k) / 2);
            lumps.push(`M${px(X(x) - half_)} ${px(floor + 3)}q${px(half_ * 0.2)} ${px(-high)} ${half_} ${px(-high)}t${half_} ${px(high)}z`);
            for (const off of [-0.4, 0.3]) grains.push(`M${px(X(x) + off * half_)} ${px(floor - high * (0.2 + 0.4 * spread(i + off * 10)))}h2.5`);
          }
        }
        const share_ = lies(middle, "grass");
        if (share_ > 0) {
          const pieces = 5;
          for (let i = 0; i < pieces; i += 1) {
            const from = middle - land / 2 + (land * (i + 0.5 - share_ / 2)) / pieces;
            const long = ((land * share_) / pieces) * k;
            const y = floor - 4 - (i % 2) * 3;
            blades.push(`M${px(X(from))} ${px(y)}q${px(long * 0.3)} ${px(-7)} ${px(long * 1.08)} ${px(-1)}q${px(-long * 0.5)} ${px(5)} ${px(-long * 1.08)} 1Z`);
          }
        }
      }
      put(soil, { d: lumps.join("") || "M0 0" });
      put(grit, { d: grains.join("") || "M0 0" });
      put(grass, { d: blades.join("") || "M0 0" });

      drawWords(now, secret, touched, share, lying);
      const small = Math.max(12, box.text * 0.82);
      put(ruler, { d: `M${px(w - small - k * 1e-3)} ${px(h - small * 0.75)}h${px(k * 1e-3)}m0 -4v8M${px(w - small - k * 1e-3)} ${px(h - small * 0.75 - 4)}v8` });
      put(millimetre, { x: px(w - small - k * 0.5e-3), y: px(h - small * 1.15), text: "1 mm", "font-size": small });
      // where no grip stands
      show(named.groove, !first && outline.length > 0);
      put(named.flat, { x: px(X(0)), y: px(floor + small * (first ? 2.6 : 1.7)), text: "flat", "font-size": small });
      put(named.groove, { x: px(X(pitch / 2)), y: px(floor + deep + small * 1.25), text: "groove", "font-size": small });
      placeGrips(X, level, pitch, deep);
    }

    function placeGrips(X, level, pitch, deep) {
      const { values } = scene;
      const top = box.top;
      for (const one of Object.values(turns)) show(one, !scene.hidden);
      if (!first) return;
      turns.water.refresh(box.w - 26, top + level(values.water), box.scale);
      turns.soil_in_grooves.refresh(X(-pitch / 2), top + box.floor + reachOf() * (1 - values.soil_in_grooves), box.scale);
      turns.soil_on_lands.refresh(X((values.soil_on_lands * values.land) / 2), top + box.floor, box.scale);
      turns.groove.refresh(X(pitch / 2), top + box.floor + deep, box.scale);
    }

    const gaugeAt = (value) => box.gx + box.gw * clamp(value / spec.most.spin_rate, 0, 1);

    function drawWords(now, secret, touched, share, lying) {
      const { answer } = scene;
      const of = (about) => answer[`${name}_${about}`];
      const done = touched && share >= 1;
      put(tag, { text: phrase(name) });
      put(spin, { text: secret ? "spin ?" : phrase("spin", { spin: touched ? now.spin : 0 }) });
      const band = secret ? null : scene.bands?.values[`${name}_spin_rate`];
      put(likely, { text: band ? speak.fill(spec.texts.likely[0].text, { low: band[0], high: band[1] }) : "" });
      put(range, { d: band ? `M${px(gaugeAt(band[0]))} ${box.gy}H${px(gaugeAt(band[1]))}` : "M0 0" });
      show(needle, !secret);
      put(needle, { d: secret ? "M0 0" : `M${px(gaugeAt(touched ? now.spin : 0))} ${box.gy - 9}v18` });
      const films = lying > 0 ? phrase(done ? "left" : "film", { film: touched ? now.film : lying }) : phrase("none");
      put(facts[0], { text: secret ? "" : done ? phrase("run_out", { run: of("run_out") }) : "" });
      put(facts[1], { text: secret ? "" : films });
      put(facts[2], { text: secret || !done ? "" : phrase("friction", { used: of("friction"), most: answer.most_friction }) });
      put(named.cover, { text: touched ? "ball’s cover" : "" });
      put(named.doing, { text: !touched || done ? "" : now.holds > 0.5 ? "holds" : "slides" });
      put(told[0], { text: phrase(first ? "holds" : "limits") });
      put(told[1], { text: phrase(first ? "room" : "limit") });
      if (!guessing) return;
      const spot = scene.guessing?.of("now_spin_rate");
      show(guessing, Boolean(spot));
      if (spot) guessing.refresh(gaugeAt(spot.value), box.gy);
      const said = scene.guessed.find((one) => one.of === "now_spin_rate");
      show(guessMark, Boolean(said));
      if (said) put(guessMark, { d: `M${px(gaugeAt(said.value))} ${box.gy - 11}v22` });
    }

    // where a pointer is over this face, along it [m]; null beside it
    const faceAt = ([x, y]) => (x > box.x - 20 && x < box.x + box.w + 20 && y > box.y + box.top && y < box.y + box.top + box.h ? (x - box.x - box.w / 2) / k : null);
    const places = () => ({ left: box.x, right: box.x + box.w, y: box.y + box.top + box.floor - 20, half: box.w / 2 / k });
    return { node, resize, draw, faceAt, places };
  }

  // ---- the ways of cleaning: taken by their sign and drawn over the face, or tapped

  function icon(name) {
    const kind = name === "tee" || name === "nothing" ? name : "towel";
    return svg("g", { class: `under-tool ${kind}` }, svg("path", { d: TOOLS[kind] }),
      name === "damp_towel" || name === "then_dry" ? svg("path", { class: "under-drops", d: TOOLS.drops }) : null);
  }

  function wipe(name) {
    scene.turn({ cleaning: name });
    scene.rest();
    if (calm.matches || name === Object.keys(controls.cleaning.options)[0]) {
      wiped = null;
      tool.replaceChildren();
      scene.redraw();
      return;
    }
    const { left, right, y, half } = lanes[1].places();
    tool.replaceChildren(icon(WAYS[Object.keys(controls.cleaning.options).indexOf(name)]));
    const begin = performance.now();
    const tick = (time) => {
      const share = clamp((time - begin) / SWEEP, 0, 1);
      wiped = share < 1 ? [-1, half * (2 * share - 1)] : null;
      put(tool, { transform: `translate(${px(left + (right - left) * share)} ${px(y)}) scale(2)` });
      if (share >= 1) tool.replaceChildren();
      else requestAnimationFrame(tick);
      scene.redraw();
    };
    requestAnimationFrame(tick);
  }

  function toolRack() {
    const title = svg("text", { class: "tag" });
    const best = svg("path", { class: "under-best" });
    const bestSaid = svg("text", { class: "quiet", "text-anchor": "end" });
    const options = Object.keys(controls.cleaning.options);
    const rows = options.map((option, i) => {
      const name = WAYS[i];
      const back = svg("rect", { rx: 10, class: "under-row" });
      const sign = icon(name);
      const handle = svg("g", { class: "grip under-handle" }, svg("circle", { r: 22, class: "reach" }), sign);
      const label = svg("text", {}, option);
      const bar = svg("rect", { class: "bar", rx: 3 });
      const whisker = svg("path", { class: "whisker plain" });
      const number = svg("text", { class: "facts", "text-anchor": "end" });
      const node = svg("g", { class: "under-way", role: "button", tabindex: 0 }, back, bar, whisker, label, number, handle);
      const choose = () => !scene.hidden && wipe(option);
      let moved = false;
      // a finger on the handle makes no click; what was not drawn away was tapped
      node.addEventListener("click", (event) => !handle.contains(event.target) && choose());
      node.addEventListener("keydown", (event) => {
        if (event.key === "Enter" || event.key === " ") choose();
        else if (keyed({ low: 0, high: 4, half: null, step: 1 }, i, event.key) !== null && event.key.startsWith("Arrow")) {
          rows[clamp(i + (event.key === "ArrowDown" || event.key === "ArrowRight" ? 1 : -1), 0, options.length - 1)].node.focus();
        } else return;
        event.preventDefault();
      });
      let started = null;
      dragged(handle, scene.picture, (place, phase) => {
        if (scene.hidden) return;
        if (phase === "down") {
          [started, moved] = [place, false];
          return;
        }
        if (Math.hypot(place[0] - started[0], place[1] - started[1]) > 6 && !moved) {
          moved = true;
          tool.replaceChildren(icon(name));
        }
        if (!moved) return;
        put(tool, { transform: `translate(${px(place[0])} ${px(place[1])}) scale(2)` });
        const on = lanes[1].faceAt(place);
        if (on === null) return;
        scene.turn({ cleaning: option });
        wiped = wiped ? [Math.min(wiped[0], on - 0.5e-3), Math.max(wiped[1], on + 0.5e-3)] : [on - 0.5e-3, on + 0.5e-3];
        scene.redraw();
      }, () => {
        if (!moved) {
          choose();
          return;
        }
        tool.replaceChildren();
        wiped = null;
        scene.rest();
        scene.redraw();
      });
      return { name, option, node, back, sign, handle, label, bar, whisker, number };
    });
    const node = svg("g", { class: "rack", role: "group", "aria-label": "Ways of cleaning" }, title, bestSaid, ...rows.map((one) => one.node), best);
    let box = {};
    return {
      node,
      resize(given) {
        box = given;
        const { w, text, step } = box;
        box.under = w < 480 ? 0.24 : 0; // where it is narrow the bar lies under the name
        box.bars = box.under ? 50 : 50 + text * 11.6;
        put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
        put(title, { x: 0, y: text, "font-size": text, text: "Wipe with" });
        put(bestSaid, { x: w, y: text, "font-size": text * 0.92 });
        rows.forEach((one, i) => {
          const y = box.head + i * step;
          put(one.back, { x: 0, y: y + 1, width: w, height: step - 2 });
          put(one.handle, { transform: `translate(24 ${px(y + step / 2)})` });
          put(one.sign, { transform: `scale(${px(step / 48)})` });
          put(one.label, { x: 50, y: y + step * (0.5 - box.under * 0.75), dy: "0.35em", "font-size": text });
          put(one.number, { x: w - 10, y: y + step / 2, dy: "0.35em", "font-size": text });
        });
      },
      draw() {
        const { answer, values, hidden } = scene;
        const { w, text, step } = box;
        const [from, to] = [box.bars, w - 16 - text * 5];
        const X = (value) => from + (to - from) * clamp(value / spec.most.spin_rate, 0, 1);
        show(best, !hidden);
        put(best, { d: hidden ? "M0 0" : `M${px(X(answer.spotless_spin_rate))} ${px(box.head)}V${px(box.head + step * rows.length)}` });
        put(bestSaid, { text: hidden ? "" : phrase("spotless") });
        rows.forEach((one, i) => {
          const y = box.head + (i + 0.5 + box.under) * step;
          const thick = step * (box.under ? 0.2 : 0.34);
          const value = answer[`${one.name}_spin_rate`];
          const band = hidden ? null : scene.bands?.values[`${one.name}_spin_rate`];
          const said = hidden ? "" : speak.say("spin", value);
          put(one.bar, { x: px(from), y: px(y - thick / 2), width: px(hidden ? 0 : X(value) - from), height: px(thick), class: `bar ${values.cleaning === one.option ? "wet" : "plain"}` });
          put(one.whisker, { d: band ? `M${px(X(band[0]))} ${px(y)}H${px(X(band[1]))}M${px(X(band[0]))} ${px(y - 6)}v12M${px(X(band[1]))} ${px(y - 6)}v12` : "M0 0" });
          put(one.number, { text: said });
          const now = values.cleaning === one.option;
          put(one.node, { "aria-label": `Clean with ${one.option}${said ? `: spin ${said}` : ""}`, "aria-pressed": String(now), class: now ? "under-way wiping" : "under-way", "aria-disabled": String(hidden) });
        });
      },
    };
  }

  // ---- the film against time, both faces

  function filmChart() {
    const title = svg("text", { class: "tag" });
    const about = svg("text", { class: "quiet", "text-anchor": "end" });
    const rough = svg("rect", { class: "under-rough" });
    const axes = svg("g", { class: "axes" });
    const ghosts = svg("g", { class: "ghosts" });
    const curves = { found: svg("path", { class: "curve plain" }), now: svg("path", { class: "curve wet" }) };
    const dots = { found: svg("circle", { class: "dot plain", r: 6.5 }), now: svg("rect", { class: "dot wet", width: 12, height: 12 }) };
    const moment = svg("path", { class: "base" });
    const node = svg("g", { class: "film-chart" }, title, about, rough, axes, moment, ghosts, curves.found, curves.now, dots.found, dots.now);
    let box = {};
    let drawn = "";
    return {
      node,
      resize(given) {
        box = given;
        drawn = "";
        put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
        put(title, { x: 0, y: box.text, "font-size": box.text, text: box.w < 420 ? "Film [µm]" : "Film on the flats [µm]" });
        put(about, { x: box.w, y: box.text, "font-size": box.text * 0.92 });
      },
      draw() {
        const { answer, values, hidden } = scene;
        const { w, text, h } = box;
        const [left, top, bottom] = [text * 2.7, box.head + 6, h - text * 1.7];
        const whole = answer.contact_time;
        const X = (time) => left + ((w - left - 10) * time) / whole;
        const Y = (value) => bottom - water(value) * (bottom - top);
        if (drawn !== `${whole} ${w}`) {
          drawn = `${whole} ${w}`;
          const times = [0, 100e-6, 200e-6, 300e-6, 400e-6, 500e-6].filter((time) => time <= whole);
          axes.replaceChildren(
            ...[0, ...TICKS].map((value) => svg("g", { transform: `translate(${left} ${px(Y(value))})` }, svg("path", { class: value ? "rule" : "base", d: `M0 0H${px(w - left - 10)}` }),
              svg("text", { x: -7, dy: "0.35em", "text-anchor": "end", "font-size": text * 0.8 }, speak.number("thickness", value, 0)))),
            ...times.filter((_, i) => w > 420 || i % 2 === 0).map((time) => svg("text", { x: px(X(time)), y: bottom + text * 1.25, "text-anchor": time ? "middle" : "start", "font-size": text * 0.8 }, time ? speak.number("time", time) : "0\u00a0µs")));
        }
        put(about, { text: speak.fill("shaded: roughness {roughness}", values) });
        put(rough, { x: left, y: px(Y(values.roughness)), width: px(w - left - 10), height: px(bottom - Y(values.roughness)) });
        const share = contactShare();
        for (const name of ["found", "now"]) {
          const secret = secretOf(name);
          const rows = answer[`${name}_film`];
          show(dots[name], !secret);
          put(curves[name], { d: secret ? "M0 0" : line(Array.from(rows.time, (time, i) => [X(time), Y(rows.film[i])])) });
          if (secret) continue;
          const [x, y] = [X(share * whole), Y(at(rows.film, share * (rows.film.length - 1)))];
          put(dots[name], name === "found" ? { cx: px(x), cy: px(y) } : { x: px(x - 6), y: px(y - 6) });
        }
        put(moment, { d: `M${px(X(share * whole))} ${px(top)}V${px(bottom)}` });
        ghosts.replaceChildren(...(hidden ? [] : scene.kept.map(({ answer: kept }) => svg("path", { class: "ghost", d: line(Array.from(kept.now_film.time, (time, i) => [X(time), Y(kept.now_film.film[i])])) }))));
      },
    };
  }

  // ---- laid out for the width that there is

  function resize(width) {
    if (Math.abs(width - wide) < 1 || width < 50) return false;
    wide = width;
    const beside = width >= 780;
    const gap = beside ? 24 : 18;
    const w = beside ? (width - gap) / 2 : width;
    const text = beside ? clamp(w * 0.029, 15, 27) : clamp(w * 0.04, 15, 20);
    const big = beside ? clamp(w * 0.054, 26, 52) : clamp(w * 0.064, 24, 38);
    const gy = Math.round(text * 1.1 + big * 1.5);
    const top = gy + text * 2.05;
    const h = Math.round(clamp(w * 0.36, 178, 440));
    const scale = px(clamp(w / 640, 1, 1.5));
    lanes.forEach((one, i) => {
      one.resize({ x: beside ? i * (w + gap) : 0, y: beside ? 0 : i * (top + h + gap), w, h, text, big, top, ty: text, gx: 3, gy, gw: w * 0.42, floor: Math.round(h * 0.56), tall: h * 0.44, scale });
    });
    const below = beside ? top + h + gap : 2 * (top + h + gap);
    const step = Math.max(44, text * 2.1);
    const head = text * 1.6;
    const high = head + 5 * step;
    rack.resize({ x: 0, y: below, w, text, step, head });
    chart.resize({ x: beside ? w + gap : 0, y: beside ? below : below + high + gap, w, h: high, text, head });
    const whole = beside ? below + high : below + 2 * high + gap;
    put(node, { width, height: whole, viewBox: `0 0 ${width} ${whole}` });
    return true;
  }

  function clock() {
    return scene.answer ? speak.fill("time {t:time}", { t: contactShare() * scene.answer.contact_time }) : "";
  }

  const draw = () => { for (const one of [...lanes, rack, chart]) one.draw(); };
  return { node, resize, draw, clock, seconds: SECONDS };
}
