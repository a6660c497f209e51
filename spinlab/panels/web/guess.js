// Guess first: nothing of the answer is drawn or said until the guess is locked; then the guess stays as a ghost.

import { clamp, dragged, html, keyed, put, px, svg } from "./dom.js";

export function guessing(scene, box, page) {
  const { spec, speak } = scene;
  const button = html("button", { type: "button", onclick: () => (scene.hidden ? leave() : start()) }, "Guess first");
  const outcome = html("div", { class: "outcome", role: "status" });
  let asked = [];

  function start() {
    asked = spec.guesses.map((one) => ({ ...one, value: one.start, half: null }));
    scene.hidden = true;
    scene.guessed = [];
    scene.kept = [];
    scene.guessing = { of: (name) => asked.find((one) => one.of === name), set };
    scene.turn({ ...page.starting, ...spec.states[spec.guess_state] });
    box.hidden = false;
    put(button, { text: "Leave the guess" });
    box.replaceChildren(...asked.map(row), html("button", { type: "button", class: "lock", onclick: lock }, "Lock my guess"));
    refresh();
    page.draw();
    box.querySelector("input")?.focus({ preventScroll: true });
  }

  function row(one) {
    const value = html("b");
    one.shown = () => put(value, { text: one.kind === "curve" ? "" : one.kind === "choose" ? one.value ?? "" : speak.say(one.quantity, one.value) });
    if (one.kind === "choose") {
      return html("fieldset", {}, html("legend", {}, one.ask), ...one.options.map((option) => html("label", {},
        html("input", { type: "radio", name: `${scene.id}-${one.of}`, value: option, onchange: () => set(one.of, option) }), ` ${option}`)));
    }
    if (one.kind === "curve") {
      one.value = [...one.start];
      return html("fieldset", { class: "nodes" }, html("legend", {}, one.ask), ...one.value.map((start, k) => {
        const node = html("input", {
          type: "range", min: one.low, max: one.high, step: "any", value: start, "aria-label": `Your curve, point ${k + 1} of ${one.value.length}`,
          oninput: () => { one.value[k] = node.valueAsNumber; refresh(); page.draw(); },
        });
        (one.inputs ??= []).push(node);
        return node;
      }));
    }
    one.slider = html("input", {
      type: "range", min: 0, max: 1000, step: "any", "aria-label": one.label,
      oninput: () => set(one.of, one.low + (one.slider.valueAsNumber / 1000) * (one.high - one.low)),
      onkeydown: (event) => {
        const moved = keyed(one, one.value, event.key);
        if (moved === null) return;
        event.preventDefault();
        set(one.of, moved);
      },
    });
    return html("div", { class: "row" }, html("span", {}, one.ask), one.slider, value);
  }

  function set(name, value) {
    const one = asked.find((each) => each.of === name);
    if (one.kind === "choose" || one.kind === "curve") one.value = value;
    else one.value = clamp(Math.round(value / one.step) * one.step, one.low, one.high);
    refresh();
    page.draw();
  }

  function refresh() {
    for (const one of asked) {
      one.shown();
      if (one.slider) {
        one.slider.value = ((one.value - one.low) / (one.high - one.low)) * 1000;
        put(one.slider, { "aria-valuetext": speak.say(one.quantity, one.value) });
      }
      one.inputs?.forEach((node, k) => { node.value = one.value[k]; });
    }
    const lockable = box.querySelector(".lock");
    if (lockable) lockable.disabled = asked.some((one) => one.kind === "choose" && one.value === null);
  }

  function lock() {
    scene.hidden = false;
    scene.guessing = null;
    const answer = scene.answer;
    scene.guessed = asked.map(({ kind, of, value, label, quantity, answers }) => ({
      kind, of, value, label, quantity,
      answer: kind === "choose" ? speak.choose(answers, answer) : kind === "curve" ? null : answer[of],
    }));
    put(button, { text: "Guess first" });
    outcome.replaceChildren(...scene.guessed.map((one) => {
      if (one.kind === "curve") return html("p", {}, "Your curve stays as a dotted line.");
      const said = (value) => (one.kind === "choose" ? value : speak.say(one.quantity, value));
      return html("p", {}, `Your guess: ${one.label} ${said(one.value)}. The answer: `, html("b", {}, said(one.answer)), ".");
    }));
    box.replaceChildren(outcome);
    scene.host.guessed?.({ scene: spec.name, guesses: scene.guessed.map(({ of, value, answer: right }) => ({ of, value, answer: right })) });
    scene.moment = 0;
    page.draw();
    page.rest();
    scene.play();
  }

  function leave() {
    scene.hidden = false;
    scene.guessing = null;
    scene.guessed = [];
    box.hidden = true;
    box.replaceChildren();
    put(button, { text: "Guess first" });
    page.draw();
    page.rest();
  }

  function wiped() {
    if (!scene.hidden) leave();
  }

  return { button, start, leave, wiped };
}

// What is dragged in a close-up while one guesses: the named guess, as `read` finds it at a place of the picture.
export function guessGrip(scene, name, read, shape) {
  const node = svg("g", { class: "grip guessing", "aria-hidden": "true" }, svg("circle", { r: 24, class: "reach" }), shape);
  dragged(node, scene.picture, (at) => scene.guessing?.set(name, read(at)));
  node.refresh = (x, y) => put(node, { transform: `translate(${px(x)} ${px(y)})` });
  return node;
}

// The two of the impact scene: an arrow's tip and a place on a scale.
export function guessGrips(scene, { angle, place }) {
  return {
    angle: guessGrip(scene, "wet_launch_angle", angle, svg("circle", { r: 12, class: "knob" })),
    place: guessGrip(scene, "wet_spin_rate", place, svg("path", { d: "M0 2L11 20L-11 20Z", class: "knob" })),
  };
}
