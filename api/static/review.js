// The instructor's word on the assessments of a day.
import { ask, busy, make, newID, notice, problem, say } from "./page.js";

const val = (box, name) => box.querySelector(`[data-${name}]`)?.value.trim() ?? "";

// reviewOf reads a form; gap is a reason that must be given and is not.
function reviewOf(form) {
  const review = { set_aside: [], dropped: [], cues: [], note: val(form, "note") };
  let gap = null;
  for (const box of form.querySelectorAll("[data-work], [data-finding]")) {
    const fault = box.dataset.work ?? box.dataset.finding, what = val(box, "do"), reason = val(box, "reason");
    if (what !== "give") {
      if (!reason) gap ??= box.querySelector("[data-reason]");
      (what === "aside" ? review.set_aside : review.dropped).push({ fault, reason });
      continue;
    }
    const own = val(box, "own"), drill = val(box, "drill");
    if ((own && own !== box.dataset.cue) || drill) review.cues.push({ fault, ...(own && own !== box.dataset.cue ? { cue: own } : {}), ...(drill ? { drills: [drill] } : {}) });
  }
  return { review, gap };
}

async function put(form, release) {
  const { review, gap } = reviewOf(form);
  const out = form.querySelector("[data-answer]");
  if (gap) {
    gap.setAttribute("aria-invalid", "true");
    out.replaceChildren(make("p", { class: "notice bad" }, say("need-reason")));
    gap.closest("details")?.setAttribute("open", "");
    gap.focus();
    return;
  }
  for (const e of form.querySelectorAll("[aria-invalid]")) e.removeAttribute("aria-invalid");
  const answer = await ask("PUT", `/v1/assessments/${form.dataset.review}/review`, {
    json: { ...review, release },
    headers: { "If-Match": `"r${form.dataset.revision}"`, "Idempotency-Key": newID() },
  });
  if (answer.status === 412) {
    out.replaceChildren(make("p", { class: "notice bad" }, say("changed"), " ", make("a", { href: location.href }, say("reload"))));
    return;
  }
  if (!answer.ok) { out.replaceChildren(problem(answer)); return; }
  form.dataset.revision = answer.body.revision;
  const state = form.closest("article").querySelector("[data-state]");
  state.textContent = say(release ? "released" : "draft");
  state.classList.toggle("on", release);
  out.replaceChildren(make("p", { class: "notice" }, say(release ? "is-released" : "is-kept")));
}

async function link(form) {
  const out = form.querySelector("[data-answer]");
  const answer = await ask("POST", "/v1/links", { json: { assessment: form.dataset.review } });
  if (!answer.ok) { out.replaceChildren(problem(answer)); return; }
  const url = new URL(answer.body.url ?? answer.body.path ?? `/v1/links/${answer.body.token}/report`, location.href).href;
  out.replaceChildren(make("div", { class: "notice" }, make("p", {}, say("link-made")), make("p", {}, make("a", { href: url }, url))));
}

for (const form of document.querySelectorAll("form[data-review]")) {
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    busy(e.submitter, () => put(form, e.submitter.dataset.release === "yes"));
  });
  form.querySelector("[data-link]").addEventListener("click", (e) => busy(e.currentTarget, () => link(form)));
}
notice("");
