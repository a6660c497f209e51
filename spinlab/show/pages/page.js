// What stands in for the kernel: the panel's own script asks, this answers from the tables and draws.
// It needs `read` (grid.js), `draw` (svg.js), `render` (panel.js) and `views` (view_*.js).

const $page = JSON.parse(document.getElementById("page-data").textContent);
const MOST_KEPT = 3;

// ---- units: from what is shown to SI and back, and numbers in words

function wording(names) {
  const scale = (kind) => $page.scales[names[kind]];
  const shown = (kind, value) => (value - scale(kind)[1]) / scale(kind)[0];
  const say = (kind, value, digits = 0) => {
    let number = kind === "spin" ? (10 * Math.round(shown(kind, value) / 10)).toFixed(0) : shown(kind, value).toFixed(digits);
    if (Number(number) === 0) number = number.replace("-", "");
    const [whole, rest] = number.replace("-", "−").split(".");
    const parted = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f") + (rest ? `.${rest}` : "");
    return parted + (["°", "%"].includes(names[kind]) ? names[kind] : `\u00a0${names[kind]}`);
  };
  return { names, shown, say };
}

// a band in words: its ends, the unit once
function between(units, kind, low, high, digits = 0) {
  const name = units.names[kind], cut = (text) => text.slice(0, text.length - name.length).trim();
  const [first, last] = [units.say(kind, low, digits), units.say(kind, high, digits)];
  return `${["°", "%"].includes(name) ? first : cut(first)} to ${last}`;
}

function checked(knob, value, units) {
  const unit = knob.units[units], [scale, offset] = $page.scales[unit];
  const told = (si) => `${+((si - offset) / scale).toPrecision(6)} ${unit}`.trim().replace("-", "−");
  if (value === null) throw RangeError(`${knob.label} must be a number, got an empty box; type one, such as ${told(knob.value)}`);
  const si = value * scale + offset, slack = 1e-9 * (knob.high - knob.low);
  if (si < knob.low - slack || si > knob.high + slack) {
    throw RangeError(`${knob.label} must lie in ${told(knob.low)} … ${told(knob.high)}, got ${told(si)}; choose a value in that range`);
  }
  return Math.min(Math.max(si, knob.low), knob.high);
}

// ---- the page

function start() {
  const tables = Object.fromEntries(Object.entries($page.tables).map(([name, told]) => [name, unpacked(told)]));
  const view = views[$page.view](tables, $page.more);
  const begin = Object.fromEntries($page.knobs.map((knob) => [knob.name, knob.value]));
  const said = document.getElementById("say"), place = document.getElementById("panel");
  let values = { ...begin }, units = "metric", kept = [], state = standing();
  let narrow = false, theme = "light", hear = null, result = null, sentence = "", frame = null;

  // the prepared state that the knobs stand in, if any
  function standing() {
    const same = ([, one]) => $page.knobs.every((knob) => ({ ...begin, ...one })[knob.name] === begin[knob.name]);
    return $page.states.find(same)?.[0] ?? "";
  }
  const shownValue = (knob) => {
    if (knob.kind === "choice") return knob.options[values[knob.name]];
    const [scale, offset] = $page.scales[knob.units[units]];
    return +((values[knob.name] - offset) / scale).toPrecision(9);
  };

  function show() {
    const words = wording($page.unit_sets[units]);
    result = view.answer(values);
    sentence = view.sentence(result, words);
    if (frame) {
      frame.innerHTML = view.picture(result, kept.map((one) => one.result), words, narrow);
      frame.setAttribute("viewBox", narrow ? "0 0 390 470" : "0 0 800 450");
      frame.setAttribute("aria-label", sentence);
    }
    if (said) said.replaceChildren(...view.say(result, words).map((line) => make("p", {}, line)));
  }

  function handle(message) {
    let error = "";
    try {
      if (message.hello) ({ narrow, theme } = message.hello);
      if (message.values) {
        const fresh = { ...values };
        for (const [name, value] of Object.entries(message.values)) {
          const knob = $page.knobs.find((one) => one.name === name);
          fresh[name] = knob.kind === "choice" ? knob.options.indexOf(value) : checked(knob, value, message.units);
        }
        [values, state] = [fresh, ""];
      }
      if (message.units) units = message.units;
      if (message.do === "go") [values, state] = [{ ...begin, ...$page.states.find(([name]) => name === message.state)[1] }, message.state];
      if (message.do === "reset") [values, state, kept] = [{ ...begin }, "", []];
      if (message.do === "keep") kept = [...kept, { result, sentence }].slice(-MOST_KEPT);
      if (message.do === "forget") kept = [];
      show();
    } catch (problem) {
      if (!(problem instanceof RangeError)) throw problem;
      error = problem.message;
    }
    hear({ n: message.n, values: Object.fromEntries($page.knobs.map((knob) => [knob.name, shownValue(knob)])), units, state,
      sentence, error, kept: kept.map((one) => one.sentence), theme }, []);
  }

  const model = { get: () => $page.setup, send: handle, on: (_, listener) => { hear = listener; }, off: () => { hear = null; } };
  render({ model, el: place });
  const canvas = place.querySelector(".spin-picture canvas");
  frame = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  frame.setAttribute("role", "img");
  canvas.replaceWith(frame);
  show();
  window.spinPage = { answer: (given) => view.answer({ ...begin, ...given }), values: () => ({ ...values }), begin,
    sentence: () => sentence };
}

start();
