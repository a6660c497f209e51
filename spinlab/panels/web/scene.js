// One scene: its picture, grips, controls, states, guesses and words.  Draws what a Python `Scene` describes.

import { dragged, html, keyed, clamp, open, put, show, snapped, stepAt, valueAt, wayOf } from "./dom.js";
import { speaker } from "./format.js";
import { guessing } from "./guess.js";
import { closeUps } from "./closeups.js";
import { pictureAs, saveFile } from "./saving.js";

const REST = 120; // a hand that has not moved for so long rests [ms]
const QUIET = 500; // live words rest so long [ms]
const MOST_KEPT = 3;
const UNITS = "spinlab-units";
const STILLS = 7;

let count = 0;

export function mount(root, given, makeEngine, host = {}) {
  // controls get parts of the page here; what a worker is given must stay plain data
  const spec = { ...given, controls: given.controls.map((control) => ({ ...control })) };
  count += 1;
  const id = `scene${count}`;
  const speak = speaker(spec);
  const stop = new AbortController();
  const listening = { signal: stop.signal };
  const starting = Object.fromEntries(spec.controls.map((control) => [control.name, control.value]));
  const controls = Object.fromEntries(spec.controls.map((control) => [control.name, control]));
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let engine = null;

  const scene = {
    id, spec, speak, controls, host,
    values: { ...starting, ...spec.values },
    answer: null, bands: null, banded: false, fresh: false, curves: {}, kept: [], moment: 1, playing: false, hidden: false, guessed: [],
  };

  // -- the parts on the page

  const picture = html("div", { class: "picture" });
  const says = html("p", { class: "says" });
  const live = html("div", { class: "unseen", "aria-live": "polite", role: "status" });
  const trouble = html("p", { class: "trouble", role: "alert", hidden: true });
  const states = html("div", { class: "states", role: "group", "aria-label": "Prepared states" });
  const chips = html("div", { class: "chips", role: "group", "aria-label": "Controls" });
  const behind = html("div", { class: "behind", hidden: true });
  const actions = html("div", { class: "actions", role: "group", "aria-label": "Picture" });
  const more = html("div", { class: "more", hidden: true });
  const table = html("div", { class: "compared", hidden: true });
  const ask = html("div", { class: "guess", hidden: true });
  scene.picture = picture;
  const view = closeUps[spec.closeup ?? "plots"](scene);
  picture.append(view.node);

  // -- time

  const play = html("button", { type: "button", class: "play", onclick: () => (scene.playing ? rest() : start()) });
  const clock = html("input", {
    type: "range", min: 0, max: 1000, value: 1000, step: 1, "aria-label": "Moment",
    oninput: () => { rest(); scene.moment = clock.valueAsNumber / 1000; draw(); },
  });
  const reading = html("output", { class: "reading" });
  const time = view.seconds ? html("div", { class: "time" }, play, clock, reading) : null;
  let frame = 0;

  function start() {
    scene.playing = true;
    const from = scene.moment >= 1 ? 0 : scene.moment;
    const begin = performance.now() - from * view.seconds * 1000;
    const tick = (now) => {
      if (!scene.playing) return;
      const share = clamp((now - begin) / 1000 / view.seconds, 0, 1);
      scene.moment = calm.matches ? Math.floor(share * STILLS) / STILLS : share;
      if (share >= 1) scene.moment = 1;
      if (share >= 1) scene.playing = false;
      draw();
      if (scene.playing) frame = requestAnimationFrame(tick);
      else speakUp();
    };
    frame = requestAnimationFrame(tick);
    draw();
  }

  function rest() {
    scene.playing = false;
    cancelAnimationFrame(frame);
    draw();
  }

  // -- turning controls: the picture at the next frame, bands once the hand rests, words when all is quiet

  let asked = 0;
  let restTimer = 0;
  let quietTimer = 0;

  scene.turn = (values, { quiet = false } = {}) => {
    if (Object.entries(values).every(([name, value]) => scene.values[name] === value)) return;
    Object.assign(scene.values, values);
    scene.fresh = false;
    scene.banded = false;
    section.classList.add("settling");
    if (!asked) asked = requestAnimationFrame(answerNow);
    clearTimeout(restTimer);
    restTimer = setTimeout(rested, REST);
    if (!quiet) host.turned?.(scene.values);
  };

  let full = null; // the last full answer

  const turnedSince = (at) => Object.keys(at).filter((name) => scene.values[name] !== at[name]);

  // What a quick answer leaves open stays as it was as long as none of its own controls has been turned.
  function completed(answer) {
    if (!full) return answer;
    const turned = turnedSince(full.at);
    const stays = (name) => open(answer[name]) && turned.every((control) => spec.lasting[name].includes(control));
    return { ...answer, ...Object.fromEntries(Object.keys(spec.lasting).filter(stays).map((name) => [name, full.answer[name]])) };
  }

  function answerNow() {
    asked = 0;
    if (!engine) return;
    if (full && scene.answer === full.answer && !turnedSince(full.at).length) {
      draw(); // the full answer is here already
      return;
    }
    engine.answer({ ...scene.values }, (answer, error) => {
      put(trouble, { text: error ?? "" });
      trouble.hidden = !error;
      if (!answer) return;
      scene.answer = completed({ ...scene.values, ...answer });
      draw();
    });
  }

  function rested() {
    restTimer = 0;
    host.rested?.(scene.values);
    speakUp();
    if (!engine) return;
    const at = { ...scene.values };
    const still = (act) => (given) => {
      if (turnedSince(at).length) return;
      act(given);
      draw();
      speakUp();
    };
    engine.bands(at, {
      rested: still((answer) => {
        cancelAnimationFrame(asked); // a quick answer that has not been given yet comes too late
        asked = 0;
        scene.answer = completed({ ...at, ...answer });
        full = { at, answer: scene.answer };
      }),
      done: still((bands) => { scene.bands = bands; scene.banded = true; }),
      over: still(() => { scene.fresh = true; }),
    });
  }

  scene.rest = () => { clearTimeout(restTimer); rested(); };

  // All names a sentence may use: controls, results, and the ends of their bands.
  scene.named = () => {
    const found = { ...scene.answer };
    for (const [name, [low, high]] of Object.entries(scene.bands?.values ?? {})) {
      found[`${name}_low`] = low;
      found[`${name}_high`] = high;
    }
    return found;
  };

  function sentence() {
    if (scene.hidden || !scene.answer) return "";
    const known = (!spec.rests || scene.answer.rested > 0) && (scene.banded || !spec.banded.length); // never a new number beside an old band
    return speak.choose(known ? spec.say : spec.say_first, scene.named());
  }

  function speakUp() {
    clearTimeout(quietTimer);
    quietTimer = setTimeout(() => { put(live, { text: scene.hidden ? "" : sentence() }); }, QUIET);
  }

  function draw() {
    if (!picture.isConnected) return;
    if (!scene.answer && !scene.hidden) return;
    const words = sentence();
    put(says, { text: words });
    view.draw();
    put(view.node, { "aria-label": scene.hidden ? spec.hidden_alt : `${spec.title}. ${words}` });
    section.classList.toggle("settling", !scene.fresh);
    section.classList.toggle("unbanded", !scene.banded);
    if (time) {
      time.hidden = scene.hidden;
      if (!(document.activeElement === clock && clock.matches(":active"))) clock.value = Math.round(scene.moment * 1000);
      const said = view.clock();
      put(reading, { text: said });
      put(clock, { "aria-valuetext": said });
      put(play, { text: scene.playing ? "❚❚ Pause" : "▶ Slow motion" });
    }
    for (const control of spec.controls) control.refresh?.();
    says.hidden = scene.hidden;
    if (scene.hidden) put(live, { text: "" });
    for (const button of states.children) {
      button.disabled = scene.hidden;
      put(button, { "aria-pressed": matches(spec.states[button.dataset.state]) ? "true" : "false" });
    }
    drawTable();
  }

  // -- controls: a chip each; a slider and a box behind it

  const matches = (state) => Object.entries({ ...starting, ...state }).every(([name, value]) => scene.values[name] === value);

  for (const name of Object.keys(spec.states)) {
    states.append(html("button", {
      type: "button", "data-state": name, "aria-pressed": "false",
      onclick: () => scene.go(name),
    }, name));
  }
  scene.go = (name) => { scene.turn({ ...starting, ...spec.states[name] }); scene.rest(); };

  let opened = null;
  scene.openControl = (name) => {
    opened = opened === name ? null : name;
    behind.hidden = opened === null;
    behind.replaceChildren(...(opened ? [controls[opened].editor()] : []));
    for (const control of spec.controls) {
      control.chip?.setAttribute("aria-expanded", String(opened === control.name));
    }
    draw();
    behind.querySelector("input, select")?.focus();
  };

  spec.controls.forEach((control, k) => {
    control.half ??= null;
    const value = html("b");
    const chip = html("button", {
      type: "button", class: "chip", "aria-expanded": "false",
      onclick: () => (control.options ? nextOption(control) : scene.openControl(control.name)),
    }, `${control.label} `, value);
    if (control.options) chip.removeAttribute("aria-expanded");
    control.chip = chip;
    (k < spec.first ? chips : more).append(chip);
    let slider = null;
    let box = null;
    control.refresh = () => {
      put(value, { text: speak.control(control, scene.values[control.name]) });
      chip.disabled = scene.hidden;
      if (!slider?.isConnected) return;
      const now = scene.values[control.name];
      if (document.activeElement !== slider || !slider.matches(":active")) slider.value = wayOf(control, now) * 1000;
      put(slider, { "aria-valuetext": speak.control(control, now) });
      if (document.activeElement !== box) box.value = boxText(control, now);
      put(unit, { text: speak.unit(control.kind) });
    };
    const unit = html("span");
    control.editor = () => {
      slider = html("input", {
        type: "range", min: 0, max: 1000, step: "any", "aria-label": control.label,
        oninput: () => scene.turn({ [control.name]: snapped(control, valueAt(control, slider.valueAsNumber / 1000)) }),
        onchange: () => scene.rest(),
        onkeydown: (event) => {
          const moved = keyed(control, scene.values[control.name], event.key);
          if (moved === null) return;
          event.preventDefault();
          scene.turn({ [control.name]: moved });
        },
      });
      box = html("input", {
        type: "text", inputmode: "decimal", "aria-label": `${control.label}, number`,
        onchange: () => {
          const typed = Number(box.value.replace(",", ".").replace("−", "-").trim());
          if (box.value.trim() === "" || !Number.isFinite(typed)) {
            box.value = boxText(control, scene.values[control.name]);
            return;
          }
          scene.turn({ [control.name]: clamp(speak.si(control.kind, typed), control.low, control.high) });
          scene.rest();
        },
      });
      queueMicrotask(control.refresh);
      return html("div", { class: "editor" }, html("span", { class: "name" }, control.label), slider, box, unit,
        control.means ? html("span", { class: "means" }, control.means) : null,
        html("button", { type: "button", class: "close", "aria-label": "Close", onclick: () => scene.openControl(control.name) }, "×"));
    };
  });

  function boxText(control, value) {
    const digits = Math.max(0, Math.round(-Math.log10(stepAt(control, value) / 0.99 / speak.si_scale(control.kind))));
    return String(Number(speak.shown(control.kind, value).toFixed(digits + 1)));
  }

  function nextOption(control) {
    const names = Object.keys(control.options);
    scene.turn({ [control.name]: names[(names.indexOf(scene.values[control.name]) + 1) % names.length] });
    scene.rest();
  }
  scene.nextOption = nextOption;

  // -- keeping and comparing

  function keep() {
    scene.kept = [...scene.kept, { values: { ...scene.values }, answer: scene.answer, curves: { ...scene.curves } }].slice(-MOST_KEPT);
    draw();
    put(live, { text: `Kept ${scene.kept.length}.` });
  }

  let comparing = [null, "now"];
  const asKept = (which) => (which === "now" ? scene.answer : scene.kept[which]?.answer);

  function drawTable() {
    put(compare, { "aria-pressed": table.hidden ? "false" : "true" });
    for (const button of [keepButton, compare]) button.disabled = scene.hidden;
    compare.disabled = scene.hidden || !scene.kept.length;
    forget.hidden = !scene.kept.length;
    if (scene.hidden || !scene.kept.length) table.hidden = true;
    if (table.hidden) return;
    const [one, two] = comparing.map((which) => asKept(which) ?? scene.answer);
    for (const { cells, fact } of table.rows) {
      put(cells[0], { text: speak.say(fact.kind, one[fact.of]) });
      put(cells[1], { text: speak.say(fact.kind, two[fact.of]) });
      // the difference of what is read, so that the table adds up
      const [a, b] = [one, two].map((state) => speak.rounded(fact.kind, state[fact.of]));
      put(cells[2], { text: speak.say(fact.kind, b - a + offset(fact.kind), null, true) });
    }
  }
  const offset = (kind) => spec.kinds[kind][speak.units].offset;

  function makeTable() {
    const names = [...scene.kept.map((_, k) => [k, `kept ${k + 1}`]), ["now", "now"]];
    comparing = [comparing[0] ?? scene.kept.length - 1, comparing[1]];
    const choose = (k) => html("select", {
      "aria-label": k ? "Second of the two" : "First of the two",
      onchange: (event) => {
        const { value } = event.target;
        comparing[k] = value === "now" ? "now" : Number(value);
        draw();
      },
    }, ...names.map(([value, name]) => html("option", { value, selected: String(value) === String(comparing[k]) }, name)));
    table.rows = spec.facts.map((fact) => ({ fact, cells: [html("td"), html("td"), html("td")] }));
    table.replaceChildren(html("table", {},
      html("thead", {}, html("tr", {}, html("td"), html("th", { scope: "col" }, choose(0)), html("th", { scope: "col" }, choose(1)),
        html("th", { scope: "col" }, "difference"))),
      html("tbody", {}, ...table.rows.map(({ fact, cells }) => html("tr", {}, html("th", { scope: "row" }, fact.label), ...cells)))));
  }

  const keepButton = html("button", { type: "button", onclick: keep }, "Keep");
  const compare = html("button", {
    type: "button", "aria-pressed": "false",
    onclick: () => { table.hidden = !table.hidden; if (!table.hidden) makeTable(); draw(); },
  }, "Compare two");
  const forget = html("button", {
    type: "button", hidden: true, onclick: () => { scene.kept = []; comparing = [null, "now"]; draw(); },
  }, "Forget kept");

  // -- the state as a link or a file

  scene.state = () => {
    const changed = Object.entries(scene.values).filter(([name, value]) => value !== starting[name]);
    return { scene: spec.name, values: Object.fromEntries(changed), units: speak.units };
  };
  scene.restore = (state) => {
    const taken = { ...starting };
    for (const [name, value] of Object.entries(state.values ?? {})) {
      const control = controls[name];
      if (!control) continue;
      if (control.options ? value in control.options : Number.isFinite(Number(value))) {
        taken[name] = control.options ? value : clamp(Number(value), control.low, control.high);
      }
    }
    if (spec.kinds && ["metric", "yards"].includes(state.units)) setUnits(state.units);
    scene.turn(taken);
    scene.rest();
  };
  function fragment() {
    const { values, units } = scene.state();
    return new URLSearchParams({ ...values, ...(units === "metric" ? {} : { units }) }).toString();
  }
  scene.fragment = fragment;

  // -- everything else, under "more"

  function setUnits(name) {
    speak.units = name;
    host.units?.(name);
    put(unitsButton, { text: name === "metric" ? "Yards and mph" : "Metres" });
    draw();
  }
  const unitsButton = html("button", {
    type: "button",
    onclick: () => {
      const name = speak.units === "metric" ? "yards" : "metric";
      dispatchEvent(new CustomEvent(UNITS, { detail: name }));
    },
  }, "Yards and mph");
  addEventListener(UNITS, ({ detail }) => setUnits(detail), listening);

  const dark = matchMedia("(prefers-color-scheme: dark)");
  let chosen = null;
  function paint() {
    const around = document.body?.dataset.jpThemeLight;
    const theme = chosen ?? (around ? (around === "false" ? "dark" : "light") : dark.matches ? "dark" : "light");
    section.dataset.theme = theme;
    if (host.page) document.documentElement.dataset.theme = theme;
    put(themeButton, { text: theme === "dark" ? "Light" : "Dark" });
  }
  const themeButton = html("button", {
    type: "button", onclick: () => { chosen = section.dataset.theme === "dark" ? "light" : "dark"; paint(); },
  }, "Dark");
  dark.addEventListener("change", paint, listening);
  const watcher = new MutationObserver(paint);
  watcher.observe(document.body, { attributes: true, attributeFilter: ["data-jp-theme-light"] });

  const moreButton = html("button", {
    type: "button", "aria-expanded": "false",
    onclick: () => {
      more.hidden = !more.hidden;
      moreButton.setAttribute("aria-expanded", String(!more.hidden));
    },
  }, "More");
  const name = () => `${spec.name}-${Object.values(scene.state().values).join("-").replace(/[^\w.-]+/g, "_") || "start"}`;
  const opening = html("input", {
    type: "file", accept: ".json,application/json", class: "unseen", tabindex: -1, "aria-label": "A saved state",
    onchange: async () => {
      try {
        const state = JSON.parse(await opening.files[0].text());
        if (state.scene !== spec.name) throw new Error();
        scene.restore(state);
        put(trouble, { text: "" });
        trouble.hidden = true;
      } catch {
        put(trouble, { text: `That file holds no state of this scene. Choose one that “Save state” wrote here.` });
        trouble.hidden = false;
      }
      opening.value = "";
    },
  });
  const button = (label, onclick) => html("button", { type: "button", onclick }, label);
  const guess = spec.guesses.length ? guessing(scene, ask, { draw: () => { draw(); answerNow(); }, rest: () => scene.rest(), starting }) : null;
  actions.append(...[
    guess?.button, keepButton, compare, forget, button("Reset", () => { scene.kept = []; guess?.leave(); scene.turn({ ...starting }); scene.rest(); }), moreButton,
  ].filter(Boolean));
  more.append(unitsButton, themeButton,
    button("Full screen", () => (document.fullscreenElement ? document.exitFullscreen() : section.requestFullscreen?.())),
    ...(host.address ? [button("Copy link", () => {
      const link = `${host.address()}#${fragment()}`;
      if (host.page) history.replaceState(null, "", link);
      navigator.clipboard?.writeText(link).catch(() => {});
      put(live, { text: `The link to this state is ${host.page ? "in the address line and " : ""}copied.` });
    })] : []),
    ...(host.savePage ? [button("Save as page", () => host.savePage(fragment()))] : []),
    button("Save state", () => saveFile(`${name()}.json`, JSON.stringify(scene.state()), "application/json")),
    button("Open state", () => opening.click()), opening,
    button("Picture SVG", async () => saveFile(`${name()}.svg`, await pictureAs(view.node, "svg"), "image/svg+xml")),
    button("Picture PNG", async () => saveFile(`${name()}.png`, await pictureAs(view.node, "png"), "image/png")),
    ...(guess ? [button("Wipe my guesses", () => { host.wipe?.(); guess.wiped(); })] : []),
    html("details", { class: "help" }, html("summary", {}, "Help"),
      html("p", {}, spec.summary),
      html("p", {}, html("b", {}, "To try")), html("ul", {}, ...spec.tries.map((text) => html("li", {}, text))),
      html("p", {}, html("b", {}, "Keys")),
      html("ul", {}, ...["Tab reaches each grip and button.", "Arrow keys turn what is reached; Page Up and Page Down turn ten steps; Home and End go to the ends.",
        "Enter on a grip opens its slider and number.", "Space starts and stops slow motion on its button."].map((text) => html("li", {}, text)))));

  const title = html("p", { class: "title", id: `${id}-title` }, spec.title);
  // -- words of the trade, called up one at a time as labels in the picture

  scene.word = "";
  const means = html("p", { class: "word-means", role: "status" });
  const words = html("div", { class: "words", role: "group", "aria-label": "Words" },
    ...Object.keys(spec.words).map((word) => html("button", {
      type: "button", "aria-pressed": "false",
      onclick: () => {
        scene.word = scene.word === word ? "" : word;
        for (const one of words.querySelectorAll("button")) one.setAttribute("aria-pressed", String(one.textContent === scene.word));
        put(means, { text: scene.word ? `${scene.word}: ${spec.words[scene.word]}.` : "" });
        draw();
      },
    }, word)), means);
  words.hidden = !Object.keys(spec.words).length;

  const section = html("section", {
    class: "scene", "data-lm-suppress-shortcuts": "true", // JupyterLab keeps its keys to itself here
    "aria-labelledby": `${id}-title` },
    html("div", { class: "head" }, title, states), ask, picture, words, says, trouble, time,
    html("div", { class: "bar" }, chips, actions), behind, table, more, live);
  root.append(section);
  paint();
  if (spec.units && spec.units !== speak.units) setUnits(spec.units);

  const sized = new ResizeObserver(() => {
    if (view.resize(picture.clientWidth)) draw();
  });
  sized.observe(picture);
  view.resize(picture.clientWidth || 640);

  scene.silent = (state) => {
    section.classList.toggle("stale", Boolean(state));
    const texts = {
      busy: "The kernel is busy. The picture waits for its answer.",
      dead: "The kernel no longer answers. Run the notebook again; the picture shows the last answer.",
      "": "",
    };
    put(trouble, { text: texts[state] ?? texts.dead });
    trouble.hidden = !state;
  };

  Promise.resolve(makeEngine(given, scene)).then((made) => {
    engine = made;
    scene.sweep = made.sweep;
    if (host.fragment) scene.restore(parsed(host.fragment()));
    if (spec.ask_first && guess) guess.start();
    answerNow();
    rested();
    host.ready?.(scene);
  }, (error) => {
    put(trouble, { text: `This browser could not start the scene: ${error.message}` });
    trouble.hidden = false;
  });
  if (host.page) addEventListener("hashchange", () => scene.restore(parsed(host.fragment())), listening);

  scene.close = () => {
    scene.playing = false;
    cancelAnimationFrame(frame);
    cancelAnimationFrame(asked);
    clearTimeout(restTimer);
    clearTimeout(quietTimer);
    stop.abort();
    sized.disconnect();
    watcher.disconnect();
    engine?.close();
    section.remove();
  };
  scene.setUnits = setUnits;
  scene.section = section;
  scene.atState = () => Object.keys(spec.states).find((name) => matches(spec.states[name]));
  scene.tell = (words) => { put(live, { text: words }); };
  scene.redraw = draw;
  scene.now = answerNow;
  scene.play = start;
  return scene;
}

function parsed(fragment) {
  const { units, ...values } = Object.fromEntries(new URLSearchParams(fragment));
  return { values, units };
}
