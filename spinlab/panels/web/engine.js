// Who answers a scene: its own code in the browser, with a worker for the bands, or the kernel behind it.

export async function localEngine(spec) {
  const url = URL.createObjectURL(new Blob([spec.code], { type: "text/javascript" }));
  const { make } = await import(url);
  const here = make(spec);
  const needed = spec.banded.length || spec.rests;
  let id = 0;
  let wanted = null;
  let worker = needed ? started() : null;
  function started() {
    const made = workerAt(spec);
    if (!made) return null;
    made.onmessage = ({ data }) => {
      if (wanted && data.id === wanted.id) hear(wanted, data);
    };
    made.onerror = () => {
      made.broken = true;
      if (wanted?.busy) computed(wanted);
    };
    return made;
  }
  function hear(question, { rested, bands, over }) {
    if (rested) question.rested(rested);
    else if (over) {
      question.busy = false;
      question.over();
    } else question.done(bands);
  }
  // A page that has no worker computes here.
  function computed(question) {
    for (const part of here.atRest(question.values)) hear(question, part);
    hear(question, { over: true });
  }
  return {
    local: true,
    answer: (values, done) => done(here.answer(values)),
    sweep: here.sweep,
    // `rested` is called with each answer that took too long to be given under the hand, `done` with the bands, `over` at the end
    bands(values, { done, rested, over }) {
      if (!needed) {
        done(null);
        return over();
      }
      id += 1;
      if (spec.rests && worker && wanted?.busy) { // what nobody waits for any more is given up
        worker.terminate();
        worker = started();
      }
      wanted = { id, values, done, rested, over, busy: true };
      if (worker && !worker.broken) worker.postMessage({ id, values });
      else computed(wanted);
      return null;
    },
    close() {
      worker?.terminate();
      URL.revokeObjectURL(url);
    },
  };
}

function workerAt(spec) {
  try {
    const { code, ...rest } = spec;
    // a plain script: a page from a disk may not start a module as its worker
    const plain = URL.createObjectURL(new Blob([code.replace(/^export /gm, "")], { type: "text/javascript" }));
    const worker = new Worker(plain);
    URL.revokeObjectURL(plain);
    worker.postMessage({ spec: rest });
    return worker;
  } catch {
    return null; // a page that allows no worker computes its bands itself
  }
}

const PATIENCE = 2500; // so long a kernel may take before the scene says that it does not answer [ms]

// The kernel answers: one question at a time, always the latest; `silent` says that it takes long, and why.
export function remoteEngine(ask, status, silent) {
  let waiting = null;
  let lost = null; // a question that was given up; its answer may still come
  let next = null;
  let id = 0;
  let timer = null;
  const send = () => {
    if (waiting || !next) return;
    waiting = { id: (id += 1), ...next };
    next = null;
    clearTimeout(timer);
    timer = setTimeout(watch, PATIENCE);
    try {
      ask({ id, values: waiting.values, bands: waiting.bands });
    } catch {
      clearTimeout(timer); // the line to the kernel is closed
      waiting = null;
      silent("dead");
    }
  };
  async function watch() {
    if (!waiting) return;
    const state = await status();
    if (!waiting) return;
    silent(state);
    if (state === "dead") [lost, waiting] = [waiting, null];
    else timer = setTimeout(watch, PATIENCE);
  }
  return {
    local: false,
    answer(values, done) {
      next = { values, done, bands: false };
      send();
    },
    bands(values, { done, over }) {
      if (next) return; // the answer comes first; bands are asked for when the hand rests again
      next = { values, done: (bands) => { done(bands); over(); }, bands: true };
      send();
    },
    heard({ id: which, result, error }) {
      const asked = [waiting, lost].find((one) => one?.id === which);
      if (!asked) return;
      const { done } = asked;
      if (asked === waiting) waiting = null;
      lost = null;
      clearTimeout(timer);
      silent("");
      done(result, error);
      send();
    },
    close: () => clearTimeout(timer),
  };
}
