// A lesson to read: its scenes, and its quiz.

import { placed } from "./page.js";
import { quiz } from "./quiz.js";

// What a notebook keeps for a quiz, for a page that keeps nothing.
function answers(questions) {
  const kept = { questions, given: {} };
  const heard = [];
  return {
    get: (name) => kept[name],
    set: (name, value) => { kept[name] = value; },
    save_changes: () => heard.forEach((one) => one()),
    on: (_, one) => heard.push(one),
    off: () => {},
  };
}

for (const data of document.querySelectorAll("script.quiz-data")) {
  quiz.render({ model: answers(JSON.parse(data.textContent)), el: placed(data) });
}
