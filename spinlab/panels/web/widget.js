// The scene in JupyterLab and on the presenting page: settings go to Python when the hand rests, nothing else.

import { mount } from "./scene.js";
import { localEngine, remoteEngine } from "./engine.js";
import { presents } from "./clicker.js";

// Ask the server how its kernel is: one that computes is busy, one that was restarted or ended knows nothing of this scene.
async function kernelState(model) {
  const kernel = model.widget_manager?.kernel;
  if (!kernel) return "dead";
  try {
    const { baseUrl, token } = kernel.serverSettings;
    const answer = await fetch(`${baseUrl}api/kernels/${kernel.id}`, { headers: token ? { Authorization: `token ${token}` } : {} });
    if (!answer.ok) return "dead";
    return (await answer.json()).execution_state === "busy" ? "busy" : "dead";
  } catch {
    return "dead";
  }
}

function render({ model, el, signal }) {
  let scene = null;
  let remote = null;
  const same = (values) => Object.entries(values).every(([name, value]) => scene.values[name] === value);
  const save = (name, value) => {
    model.set(name, value);
    model.save_changes();
  };
  const host = {
    rested(values) { if (JSON.stringify(values) !== JSON.stringify(model.get("values"))) save("values", { ...values }); },
    units(name) { if (model.get("units") !== name) save("units", name); },
    guessed: (guess) => model.send({ guess }),
    wipe: () => model.send({ wipe: true }),
    savePage: (fragment) => model.send({ page: fragment }),
  };
  const engine = (spec) => {
    if (spec.code) return localEngine(spec);
    remote = remoteEngine((question) => model.send({ ask: question }), () => kernelState(model), (state) => scene.silent(state));
    return remote;
  };
  scene = mount(el, { ...model.get("spec"), values: model.get("values"), units: model.get("units") }, engine, host);
  model.on("change:values", () => {
    const values = model.get("values");
    if (same(values)) return;
    scene.turn(values);
    scene.rest();
  });
  model.on("change:units", () => scene.setUnits(model.get("units")));
  model.on("msg:custom", (message) => {
    if (message.answer) remote?.heard(message.answer);
    if (message.said) scene.tell(message.said);
  });
  const leave = presents(scene);
  const close = () => {
    leave();
    scene.close();
  };
  signal?.addEventListener("abort", close);
  return signal ? undefined : close;
}

export const widget = { render };
