// The flight-and-stop scene drawn by hand: both flights to scale, and the green from close by, where the balls bounce, roll and
// rest.  It never computes a shot: what moves is read from the rows that the scene's `compute` has filled.

import { ball, ballDefs } from "./ball.js";
import { clamp, grip, line, put, px, show, svg, ticksOf } from "./dom.js";
import { guessGrip } from "./guess.js";
import { at, lastOf, placeAt } from "./rows.js";

const RADIUS = 21.335e-3; // of a ball [m]
const SLOWER = 1.8; // so many times slower than it is …
const SHORTEST = 7; // … but no quicker and no slower than that [s]
const LONGEST = 15;
const FARTHEST = 150; // what rolls farther is out of the picture [m]
const OFF = 12; // a ball that does not stop is followed so far on the green [m]
const AWAY = 45; // a run-out beyond that is out of the picture [m]
const REACHES = [12, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100, 120, FARTHEST];
const SPANS = [4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 24, 26, 28, 30, 35, 40, 50, 60, 80, FARTHEST];
const ROOM = 1.3; // the strip has room for the bands, too
const WIDEST = 40; // a flag farther away than this is not in the close-up [m]
const GREENS = 4;
const SHOTS = [
  { name: "low", sign: "dry", lane: 1 },
  { name: "high", sign: "wet", lane: -1 },
];

const disc = (sign, r, more = "") => (sign === "dry" ? svg("circle", { class: `dot dry ${more}`, r })
  : svg("rect", { class: `dot wet ${more}`, x: -0.9 * r, y: -0.9 * r, width: 1.8 * r, height: 1.8 * r }));
const knob = () => svg("path", { d: "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0M-7 0h14M-3 -4l-4 4l4 4M3 -4l4 4l-4 4", class: "knob" });
const from = (list, value) => list.find((size) => size >= value) ?? list[list.length - 1];

export function stopping(scene) {
  const { spec, id, speak, controls } = scene;
  const phrase = (name, values) => speak.choose(spec.texts[name], values);
  const stops = (...all) => all.map(([offset, name]) => svg("stop", { offset, class: name }));
  const shade = (name, ...all) => svg("linearGradient", { id: `${id}-${name}`, x1: 0, y1: 0, x2: 0, y2: 1 }, ...stops(...all));
  const defs = svg("defs", {}, ...ballDefs(`${id}-far`), ...ballDefs(`${id}-near`),
    shade("sky", [0, "sky-top"], [1, "sky-low"]), shade("turf", [0, "turf-light"], [1, "turf-deep"]),
    svg("marker", { id: `${id}-tip`, viewBox: "0 0 10 10", refX: 5, refY: 5, markerWidth: 3.2, markerHeight: 3.2, orient: "auto" },
      svg("path", { d: "M0 0L10 5L0 10Z", fill: "context-stroke" })));
  const cards = SHOTS.map(card);
  const flight = flightPanel();
  const green = greenPanel();
  const parts = [flight, green, ...cards];
  const node = svg("svg", { class: "stopping", role: "group" }, defs, ...parts.map((one) => one.node));
  let wide = 0;
  let frozen = null; // while something is held the scales stay, so that it stays under the finger

  // ---- time

  const wayOf = (name) => scene.answer[`${name}_way`];
  const whole = () => Math.max(...SHOTS.map(({ name }) => lastOf(wayOf(name).time)));
  const landed = (name) => wayOf(name).time[flown];
  function now() {
    // a guess is asked while both balls are still in the air
    return scene.hidden ? 0 : scene.moment * whole();
  }
  function where(name, t) {
    const way = wayOf(name);
    const place = placeAt(way.time, t);
    return { x: at(way.x, place), z: at(way.z, place), turned: at(way.turned, place), place };
  }
  // The points of a way up to a place between its rows; where it rests they end.
  function trail(name, place, spot) {
    const { time, x, z } = wayOf(name);
    const end = lastOf(time);
    const points = [];
    for (let i = 0; i <= place; i += 1) {
      points.push(spot(x[i], z[i]));
      if (time[i] >= end) break;
    }
    return points;
  }
  const flown = spec.room.drawing.fields.time.size - 1; // the row of the landing
  const resting = (name, t) => t >= lastOf(wayOf(name).time);

  // ---- what each ball does, in words and numbers, with its spin

  function card({ name, sign }) {
    const back = svg("rect", { rx: 14, class: "card" });
    const mark = disc(sign, 8);
    const tag = svg("text", { class: "tag" });
    const run = svg("text", { class: "run" });
    const likely = svg("text", { class: "quiet" });
    const facts = ["past", "falls", "leaves", "spin"].map((about) => ({ about, node: svg("text", { class: about === "past" ? "past" : "facts" }) }));
    const track = svg("path", { class: "track" });
    const gauge = svg("g", { class: "gauge" }, track);
    const control = controls[`${name}_spin`];
    const turn = grip(scene, control, {
      describe: `${phrase(name, {})}: pull its spin up or down`,
      shape: svg("path", { d: "M-12 0a12 12 0 1 0 24 0a12 12 0 1 0 -24 0M-6 0h12M-2 -4l-4 4l4 4M2 -4l4 4l-4 4", class: "knob" }),
      drag: ([x]) => ((x - box.x - box.gx) / box.gw) * control.high,
    });
    const node = svg("g", {}, back, mark, tag, run, likely, ...facts.map((one) => one.node), gauge, turn);
    let box = {};

    function resize(given) {
      box = given;
      const { w, h, text, big, pad } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      put(back, { width: w, height: h });
      put(mark, { transform: `translate(${px(pad + text * 0.45)} ${px(pad + text * 0.45)}) scale(${px(text / 18)})` });
      put(tag, { x: pad + text * 1.3, y: pad + text * 0.85, "font-size": text, text: phrase(name, {}) });
      let y = pad + text * 0.85 + big * 1.15;
      put(run, { x: pad, y, "font-size": big });
      y += text * 1.45;
      put(likely, { x: pad, y, "font-size": text * 0.94 });
      for (const fact of facts) {
        if (fact.about === "spin") y = h - pad - 6 - 28 * box.scale;
        else y += text * 1.4;
        put(fact.node, { x: pad, y, "font-size": text * (fact.about === "past" ? 1.04 : 0.97) });
      }
      Object.assign(box, { gx: pad + 12, gw: w - 2 * pad - 24, gy: h - pad - 12 * box.scale });
      put(track, { d: `M${px(box.gx)} ${px(box.gy)}h${px(box.gw)}` });
    }

    function draw() {
      const { answer, values, hidden } = scene;
      const t = now();
      const rests = !hidden && resting(name, t);
      const far = rests ? answer[`${name}_run_out`] : where(name, t).x - answer[`${name}_carry`];
      const ran = { run: far, back: -far, stops: rests ? answer[`${name}_stops`] : 1 };
      put(run, { text: hidden ? phrase("asked", {}) : t < landed(name) ? phrase("air", {}) : phrase("run", ran) });
      const band = scene.bands?.values[`${name}_run_out`];
      const stays = answer[`${name}_stops`] > 0.5;
      put(likely, { text: rests && band && stays ? phrase("likely", { low: band[0], high: band[1] }) : "" });
      const past = answer[`${name}_past`];
      const told = {
        past: rests && stays ? phrase(box.roomy ? "past" : "near", { past, short: -past }) : "",
        falls: phrase(box.roomy ? "lands" : "falls", { carry: answer[`${name}_carry`], angle: answer[`${name}_descent_angle`] }),
        leaves: box.roomy ? phrase("leaves", { angle: values[`${name}_launch`], speed: answer[`${name}_ball_speed`] }) : "",
        spin: phrase("spin", { spin: values[`${name}_spin`] }),
      };
      for (const fact of facts) put(fact.node, { text: told[fact.about] });
      turn.refresh(box.gx + (box.gw * values[`${name}_spin`]) / control.high, box.gy, box.scale);
      show(turn, !hidden);
    }
    return { node, resize, draw };
  }

  // ---- a flag in a hole; its cloth shows the wind

  function flag() {
    const hole = svg("ellipse", { class: "hole" });
    const pole = svg("path", { class: "pole" });
    const cloth = svg("path", { class: "cloth" });
    const node = svg("g", { class: "flag" }, hole, pole, cloth);
    return {
      node,
      show(x, y, tall) {
        put(node, { transform: `translate(${px(x)} ${px(y)})` });
        put(hole, { rx: px(tall * 0.1), ry: px(tall * 0.035) });
        put(pole, { d: `M0 0V${px(-tall)}` });
        const [size, blown] = [tall * 0.42, clamp(scene.values.wind / 6, -1, 1)];
        const side = blown < 0 ? -1 : 1;
        const out = side * size * (0.55 + 0.45 * Math.abs(blown));
        const sinks = size * 0.8 * (1 - Math.abs(blown));
        const deep = tall * 0.24;
        const top = -tall + 2;
        put(cloth, {
          d: `M0 ${px(top)}C${px(out * 0.4)} ${px(top - 3)} ${px(out * 0.75)} ${px(top + sinks * 0.35)} ${px(out)} ${px(top + sinks)}` +
            `L${px(out * 0.86)} ${px(top + sinks + deep * 0.8)}C${px(out * 0.6)} ${px(top + sinks * 0.6 + deep)} ${px(out * 0.35)} ${px(top + deep * 0.85)} 0 ${px(top + deep)}Z`,
        });
      },
    };
  }

  // ---- both flights, to scale

  function flightPanel() {
    const inside = `${id}-flight-inside`;
    const frame = svg("rect", { rx: 14 });
    const air = svg("rect", { fill: `url(#${id}-sky)` });
    const streaks = svg("path", { class: "wind" });
    const turf = svg("path", { fill: `url(#${id}-turf)` });
    const ticks = svg("g", { class: "ticks" });
    const ghosts = svg("g", { class: "ghosts" });
    const pin = flag();
    const spot = svg("path", { class: "landing" });
    const shots = SHOTS.map(({ name, sign, lane }) => ({
      name, sign, lane,
      path: svg("path", { class: `path ${sign}` }),
      launch: svg("path", { class: `launch ${sign}`, "marker-end": `url(#${id}-tip)` }),
      ball: ball(`${id}-far`, sign),
      turn: grip(scene, controls[`${name}_launch`], {
        describe: `${phrase(name, {})}: turn its launch arrow`,
        shape: svg("path", { d: "M-13 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0M5 6A8 8 0 0 0 -1 -6M3 -7L-2 -6L0 -1", class: "knob" }),
        drag: ([x, y]) => Math.atan2(box.ground - (y - box.y), x - box.x - box.left),
      }),
    }));
    const turns = {
      carry: grip(scene, controls.carry, {
        describe: "Landing spot: drag where both balls land in still air", shape: knob(),
        drag: ([x]) => (x - box.x - box.left) / box.k,
      }),
      flag: grip(scene, controls.flag, {
        describe: "Flag: drag the hole", shape: knob(), drag: ([x]) => (x - box.x - box.left) / box.k,
      }),
    };
    const node = svg("g", {}, svg("clipPath", { id: inside }, frame),
      svg("g", { "clip-path": `url(#${inside})` }, air, streaks, turf, ghosts, pin.node, spot, ...shots.map((one) => one.path),
        ...shots.map((one) => one.launch), ...shots.map((one) => one.ball.node), ticks),
      ...shots.map((one) => one.turn), turns.carry, turns.flag);
    let box = {};

    function resize(given) {
      box = given;
      const { w, h, text } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      for (const one of [frame, air]) put(one, { width: w, height: h });
      box.ground = h - text * 1.4 - 24 * box.scale;
      box.left = Math.max(24, w * 0.035);
      box.radius = clamp(h * 0.034, 6.5, 15);
    }

    // The ground leans from where the first ball lands.
    const lean = () => Math.tan(scene.values.slope);
    const edge = () => Math.min(scene.answer.low_carry, scene.answer.high_carry);
    const rises = (x) => lean() * Math.max(x - edge(), 0);
    const at_ = (x, z) => [box.left + box.k * x, box.ground - box.k * z];

    function scales() {
      const { answer, hidden, values } = scene;
      const ends = SHOTS.map(({ name }) => Math.max(answer[`${name}_carry`], hidden ? 0 : Math.min(answer[`${name}_total`], answer[`${name}_carry`] + 2 * OFF)));
      const reach = from(REACHES, Math.min(Math.max(...ends, values.flag, values.carry) * 1.05 + 1, FARTHEST));
      const top = Math.max(...SHOTS.map(({ name }) => Math.max(...wayOf(name).z))) * 1.03;
      return { reach, top: from(SPANS, top) };
    }

    function draw() {
      const { answer, values, hidden } = scene;
      const { reach, top } = frozen.flight;
      box.k = Math.min((box.w - box.left - 14) / reach, (box.ground - box.text * 0.6) / top);
      const t = now();
      const end = (box.w - box.left) / box.k;
      const start = at_(edge(), 0);
      const far = at_(end, rises(end));
      put(turf, { d: `M0 ${px(box.ground)}H${px(start[0])}L${px(far[0])} ${px(far[1])}V${box.h}H0Z` });
      drawTicks(end);
      drawWind();
      const tall = clamp(box.h * 0.2, 34, 74);
      const [fx, fy] = at_(values.flag, rises(values.flag));
      pin.show(fx, fy, tall);
      turns.flag.refresh(fx, fy - tall - 8, box.scale);
      const [cx] = at_(values.carry, 0);
      put(spot, { d: `M${px(cx)} ${px(box.ground - 9)}v16` });
      turns.carry.refresh(cx, box.ground + 4 + 12 * box.scale, box.scale);
      for (const one of shots) {
        const here = where(one.name, t);
        const place = (x, z) => at_(x, x > answer[`${one.name}_carry`] ? z + rises(x) : z);
        put(one.path, { d: line([...trail(one.name, hidden ? flown : here.place, place), ...(hidden ? [] : [place(here.x, here.z)])]) });
        const [x, y] = place(here.x, here.z);
        one.ball.show({ x, y: y - box.radius * 0.8, radius: box.radius, turned: here.turned / green.larger(), compression: 0, loft: 0, hard: false });
        const angle = values[`${one.name}_launch`];
        const long = one.name === "low" ? box.arrow : box.arrow * 0.62;
        const tip = (length) => [box.left + length * Math.cos(angle), box.ground - length * Math.sin(angle)];
        put(one.launch, { d: line([at_(0, 0), tip(long)]) });
        one.turn.refresh(...tip(long + 6 + 13 * box.scale), box.scale);
        show(one.turn, !hidden);
      }
      for (const turn of Object.values(turns)) show(turn, !hidden);
      ghosts.replaceChildren(...(hidden ? [] : scene.kept.flatMap(({ answer: kept }) => SHOTS.map(({ name }) => {
        const { x, z } = kept[`${name}_way`];
        return svg("path", { class: "ghost", d: line(Array.from(x, (far_, i) => at_(far_, z[i]))) });
      }))));
    }

    let ticked = "";
    function drawTicks(end) {
      const unit = speak.unit("distance");
      const key = `${box.k} ${box.w} ${unit}`;
      if (key === ticked) return;
      ticked = key;
      const values = ticksOf(0, speak.shown("distance", end), Math.max(3, Math.floor(box.w / (box.text * 5))));
      const y = box.h - box.text * 0.4;
      const places = values.map((value) => [at_(speak.si("distance", value), 0)[0], value]);
      ticks.replaceChildren(...places.filter(([x]) => x < box.w - box.text).map(([x, value], i) => {
        return svg("text", { x: px(x), y: px(y), "text-anchor": "middle", "font-size": px(box.text * 0.88) }, i ? speak.number_plain(value) : `0 ${unit}`);
      }));
    }

    // Streaks in the sky, longer in more wind.
    function drawWind() {
      const long = (scene.values.wind / 10) * box.w * 0.085;
      const side = Math.sign(long) * 6;
      put(streaks, {
        d: long === 0 ? "M0 0" : [[0.3, 0.1], [0.62, 0.07], [0.8, 0.2], [0.9, 0.42]].map(([x, y]) =>
          `M${px(box.w * x - long / 2)} ${px(box.h * y)}h${px(long)}m${-side} -5l${side} 5l${-side} 5`).join(""),
      });
    }

    return { node, resize, draw, scales };
  }

  // ---- the green from close by, and where each ball would rest on the others

  function greenPanel() {
    const inside = `${id}-green-inside`;
    const frame = svg("rect", { rx: 14 });
    const air = svg("rect", { fill: `url(#${id}-sky)` });
    const back = svg("path", { class: "plane" });
    const side = svg("path", { class: "earth" });
    const blades = svg("path", { class: "blades" });
    const ghosts = svg("g", { class: "ghosts" });
    const pin = flag();
    const note = svg("text", { class: "quiet", "text-anchor": "end" });
    const rows = Array.from({ length: GREENS }, (_, k) => ({
      k,
      here: svg("rect", { class: "chosen", rx: 6 }),
      label: svg("text", { class: "green-name" }),
      marks: SHOTS.map(({ name, sign }) => ({ name, sign, range: svg("path", { class: `range ${sign}` }), mark: disc(sign, 6.5) })),
    }));
    const landings = svg("path", { class: "leader" });
    const ticks = svg("g", { class: "ticks" });
    const shots = SHOTS.map(({ name, sign, lane }) => ({
      name, sign, lane,
      dent: svg("ellipse", { class: "dent" }),
      path: svg("path", { class: `path ${sign}` }),
      shadow: svg("ellipse", { class: "shadow" }),
      ball: ball(`${id}-near`, sign),
      said: disc(sign, 12, "said"),
      ask: guessGrip(scene, `${name}_run_out`, ([x]) => (x - box.x - box.ox) / box.k + box.from - scene.answer[`${name}_carry`], disc(sign, 13)),
    }));
    const turn = grip(scene, controls.flag, {
      primary: false, shape: knob(), drag: ([x]) => (x - box.x - box.ox) / box.k + box.from,
    });
    const [low, high] = shots;
    const node = svg("g", { class: "green" }, svg("clipPath", { id: inside }, frame),
      svg("g", { "clip-path": `url(#${inside})` }, air, blades, back, side,
        ...rows.map((row) => row.here), landings, ...rows.flatMap((row) => row.marks.flatMap(({ range, mark }) => [range, mark])),
        low.dent, high.dent, ghosts, high.shadow, low.shadow, high.path, pin.node, low.path,
        high.said, low.said, high.ball.node, low.ball.node),
      ...rows.map((row) => row.label), ticks, note, turn, high.ask, low.ask);
    let box = {};

    function resize(given) {
      box = given;
      const { w, h, text } = box;
      put(node, { transform: `translate(${px(box.x)} ${px(box.y)})` });
      for (const one of [frame, air]) put(one, { width: w, height: h });
      box.radius = clamp(h * 0.058, 11, 27);
      box.row = text * 1.32;
      box.depth = box.radius * 0.85; // of a lane, seen from a little above
      box.strip = h - GREENS * box.row - text * 1.55;
      box.ground = box.strip - box.depth * 2 - text * 1.1;
      box.ox = text * 5.4 + w * 0.03;
      rows.forEach((row) => {
        const y = box.strip + (row.k + 0.5) * box.row;
        put(row.here, { x: text * 0.35, y: px(y - box.row / 2), width: w - text * 0.7, height: px(box.row) });
        put(row.label, { x: text * 0.8, y: px(y + text * 0.34), "font-size": px(text * 0.94), text: Object.keys(controls.green.options)[row.k] });
      });
      put(note, { x: w - text * 0.8, y: text * 1.3, "font-size": px(text * 0.88) });
    }

    function scales() {
      const { answer, hidden, values } = scene;
      const carries = SHOTS.map(({ name }) => answer[`${name}_carry`]);
      const ends = hidden ? [Math.min(...carries) + 16] : SHOTS.map(({ name }, i) => (answer[`${name}_stops`] > 0.5
        ? answer[`${name}_total`] : carries[i] + clamp(answer[`${name}_run_out`], -OFF, OFF)));
      if (!hidden) {
        SHOTS.forEach(({ name }, i) => rows.forEach(({ k }) => {
          const run = answer[`${name}_run_${k}`];
          if (Math.abs(run) < AWAY) ends.push(carries[i] + ROOM * run);
        }));
      }
      const first = Math.min(...carries, ...ends);
      const last = Math.max(...carries, ...ends);
      const flagged = values.flag > first - 1 && values.flag - first < WIDEST ? values.flag : last;
      const span = from(SPANS, Math.max(last, flagged) - first + 1.2);
      return { span, before: Math.min(...carries) - first };
    }

    const larger = () => box.radius / (RADIUS * box.k);
    const across = (x) => box.ox + box.k * (x - box.from);
    const lean = () => Math.tan(scene.values.slope);
    // Up from the ground that passes under the middle of the picture.
    const level = (x) => box.ground - box.k * lean() * (x - box.from - frozen.green.span / 2);

    function draw() {
      const { answer, values, hidden } = scene;
      const { span, before } = frozen.green;
      box.k = (box.w - box.ox - box.text * 1.2) / span;
      box.from = Math.min(answer.low_carry, answer.high_carry) - before;
      const t = now();
      const [x0, x1] = [box.from - box.ox / box.k, box.from + (box.w - box.ox) / box.k];
      const [y0, y1] = [level(x0), level(x1)];
      const d = box.depth;
      put(back, { d: `M0 ${px(y0 - 2 * d)}L${box.w} ${px(y1 - 2 * d)}V${px(y1 + 2 * d)}L0 ${px(y0 + 2 * d)}Z`, fill: `url(#${id}-turf)` });
      put(side, { d: `M0 ${px(y0 + 2 * d)}L${box.w} ${px(y1 + 2 * d)}V${box.h}H0Z` });
      drawBlades(y0 - 2 * d, y1 - 2 * d);
      const flagged = values.flag > x0 && values.flag < x1;
      show(pin.node, flagged);
      show(turn, flagged && !hidden);
      const tall = clamp(box.ground * 0.62, 50, 150);
      pin.show(across(values.flag), level(values.flag), tall);
      turn.refresh(across(values.flag), level(values.flag) - tall - 8, box.scale);
      for (const one of shots) drawShot(one, t);
      drawRows();
      drawTicks(x0, x1);
      put(landings, { d: SHOTS.map(({ name }) => `M${px(across(answer[`${name}_carry`]))} ${px(box.strip)}V${px(box.strip + GREENS * box.row)}`).join("") });
      put(note, { text: box.roomy ? phrase("larger", { size: Math.round(larger()) }) : "" });
      ghosts.replaceChildren(...(hidden ? [] : scene.kept.flatMap(({ answer: kept }) => SHOTS.map(({ name, lane }) => {
        const x = kept[`${name}_total`];
        return svg("circle", { class: "ghost", cx: px(across(x)), cy: px(level(x) + lane * d - box.radius), r: px(box.radius) });
      }))));
    }

    function drawShot(one, t) {
      const { name, lane } = one;
      const { answer, hidden } = scene;
      const carry = answer[`${name}_carry`];
      const place = (x, z) => [across(x), (x < carry && z > 0 ? level(carry) : level(x)) - box.k * z + lane * box.depth];
      const here = where(name, t);
      put(one.path, { d: line([...trail(name, hidden ? flown : here.place, place), ...(hidden ? [] : [place(here.x, here.z)])]) });
      const down = hidden || t >= landed(name);
      const [lx, ly] = place(carry, 0);
      put(one.dent, { cx: px(lx), cy: px(ly), rx: px(box.radius * 0.62), ry: px(box.radius * 0.2) });
      show(one.dent, down);
      const [x, y] = place(here.x, here.z);
      show(one.ball.node, !hidden);
      show(one.shadow, !hidden && here.x > carry - 3 * (box.ox / box.k));
      put(one.shadow, { cx: px(x), cy: px(level(here.x) + lane * box.depth + 1), rx: px(box.radius * clamp(1 - here.z * 0.25, 0.4, 1)), ry: px(box.radius * 0.24) });
      one.ball.show({ x, y: y - box.radius, radius: box.radius, turned: here.turned / larger(), compression: 0, loft: 0, hard: false });
      const asking = scene.guessing?.of(`${name}_run_out`);
      const said = scene.guessed.find(({ of }) => of === `${name}_run_out`);
      const spot = asking ?? said;
      show(one.ask, Boolean(asking));
      show(one.said, Boolean(said));
      if (!spot) return;
      const [sx, sy] = place(carry + spot.value, 0);
      if (asking) one.ask.refresh(sx, sy - box.radius * 0.5 + lane * 16);
      else put(one.said, { transform: `translate(${px(sx)} ${px(sy - box.radius)})` });
    }

    function drawRows() {
      const { answer, values, hidden } = scene;
      for (const row of rows) {
        const chosen = values.green === Object.keys(controls.green.options)[row.k];
        show(row.here, chosen);
        put(row.label, { class: chosen ? "green-name chosen-name" : "green-name" });
        row.marks.forEach(({ name, range, mark }, i) => {
          const middle = box.strip + (row.k + 0.5) * box.row + (i ? 1 : -1) * box.row * 0.2;
          const carry = answer[`${name}_carry`];
          show(mark, !hidden);
          put(mark, { transform: hidden ? null : `translate(${px(across(carry + answer[`${name}_run_${row.k}`]))} ${px(middle)})` });
          const band = hidden ? null : scene.bands?.values[`${name}_run_${row.k}`];
          const ends = scene.bands?.values[`${name}_carry`];
          put(range, { d: band && ends ? `M${px(across(carry + band[0]))} ${px(middle)}H${px(across(carry + band[1]))}` : "M0 0" });
        });
      }
    }

    let ticked = "";
    function drawTicks(x0, x1) {
      const unit = speak.unit("distance");
      const key = `${box.k} ${box.from} ${box.w} ${unit}`;
      if (key === ticked) return;
      ticked = key;
      const shown = ticksOf(speak.shown("distance", Math.max(x0, 0)), speak.shown("distance", x1), Math.max(3, Math.floor(box.w / (box.text * 4.5))));
      const inside_ = shown.map((value) => [across(speak.si("distance", value)), value]).filter(([x]) => x > box.ox - box.text && x < box.w - box.text * 2);
      ticks.replaceChildren(...inside_.map(([x, value], i) => svg("g", { transform: `translate(${px(x)} ${px(box.strip + GREENS * box.row)})` },
        svg("path", { d: "M0 0v5" }),
        svg("text", { y: px(box.text * 1.25), "text-anchor": "middle", "font-size": px(box.text * 0.88) }, i ? speak.number_plain(value) : `${speak.number_plain(value)} ${unit}`))));
    }

    let mown = "";
    function drawBlades(y0, y1) {
      const key = `${px(y0)} ${px(y1)} ${box.w}`;
      if (key === mown) return;
      mown = key;
      put(blades, {
        d: Array.from({ length: Math.round(box.w / 7) }, (_, i) => {
          const x = i * 7 + ((i * 37) % 9) - 4;
          const y = y0 + ((y1 - y0) * x) / box.w;
          return `M${x} ${px(y + 1)}l${((i * 31) % 5) - 2} ${-2 - ((i * 53) % 4)}`;
        }).join(""),
      });
    }

    return { node, resize, draw, scales, larger };
  }

  // ---- laid out for the width that there is

  function resize(width) {
    if (Math.abs(width - wide) < 1 || width < 50) return false;
    wide = width;
    const gap = width < 780 ? 10 : 16;
    const beside = width >= 780;
    const text = beside ? clamp(width * 0.0145, 15, 27) : clamp(width * 0.038, 15, 20);
    const column = beside ? clamp(width * 0.235, 226, 470) : (width - gap) / 2;
    const right = beside ? width - column - gap : width;
    const scale = px(clamp(right / 940, 1, 1.5));
    const fh = Math.round(beside ? clamp(right * 0.325, 220, 410) : clamp(width * 0.47, 160, 330));
    const gh = Math.round(beside ? clamp(right * 0.295, 236, 380) : clamp(width * 0.8, 290, 400));
    const cardHeight = beside ? (fh + gap + gh - gap) / 2 : text * (column > 220 ? 11.2 : 8.2) + 62;
    const big = beside ? clamp(column * 0.125, 26, 60) : clamp(width * 0.066, 24, 40);
    cards.forEach((one, i) => one.resize({
      x: beside ? 0 : i * (column + gap), y: beside ? i * (cardHeight + gap) : 0, w: column, h: cardHeight, text, big,
      pad: text * 0.9, roomy: column > 220, scale,
    }));
    const top = beside ? 0 : cardHeight + gap;
    const left = beside ? column + gap : 0;
    flight.resize({ x: left, y: top, w: right, h: fh, text, scale, arrow: beside ? right * 0.14 : width * 0.24 });
    green.resize({ x: left, y: top + fh + gap, w: right, h: gh, text, scale, roomy: right > 600 });
    const height = top + fh + gap + gh;
    put(node, { width, height, viewBox: `0 0 ${width} ${height}`, style: `--scale: ${scale}` });
    return true;
  }

  function draw() {
    if (!frozen || !scene.picture.querySelector(".grip.held")) frozen = { flight: flight.scales(), green: green.scales() };
    green.draw();
    flight.draw();
    for (const one of cards) one.draw();
  }

  function clock() {
    return scene.answer ? speak.fill("time {t:seconds}", { t: now() }) : "";
  }

  return { node, resize, draw, clock, get seconds() { return scene.answer ? clamp(SLOWER * whole(), SHORTEST, LONGEST) : SHORTEST; } };
}
