// The versions of a rubric: what changed since one, and going back to it.
import { ask, busy, by, make, newID, notice, problem, say } from "./page.js";
import { showImpact, stopImpact } from "./impact.js";

const list = (answer) => make("ul", { lang: "en" }, ...answer.body.differences.map((d) => make("li", {}, d.says)));

// startVersions wires the table of versions.
export function startVersions({ at, name, editor, reasonIn, done }) {
  const out = by("compared"), active = editor.dataset.version;

  function show(...children) {
    out.replaceChildren(...children);
    out.focus();
  }

  async function compare(n) {
    const answer = await ask("GET", `${at}/differences?from=${n}&to=${active}`);
    show(...(answer.ok ? [make("h3", {}, say("since", { n, active })), list(answer)] : [problem(answer)]));
  }

  // prepare shows what going back would do, before it is done; left again, the
  // focus is where it was opened.
  async function prepare(n, opener) {
    const [diff, file] = [await ask("GET", `${at}/differences?from=${active}&to=${n}`), await ask("GET", `${at}/versions/${n}`, { headers: { Accept: "application/yaml" } })];
    if (!diff.ok || !file.ok) { show(problem(diff.ok ? file : diff)); return; }
    const reason = make("input", { id: "back-reason", maxlength: 2000, autocomplete: "off" }), line = make("p", { class: "count", role: "status" }), effect = make("div");
    show(make("form", { class: "card", onsubmit: (e) => { e.preventDefault(); busy(e.submitter, () => back(n, reason)); } },
      make("h3", {}, say("back-to", { n })), list(diff), line, effect,
      make("div", { class: "row" }, make("div", { class: "grow" }, make("label", { for: "back-reason" }, say("reason")), reason),
        make("button", { id: "back" }, say("back-do", { n })), make("button", { type: "button", class: "plain", onclick: () => { stopImpact(); out.replaceChildren(); opener.focus(); } }, say("leave")))));
    await showImpact(name, { text: file.body, type: "application/yaml" }, effect, line);
  }

  async function back(n, field) {
    const reason = reasonIn(field);
    if (!reason) return;
    const answer = await ask("POST", at + "/activate", { json: { version: Number(n), reason }, headers: { "If-Match": editor.dataset.etag, "Idempotency-Key": newID() } });
    if (answer.ok) { done(say("went-back", { n })); return; }
    show(answer.status === 412 ? make("p", { class: "notice bad" }, say("moved-on"), " ", make("a", { href: location.pathname }, say("reload"))) : problem(answer));
  }

  async function reassess() {
    const answer = await ask("POST", at + "/reassess", { headers: { "Idempotency-Key": newID() } });
    if (!answer.ok) { show(problem(answer)); return; }
    const line = make("p", { class: "notice", role: "status" }, say("reassessing"));
    show(line);
    const job = new EventSource(`/v1/jobs/${answer.body.job}`);
    job.addEventListener("job", (e) => {
      const j = JSON.parse(e.data);
      line.textContent = say("job-" + j.state, { done: j.progress.done });
      if (["done", "failed", "cancelled"].includes(j.state)) job.close();
    });
  }

  for (const [key, work] of Object.entries({ compare, prepare })) {
    for (const b of document.querySelectorAll(`[data-${key}]`)) b.addEventListener("click", () => { notice(""); busy(b, () => work(b.dataset[key], b)); });
  }
  by("reassess").addEventListener("click", (e) => busy(e.currentTarget, reassess));
}
