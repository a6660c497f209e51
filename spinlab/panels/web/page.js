// Scenes on a page of their own or in a lesson to read: answers come from the page, guesses stay in this browser.

import { mount } from "./scene.js";
import { localEngine } from "./engine.js";

const alone = document.documentElement.dataset.scene !== undefined;

function hostOf(spec) {
  const kept = `spinlab.guesses.${spec.name}`;
  return {
    page: alone,
    address: () => (alone ? location.href.split("#")[0] : new URL(`pages/${spec.name}.html`, location.href).href),
    fragment: alone ? () => location.hash.slice(1) : null,
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
}

// A place for what an element of data describes.
export function placed(data) {
  const place = document.createElement("div");
  data.before(place);
  return place;
}

window.scenes = [...document.querySelectorAll("script.scene-data")].map((data) => {
  const spec = JSON.parse(data.textContent);
  return mount(placed(data), spec, localEngine, hostOf(spec));
});
window.scene = window.scenes[0];

// Light and dark: what the device prefers, until a person chooses; scenes follow the page.
const button = document.getElementById("theme");
const dark = matchMedia("(prefers-color-scheme: dark)");
let chosen = null;
function paint() {
  const theme = chosen ?? (dark.matches ? "dark" : "light");
  document.documentElement.dataset.theme = theme;
  document.body.dataset.jpThemeLight = String(theme === "light");
  button.textContent = theme === "dark" ? "Light" : "Dark";
  button.setAttribute("aria-label", `${button.textContent} colours`);
}
if (button) {
  button.addEventListener("click", () => {
    chosen = document.documentElement.dataset.theme === "dark" ? "light" : "dark";
    paint();
  });
  dark.addEventListener("change", paint);
  paint();
}
