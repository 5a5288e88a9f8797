// One bib of a tryout: what the club decided, and appeals.
import "./paper.js";
import { ask, busy, by, newID, problem } from "./page.js";

// record keeps what a form says beside the standing and shows it.
async function record(form, body) {
  const { tryout, bib } = form.dataset;
  const answer = await ask("POST", `/v1/tryouts/${tryout}/decisions`, { json: { bib, ...body }, headers: { "Idempotency-Key": newID() } });
  if (answer.ok) location.reload();
  else form.querySelector("[data-answer]").replaceChildren(problem(answer));
}

// filled leaves out what was left empty.
const filled = (fields) => Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== ""));
const typed = (id) => by(id).value.trim();

by("decide").addEventListener("submit", (e) => {
  e.preventDefault();
  busy(e.submitter, () => record(e.target, { kind: "decision", chosen: by("code").value === "chosen", ...filled({ group: typed("group"), feedback: typed("feedback"), why: typed("why") }) }));
});
by("appeal").addEventListener("submit", (e) => {
  e.preventDefault();
  busy(e.submitter, () => record(e.target, { kind: "appeal", outcome: by("outcome").value, why: typed("appeal-why") }));
});
