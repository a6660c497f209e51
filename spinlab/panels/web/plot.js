// Scenes made of curves, bands, points, bars, arrows, texts and grips, laid out in one or several plots.

import { clamp, dragged, grip, line, px, put, show, svg } from "./dom.js";

const TICKS = 5;

// Round steps for an axis: 1, 2 or 5 times a power of ten.
export function ticksOf(low, high, most = TICKS) {
  const rough = (high - low) / most;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((part) => part * ten).find((size) => size >= rough * 0.999);
  const first = Math.ceil(low / step - 1e-9) * step;
  return Array.from({ length: Math.floor((high - first) / step + 1e-9) + 1 }, (_, k) => Number((first + k * step).toPrecision(12)));
}

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
    const w = beside ? width / made.length : width;
    const text = clamp(width * 0.0175, 15, 27);
    const h = clamp(w * 0.5, 270, 620);
    made.forEach((one, k) => one.resize({ x: beside ? k * w : 0, y: beside ? 0 : k * h, w, h, text }));
    const height = beside ? h : h * made.length;
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
  const node = svg("g", { class: "plot" }, back, ghosts, fore, sketch, pad);
  const marks = plot.marks.map(makeMark);
  for (const mark of marks) fore.append(...mark.nodes);
  let box = {};
  let drawn = "";
  const { x: X, y: Y } = plot;
  const toX = (value) => box.left + ((value - X.low) / (X.high - X.low)) * box.width;
  const toY = (value) => box.top + box.height - ((value - Y.low) / (Y.high - Y.low)) * box.height;
  const fromX = (at) => X.low + ((at - box.left) / box.width) * (X.high - X.low);
  const fromY = (at) => Y.low + ((box.top + box.height - at) / box.height) * (Y.high - Y.low);
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

  function pointsOf(mark) {
    if (mark.sweep) {
      const control = controls[mark.x];
      const ys = scene.answer.sweeps?.[`${mark.x}:${mark.y}`] ?? scene.sweep(scene.values, mark, control);
      return ys.map((y, k) => [control.low + ((control.high - control.low) * k) / (ys.length - 1), y]);
    }
    const [xs, ys] = [scene.answer[mark.x], scene.answer[mark.y]];
    return Array.from(xs, (x, k) => [x, ys[k]]);
  }
  const onPage = (points) => line(points.map(([x, y]) => [toX(x), toY(y)]));

  function makeMark(mark) {
    if (mark.kind === "curve") {
      const band = svg("path", { class: `band ${mark.sign}` });
      const curve = svg("path", { class: `curve ${mark.sign}` });
      return {
        nodes: [band, curve],
        draw() {
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
          const [xs, low, high] = [mark.x, mark.low, mark.high].map((name) => Array.from(scene.answer[name]));
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
          put(text, { x: px(box.left + mark.across * box.width), y: px(box.top + (1 - mark.up) * box.height), "font-size": box.text, text: speak.fill(mark.text, scene.named()) });
        },
      };
    }
    const control = controls[mark.moves];
    const handle = grip(scene, control, {
      describe: mark.label,
      drag: ([x, y]) => (mark.along === "x" ? fromX(x - box.x) : fromY(y - box.y)),
    });
    return { nodes: [handle], draw: () => handle.refresh(toX(valueOf(mark.x)), toY(valueOf(mark.y))) };
  }

  function axes() {
    const key = `${speak.units} ${box.w} ${box.h}`;
    if (key === drawn) return;
    drawn = key;
    const { text } = box;
    const name = (axis) => {
      const unit = speak.unit(axis.quantity);
      return unit ? `${axis.label} [${unit}]` : axis.label;
    };
    const marksOf = (axis) => ticksOf(speak.shown(axis.quantity, axis.low), speak.shown(axis.quantity, axis.high), axis === X ? Math.floor(box.width / (text * 5)) : TICKS);
    const label = (value) => speak.number_plain(value);
    back.replaceChildren(
      svg("text", { x: box.left, y: box.top - text * 0.9, "font-size": text, class: "axis-name" }, name(Y)),
      svg("text", { x: box.left + box.width, y: box.top + box.height + text * 2.6, "font-size": text, class: "axis-name", "text-anchor": "end" }, name(X)),
      ...marksOf(Y).map((value) => {
        const y = px(toY(speak.si(Y.quantity, value)));
        return svg("g", {}, svg("path", { class: "rule", d: `M${box.left} ${y}h${box.width}` }),
          svg("text", { x: box.left - 9, y, dy: "0.35em", "text-anchor": "end", "font-size": text * 0.9 }, label(value)));
      }),
      ...marksOf(X).map((value) => {
        const x = px(toX(speak.si(X.quantity, value)));
        return svg("text", { x, y: box.top + box.height + text * 1.4, "text-anchor": "middle", "font-size": text * 0.9 }, label(value));
      }),
      svg("path", { class: "base", d: `M${box.left} ${px(toY(clamp(0, Y.low, Y.high)))}h${box.width}` }));
  }

  function resize(given) {
    const { text, w, h } = given;
    const wide = Math.max(...[Y.low, Y.high].map((value) => speak.number_plain(Math.round(speak.shown(Y.quantity, value))).length));
    box = { ...given, left: text * (0.6 * wide + 1.4), top: text * 2.3 };
    box.width = w - box.left - text * 1.2;
    box.height = h - box.top - text * 3.2;
    put(node, { transform: `translate(${px(given.x)} ${px(given.y)})` });
    put(pad, { x: box.left, y: box.top, width: box.width, height: box.height });
    drawn = "";
  }

  function draw() {
    axes();
    const guess = sketched();
    show(sketch, Boolean(guess));
    show(pad, Boolean(scene.guessing?.of(plot.name)));
    if (guess) put(sketch, { d: onPage(guess.value.map((y, k) => [X.low + ((X.high - X.low) * k) / (guess.value.length - 1), y])) });
    if (scene.hidden) {
      fore.replaceChildren();
      ghosts.replaceChildren();
      return;
    }
    if (!fore.childNodes.length) for (const mark of marks) fore.append(...mark.nodes);
    for (const mark of marks) mark.draw();
    ghosts.replaceChildren(...scene.kept.flatMap(({ curves }) => Object.entries(curves).filter(([key]) => key.startsWith(`${number}:`))
      .map(([, points]) => svg("path", { class: "ghost", d: onPage(points) }))));
  }

  return { node, resize, draw };
}
