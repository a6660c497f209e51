// The page's side of a panel: native controls, one picture, one sentence.
// New values leave only while fewer than two answers are outstanding, and always the latest ones.

const MOST_OUTSTANDING = 2;
const RESTS = 300;  // a hand that has not moved for so long [ms] rests; who presses a key again and again does so sooner
let panels = 0;

function make(tag, attributes = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...inside);
  return node;
}

// ---- talking with the kernel

function line(model, onAnswer) {
  let serial = 0, outstanding = 0, wanted = null, sentAt = 0;
  const post = (message) => {
    outstanding += 1;
    serial += 1;
    sentAt = performance.now();
    model.send({ n: serial, ...message });
  };
  const flush = () => {
    // an answer that never came (kernel restarted) must not hold the panel for ever
    if (outstanding >= MOST_OUTSTANDING && performance.now() - sentAt < 5000) return;
    if (wanted) {
      const message = wanted;
      wanted = null;
      post(message);
    }
  };
  const hear = (answer, buffers) => {
    if (answer.n !== null) outstanding = Math.max(0, Math.min(outstanding, serial - answer.n));
    flush();
    onAnswer(answer, buffers, wanted === null && outstanding === 0);
  };
  model.on("msg:custom", hear);
  return {
    // a slider that is moving may be answered coarsely
    turn(values, units, moving = false) {
      wanted = { values: { ...(wanted ? wanted.values : {}), ...values }, units, moving };
      flush();
    },
    say(message) {
      if (wanted) {
        post(wanted);
        wanted = null;
      }
      post(message);
    },
    close: () => model.off("msg:custom", hear),
  };
}

// ---- the picture: what changed is put in place at once, nothing is decoded

function picture(canvas) {
  // kept in ordinary memory, where pixels are written
  const pen = canvas.getContext("2d", { alpha: false, willReadFrequently: true });
  let image = null, pixels = null, serial = 0;
  // false if an earlier picture is missing
  return (bytes, about, ratio) => {
    if (about.whole) {
      if (canvas.width !== about.width || canvas.height !== about.height) Object.assign(canvas, { width: about.width, height: about.height });
      Object.assign(canvas.style, { width: `${about.width / ratio}px`, height: `${about.height / ratio}px` });
      image = pen.createImageData(about.width, about.height);
      pixels = new Uint32Array(image.data.buffer);
    } else if (about.serial !== serial + 1) return false;
    serial = about.serial;
    const { buffer = bytes, byteOffset = 0, byteLength } = bytes, count = byteLength / 10;
    if (!count) return true;
    const told = buffer.slice(byteOffset, byteOffset + byteLength);  // numbers of four bytes must begin at a fourth byte
    const begin = new Uint32Array(told, 0, count), colour = new Uint32Array(told, 4 * count, count);
    const length = new Uint16Array(told, 8 * count, count);
    for (let k = 0; k < count; k += 1) {
      if (length[k] === 1) pixels[begin[k]] = colour[k];
      else pixels.fill(colour[k], begin[k], begin[k] + length[k]);
    }
    const top = Math.floor(begin[0] / about.width), bottom = Math.floor(begin[count - 1] / about.width) + 1;
    pen.putImageData(image, 0, 0, 0, top, about.width, bottom - top);
    return true;
  };
}

// ---- one control

function number(knob, id, turn) {
  const digits = Math.max(0, Math.ceil(-Math.log10(knob.step) - 1e-9));
  const spoken = (value) => `${value.toFixed(digits)} ${knob.unit}`;
  const slider = make("input", {
    type: "range", min: knob.min, max: knob.max, step: knob.step, id: `${id}-slider`,
    "aria-labelledby": `${id}-label`, "aria-describedby": knob.means ? `${id}-means` : null,
  });
  const box = make("input", {
    type: "number", step: knob.step, "aria-label": `${knob.label}, exact value${knob.unit ? ` in ${knob.unit}` : ""}`,
  });
  // a box that is being typed in is left alone: an answer to something earlier must not wipe out half a number
  let typing = false;
  const fill = () => slider.style.setProperty("--at", (slider.value - knob.min) / (knob.max - knob.min || 1));
  const put = (value) => {
    slider.value = value;
    // what was typed exactly stays as it was typed; all else is rounded
    const same = Math.abs(box.valueAsNumber - value) <= 1e-6 * Math.abs(value);
    if (!typing && !same) box.value = String(+value.toFixed(Math.max(digits, 1)));
    slider.setAttribute("aria-valuetext", spoken(value));
    fill();
  };
  slider.addEventListener("input", () => {
    put(slider.valueAsNumber);
    turn(slider.valueAsNumber, true);
  });
  box.addEventListener("input", () => { typing = true; });
  box.addEventListener("blur", () => { typing = false; });
  box.addEventListener("change", () => {
    typing = false;
    turn(Number.isFinite(box.valueAsNumber) ? box.valueAsNumber : null);
  });
  const row = make("div", { class: "spin-knob" },
    make("label", { id: `${id}-label`, for: `${id}-slider` }, knob.label),
    make("span", { class: "spin-value" }, box, make("span", { class: "spin-unit" }, knob.unit)),
    slider);
  if (knob.means) row.append(make("span", { class: "spin-means", id: `${id}-means` }, knob.means));
  if (knob.play) row.children[0].after(player(knob, slider));
  // a slider under the hand is ahead of the answers; it follows them again once all have come
  const show = (value, settled) => {
    if (settled || document.activeElement !== slider) put(value);
  };
  return { row, show };
}

// sweeps a knob slowly through its range; where motion is unwelcome it takes one still step at a time
function player(knob, slider) {
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  let frame = 0;
  const button = make("button", { type: "button", class: "spin-play", "aria-pressed": "false" });
  const name = () => {
    const doing = still.matches ? "Step" : frame ? "Stop" : "Play";
    button.textContent = { Step: "⇥ Step", Stop: "❚❚ Stop", Play: "▶ Play" }[doing];
    button.setAttribute("aria-label", `${doing} through ${knob.label}`);
    button.setAttribute("aria-pressed", String(frame !== 0));
  };
  const move = (value) => {
    slider.value = value;
    slider.dispatchEvent(new Event("input"));
  };
  const stop = () => {
    cancelAnimationFrame(frame);
    frame = 0;
    name();
  };
  button.addEventListener("click", () => {
    const span = knob.max - knob.min, now = slider.valueAsNumber;
    if (still.matches) return move(now >= knob.max ? knob.min : now + Math.max(span / 10, knob.step));
    if (frame) return stop();
    const from = now >= knob.max ? knob.min : now;
    let begin = null;
    const tick = (time) => {
      begin ??= time;
      const at = from + (span * (time - begin)) / 1000 / knob.play;
      if (!slider.isConnected) return;
      move(Math.min(at, knob.max));
      if (at >= knob.max) return stop();
      frame = requestAnimationFrame(tick);
    };
    frame = requestAnimationFrame(tick);
    name();
  });
  still.addEventListener("change", stop);
  name();
  return button;
}

function choice(knob, id, turn) {
  const select = make("select", {
    id: `${id}-choice`, "aria-describedby": knob.means ? `${id}-means` : null, onchange: () => turn(select.value),
  }, ...knob.options.map((option) => make("option", { value: option }, option)));
  const row = make("div", { class: "spin-knob" },
    make("label", { for: `${id}-choice` }, knob.label), select);
  if (knob.means) row.append(make("span", { class: "spin-means", id: `${id}-means` }, knob.means));
  return { row, show: (value) => { select.value = value; } };
}

// ---- the whole panel

function theme() {
  const told = document.body.dataset.jpThemeLight;
  if (told !== undefined) return told === "true" ? "light" : "dark";
  return window.matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

function render({ model, el }) {
  const setup = model.get("setup"), id = `spin-${++panels}`;
  let units = null, controls = {}, live = 0, rest = 0, dressed = "";

  const canvas = make("canvas", { role: "img", "aria-label": "The picture is on its way", width: 8, height: 8 });
  const frame = make("div", { class: "spin-picture" }, canvas);
  const sentence = make("p", { class: "spin-sentence" });
  const wrong = make("p", { class: "spin-wrong", role: "alert" });
  const aloud = make("p", { class: "spin-aloud", "aria-live": "polite" });
  // opens over the picture: keeping a curve moves nothing
  const kept = make("ul", { "aria-label": "Kept curves" }), count = make("summary", {}, "Kept: 0");
  const ghosts = make("details", { class: "spin-ghosts" }, count, kept);
  const said = make("div", { class: "spin-said" }, wrong, sentence, aloud);
  const knobs = make("div", { class: "spin-knobs" });
  const paint = picture(canvas), ratio = () => Math.min(window.devicePixelRatio, 2);
  const wire = line(model, heard);
  const act = (what) => () => wire.say({ do: what });
  const states = setup.states.map((name, k) => make("button", {
    type: "button", "aria-pressed": "false", onclick: () => wire.say({ do: "go", state: name }),
  }, make("span", { class: "spin-key", "aria-hidden": "true" }, String(k + 1)), name));
  const unit = make("select", { "aria-label": "Units", onchange: () => wire.say({ units: unit.value }) },
    ...Object.entries(setup.unit_names).map(([value, name]) => make("option", { value }, name)));
  const forget = make("button", { type: "button", onclick: act("forget"), disabled: true }, "Forget kept");
  const root = make("section", { class: "spin-panel", "aria-label": setup.title, "data-lm-suppress-shortcuts": "true" },
    make("div", { class: "spin-states", role: "group", "aria-label": "Prepared states", hidden: !states.length }, ...states),
    frame,
    said,
    make("div", { class: "spin-side" }, knobs,
      make("div", { class: "spin-acts" },
        make("button", { type: "button", onclick: act("reset") }, "Reset"),
        make("button", { type: "button", onclick: act("keep") }, "Keep this curve"), ghosts, forget, unit)));
  el.append(root);

  function build(which) {
    const held = root.contains(document.activeElement) ? document.activeElement.id : "";
    units = which;
    controls = {};
    knobs.classList.toggle("spin-many", setup.knobs[which].length > 6);
    knobs.replaceChildren(...setup.knobs[which].map((knob) => {
      const turn = (value, moving) => {
        clearTimeout(rest);
        wire.turn({ [knob.name]: value }, units, moving);
      };
      controls[knob.name] = (knob.kind === "number" ? number : choice)(knob, `${id}-${knob.name}`, turn);
      return controls[knob.name].row;
    }));
    if (held) root.querySelector(`#${held}`)?.focus();
  }

  function heard(answer, buffers, settled) {
    clearTimeout(rest);
    // the hand rests: the full answer in place of the quick one
    if (answer.rough && settled) rest = setTimeout(() => wire.turn({}, units), RESTS);
    if (answer.units !== units) build(answer.units);
    unit.value = answer.units;
    // while a person is typing something the kernel refuses, what was typed stays to be mended
    if (!answer.error) for (const [name, value] of Object.entries(answer.values)) controls[name].show(value, settled);
    states.forEach((button, k) => button.setAttribute("aria-pressed", String(setup.states[k] === answer.state)));
    wrong.textContent = answer.error;
    sentence.textContent = answer.sentence;
    forget.disabled = answer.kept.length === 0;
    if (kept.childElementCount !== answer.kept.length || kept.lastChild?.textContent !== answer.kept.at(-1)) {
      kept.replaceChildren(...answer.kept.map((text) => make("li", {}, text)));
      count.textContent = `Kept: ${answer.kept.length}`;
    }
    if (dressed !== answer.theme) {
      dressed = answer.theme;
      for (const [name, colour] of Object.entries(setup.themes[dressed])) root.style.setProperty(`--spin-${name}`, colour);
      root.style.colorScheme = dressed;
    }
    if (buffers.length && !paint(buffers[0], answer.picture, ratio())) greet(true);
    canvas.setAttribute("aria-label", answer.sentence);
    // read aloud once things have settled, not thirty times a second
    clearTimeout(live);
    live = setTimeout(() => { if (!answer.error && !answer.rough) aloud.textContent = answer.sentence; }, 600);
  }

  const step = (by) => {
    const now = states.findIndex((button) => button.getAttribute("aria-pressed") === "true");
    const next = states[now < 0 ? (by > 0 ? 0 : states.length - 1) : Math.min(Math.max(now + by, 0), states.length - 1)];
    next?.click();
  };
  root.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const typing = event.target.matches("input[type=number], select"), sliding = event.target.matches("input[type=range]");
    if (!typing && /^[1-9]$/.test(event.key)) states[event.key - 1]?.click();
    else if (!typing && !sliding && event.key === "PageDown") step(1);
    else if (!typing && !sliding && event.key === "PageUp") step(-1);
    else return;
    event.preventDefault();
  });
  // on the presenting page a clicker steps through the states of the panel that is in view
  const clicked = (event) => {
    const by = { PageDown: 1, ArrowRight: 1, PageUp: -1, ArrowLeft: -1 }[event.key];
    const place = root.getBoundingClientRect(), middle = window.innerHeight / 2;
    if (!by || !states.length || event.target !== document.body) return;
    if (!document.body.classList.contains("spin-present") || place.top > middle || place.bottom < middle) return;
    event.preventDefault();
    step(by);
  };
  document.addEventListener("keydown", clicked);

  let greeted = "", wide = 0;
  const greet = (again = false) => {
    const width = root.clientWidth;
    if (!width) return;
    const narrow = width < 560, shape = setup.shapes[narrow ? "hand" : "talk"];
    if (width !== wide) said.style.minHeight = "";
    wide = width;
    frame.style.aspectRatio = `${shape[0]} / ${shape[1]}`;
    root.classList.toggle("spin-narrow", narrow);
    // one pixel of the picture for one of the screen
    const pixels = Math.floor(frame.getBoundingClientRect().width * ratio());
    const hello = { width: pixels, narrow, theme: theme() }, greeting = JSON.stringify(hello);
    if (greeting === greeted && !again) return;
    greeted = greeting;
    wire.say({ hello });
  };
  let soon = 0;
  const later = () => {
    clearTimeout(soon);
    soon = setTimeout(() => greet(), greeted ? 150 : 0);
  };
  // the room for the words grows with the longest and does not shrink again under the hand
  const room = new ResizeObserver(() => {
    if (wide && root.clientWidth === wide) said.style.minHeight = `${said.getBoundingClientRect().height}px`;
  });
  room.observe(said);
  const size = new ResizeObserver(later), looks = new MutationObserver(later);
  size.observe(root);
  looks.observe(document.body, { attributes: true, attributeFilter: ["data-jp-theme-light"] });
  const scheme = window.matchMedia("(prefers-color-scheme: dark)");
  scheme.addEventListener("change", later);
  build("metric");

  return () => {
    size.disconnect();
    room.disconnect();
    looks.disconnect();
    scheme.removeEventListener("change", later);
    document.removeEventListener("keydown", clicked);
    [live, rest, soon].forEach(clearTimeout);
    wire.close();
  };
}

export default { render };
