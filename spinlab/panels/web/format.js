// Numbers and words, the same to the last digit as `spinlab.panels.words` in Python.

// Decimal places with ties to even, as Python rounds: toFixed alone sends 2.5 to 3.
export function fixed(value, digits) {
  const size = Math.abs(value);
  if (!(size < 1e21)) return String(size);
  const long = size.toFixed(Math.min(digits + 30, 100));
  const cut = long.length - (Math.min(digits + 30, 100) - digits);
  const rest = long.slice(cut).replace(".", "");
  const kept = long.slice(0, cut).replace(/\.$/, "");
  const odd = Number(kept[kept.length - 1]) % 2 === 1;
  if (/^50*$/.test(rest) && !odd) return kept;
  return size.toFixed(digits);
}

// A number as people read it: thousands set apart, a true minus, no sign on zero.
export function written(value, digits, thousands, sign = false) {
  if (!Number.isFinite(value)) return "–";
  let text = digits < 0 ? fixed(Number(fixed(value / 10 ** -digits, 0)) * 10 ** -digits, 0) : fixed(value, digits);
  const [whole, part] = text.split(".");
  text = whole.replace(/\B(?=(\d{3})+$)/g, thousands) + (part ? `.${part}` : "");
  if (!/[1-9]/.test(text)) return text;
  if (value < 0) return `−${text}`;
  return sign ? `+${text}` : text;
}

// {name:kind}, with .1 for digits, + for the sign, # for the number alone.
const PLACE = /\{(\w+)(?::(\w+)(?:\.(\d))?(\+)?(#)?)?\}/g;

const COMPARE = {
  "<": (a, b) => a < b,
  "<=": (a, b) => a <= b,
  ">": (a, b) => a > b,
  ">=": (a, b) => a >= b,
};

// Everything that turns values into words for one scene; `units` may change at any time.
export function speaker(spec) {
  const kinds = spec.kinds;
  const labels = Object.fromEntries(spec.controls.map((control) => [control.name, control]));
  const speak = { units: "metric" };
  const measure = (kind) => kinds[kind][speak.units];

  speak.shown = (kind, value) => (value - measure(kind).offset) / measure(kind).scale;
  speak.si = (kind, shown) => shown * measure(kind).scale + measure(kind).offset;
  speak.si_scale = (kind) => measure(kind).scale;
  speak.unit = (kind) => measure(kind).unit;
  speak.digits = (kind, value) => {
    const { digits, whole_from: whole } = measure(kind);
    return whole !== null && Math.abs(speak.shown(kind, value)) >= whole ? Math.min(digits, 0) : digits;
  };
  speak.number = (kind, value, digits = null, sign = false) =>
    written(speak.shown(kind, value), digits ?? speak.digits(kind, value), spec.thousands, sign);
  speak.say = (kind, value, digits = null, sign = false) => {
    const unit = measure(kind).unit;
    const gap = unit === "" || spec.close.includes(unit) ? "" : "\u00a0";
    return speak.number(kind, value, digits, sign) + gap + unit;
  };
  // A value as it is read, back in SI.
  speak.rounded = (kind, value) => {
    const digits = speak.digits(kind, value);
    const shown = speak.shown(kind, value);
    return speak.si(kind, digits < 0 ? Number(fixed(shown / 10 ** -digits, 0)) * 10 ** -digits : Number(fixed(Math.abs(shown), digits)) * Math.sign(shown));
  };
  // A tick on an axis: as many digits as it needs.
  speak.number_plain = (shown) => written(shown, Math.min((String(Number(shown.toPrecision(6))).split(".")[1] ?? "").length, 6), spec.thousands);
  speak.control = (control, value) => (control.options ? value : speak.say(control.kind, value));
  speak.fill = (template, values) => template.replace(PLACE, (all, name, kind, digits, sign, alone) => {
    if (kind === undefined) return speak.control(labels[name], values[name]);
    const say = alone ? speak.number : speak.say;
    return say(kind, values[name], digits === undefined ? null : Number(digits), sign === "+");
  });
  // The first sentence whose conditions all hold.
  speak.choose = (rules, values) => {
    const holds = ([name, sign, limit]) => COMPARE[sign](values[name], limit);
    return speak.fill(rules.find((rule) => rule.when.every(holds)).text, values);
  };
  return speak;
}
