// One bib of a tryout: who takes part, who may not look, what the club decided,
// and appeals.
import "./paper.js";
import { ask, askOnce, busy, by, notice, say } from "./page.js";
import { anew, take } from "./renew.js";
import { clear, told } from "./slips.js";

const { tryout, bib } = by("live").dataset;
const at = `/v1/tryouts/${tryout}`, own = encodeURIComponent(bib);
const typed = (id) => by(id).value.trim();

// filled leaves out what was left empty.
const filled = (fields) => Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== ""));

// send sends what a form holds; when that is done, the page says so and shows
// it, and the other forms keep what is typed there. Where it cannot be shown, it
// is done all the same.
async function send(form, done, method, path, json) {
  clear(form);
  const answer = await (method === "DELETE" ? ask(method, path) : askOnce(method, path, json));
  if (!answer.ok) { told(form, answer); return; }
  form.reset();
  try {
    const page = await anew();
    for (const id of ["live", "withdraw", "recused"]) take(page, id);
    notice(say(done));
  } catch (e) {
    console.info("done, and not shown:", e);
    notice(say(done) + " " + say("stale"), true);
  }
}

const forms = {
  decide: (form) => send(form, "decided", "POST", at + "/decisions", { bib, kind: "decision", chosen: by("code").value === "chosen", ...filled({ group: typed("group"), feedback: typed("feedback"), why: typed("why") }) }),
  appeal: (form) => send(form, "appealed", "POST", at + "/decisions", { bib, kind: "appeal", outcome: by("outcome").value, why: typed("appeal-why") }),
  withdraw: (form) => {
    const withdrawn = form.dataset.withdrawn !== "true";
    return send(form, withdrawn ? "withdrawn" : "returned", "PUT", `${at}/roster/${own}`, { withdrawn });
  },
  recuse: (form) => {
    const evaluator = by("evaluator").value;
    if (evaluator) return send(form, "recused", "PUT", `${at}/recusals/${encodeURIComponent(evaluator)}/${own}`, { why: typed("recusal-why") });
    clear(form);
    told(form, { body: { errors: [{ pointer: "/evaluator", found: say("nobody"), wanted: say("an-evaluator"), lang: document.documentElement.lang }] } });
  },
  recused: (form, { dataset }) => send(form, "unrecused", "DELETE", `${at}/recusals/${encodeURIComponent(dataset.evaluator)}/${own}`),
};

document.addEventListener("submit", (e) => {
  const work = forms[e.target.id];
  if (!work) return;
  e.preventDefault();
  busy(e.submitter, () => work(e.target, e.submitter));
});
