// Keys of the presenting page.  Page Down and Page Up, which a clicker sends, go through the prepared states of the scene in
// view, whatever has the focus; after the last state the page goes on.  Outside fields digits choose a state, and a full stop
// or b makes the screen black.

const shown = new Set();
let black = null;

// The scene across the middle of the window.
function inView() {
  const middle = innerHeight / 2;
  return [...shown].find((scene) => {
    const box = scene.section.getBoundingClientRect();
    return box.top <= middle && box.bottom >= middle;
  });
}

function step(scene, by) {
  const names = Object.keys(scene.spec.states);
  const now = names.indexOf(scene.atState());
  const next = now < 0 ? (by > 0 ? 0 : names.length - 1) : now + by;
  if (!(next in names)) return false;
  scene.go(names[next]);
  return true;
}

function dim() {
  black ??= Object.assign(document.createElement("div"), { className: "spin-black", role: "status", ariaLabel: "The screen is black." });
  if (black.isConnected) black.remove();
  else document.body.append(black);
}

function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const field = event.target.closest?.("input:not([type=range]), select, textarea, [contenteditable=true]");
  const by = { PageDown: 1, PageUp: -1 }[event.key];
  const scene = inView();
  let done = false;
  if (by) {
    if (!scene || scene.hidden || !step(scene, by)) scrollBy({ top: by * 0.85 * innerHeight });
    done = true;
  } else if (!field && (event.key === "." || event.key === "b")) {
    dim();
    done = true;
  } else if (!field && scene && !scene.hidden && /^[1-9]$/.test(event.key)) {
    const name = Object.keys(scene.spec.states)[Number(event.key) - 1];
    if (name) scene.go(name);
    done = Boolean(name);
  }
  if (!done) return;
  event.preventDefault();
  event.stopPropagation();
}

export function presents(scene) {
  if (!document.body.classList.contains("spin-present")) return () => {};
  if (!shown.size) addEventListener("keydown", pressed, true);
  shown.add(scene);
  return () => {
    shown.delete(scene);
    if (!shown.size) removeEventListener("keydown", pressed, true);
  };
}
