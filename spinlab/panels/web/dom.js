// Small helpers for elements, pictures and what can be grabbed in them.

const SVG = "http://www.w3.org/2000/svg";

function dressed(node, attributes, inside) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...inside.filter((part) => part !== null && part !== undefined));
  return node;
}

export const html = (tag, attributes = {}, ...inside) => dressed(document.createElement(tag), attributes, inside);
export const svg = (tag, attributes = {}, ...inside) =>
  dressed(document.createElementNS(SVG, tag), attributes, inside);

// Write only what has changed: a picture that rests costs nothing.
export function put(node, attributes) {
  const last = node.lastPut ?? (node.lastPut = {});
  for (const [name, value] of Object.entries(attributes)) {
    if (last[name] === value) continue;
    last[name] = value;
    if (name === "text") node.textContent = value;
    else if (value === null) node.removeAttribute(name);
    else node.setAttribute(name, value);
  }
}

export const show = (node, visible) => put(node, { display: visible ? null : "none" });
export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
export const px = (value) => Math.round(value * 100) / 100;
export const line = (points) => points.map(([x, y], i) => `${i ? "L" : "M"}${px(x)} ${px(y)}`).join("");

export const TICKS = 5;

// Round steps for an axis: 1, 2 or 5 times a power of ten.
export function ticksOf(low, high, most = TICKS) {
  const rough = (high - low) / most;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((part) => part * ten).find((size) => size >= rough * 0.999);
  const first = Math.ceil(low / step - 1e-9) * step;
  return Array.from({ length: Math.floor((high - first) / step + 1e-9) + 1 }, (_, k) => Number((first + k * step).toPrecision(12)));
}

// How far along its way a control stands, 0 … 1.  A control with a `half` gives the values up to it half of the way.
export function wayOf(control, value) {
  const { low, high, half } = control;
  if (half === null) return (value - low) / (high - low);
  const bend = bendOf(control);
  return ((value - low) * (high - low + bend)) / ((high - low) * (value - low + bend));
}

export function valueAt(control, way) {
  const { low, high, half } = control;
  if (half === null) return low + way * (high - low);
  const bend = bendOf(control);
  return low + (way * (high - low) * bend) / (high - low + bend - way * (high - low));
}

function bendOf({ low, high, half }) {
  const [near, far] = [half - low, high - low];
  return near / (1 - (2 * near) / far);
}

// The step of a control here: its own, or on a bent way a round number that is about a hundredth of the way.
export function stepAt(control, value) {
  if (control.half === null) return control.step;
  const way = clamp(wayOf(control, value), 0, 0.99);
  const about = valueAt(control, way + 0.01) - valueAt(control, way);
  const ten = 10 ** Math.floor(Math.log10(about));
  const round = [5, 2, 1].find((part) => part * ten <= about * 1.0001) * ten;
  return Math.max(round, control.step);
}

export function snapped(control, value) {
  const step = stepAt(control, value);
  const near = control.low + Math.round((value - control.low) / step) * step;
  // what a screen cannot show is not kept: 0.1 + 0.2 is 0.3
  return clamp(Number(near.toPrecision(12)), control.low, control.high);
}

const KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

export function keyed(control, value, key) {
  if (key === "Home") return control.low;
  if (key === "End") return control.high;
  if (!(key in KEYS)) return null;
  let moved = value;
  for (let k = 0; k < Math.abs(KEYS[key]); k += 1) {
    const step = stepAt(control, moved - (KEYS[key] < 0 ? 1e-9 * (control.high - control.low) : 0));
    moved = snapped(control, moved + Math.sign(KEYS[key]) * step);
  }
  return moved;
}

// Follow a pointer from where it goes down until it is let go; touch does not scroll meanwhile.
export function dragged(node, picture, move, done = () => {}) {
  node.style.touchAction = "none";
  // Chromium scrolls all the same where a part of a picture is held
  node.addEventListener("touchmove", (event) => event.preventDefault(), { passive: false });
  const place = (event) => {
    const box = picture.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  node.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    node.focus({ preventScroll: true });
    node.setPointerCapture(event.pointerId);
    node.classList.add("held");
    move(place(event), "down");
  });
  node.addEventListener("pointermove", (event) => {
    if (node.hasPointerCapture(event.pointerId)) move(place(event), "move");
  });
  const end = (event) => {
    if (!node.classList.contains("held")) return;
    node.classList.remove("held");
    done(event);
  };
  node.addEventListener("pointerup", end);
  node.addEventListener("pointercancel", end);
}

// A grip: something in the picture that turns a control.  `primary` is reached by the Tab key, others by pointer only.
export function grip(scene, control, { primary = true, shape, drag, describe }) {
  const knob = shape ?? svg("circle", { r: 11, class: "knob" });
  const node = svg("g", { class: "grip" }, svg("circle", { r: 24, class: "reach" }), knob);
  if (primary) dressed(node, { role: "slider", tabindex: 0, "aria-label": describe ?? control.label }, []);
  else node.setAttribute("aria-hidden", "true");
  let offset = [0, 0]; // what is held stays under the finger where it was taken
  dragged(node, scene.picture, ([x, y], phase) => {
    if (phase === "down") {
      const [hold, picture] = [knob.getBoundingClientRect(), scene.picture.getBoundingClientRect()];
      offset = [hold.left + hold.width / 2 - picture.left - x, hold.top + hold.height / 2 - picture.top - y];
      return;
    }
    const value = drag([x + offset[0], y + offset[1]]);
    if (value !== null) scene.turn({ [control.name]: snapped(control, clamp(value, control.low, control.high)) });
  }, () => scene.rest());
  node.addEventListener("keydown", (event) => {
    const value = keyed(control, scene.values[control.name], event.key);
    if (value !== null) {
      event.preventDefault();
      scene.turn({ [control.name]: value });
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      scene.openControl(control.name);
    }
  });
  node.addEventListener("dblclick", () => scene.openControl(control.name));
  node.refresh = (x, y, scale = 1) => {
    put(node, { transform: `translate(${px(x)} ${px(y)}) scale(${scale})` });
    if (!primary) return;
    const value = scene.values[control.name];
    put(node, {
      "aria-valuemin": scene.speak.shown(control.kind, control.low).toPrecision(6) * 1,
      "aria-valuemax": scene.speak.shown(control.kind, control.high).toPrecision(6) * 1,
      "aria-valuenow": scene.speak.shown(control.kind, value).toPrecision(6) * 1,
      "aria-valuetext": scene.speak.control(control, value),
    });
  };
  return node;
}
