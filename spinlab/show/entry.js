// The page's side of live entry: a table of native boxes.  A shot that is confirmed is locked until the answer says that it
// is on the disk; only then can the next be typed.

const PATIENCE = 6000;
let tables = 0;

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

function theme() {
  const told = document.body.dataset.jpThemeLight;
  if (told !== undefined) return told === "true" ? "light" : "dark";
  return window.matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

// ---- choosing what is typed, once

function chooser(setup, id, begin, open) {
  const field = (label, control) => make("label", { class: "spin-ask" }, make("span", {}, label), control);
  const name = make("input", { type: "text", maxlength: 60, placeholder: "such as evening pitches", autocomplete: "off" });
  const player = make("input", { type: "text", maxlength: 60, placeholder: "may stay empty", autocomplete: "off" });
  const conditions = make("input", { type: "text", maxlength: 200, value: setup.conditions, autocomplete: "off" });
  const system = make("select", {}, ...Object.entries(setup.unit_names).map(([value, text]) => make("option", { value }, text)));
  system.value = setup.system;
  const columns = setup.columns.map((column) => {
    const box = make("input", { type: "checkbox", checked: column.on });
    const unit = column.measured && make("select", { "aria-label": `Unit of ${column.label}` },
      ...column.units.map((value) => make("option", { value }, value)));
    if (unit) unit.value = column.unit;
    const row = make("div", { class: "spin-column" }, make("label", {}, box, ` ${column.label}`), ...(unit ? [unit] : []));
    return { column, box, unit, row };
  });
  system.addEventListener("change", () => {
    for (const { column, unit } of columns) if (unit) unit.value = column.usual[system.value];
  });
  // the rule is written down before the first shot; it asks for a column that is typed
  const ruled = make("input", { type: "checkbox", checked: setup.rule.on });
  const ends = ["low", "high"].map((end, k) => make("input", { type: "text", inputmode: "decimal", value: String(setup.rule[end]),
    maxlength: 8, autocomplete: "off", "aria-label": `Loft counts ${k ? "to" : "from"}, in degrees` }));
  const loft = columns.find(({ column }) => column.name === "dynamic_loft");
  const needs = make("span", { class: "spin-means" }, "Needs the column dynamic loft.");
  const asks = () => {
    for (const box of ends) box.disabled = !ruled.checked;
    needs.hidden = !ruled.checked || loft.box.checked;
  };
  for (const box of [ruled, loft.box]) box.addEventListener("change", asks);
  asks();
  const rule = make("fieldset", { class: "spin-rule" }, make("legend", {}, "Which shots count, fixed before the first"),
    make("label", {}, ruled, " Only those with a dynamic loft from"), ends[0], make("span", {}, "to"), ends[1],
    make("span", {}, "°"), needs);
  const earlier = make("div", { class: "spin-earlier", hidden: true });
  const form = make("form", { class: "spin-choose" },
    earlier,
    make("p", { class: "spin-head" }, "A new session"),
    make("div", { class: "spin-asks" }, field("Name", name), field("Player", player),
      field("Conditions, with commas", conditions), field("Units", system)),
    make("fieldset", {}, make("legend", {}, "What is typed for each shot"),
      make("div", { class: "spin-columns" }, ...columns.filter(({ column }) => column.often).map(({ row }) => row)),
      make("details", {}, make("summary", {}, "More columns"),
        make("div", { class: "spin-columns" }, ...columns.filter(({ column }) => !column.often).map(({ row }) => row)))),
    rule,
    make("div", { class: "spin-acts" }, make("button", { type: "submit" }, "Begin"),
      make("span", { class: "spin-means" }, `Every shot is kept in the folder “${setup.folder}”.`)));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    begin({ name: name.value, player: player.value, conditions: conditions.value, system: system.value,
      rule: ruled.checked ? ends.map((box) => box.value) : [],
      columns: columns.filter(({ box }) => box.checked).map(({ column, unit }) => ({ name: column.name, unit: unit ? unit.value : "" })) });
  });
  const show = (sessions) => {
    earlier.hidden = !sessions.length;
    earlier.replaceChildren(make("p", { class: "spin-head" }, "Earlier sessions"), ...sessions.map((one) => make("button", {
      type: "button", onclick: () => open(one.file) }, `${one.name}: ${one.shots} shot${one.shots === 1 ? "" : "s"}`)));
  };
  return { form, show, first: () => name.focus() };
}

// ---- typing

// into a box with what stands there chosen, as Tab does: typing replaces it
function enter(box) {
  box.focus();
  box.select();
}

function typing(id, act) {
  let session = null, boxes = {}, shots = new Map(), correcting = null, token = null, locked = false;
  const head = make("tr"), body = make("tbody"), foot = make("tr", { class: "spin-now" });
  const table = make("table", { "aria-label": "Shots" }, make("thead", {}, head), body, make("tfoot", {}, foot));
  const scroll = make("div", { class: "spin-scroll" }, table);
  const number = make("th", { scope: "row" });
  const condition = make("select", { "aria-label": "condition" });
  const cells = () => session.fields.map((field) => boxes[field.name]);
  const value = () => Object.fromEntries(session.fields.map((field) => [field.name, boxes[field.name].value]));
  const blank = () => cells().every((box) => box.value === "");

  function build(next) {
    session = next;
    boxes = Object.fromEntries(next.fields.map((field) => [field.name, make("input", {
      type: "text", inputmode: field.measured ? "decimal" : null, maxlength: 200, autocomplete: "off", spellcheck: "false",
      "aria-label": field.unit ? `${field.label} in ${field.unit}` : field.label, "aria-describedby": `${id}-wrong`,
      class: field.measured ? "spin-number" : "spin-words",
      oninput: () => boxes[field.name].removeAttribute("aria-invalid"),
    })]));
    head.replaceChildren(...["shot", "condition", ...next.fields].map((field) => make("th", { scope: "col" },
      field.label ?? field, ...(field.unit ? [make("span", { class: "spin-unit" }, field.unit)] : []))));
    foot.replaceChildren(number, make("td", {}, condition), ...cells().map((box) => make("td", {}, box)));
    body.replaceChildren();
    shots = new Map();
    leave();
  }

  function row(shot) {
    const told = shot.deleted ? "deleted" : shot.corrected ? "corrected" : "";
    const button = make("button", { type: "button", "aria-label": `Correct shot ${shot.n}`, onclick: () => edit(shot.n) }, String(shot.n));
    return make("tr", { class: shot.deleted ? "spin-gone" : shot.aside ? "spin-aside" : null, "data-shot": shot.n },
      make("th", { scope: "row" }, button), make("td", { class: "spin-condition" }, make("span", { class: "spin-dot", "aria-hidden": "true" }),
        shot.condition, ...(told ? [make("span", { class: "spin-mark" }, told)] : []),
        ...(shot.aside ? [make("span", { class: "spin-why" }, `set aside: ${shot.aside}`)] : [])),
      ...session.fields.map((field) => make("td", { class: field.measured ? "spin-number" : "spin-words" }, shot.cells[field.name])));
  }

  function show(answer) {
    const fields = JSON.stringify(answer.session.fields);
    if (answer.whole || !session || fields !== JSON.stringify(session.fields)) build(answer.session);
    session = answer.session;
    for (const gone of answer.gone) {
      shots.get(gone)?.node.remove();
      shots.delete(gone);
    }
    for (const shot of answer.rows) {
      const node = row(shot), before = shots.get(shot.n);
      if (before) before.node.replaceWith(node);
      else body.append(node);
      shots.set(shot.n, { shot, node });
    }
    if (answer.rows.length) scroll.scrollTop = scroll.scrollHeight;
    const kept = condition.value;
    condition.replaceChildren(...answer.conditions.map((name) => make("option", { value: name }, name)));
    condition.value = correcting === null ? answer.condition : kept;
    mark();
  }

  function mark() {
    number.textContent = correcting === null ? String(session.next) : `${correcting} ✎`;
    foot.classList.toggle("spin-correcting", correcting !== null);
    for (const { node } of shots.values()) node.classList.toggle("spin-chosen", Number(node.dataset.shot) === correcting);
    act.choosing(correcting === null ? null : shots.get(correcting)?.shot);
  }

  function fill(from) {
    for (const field of session.fields) {
      boxes[field.name].value = from ? from[field.name] : "";
      boxes[field.name].removeAttribute("aria-invalid");
    }
  }

  function edit(n) {
    const found = shots.get(n);
    if (!found) return;
    correcting = n;
    fill(found.shot.cells);
    condition.value = found.shot.condition;
    mark();
    enter(cells()[0]);
  }

  function leave() {
    correcting = null;
    token = null;
    fill(null);
    mark();
  }

  function lock(on) {
    locked = on;
    for (const box of cells()) box.readOnly = on;
    foot.setAttribute("aria-busy", String(on));
  }

  function confirm() {
    if (locked) return;
    token ??= `${Date.now()}-${Math.random()}`;
    lock(true);
    const what = correcting === null ? { do: "add", token } : { do: "correct", shot: correcting };
    act.send({ ...what, condition: condition.value, cells: value() }, (answer) => {
      lock(false);
      if (!answer) return;
      if (answer.error) return wrong(answer.column);
      leave();
      condition.value = answer.condition;
      cells()[0].focus();
    });
  }

  function wrong(column) {
    const box = boxes[column];
    if (!box) return (document.activeElement === condition ? condition : cells()[0]).focus();
    box.setAttribute("aria-invalid", "true");
    enter(box);
  }

  const turn = (by) => {
    const count = condition.options.length;
    condition.selectedIndex = (condition.selectedIndex + by + count) % count;
    act.aloud(`condition ${condition.value}`);
  };
  const step = (by) => {
    const all = [...shots.keys()], at = correcting === null ? all.length : all.indexOf(correcting);
    if (at + by >= all.length) leave();
    else edit(all[Math.max(0, at + by)]);
  };

  // every key of the row: Enter goes on and, behind the last box, saves
  foot.addEventListener("keydown", (event) => {
    const all = cells(), at = all.indexOf(event.target), plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    if (event.key === "Enter") {
      if (event.shiftKey || event.ctrlKey || at === all.length - 1) confirm();
      else enter(all[at + 1]);
    } else if (event.key === "Escape") {
      if (at >= 0 && correcting === null && all[at].value !== "" && all.some((box) => box !== all[at] && box.value)) all[at].value = "";
      else leave();
      act.quiet();
      if (at >= 0) all[at].focus();
    } else if (plain && event.key === "PageDown") turn(1);
    else if (plain && event.key === "PageUp") turn(-1);
    else if (plain && at >= 0 && event.key === "ArrowUp" && (correcting !== null || blank())) step(-1);
    else if (plain && at >= 0 && event.key === "ArrowDown" && correcting !== null) step(1);
    else if ((event.ctrlKey || event.metaKey) && event.key === "z" && !event.shiftKey && correcting === null && blank()) act.undo();
    else if (event.ctrlKey && event.key === "Delete" && correcting !== null) act.remove(correcting);
    else return;
    event.preventDefault();
  });
  return { scroll, show, leave, focus: () => cells()[0]?.focus(), correcting: () => correcting };
}

// ---- the whole

function render({ model, el }) {
  const setup = model.get("setup"), id = `spin-entry-${++tables}`;
  let serial = 0, waiting = new Map(), held = "";

  const wrong = make("p", { class: "spin-wrong", role: "alert", id: `${id}-wrong` });
  const said = make("p", { class: "spin-done", role: "status" });
  const aloud = make("p", { class: "spin-aloud", "aria-live": "polite" });
  const notes = make("ul", { class: "spin-kept", "aria-label": "Notes" });
  const title = make("p", { class: "spin-head" }), verdict = make("p", { class: "spin-verdict" });
  const rule = make("p", { class: "spin-means", hidden: true });
  const ranges = make("p", { class: "spin-ranges" }), every = make("p", { class: "spin-every" });
  const whole = make("p"), more = make("details", {}, make("summary", {}, "In full"), whole);
  const averages = make("table", { "aria-label": "Averages of the shots so far" });

  const act = {
    send, quiet: () => { wrong.textContent = ""; },
    aloud: (text) => { aloud.textContent = text; },
    undo: () => send({ do: "undo" }, after),
    remove: (n) => send({ do: "delete", shot: n }, (answer) => { if (answer && !answer.error) { rows.leave(); after(); } }),
    choosing: (shot) => {
      remove.disabled = !shot || shot.deleted;
      remove.textContent = shot ? `Delete shot ${shot.n}` : "Delete a shot";
    },
  };
  const after = () => rows.focus();
  const remove = make("button", { type: "button", disabled: true, onclick: () => act.remove(rows.correcting()) }, "Delete a shot");
  const rows = typing(id, act);
  const opened = () => after();
  const ask = chooser(setup, id, (what) => send({ do: "begin", ...what }, opened), (file) => send({ do: "open", file }, opened));

  const keys = make("p", { class: "spin-keys" }, ...[["Enter", "next box, after the last: save"], ["Shift+Enter", "save now"],
    ["Page Down", "other condition"], ["↑", "correct"], ["Esc", "clear"], ["Ctrl+Z", "undo the last"]].map(([key, does]) =>
    make("span", {}, make("kbd", {}, key), ` ${does}`)));
  const work = make("div", { class: "spin-work" },
    make("div", { class: "spin-type" }, title, rule, rows.scroll, make("div", { class: "spin-said" }, wrong, said, notes), keys,
      make("div", { class: "spin-acts" },
        make("button", { type: "button", onclick: () => act.undo() }, "Undo the last"), remove,
        make("button", { type: "button", hidden: !setup.desk, onclick: () => send({ do: "desk" }) }, "Put them on the desk"),
        make("button", { type: "button", onclick: () => send({ do: "finish" }, () => ask.first()) }, "Finish the session"))),
    make("div", { class: "spin-judge" }, make("p", { class: "spin-head" }, "What the shots say so far"),
      make("div", { role: "status" }, verdict, ranges, every), make("div", { class: "spin-scroll" }, averages), more));
  const early = make("div", { class: "spin-said" });
  const root = make("section", { class: "spin-form spin-entry", "aria-label": "Live entry", "data-lm-suppress-shortcuts": "true" },
    ask.form, work, early, aloud);
  ask.form.hidden = work.hidden = true;
  el.append(root);
  root.addEventListener("keydown", (event) => event.stopPropagation());

  function send(message, then) {
    const n = ++serial;
    const late = setTimeout(() => {
      if (!waiting.delete(n)) return;
      wrong.textContent = "No answer. What stands in the table is safe; this is not saved yet. If it stays like this, run the cell again.";
      then?.(null);
    }, PATIENCE);
    waiting.set(n, { then, late });
    model.send({ n, ...message });
  }

  function heard(answer) {
    if (answer.verdict !== undefined) return judged(answer);
    const asked = waiting.get(answer.n);
    const mine = answer.n === null || asked;
    if (asked) {
      waiting.delete(answer.n);
      clearTimeout(asked.late);
    }
    const typing_ = Boolean(answer.session);
    ask.form.hidden = typing_;
    work.hidden = !typing_;
    (typing_ ? work.querySelector(".spin-said") : early).replaceChildren(wrong, said, notes);
    if (typing_) {
      rows.show(answer);
      const plan = answer.session.planned ? ` of ${answer.session.planned} planned` : "";
      title.textContent = `${answer.session.name}: ${answer.session.shots}${plan} shot${answer.session.shots === 1 && !plan ? "" : "s"} saved`;
      title.title = answer.session.file;
      rule.textContent = answer.rule;
      rule.hidden = !answer.rule;
      notes.replaceChildren(...answer.notes.map((text) => make("li", {}, text)));
    } else {
      ask.show(answer.earlier);
      notes.replaceChildren();
    }
    if (mine && answer.n !== null) {
      wrong.textContent = answer.error;
      if (answer.said || answer.error) said.textContent = answer.error ? "" : answer.said;
    }
    asked?.then?.(answer);
  }

  function judged(answer) {
    const said = answer.verdict;
    for (const [node, text] of [[verdict, said.brief], [ranges, said.ranges], [every, said.every], [whole, said.whole]]) {
      if (node.textContent !== text) node.textContent = text;
      node.hidden = !text;
    }
    more.hidden = !said.whole;
    const [head, ...lines] = answer.averages;
    averages.replaceChildren(make("thead", {}, make("tr", {}, ...head.map((text) => make("th", { scope: "col" }, text)))),
      make("tbody", {}, ...lines.map(([name, ...numbers]) => make("tr", {}, make("th", { scope: "row" }, name),
        ...numbers.map((text) => make("td", { class: "spin-number" }, text))))));
  }

  const dress = () => {
    const colours = setup.themes[theme()];
    for (const [name, colour] of Object.entries(colours)) root.style.setProperty(`--spin-${name}`, colour);
    root.style.colorScheme = theme();
    root.classList.toggle("spin-tight", root.clientWidth < 64 * parseFloat(getComputedStyle(root).fontSize));
  };
  // another window may have written meanwhile: look when this one is looked at again
  const look = () => { if (!document.hidden && !waiting.size) send({ look: true }); };
  const size = new ResizeObserver(dress), looks = new MutationObserver(dress);
  size.observe(root);
  looks.observe(document.body, { attributes: true, attributeFilter: ["data-jp-theme-light"] });
  window.addEventListener("focus", look);
  model.on("msg:custom", heard);
  dress();
  send({ hello: true });

  return () => {
    size.disconnect();
    looks.disconnect();
    window.removeEventListener("focus", look);
    model.off("msg:custom", heard);
    for (const { late } of waiting.values()) clearTimeout(late);
  };
}

export default { render };
