// Scenes made of curves, bands, points, bars, arrows, texts and grips, laid out in one or several plots.

import { clamp, dragged, grip, line, open, px, put, show, svg, TICKS, ticksOf } from "./dom.js";
import { guessGrip } from "./guess.js";

const circle = (x, y, r) => `M${px(x - r)} ${px(y)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`;
const SHAPES = { dry: "h.01", grass: "m-4 3.4h8l-4-7z" }; // a short stroke, whose cap is round or square, or a triangle

export function plots(scene) {
  const { spec, speak } = scene;
  const made = spec.plots.map((plot, k) => onePlot(scene, plot, k));
  const node = svg("svg", { class: "plots", role: "group" },
    svg("defs", {}, svg("marker", { id: `${scene.id}-tip`, viewBox: "0 0 10 10", refX: 5, refY: 5, markerWidth: 4, markerHeight: 4, orient: "auto" },
      svg("path", { d: "M0 0L10 5L0 10Z", fill: "context-stroke" }))),
    ...made.map((one) => one.node));
  let last = 0;

  function resize(width) {
    if (Math.abs(width - last) < 1 || width < 50) return false;
    last = width;
    const beside = width >= 900 && made.length > 1;
    const whole = spec.plots.reduce((sum, { share }) => sum + share, 0);
    const text = clamp(width * 0.0175, 15, 27);
    const most = Math.max(...spec.plots.map(({ share }) => share));
    const tall = ({ share, tall: more }) => (beside ? clamp(((width * most) / whole) * 0.62, 290, 660) : clamp((width * 0.62 * share) / most, 290 * more, 660));
    let [x, y] = [0, 0];
    made.forEach((one, k) => {
      const [w, h] = [beside ? (width * spec.plots[k].share) / whole : width, tall(spec.plots[k])];
      one.resize({ x, y, w, h, text });
      [x, y] = beside ? [x + w, 0] : [0, y + h];
    });
    const height = beside ? tall(spec.plots[0]) : y;
    put(node, { width, height, viewBox: `0 0 ${width} ${height}` });
    return true;
  }

  return { node, resize, draw: () => made.forEach((one) => one.draw()), seconds: 0, clock: () => "" };
}

function onePlot(scene, plot, number) {
  const { spec, speak, controls } = scene;
  const back = svg("g", { class: "axes" });
  const fore = svg("g", { class: "marks" });
  const ghosts = svg("g", { class: "ghosts" });
  const sketch = svg("path", { class: "guessed" });
  const pad = svg("rect", { class: "sketchpad", fill: "transparent" });
  const frame = svg("rect");
  const ground = svg("rect", { class: "ground" });
  show(ground, plot.ground);
  const clipped = svg("g", { class: "clipped", "clip-path": `url(#${scene.id}-frame${number})` });
  const legend = svg("g", { class: "legend" });
  const named = plot.marks.filter(({ name }) => name);
  const node = svg("g", { class: "plot" }, svg("clipPath", { id: `${scene.id}-frame${number}` }, frame), ground, back, legend, ghosts, clipped, fore, sketch, pad);
  const marks = plot.marks.map(makeMark);
  const parts = (k) => (["points", "ring", "curve", "band"].includes(plot.marks[k].kind) ? clipped : fore);
  marks.forEach((mark, k) => parts(k).append(...mark.nodes));
  const rows = plot.marks.find(({ kind }) => kind === "rows");
  let box = {};
  let drawn = "";
  const { x: X, y: Y } = plot;
  const toX = (value) => box.left + ((value - X.low) / (X.high - X.low)) * box.width;
  const toY = (value) => box.top + box.height - ((value - Y.low) / (Y.high - Y.low)) * box.height;
  const fromX = (at) => X.low + ((at - box.left) / box.width) * (X.high - X.low);
  const fromY = (at) => Y.low + ((box.top + box.height - at) / box.height) * (Y.high - Y.low);
  const arrayOf = (name) => name.split(".").reduce((part, field) => part?.[field], scene.answer) ?? [];
  const valueOf = (name) => (typeof name === "number" ? name : scene.answer[name]);

  // A guessed curve is sketched over the plot; between its points it runs straight.
  const sketched = () => scene.guessing?.of(plot.name) ?? scene.guessed.find(({ of }) => of === plot.name);
  dragged(pad, scene.picture, ([px_, py]) => {
    const one = scene.guessing?.of(plot.name);
    if (!one) return;
    const k = Math.round(clamp((fromX(px_ - box.x) - X.low) / (X.high - X.low), 0, 1) * (one.value.length - 1));
    const value = [...one.value];
    value[k] = clamp(fromY(py - box.y), Y.low, Y.high);
    scene.guessing.set(plot.name, value);
  });

  // A guessed place on the lower axis: a line, dragged until it is locked.
  const placed = () => spec.guesses.find(({ along }) => along === plot.name);
  const stake = svg("path", { class: "guessed" });
  const hold = guessGrip(scene, placed()?.of, ([x]) => fromX(x - box.x), svg("circle", { r: 12, class: "knob" }));
  if (placed()) node.append(stake, hold);
  function drawPlaced() {
    const { of } = placed();
    const one = scene.guessing?.of(of) ?? scene.guessed.find((guess) => guess.of === of);
    for (const part of [stake, hold]) show(part, Boolean(one) && (part === stake || Boolean(scene.guessing)));
    if (!one) return;
    put(stake, { d: `M${px(toX(one.value))} ${px(box.top)}v${px(box.height)}` });
    hold.refresh(toX(one.value), box.top + box.height * 0.5);
  }

  function pointsOf(mark) {
    if (mark.sweep) {
      const control = controls[mark.x];
      const ys = scene.answer.sweeps?.[`${mark.x}:${mark.y}`] ?? scene.sweep(scene.values, mark, control);
      return ys.map((y, k) => [control.low + ((control.high - control.low) * k) / (ys.length - 1), y]);
    }
    const [xs, ys] = [arrayOf(mark.x), arrayOf(mark.y)];
    return Array.from(xs, (x, k) => [x, ys[k]]);
  }
  // What is not known under the hand stays as it was, faded; what a full answer leaves open is not there.
  function known(nodes, ...names) {
    const missing = names.some((name) => open(arrayOf(name)));
    for (const one of nodes) {
      one.classList.toggle("late", missing);
      show(one, !missing || scene.answer.rested < spec.rests);
    }
    return !missing;
  }
  const onPage = (points) => line(points.map(([x, y]) => [toX(x), toY(y)]));

  function makeMark(mark) {
    if (mark.kind === "curve") {
      const band = svg("path", { class: `band ${mark.sign}` });
      const curve = svg("path", { class: `curve ${mark.sign}${mark.thin ? " thin" : ""}` });
      return {
        nodes: [band, curve],
        draw() {
          if (!mark.sweep && !known([curve], mark.x, mark.y)) return;
          const points = pointsOf(mark);
          put(curve, { d: onPage(points) });
          scene.curves[`${number}:${mark.y}`] = points;
          const ends = mark.banded === null ? null : scene.bands?.curves[mark.banded];
          show(band, Boolean(ends));
          if (!ends) return;
          const control = controls[mark.x];
          const xs = ends.map((_, k) => control.low + ((control.high - control.low) * k) / (ends.length - 1));
          put(band, { d: `${line([...ends.map(([low], k) => [toX(xs[k]), toY(low)]), ...ends.map(([, high], k) => [toX(xs[k]), toY(high)]).reverse()])}Z` });
        },
      };
    }
    if (mark.kind === "band") {
      const area = svg("path", { class: `band ${mark.sign}` });
      return {
        nodes: [area],
        draw() {
          if (!known([area], mark.x)) return;
          const [xs, low, high] = [mark.x, mark.low, mark.high].map((name) => Array.from(arrayOf(name)));
          put(area, { d: `${line([...xs.map((x, k) => [toX(x), toY(low[k])]), ...xs.map((x, k) => [toX(x), toY(high[k])]).reverse()])}Z` });
        },
      };
    }
    if (mark.kind === "point") {
      const bar = svg("path", { class: `whisker ${mark.sign}` });
      const dot = mark.sign === "wet" ? svg("rect", { class: "dot wet", width: 16, height: 16 }) : svg("circle", { class: `dot ${mark.sign}`, r: 9 });
      return {
        nodes: [bar, dot],
        draw() {
          const [x, y] = [toX(valueOf(mark.x)), toY(valueOf(mark.y))];
          put(dot, mark.sign === "wet" ? { x: px(x - 8), y: px(y - 8) } : { cx: px(x), cy: px(y) });
          const ends = scene.bands?.values[mark.y];
          show(bar, Boolean(ends));
          if (ends) put(bar, { d: `M${px(x)} ${px(toY(ends[0]))}V${px(toY(ends[1]))}` });
        },
      };
    }
    if (mark.kind === "dots") {
      const rings = svg("path", { class: "rings" });
      return {
        nodes: [rings],
        draw() {
          if (known([rings], mark.x)) put(rings, { d: pointsOf(mark).map(([x, y]) => circle(toX(x), toY(y), 7)).join("") });
        },
      };
    }
    if (mark.kind === "edge") {
      const name = svg("text", { "text-anchor": "end" });
      const labels = mark.labels.map((label) => svg("text", { "text-anchor": "middle" }, label));
      const lines = svg("path", { class: "edge" });
      return {
        nodes: [lines, name, ...labels],
        draw() {
          const small = box.text * 0.85;
          const xs = Array.from(arrayOf(mark.x)).map(toX);
          put(lines, { d: xs.map((x) => `M${px(x)} ${px(box.top)}v${px(box.text * 0.4)}`).join("") });
          labels.forEach((label, k) => put(label, { x: px(xs[k]), y: px(box.top + box.text * 1.35), "font-size": small }));
          put(name, { x: px(xs[0] - small * 1.6), y: px(box.top + box.text * 1.35), "font-size": small, text: mark.label });
        },
      };
    }
    if (mark.kind === "bars") {
      const bars = mark.of.map(() => svg("rect", { class: `bar ${mark.sign}` }));
      const labels = mark.of.map(() => svg("text", { "text-anchor": "middle" }));
      return {
        nodes: [...bars, ...labels],
        draw() {
          const room = box.width / mark.of.length;
          mark.of.forEach((name, k) => {
            const [from, to] = [toY(Math.max(Y.low, 0)), toY(valueOf(name))];
            put(bars[k], { x: px(box.left + room * (k + 0.2)), width: px(room * 0.6), y: px(Math.min(from, to)), height: px(Math.abs(to - from)) });
            put(labels[k], { x: px(box.left + room * (k + 0.5)), y: px(Math.min(from, to) - 6), "font-size": box.text, text: `${mark.labels[k]} ${speak.say(Y.quantity, valueOf(name))}` });
          });
        },
      };
    }
    if (mark.kind === "points") {
      const cloud = svg("path", { class: `points ${mark.sign}` });
      const shape = SHAPES[mark.sign] ?? SHAPES.dry;
      return {
        nodes: [cloud],
        draw() {
          const [xs, ys] = [arrayOf(mark.x), arrayOf(mark.y)];
          const at = [];
          for (let k = 0; k < xs.length; k += 1) {
            if (Number.isFinite(xs[k]) && Number.isFinite(ys[k])) at.push(`M${px(toX(xs[k]))} ${px(toY(ys[k]))}${shape}`);
          }
          put(cloud, { d: at.join("") });
        },
      };
    }
    if (mark.kind === "ring") {
      const rim = svg("ellipse", { class: "about" });
      const middle = svg("circle", { class: "hole", r: 5 });
      return {
        nodes: [rim, middle],
        draw() {
          const [x, y, r] = [mark.x, mark.y, mark.radius].map(valueOf);
          const at = { cx: px(toX(x)), cy: px(toY(y)) };
          put(rim, { ...at, rx: px(toX(x + r) - toX(x)), ry: px(toY(y) - toY(y + r)) });
          put(middle, at);
        },
      };
    }
    if (mark.kind === "rule") {
      const path = svg("path", { class: "across" });
      return {
        nodes: [path],
        draw: () => put(path, { d: mark.x === null ? `M${box.left} ${px(toY(valueOf(mark.y)))}h${px(box.width)}` : `M${px(toX(valueOf(mark.x)))} ${box.top}v${px(box.height)}` }),
      };
    }
    if (mark.kind === "rows") return rowsOf(mark);
    if (mark.kind === "arrow") {
      const arrow = svg("path", { class: `launch ${mark.sign}`, "marker-end": `url(#${scene.id}-tip)` });
      return {
        nodes: [arrow],
        draw() {
          const [x, y, dx, dy] = [mark.x, mark.y, mark.dx, mark.dy].map(valueOf);
          put(arrow, { d: `M${px(toX(x))} ${px(toY(y))}L${px(toX(x + dx))} ${px(toY(y + dy))}` });
        },
      };
    }
    if (mark.kind === "text") {
      const text = svg("text", { class: "note", "text-anchor": mark.anchor });
      return {
        nodes: [text],
        draw() {
          const [left, width] = rows ? [box.outer + 4, box.w] : [box.left, box.width];
          put(text, { x: px(left + mark.across * width), y: px(box.top + (1 - mark.up) * box.height), "font-size": box.text, text: speak.choose(mark.text, scene.named()) });
        },
      };
    }
    const control = controls[mark.moves];
    const flag = () => svg("path", { class: "knob", d: "M-7 17V-17L13 -9L-4 -1V17Z" });
    const handle = grip(scene, control, {
      describe: mark.label,
      shape: mark.shape === "flag" ? flag() : null,
      drag: ([x, y]) => (mark.along === "x" ? fromX(x - box.x) : fromY(y - box.y)) - (mark.less ? valueOf(mark.less) : 0),
    });
    return { nodes: [handle], draw: () => handle.refresh(toX(valueOf(mark.x)), toY(valueOf(mark.y))) };
  }

  // A row for each number: its name, a bar from zero for each array, a whisker, and the number.  Pressed, it turns controls.
  function rowsOf(mark) {
    const turned = new Map();
    const lines = mark.labels.map((label, k) => {
      const behind = svg("rect", { class: "row-back", rx: 8 });
      const name = svg("text", { class: "row-name" });
      const bars = mark.of.map(() => svg("rect"));
      const ends = mark.of.length > 1 ? mark.signs.map((sign) => svg("path", { class: `points ${sign}` })) : [];
      const whisker = svg("path", { class: "whisker plain" });
      const said = svg("text", { class: "row-said", "text-anchor": "end" });
      const whole = svg("g", { class: "row" }, behind, ...bars, ...ends, whisker, name, said);
      if (mark.sets[k]) {
        whole.setAttribute("role", "button");
        whole.setAttribute("tabindex", 0);
        whole.addEventListener("click", () => press(k));
        whole.addEventListener("keydown", (event) => {
          if (event.key !== "Enter" && event.key !== " ") return;
          event.preventDefault();
          press(k);
        });
      }
      return { whole, behind, name, bars, ends, whisker, said, label };
    });
    const setAlready = (k) => Object.entries(mark.sets[k] ?? { "": 0 }).every(([name, value]) => scene.values[name] === value);
    function press(k) {
      if (!setAlready(k)) {
        turned.set(k, Object.fromEntries(Object.keys(mark.sets[k]).map((name) => [name, scene.values[name]])));
        scene.turn(mark.sets[k]);
      } else if (turned.has(k)) scene.turn(turned.get(k));
      scene.rest();
    }
    function numberOf(k) {
      if (mark.of.length > 1) return "";
      return speak.say(X.quantity, arrayOf(mark.of[0])[k], null, true);
    }
    function drawRow(k, at, high) {
      const { whole, behind, name, bars, ends, whisker, said, label } = lines[k];
      show(whole, at >= 0);
      if (at < 0) return;
      const top = box.top + at * high;
      const y = px(top + high / 2);
      const off = Boolean(mark.open) && !arrayOf(mark.open)[k];
      const pressed = off || setAlready(k);
      const thick = (high * 0.6) / bars.length;
      const text = { y, dy: "0.35em", "font-size": Math.min(box.text, high * 0.8) };
      put(behind, { x: px(box.outer), width: px(box.w - box.outer - 4), y: px(top + 1), height: px(high - 2) });
      put(name, { ...text, x: px(box.outer + 4), text: `${pressed ? "✓ " : mark.place ? `${at + 1}. ` : ""}${label}` });
      bars.forEach((bar, i) => {
        const value = arrayOf(mark.of[i])[k];
        const [zero, end] = [toX(0), toX(clamp(value, X.low, X.high))];
        show(bar, !off);
        put(bar, {
          class: `bar ${value < 0 ? `${mark.against} minus` : mark.signs[i]}`, x: px(Math.min(zero, end)), width: px(Math.abs(end - zero)),
          y: px(y - high * 0.3 + i * thick), height: px(thick * (bars.length > 1 ? 0.6 : 1)),
        });
        if (ends[i]) put(ends[i], { d: Math.abs(end - zero) < 1 ? "" : `M${px(end)} ${px(y - high * 0.3 + (i + 0.3) * thick)}${SHAPES[mark.signs[i]] ?? SHAPES.dry}` });
      });
      const words = pressed ? mark.pressed : numberOf(k);
      put(said, { ...text, x: px(box.w - 10), text: words });
      const known = Boolean(mark.low) && !off && (scene.answer.rested ?? 0) >= mark.known;
      show(whisker, known);
      if (known) put(whisker, { d: `M${px(toX(clamp(arrayOf(mark.low)[k], X.low, X.high)))} ${y}H${px(toX(clamp(arrayOf(mark.high)[k], X.low, X.high)))}` });
      if (mark.sets[k]) put(whole, { "aria-label": [label, words].filter(Boolean).join(": "), "aria-pressed": pressed ? "true" : "false" });
    }
    return {
      nodes: lines.map(({ whole }) => whole),
      draw() {
        const place = mark.place ? Array.from(arrayOf(mark.place)) : null;
        const order = place ? [...place.keys()].filter((k) => place[k] > 0).sort((a, b) => place[a] - place[b]) : [...lines.keys()];
        if (!Number.isFinite((place ?? arrayOf(mark.of[0]))[0])) return; // not known under the hand: the last answer stays
        const high = (box.height * mark.down) / Math.max(order.length, place ? 6 : 1);
        lines.forEach((_, k) => drawRow(k, order.indexOf(k), high));
      },
    };
  }

  function axes() {
    const key = `${speak.units} ${box.w} ${box.h}`;
    if (key === drawn) return;
    drawn = key;
    const { text } = box;
    const name = (axis) => {
      const unit = axis.ticks ? speak.unit(axis.quantity) : "";
      return unit ? `${axis.label} [${unit}]` : axis.label;
    };
    const marksOf = (axis) => ticksOf(speak.shown(axis.quantity, axis.low), speak.shown(axis.quantity, axis.high), axis === X ? Math.floor(box.width / (text * 5)) : TICKS);
    const label = (value) => speak.number_plain(value);
    back.replaceChildren(
      svg("text", { x: Y.ticks ? box.left : box.outer + 4, y: text * 1.4, "font-size": text, class: "axis-name" }, name(Y)),
      svg("text", { x: box.left + box.width, y: box.top + box.height + text * 2.6, "font-size": text, class: "axis-name", "text-anchor": "end" }, name(X)),
      ...(Y.ticks ? marksOf(Y) : []).map((value) => {
        const y = px(toY(speak.si(Y.quantity, value)));
        return svg("g", {}, svg("path", { class: "rule", d: `M${box.left} ${y}h${box.width}` }),
          svg("text", { x: box.left - 9, y, dy: "0.35em", "text-anchor": "end", "font-size": text * 0.9 }, label(value)));
      }),
      ...(X.ticks ? marksOf(X) : []).map((value) => {
        const x = px(toX(speak.si(X.quantity, value)));
        return svg("text", { x, y: box.top + box.height + text * 1.4, "text-anchor": "middle", "font-size": text * 0.9 }, label(value));
      }),
      svg("path", { class: "base", d: rows ? `M${px(toX(0))} ${box.top}v${px(box.height * rows.down)}` : `M${box.left} ${px(toY(Y.ticks ? clamp(0, Y.low, Y.high) : Y.low))}h${box.width}` }));
  }

  function resize(given) {
    const { text, w, h } = given;
    const wide = Math.max(...[Y.low, Y.high].map((value) => speak.number_plain(Math.round(speak.shown(Y.quantity, value))).length));
    box = { ...given, outer: text * 0.5, left: Y.ticks ? text * (0.6 * wide + 1.4) : text * (rows ? 0.56 * Math.max(...rows.labels.map(({ length }) => length)) + 2.2 : 0.6), top: text * 2.3 };
    box.top += layLegend(w - text, text) * text * 1.5;
    box.width = w - box.left - text * (!rows ? 1.2 : rows.of.length > 1 ? 4.2 : 5.2);
    box.height = h - box.top - text * 3.2;
    put(node, { transform: `translate(${px(given.x)} ${px(given.y)})` });
    for (const one of [pad, frame, ground]) put(one, { x: box.left, y: box.top, width: box.width, height: box.height });
    drawn = "";
  }

  // Names of the curves above the plot, each with a piece of its line; the number of rows.
  function layLegend(width, text) {
    let [x, row] = [text * 0.4, 0];
    legend.replaceChildren(...named.map((mark) => {
      const long = text * (3.4 + mark.name.length * 0.52);
      if (x + long > width && x > text) [x, row] = [text * 0.4, row + 1];
      const y = text * (3 + row * 1.5);
      const sample = mark.kind === "band" ? svg("rect", { class: `band ${mark.sign}`, x: px(x), y: px(y - text * 0.8), width: px(text * 2.2), height: px(text * 0.95) })
        : mark.kind === "dots" ? svg("path", { class: "rings", d: circle(x + text * 1.1, y - text * 0.33, 7) })
        : svg("path", { class: `curve ${mark.sign}${mark.thin ? " thin" : ""}`, d: `M${px(x)} ${px(y - text * 0.33)}h${px(text * 2.2)}` });
      const entry = svg("g", {}, sample, svg("text", { x: px(x + text * 2.6), y: px(y), "font-size": px(text * 0.9) }, mark.name));
      x += long;
      return entry;
    }));
    return named.length ? row + 1 : 0;
  }

  function draw() {
    axes();
    const guess = sketched();
    show(sketch, Boolean(guess));
    show(pad, Boolean(scene.guessing?.of(plot.name)));
    if (guess) put(sketch, { d: onPage(guess.value.map((y, k) => [X.low + ((X.high - X.low) * k) / (guess.value.length - 1), y])) });
    if (placed()) drawPlaced();
    if (scene.hidden) {
      fore.replaceChildren();
      clipped.replaceChildren();
      ghosts.replaceChildren();
      return;
    }
    if (!fore.childNodes.length && !clipped.childNodes.length) marks.forEach((mark, k) => parts(k).append(...mark.nodes));
    for (const mark of marks) mark.draw();
    ghosts.replaceChildren(...scene.kept.flatMap(({ curves }) => Object.entries(curves).filter(([key]) => key.startsWith(`${number}:`))
      .map(([, points]) => svg("path", { class: "ghost", d: onPage(points) }))));
  }

  return { node, resize, draw };
}
