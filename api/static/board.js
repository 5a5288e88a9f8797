// The tryout board: kept up to date while grades come in, closed, opened again.
import "./paper.js";
import { ask, busy, by, notice, problem, say } from "./page.js";
import { startEnrol } from "./enrol.js";
import { anew, take } from "./renew.js";

const every = 10_000; // ms

let behind = false;

async function refresh() {
  if (!by("follow").checked || document.hidden) return;
  try {
    await show();
  } catch (e) {
    behind = true;
    notice(e.status ? say("status", { n: e.status }) : say("stale"), true);
  }
}

// show takes in what changed. Another instructor may have closed the tryout: the
// form then offers to open it again.
async function show() {
  const page = await anew({ "If-None-Match": by("live").dataset.mark });
  if (page) {
    const state = by("state").dataset.state;
    take(page, "live");
    if (page.getElementById("state").dataset.state !== state) take(page, "state");
    by("enrol").hidden = by("state").dataset.state === "closed";
    notice(say(by("state").dataset.state === state ? "fresh" : "is-" + by("state").dataset.state));
  } else if (behind) notice("");
  behind = false;
  by("checked").textContent = say("checked", { at: new Date().toLocaleTimeString(document.documentElement.lang) });
}

startEnrol(show);
setInterval(refresh, every);
document.addEventListener("visibilitychange", refresh);
by("follow").addEventListener("change", refresh);

// To close the tryout, or to open it again with a reason.
document.addEventListener("submit", (e) => {
  const form = e.target;
  if (form.id !== "state") return;
  e.preventDefault();
  busy(e.submitter, async () => {
    const closed = form.dataset.state === "closed", json = closed ? { reason: by("reason").value.trim() } : undefined;
    const answer = await ask("POST", `/v1/tryouts/${form.dataset.id}/${closed ? "reopen" : "close"}`, { json });
    if (!answer.ok) form.querySelector("[data-answer]").replaceChildren(problem(answer));
    if (answer.ok || answer.status === 409) await show(); // 409: it was closed or opened meanwhile
  });
});
