// The impact scene drawn by hand: face, ball and water, dry beside wet, then both balls in flight.  It never computes a shot:
// what moves is read from the rows that the scene's `compute` has filled.

import { ball, ballDefs } from "./ball.js";
import { clamp, grip, line, px, put, show, svg, wayOf, valueAt } from "./dom.js";
import { lens } from "./lens.js";
import { guessGrips } from "./guess.js";
import { at, lastOf, placeAt, row } from "./rows.js";

const RADIUS = 21.335e-3; // of the ball as drawn [m]
const SITS = RADIUS + 5e-3; // the ball sits that far above the ground, on the grass [m]
const LOW_EDGE = -11e-3; // the leading edge, below the place of contact along the face [m]
const HIGH_EDGE = 33e-3;
const GROOVES = { first: -7.2e-3, step: 3.5e-3, width: 0.8e-3, depth: 0.5e-3, many: 11 };
const SLOW = 0.62; // share of the story that is slow motion
const SECONDS = 10.5;
const ARROW = 1.6e-3; // length of the head's arrow for 1 m/s, as drawn beside a ball of that radius [m]
const SHEET = 3.2e-3; // thickness of the most water, as drawn on the face [m]
const DROPS = 16;
const RANGES = [1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 90, 120, 150, 200, 300, 400];

export function impact(scene) {
  const { spec, id, speak, controls } = scene;
  const phrase = (name, values) => speak.fill(spec.texts[name][0].text, values);
  const water = (value) => wayOf(controls.water, clamp(value, 0, controls.water.high));

  const stops = (...all) => all.map(([offset, name]) => svg("stop", { offset, class: name }));
  const defs = svg("defs", {}, ...ballDefs(id),
    svg("linearGradient", { id: `${id}-steel`, x1: 1, y1: 0, x2: 0, y2: 0.15 }, ...stops([0, "steel-bright"], [0.16, "steel-mid"], [0.6, "steel-low"], [1, "steel-dark"])),
    svg("linearGradient", { id: `${id}-steel-lens`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops([0, "steel-bright"], [0.3, "steel-low"], [1, "steel-dark"])),
    svg("linearGradient", { id: `${id}-water`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops([0, "water-light"], [1, "water-deep"])),
    svg("linearGradient", { id: `${id}-turf`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops([0, "turf-light"], [1, "turf-deep"])),
    svg("linearGradient", { id: `${id}-air-dry`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops([0, "air-top"], [1, "air-dry"])),
    svg("linearGradient", { id: `${id}-air-wet`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops([0, "air-top"], [1, "air-wet"])),
    svg("marker", { id: `${id}-tip`, viewBox: "0 0 10 10", refX: 5, refY: 5, markerWidth: 3.4, markerHeight: 3.4, orient: "auto-start-reverse" },
      svg("path", { d: "M0 0L10 5L0 10Z", fill: "context-stroke" })));
  const lanes = [lane("dry", true), lane("wet", false)];
  const flight = flightStrip();
  const node = svg("svg", { class: "impact", role: "group" }, defs, ...lanes.map((one) => one.node), flight.node);
  let wide = 0;
  let beside = true;

  // ---- one close-up

  function lane(name, first) {
    const inside = `${id}-${name}-inside`;
    const frame = svg("rect", { rx: 14 });
    const air = svg("rect", { fill: `url(#${id}-air-${name})` });
    const turf = svg("path", { fill: `url(#${id}-turf)` });
    const blades = svg("path", { class: "blades" });
    const shadow = svg("ellipse", { class: "shadow" });
    const normal = svg("path", { class: "normal" });
    const ghosts = svg("g", { class: "ghosts" });
    const launch = svg("path", { class: `launch ${name}`, "marker-end": `url(#${id}-tip)` });
    const guess = svg("path", { class: "guessed", "marker-end": `url(#${id}-tip)` });
    const head = svg("g", { class: "head-metal" });
    const metal = svg("path", { class: "metal", fill: `url(#${id}-steel)` });
    const lines = svg("path", { class: "brushed" });
    const soil = svg("path", { class: "soil" });
    const held = svg("path", { class: "held-water" });
    const sheet = svg("path", { class: "sheet" });
    const edge = svg("path", { class: "face-edge" });
    head.append(sheet, metal, lines, held, soil, edge);
    const arriving = svg("path", { class: "arriving", "marker-end": `url(#${id}-tip)` });
    const drops = svg("path", { class: "drops" });
    const shown = ball(id, name);
    const swap = svg("g", { class: "swap" }, svg("circle", { class: "reach" }));
    const glass = lens(id, name);
    const tag = svg("text", { class: "tag" });
    const sign = svg(name === "dry" ? "circle" : "rect", { class: `sign ${name}` });
    const spin = svg("text", { class: "spin" });
    const spinBand = svg("text", { class: "quiet" });
    const facts = ["launch", "speed"].map((about) => ({ about, node: svg("text", { class: "facts" }) }));
    const gauge = svg("g", { class: "gauge" }, svg("path", { class: "track" }), svg("path", { class: `range ${name}` }),
      svg("path", { class: "guess-mark" }), svg("path", { class: `needle ${name}` }));
    const [track, range, guessMark, needle] = gauge.children;
    const clipped = svg("g", { "clip-path": `url(#${inside})` }, air, shadow, normal, ghosts, launch, guess, head, arriving, drops, shown.node, turf, blades);
    const node = svg("g", { class: `lane ${name}` }, svg("clipPath", { id: inside }, frame), clipped, gauge, sign, tag, spin, spinBand, ...facts.map((fact) => fact.node), glass.node, swap);
    let box = {};
    let pivot = [0, 0]; // where the face is turned about, and where the head's arrow ends
    let tip = [0, 0];

    const turns = {
      loft: grip(scene, controls.dynamic_loft, {
        primary: first,
        describe: "Loft: turn the face by its upper edge",
        drag: ([x, y]) => {
          const [dx, dy] = [pivot[0] - (x - box.x), pivot[1] - (y - box.y)];
          return Math.atan2(dx, dy);
        },
      }),
      speed: grip(scene, controls.head_speed, {
        primary: first,
        describe: "Head speed: draw the head's arrow",
        shape: svg("path", { d: "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0M-6 0h12M-2 -4l-4 4l4 4M2 -4l4 4l-4 4", class: "knob" }),
        drag: ([x, y]) => {
          const [dx, dy] = [(tip[0] - (x - box.x)) / box.k, (tip[1] - (y - box.y)) / box.k];
          const attack = controls.attack_angle;
          if (Math.hypot(dx, dy) > 15e-3) {
            const angle = clamp(-Math.atan2(dy, dx), attack.low, attack.high);
            scene.turn({ attack_angle: Math.round(angle / attack.step) * attack.step });
          }
          return Math.hypot(dx, dy) / ARROW;
        },
      }),
    };
    node.append(turns.loft, turns.speed);
    if (!first) {
      turns.water = grip(scene, controls.water, {
        describe: "Water: pull its surface up or down",
        shape: svg("path", { d: "M-12 0a12 12 0 1 0 24 0a12 12 0 1 0 -24 0M0 -6v12M-4 -2l4 -4l4 4M-4 2l4 4l4 -4", class: "knob" }),
        drag: ([, y]) => valueAt(controls.water, glass.wayAt(y - box.y)),
      });
      node.append(turns.water);
      swap.setAttribute("role", "button");
      swap.setAttribute("tabindex", 0);
      swap.addEventListener("keydown", (event) => {
        if (event.key !== "Enter" && event.key !== " ") return;
        event.preventDefault();
        scene.nextOption(controls.ball);
      });
    } else swap.setAttribute("aria-hidden", "true");
    swap.addEventListener("click", () => !scene.hidden && scene.nextOption(controls.ball));
    const guessGrip = first ? null : guessGrips(scene, {
      angle: ([x, y]) => {
        const [bx, by] = place(0, 0);
        return Math.atan2(by - (y - box.y), x - box.x - bx);
      },
      place: ([x]) => ((x - box.x - box.gx) / box.gw) * spec.most.spin_rate,
    });
    if (guessGrip) node.append(guessGrip.angle, guessGrip.place);

    const contactPoint = (loft) => [-RADIUS * Math.cos(loft), -RADIUS * Math.sin(loft)];
    const place = (x, z) => [box.bx + box.k * x, box.by - box.k * z];
    function anchor(loft) { // where the head's arrow ends: the middle of the head
      const [x, z] = contactPoint(loft);
      return place(x - 9e-3 * Math.cos(loft) - 3e-3 * Math.sin(loft), z - 9e-3 * Math.sin(loft) + 3e-3 * Math.cos(loft));
    }

    function resize(given) {
      box = given;
      const { w, h, k, text, big } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})`, style: `--scale: ${box.scale}` });
      for (const one of [frame, air]) put(one, { width: w, height: h });
      const ground = box.by + SITS * k;
      put(turf, { d: `M0 ${px(ground)}Q${px(w * 0.3)} ${px(ground - 3)} ${px(w * 0.55)} ${px(ground)}T${w} ${px(ground - 1)}V${h}H0Z` });
      put(blades, {
        d: Array.from({ length: Math.round(w / 9) }, (_, i) => {
          const x = i * 9 + ((i * 37) % 11) - 4;
          const tall = 1e-3 * k * (1.6 + ((i * 53) % 7) * 0.55);
          return `M${x} ${px(ground + 2)}q${((i * 29) % 7) - 3} ${-tall * 0.6} ${((i * 31) % 9) - 4} ${-tall}`;
        }).join(""),
      });
      const K = (value) => px(value * 1e-3 * k);
      // head in the face's frame: x out of the face, y down along it
      const notches = Array.from({ length: GROOVES.many }, (_, i) => GROOVES.first + i * GROOVES.step).reverse();
      const [deep, half] = [GROOVES.depth * k, (GROOVES.width / 2) * k];
      const face = notches.map((t) => `L0 ${px(-t * k - half)}l${px(-deep)} ${px(half * 0.3)}v${px(half * 1.4)}L0 ${px(-t * k + half)}`).join("");
      put(metal, {
        d: `M0 ${px(-HIGH_EDGE * k)}${face}L0 ${px(-LOW_EDGE * k)}Q${K(-1)} ${px(-LOW_EDGE * k + 1.5e-3 * k)} ${K(-3)} ${px(-LOW_EDGE * k + 0.6e-3 * k)}` +
          `Q${K(-10)} ${K(9)} ${K(-17.5)} ${K(-1.5)}Q${K(-19)} ${K(-4.5)} ${K(-15)} ${K(-7)}Q${K(-8)} ${K(-11)} ${K(-6.5)} ${K(-17)}L${K(-4)} ${K(-32)}Q${K(-3.4)} ${K(-34.6)} 0 ${px(-HIGH_EDGE * k)}Z`,
      });
      put(lines, { d: Array.from({ length: 9 }, (_, i) => `M${K(-1.2 - i * 0.5)} ${K(-30 + i)}L${K(-1.6 - i * 1.15)} ${K(7.5 - i * 0.9)}`).join("") });
      put(edge, { d: `M0.5 ${px(-HIGH_EDGE * k)}L0.5 ${px(-LOW_EDGE * k)}` });
      const filled = notches.map((t) => `M0 ${px(-t * k - half)}l${px(-deep)} ${px(half * 0.3)}v${px(half * 1.4)}L0 ${px(-t * k + half)}Z`).join("");
      put(held, { d: filled });
      put(soil, { d: filled });
      put(swap.firstChild, { r: Math.max(24, RADIUS * k * 0.8) });
      const [bx, by] = place(0, 0);
      put(swap, { transform: `translate(${px(bx + RADIUS * k * 0.25)} ${px(by - RADIUS * k * 0.2)})` });
      // words
      put(sign, first ? { cx: box.tx + text * 0.35, cy: box.ty - text * 0.33, r: text * 0.36 }
        : { x: box.tx, y: box.ty - text * 0.66, width: text * 0.68, height: text * 0.68 });
      put(tag, { x: box.tx + text, y: box.ty, "font-size": text });
      put(spin, { x: box.tx, y: box.ty + big * 1.12, "font-size": big });
      put(spinBand, { x: box.tx, y: box.gy + text * 1.45, "font-size": text * 0.92 });
      facts.forEach((fact, i) => put(fact.node, { x: box.tx, y: box.gy + text * (3 + i * 1.35), "font-size": text }));
      put(track, { d: `M${box.gx} ${box.gy}h${box.gw}` });
      const marks = [1e-6, 3e-6, 10e-6].map((value) => ({ way: water(value), text: speak.number("thickness", value, 0) }));
      glass.place({ x: box.lx, y: box.ly, r: box.lr, text: text * 0.92 }, marks);
    }

    // The word that is called up: an arc or a line at what it names, and the word beside it.
    const term = first ? svg("g", {}, svg("path", { class: "term" }), svg("text", { class: "term-name" })) : null;
    if (term) node.append(term);
    function drawTerm({ ball: [bx, by], touch: [hx, hy], tail: [sx, sy], leaving }) {
      const { values } = scene;
      const { text, arrow, k } = box;
      const turn = (x, y, radius, from, to) => {
        const at_ = (angle) => `${px(x + radius * Math.cos(angle))} ${px(y - radius * Math.sin(angle))}`;
        return `M${at_(from)}A${px(radius)} ${px(radius)} 0 0 ${to > from ? 0 : 1} ${at_(to)}`;
      };
      const level = (x, y, long) => `M${px(x)} ${px(y)}h${px(long)}`;
      const loft = values.dynamic_loft;
      const upright = Math.PI / 2;
      const beside = (angle, far) => [bx + far * Math.cos(angle), by - far * Math.sin(angle)];
      const edge_ = RADIUS * k;
      const places = {
        "dynamic loft": () => [`M${px(hx)} ${px(hy)}v${px(-1.5 * edge_)}${turn(hx, hy, 1.25 * edge_, upright, upright + loft)}`, [hx + text * 0.5, hy - 1.35 * edge_], "start"],
        "attack angle": () => [`${level(sx, sy, 0.32 * arrow)}${turn(sx, sy, 0.28 * arrow, 0, values.attack_angle)}`, [sx + text, sy - text * 1.1], "start"],
        "spin loft": () => [turn(hx, hy, 0.62 * arrow, values.attack_angle, loft), [hx + 0.66 * arrow, hy - text * 0.5], "start"],
        "launch angle": () => [`${level(bx, by, 0.55 * arrow)}${turn(bx, by, 0.5 * arrow, 0, leaving)}`, beside(leaving / 2, 0.55 * arrow), "start"],
        "ball speed": () => ["M0 0", beside(leaving, 0.7 * arrow).map((v, i) => v + (i ? text * 1.6 : text * 0.8)), "start"],
        "spin rate": () => [turn(bx, by, 1.18 * edge_, 1.7, 0.3), beside(1.25, 1.38 * edge_), "start"],
        lands: () => {
          const [x, y] = [hx - 20e-3 * k * Math.sin(loft), hy - 20e-3 * k * Math.cos(loft)];
          return [`M${px(x)} ${px(y)}l${px(-text * 1.6)} ${px(text * 0.6)}`, [x - text * 1.9, y + text * 0.9], "end"];
        },
        cover: () => [`M${beside(0.5, edge_).map(px).join(" ")}l${px(text * 1.4)} ${px(-text * 0.2)}`, [beside(0.5, edge_)[0] + text * 1.7, beside(0.5, edge_)[1]], "start"],
        film: () => [`M${px(box.lx - box.lr)} ${px(box.ly)}h${px(-text)}`, [box.lx - box.lr - text * 1.3, box.ly + text * 0.35], "end"],
      };
      const found = places[scene.word]?.();
      show(term, Boolean(found));
      if (!found) return;
      const [d, [x, y], anchor_] = found;
      put(term.firstChild, { d });
      const wide = text * 0.62 * scene.word.length;
      const least = anchor_ === "end" ? wide + 6 : anchor_ === "middle" ? wide / 2 + 6 : 6;
      const most = anchor_ === "start" ? box.w - wide - 6 : box.w - 6;
      put(term.lastChild, { x: px(clamp(x, least, most)), y: px(clamp(y, text * 1.2, box.h - text)), "text-anchor": anchor_, "font-size": px(text * 1.1), text: scene.word });
    }

    function draw() {
      const { answer, values, moment, hidden } = scene;
      const secret = hidden && !first;
      const rows = answer[`${name}_motion`];
      const share = secret ? 0 : clamp(moment / SLOW, 0, 1);
      const now = row(rows, share * (rows.time.length - 1));
      const { k } = box;
      const loft = values.dynamic_loft;
      const [bx, by] = place(now.ball_x, now.ball_z);
      const [qx, qz] = contactPoint(loft);
      const [hx, hy] = place(qx + now.head_x, qz + now.head_z);
      const hard = answer.hard > 0.5;
      shown.show({ x: bx, y: by, radius: RADIUS * k, turned: now.turned, compression: now.compression / RADIUS, loft, hard });
      put(shadow, { cx: bx + 4, cy: box.by + SITS * k + 3, rx: RADIUS * k * clamp(1 - now.ball_z * 14, 0.55, 1), ry: 6 });
      put(head, { transform: `translate(${px(hx)} ${px(hy)}) rotate(${px((-loft * 180) / Math.PI)})` });

      // water on the face: as thick as its own scale makes it
      const lying = first ? 0 : values.water;
      const thick = lying > 0 ? water(lying) * SHEET * k : 0;
      show(sheet, thick > 0);
      show(held, thick > 0);
      const left = now.time > 0 ? water(now.film) * SHEET * k : thick;
      const [wide, patch] = [7.5e-3 * k, 4e-3 * k];
      put(sheet, {
        d: `M-1 ${px(-HIGH_EDGE * 0.95 * k)}Q${px(thick * 1.1)} ${px(-HIGH_EDGE * 0.9 * k)} ${px(thick)} ${px(-HIGH_EDGE * 0.7 * k)}L${px(thick)} ${px(-wide)}` +
          `C${px(thick)} ${px(-patch)} ${px(left)} ${px(-wide)} ${px(left)} ${px(-patch)}L${px(left)} ${px(patch)}C${px(left)} ${px(wide)} ${px(thick)} ${px(patch)} ${px(thick)} ${px(wide)}` +
          `L${px(thick)} ${px(-LOW_EDGE * 0.7 * k)}Q${px(thick * 1.2)} ${px(-LOW_EDGE * 1.05 * k)} -1 ${px(-LOW_EDGE * 1.02 * k)}Z`,
      });
      const blocked = first ? 0 : answer.soil_in_grooves;
      show(soil, blocked > 0);
      put(soil, { opacity: px(blocked) });
      drawDrops(rows, now, lying, hx, hy, loft);

      const touched = now.time > 0;
      const open = !secret && now.time >= answer.contact_time;

      // arrows
      const [tx, ty] = anchor(loft);
      const [ax, ay] = [tx + now.head_x * k, ty - now.head_z * k];
      const long = values.head_speed * ARROW * k;
      const [sx, sy] = [ax - long * Math.cos(values.attack_angle), ay + long * Math.sin(values.attack_angle)];
      pivot = [hx, hy];
      tip = [ax, ay];
      put(arriving, { d: `M${px(sx)} ${px(sy)}L${px(ax)} ${px(ay)}` });
      turns.speed.refresh(sx, sy, box.scale);
      const leaving = answer[`${name}_launch_angle`];
      const from = open ? [bx, by] : place(0, 0);
      const reach = (angle, length) => `M${px(from[0])} ${px(from[1])}L${px(from[0] + length * Math.cos(angle))} ${px(from[1] - length * Math.sin(angle))}`;
      const far = box.arrow * (answer[`${name}_ball_speed`] / Math.max(answer.dry_ball_speed, answer.wet_ball_speed));
      show(launch, open);
      if (!secret) put(launch, { d: reach(leaving, far) });
      else put(launch, { d: "M0 0" });
      put(normal, { d: reach(loft, box.arrow * 0.94) });
      const said = first ? null : scene.guessed.find(({ of }) => of === "wet_launch_angle") ?? scene.guessing?.of("wet_launch_angle");
      show(guess, Boolean(said));
      if (said) put(guess, { d: reach(said.value, box.arrow) });
      if (guessGrip) {
        const angle = scene.guessing?.of("wet_launch_angle");
        show(guessGrip.angle, Boolean(angle));
        if (angle) guessGrip.angle.refresh(from[0] + box.arrow * Math.cos(angle.value), from[1] - box.arrow * Math.sin(angle.value));
        const spot = scene.guessing?.of("wet_spin_rate");
        show(guessGrip.place, Boolean(spot));
        if (spot) guessGrip.place.refresh(gaugeAt(spot.value), box.gy);
      }
      ghosts.replaceChildren(...(secret ? [] : scene.kept.map(({ answer: kept }) => svg("path", { class: "ghost", d: reach(kept[`${name}_launch_angle`], box.arrow * 0.9) }))));
      turns.loft.refresh(hx - HIGH_EDGE * k * Math.sin(loft), hy - HIGH_EDGE * k * Math.cos(loft), box.scale);
      for (const one of Object.values(turns)) show(one, !hidden);

      drawWords(now, secret, open, lying);
      if (term) drawTerm({ ball: from, touch: [hx, hy], tail: [sx, sy], leaving });
      glass.show({
        film: now.film, water: lying, gap: touched ? 0 : now.gap, slipped: now.slipped, way: water, touched,
        words: phrase(lying > 0 ? (open ? "left" : touched ? "film" : "water") : "none", { film: touched ? now.film : lying }),
        doing: now.gap > 0 ? "" : now.holds > 0.5 ? "holds" : "slides",
        patch: [hx, hy],
      });
      if (turns.water) {
        const [wx, wy] = glass.at(water(values.water));
        turns.water.refresh(wx + box.lr, clamp(wy, box.ly - box.lr, box.ly + box.lr), box.scale);
      }
      put(swap, { "aria-label": first ? null : `Swap the ball: ${values.ball}` });
    }

    const gaugeAt = (value) => box.gx + box.gw * clamp(value / spec.most.spin_rate, 0, 1);

    function drawWords(now, secret, open, lying) {
      const name_ = `${name}_spin_rate`;
      put(tag, { text: speak.choose(first ? spec.texts.first : spec.texts.second, { ...scene.answer, ...scene.values }) });
      put(spin, { text: secret ? "spin ?" : phrase("spin", { spin: now.spin }) });
      const band = secret ? null : scene.bands?.values[name_];
      put(spinBand, { text: band ? phrase("likely", { low: band[0], high: band[1] }) : "" });
      put(range, { d: band ? `M${px(gaugeAt(band[0]))} ${box.gy}H${px(gaugeAt(band[1]))}` : "M0 0" });
      show(needle, !secret);
      put(needle, { d: secret ? "M0 0" : `M${px(gaugeAt(now.spin))} ${box.gy - 9}v18` });
      const spot = first ? null : scene.guessed.find(({ of }) => of === "wet_spin_rate");
      show(guessMark, Boolean(spot));
      if (spot) put(guessMark, { d: `M${px(gaugeAt(spot.value))} ${box.gy - 11}v22` });
      const values = { angle: scene.answer[`${name}_launch_angle`], speed: scene.answer[`${name}_ball_speed`] };
      for (const fact of facts) put(fact.node, { text: open && (box.w >= 480 || fact.about === "launch") ? phrase(fact.about, values) : "" });
    }

    // Spray: what the film has lost, thrown out along the face.
    function drawDrops(rows, now, lying, hx, hy, loft) {
      const visible = lying > 0 && now.gap <= 0 || (lying > 0 && now.time > 0);
      show(drops, visible);
      if (!visible) return;
      const lost = clamp(water(lying) - water(Math.min(now.film, lying)), 0.08, 1);
      const parts = [];
      for (let i = 0; i < DROPS; i += 1) {
        const side = i % 2 ? 1 : -1;
        const speed = 9 + ((i * 37) % 17);
        const out = 1 + ((i * 23) % 9);
        const t = now.time - ((i * 13) % 8) * 0.02e-3;
        if (t <= 0) continue;
        const along = side * (5.5e-3 + speed * t);
        const off = 0.6e-3 + out * t * 0.9;
        const x = hx + box.k * (-along * Math.sin(loft) + off * Math.cos(loft));
        const y = hy - box.k * (along * Math.cos(loft) + off * Math.sin(loft));
        const size = box.k * (0.25e-3 + lost * (0.35e-3 + ((i * 7) % 5) * 0.13e-3));
        parts.push(`M${px(x - size)} ${px(y)}a${px(size)} ${px(size)} 0 1 0 ${px(2 * size)} 0a${px(size)} ${px(size)} 0 1 0 ${px(-2 * size)} 0`);
      }
      put(drops, { d: parts.join("") || "M0 0" });
    }

    return { node, resize, draw };
  }

  // ---- both balls in flight, to scale

  function flightStrip() {
    const frame = svg("rect", { rx: 14 });
    const inside = `${id}-flight-inside`;
    const air = svg("rect", { fill: `url(#${id}-air-dry)` });
    const turf = svg("rect", { fill: `url(#${id}-turf)` });
    const ticks = svg("g", { class: "ticks" });
    const ghosts = svg("g", { class: "ghosts" });
    const lines = { dry: svg("path", { class: "path dry" }), wet: svg("path", { class: "path wet" }) };
    const dots = { dry: svg("circle", { class: "dot dry" }), wet: svg("rect", { class: "dot wet" }) };
    const words = { dry: svg("text", { class: "facts" }), wet: svg("text", { class: "facts" }) };
    const likely = { dry: svg("text", { class: "quiet" }), wet: svg("text", { class: "quiet" }) };
    const signs = { dry: svg("circle", { class: "sign dry" }), wet: svg("rect", { class: "sign wet" }) };
    const node = svg("g", { class: "flight" }, svg("clipPath", { id: inside }, frame),
      svg("g", { "clip-path": `url(#${inside})` }, air, turf, ticks, ghosts, lines.dry, lines.wet, dots.dry, dots.wet),
      signs.dry, words.dry, likely.dry, signs.wet, words.wet, likely.wet);
    const bracket = svg("g", {}, svg("path", { class: "term" }), svg("text", { class: "term-name" }));
    node.append(bracket);
    let box = {};
    let ticked = "";

    function resize(given) {
      box = given;
      ticked = "";
      const { w, h, text } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      for (const one of [frame, air]) put(one, { width: w, height: h });
      box.ground = h - text * 1.9;
      put(turf, { y: box.ground, width: w, height: h - box.ground });
      box.words.forEach(([x, y], k) => {
        const name = k ? "wet" : "dry";
        put(words[name], { x: x + text, y, "font-size": text });
        put(likely[name], { x: x + text, y: y + text * 1.3, "font-size": text * 0.92 });
        put(signs[name], k ? { x, y: y - text * 0.66, width: text * 0.68, height: text * 0.68 }
          : { cx: x + text * 0.35, cy: y - text * 0.33, r: text * 0.36 });
      });
    }

    function draw() {
      const { answer, hidden } = scene;
      const far = Math.max(answer.dry_total, hidden ? 0 : answer.wet_total, answer.dry_carry, hidden ? 0 : answer.wet_carry);
      const range = RANGES.find((x) => x >= far * 1.04) ?? 400;
      const high = Math.max(...answer.dry_path.z, ...(hidden ? [0] : answer.wet_path.z));
      const top = RANGES.find((x) => x >= high * 4) / 4;
      const k = Math.min((box.w - 50) / range, (box.ground - box.above) / top);
      const spot = (x, z) => [25 + k * x, box.ground - k * z];
      const unit = speak.unit("distance");
      if (ticked !== `${k}${unit}`) {
        ticked = `${k}${unit}`;
        const step = [0.2, 0.5, 1, 2, 5, 10, 20, 25, 50, 100].find((x) => speak.si("distance", x) * k > box.text * 5);
        ticks.replaceChildren(...Array.from({ length: Math.floor(speak.shown("distance", range) / step) + 1 }, (_, i) => {
          const [x, y] = spot(speak.si("distance", i * step), 0);
          return svg("g", { transform: `translate(${px(x)} ${px(y)})` }, svg("path", { d: "M0 0v5" }),
            svg("text", { y: box.text * 1.35, "text-anchor": "middle", "font-size": box.text * 0.86 }, i ? String(Number((i * step).toFixed(1))) : `0 ${unit}`));
        }));
      }
      const whole = Math.max(lastOf(answer.dry_path.time), lastOf(answer.wet_path.time));
      const t = scene.moment <= SLOW ? 0 : ((scene.moment - SLOW) / (1 - SLOW)) * whole;
      for (const name of ["dry", "wet"]) {
        const secret = hidden && name === "wet";
        const rows = answer[`${name}_path`];
        for (const part of [lines[name], dots[name], words[name], signs[name]]) show(part, !secret);
        if (secret) {
          put(lines[name], { d: "M0 0" });
          for (const part of [words[name], likely[name]]) put(part, { text: "" });
          continue;
        }
        const total = lastOf(rows.time);
        const place = placeAt(rows.time, t);
        const points = [];
        for (let i = 0; i <= Math.floor(place); i += 1) points.push(spot(rows.x[i], rows.z[i]));
        const here = spot(at(rows.x, place), at(rows.z, place));
        points.push(here);
        put(lines[name], { d: line(points) });
        put(dots[name], name === "dry" ? { cx: px(here[0]), cy: px(here[1] - 5), r: 6.5 }
          : { x: px(here[0] - 6), y: px(here[1] - 11), width: 12, height: 12 });
        put(words[name], {
          text: t >= total ? phrase("flight", { carry: answer[`${name}_carry`], total: answer[`${name}_total`] }) : "",
        });
        const band = scene.bands?.values[`${name}_carry`];
        put(likely[name], { text: band && t >= total && box.roomy ? phrase("flight_likely", { low: band[0], high: band[1] }) : "" });
        show(signs[name], words[name].textContent !== "");
      }
      const word = { carry: [0, answer.dry_carry], run: [answer.dry_carry, answer.dry_total] }[scene.word];
      show(bracket, Boolean(word));
      if (word) {
        const [from, to] = word.map((x) => spot(x, 0)[0]);
        const y = box.ground - box.text * 1.1;
        put(bracket.firstChild, { d: `M${px(from)} ${px(y - 7)}v14M${px(from)} ${px(y)}H${px(to)}M${px(to)} ${px(y - 7)}v14` });
        put(bracket.lastChild, { x: px(Math.max((from + to) / 2, 30)), y: px(y - box.text * 0.6), "text-anchor": "middle", "font-size": px(box.text * 1.1), text: scene.word });
      }
      ghosts.replaceChildren(...(hidden ? [] : scene.kept.map(({ answer: kept }) => {
        const rows = kept.wet_path;
        const points = Array.from(rows.x, (x, i) => spot(x, rows.z[i]));
        return svg("path", { class: "ghost", d: line(points) });
      })));
    }
    return { node, resize, draw };
  }

  // ---- laid out for the width that there is

  function resize(width) {
    if (Math.abs(width - wide) < 1 || width < 50) return false;
    wide = width;
    const gap = width < 780 ? 10 : 16;
    beside = width >= 780;
    const w = beside ? (width - gap) / 2 : width;
    const h = Math.round(beside ? clamp(w * 0.535, 240, 620) : clamp(w * 0.66, 228, 400));
    const text = beside ? clamp(w * 0.03, 15, 28) : clamp(w * 0.04, 15, 21);
    const big = beside ? clamp(w * 0.06, 26, 58) : clamp(w * 0.068, 25, 40);
    const tight = w < 480;
    const k = Math.min(w / (tight ? 0.158 : 0.15), h / 0.084);
    lanes.forEach((one, i) => {
      const [x, y] = beside ? [i * (w + gap), 0] : [0, i * (h + gap)];
      const lr = Math.min(h * 0.215, w * 0.15);
      const pad = text * 0.9;
      const scale = clamp(w / 640, 1, 1.6);
      one.resize({
        x, y, w, h, k, text, big, scale: px(scale), bx: w * (tight ? 0.465 : 0.45), by: h - SITS * k - text * 1.25, tx: pad, ty: pad + text * 0.7, gx: pad, gy: pad + text * 1.15 + big * 1.35,
        gw: w * 0.36, lx: w - lr - 17 * scale, ly: h - lr - 10, lr, arrow: Math.min(w * 0.33, h * 0.62),
      });
    });
    const top = beside ? h + gap : 2 * (h + gap);
    const fh = Math.round(beside ? clamp(width * 0.114, 128, 300) : clamp(width * 0.36, 128, 240));
    const ft = beside ? text : clamp(width * 0.038, 15, 20);
    flight.resize({
      x: 0, y: top, w: width, h: fh, text: ft, above: beside ? 12 : ft * 3.2, roomy: beside,
      words: beside ? [[width * 0.64, ft * 1.6], [width * 0.64, ft * 4.15]] : [[12, ft * 1.4], [12, ft * 2.7]],
    });
    put(node, { width, height: top + fh, viewBox: `0 0 ${width} ${top + fh}` });
    return true;
  }

  function clock() {
    if (!scene.answer) return "";
    if (scene.moment > SLOW && !scene.hidden) {
      const whole = Math.max(lastOf(scene.answer.dry_path.time), lastOf(scene.answer.wet_path.time));
      return speak.fill("time {t:seconds}", { t: ((scene.moment - SLOW) / (1 - SLOW)) * whole });
    }
    const { time: times } = scene.answer.dry_motion;
    const time = at(times, clamp(scene.moment / SLOW, 0, 1) * (times.length - 1));
    return speak.fill("time {t:time}", { t: time });
  }

  const draw = () => { for (const one of [...lanes, flight]) one.draw(); };
  return { node, resize, draw, clock, seconds: SECONDS };
}
