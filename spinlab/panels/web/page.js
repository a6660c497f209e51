// The scene on a page of its own: the state stands in the address, guesses in the browser's storage.

import { mount } from "./scene.js";
import { localEngine } from "./engine.js";

const spec = JSON.parse(document.getElementById("scene").textContent);
const kept = `spinlab.guesses.${spec.name}`;
const host = {
  page: true,
  fragment: () => location.hash.slice(1),
  guessed(guess) {
    try {
      localStorage.setItem(kept, JSON.stringify([...JSON.parse(localStorage.getItem(kept) ?? "[]"), guess]));
    } catch {
      // a page that may keep nothing goes on
    }
  },
  wipe() {
    try {
      localStorage.removeItem(kept);
    } catch {
      // there is nothing to wipe
    }
  },
};
window.scene = mount(document.querySelector("main"), spec, localEngine, host);
