// The page's side of a quiz.  Every answer is a button: Tab passes over it without choosing, Enter or the space bar chooses.

const MARK = { true: "✓", false: "✗" };

function make(tag, attributes = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...inside);
  return node;
}

function asked({ text, answers }, number, choose) {
  const said = make("p", { role: "status" });
  const marks = answers.map(() => make("span", { "aria-hidden": "true" }));
  const buttons = answers.map(({ words }, k) => make("button", { type: "button", "aria-pressed": "false" }, marks[k], words));
  buttons.forEach((button, k) => button.addEventListener("click", () => choose(k)));
  const show = (given) => {
    const one = answers[given];
    buttons.forEach((button, k) => button.setAttribute("aria-pressed", String(k === given)));
    marks.forEach((mark, k) => { mark.textContent = k === given ? MARK[one.right] : ""; });
    said.textContent = one ? one.told : "";
  };
  return { show, box: make("fieldset", {}, make("legend", {}, `${number}. ${text}`), ...buttons, said) };
}

function render({ model, el }) {
  const choose = (number) => (k) => {
    model.set("given", { ...model.get("given"), [number]: k });
    model.save_changes();
  };
  const all = model.get("questions").map((question, i) => asked(question, i + 1, choose(i + 1)));
  const show = () => all.forEach(({ show: one }, i) => one(model.get("given")[i + 1]));
  // JupyterLab's own keys would take Enter for themselves
  el.append(make("div", { class: "spin-quiz", "data-lm-suppress-shortcuts": "true" }, ...all.map(({ box }) => box)));
  model.on("change:given", show);
  show();
  return () => model.off("change:given", show);
}

export const quiz = { render };
