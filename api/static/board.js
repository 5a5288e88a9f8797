// The tryout board: kept up to date while grades come in, closed, opened again.
import "./paper.js";
import { ask, busy, by, notice, problem, say } from "./page.js";

const every = 10_000; // ms

// take shows a newer board in place of the old one; what was open or in focus
// there stays so.
function take(next) {
  const old = by("live"), at = document.activeElement;
  const href = old.contains(at) ? at.getAttribute("href") : null;
  if (old.querySelector("details")?.open) next.querySelector("details")?.setAttribute("open", "");
  old.replaceWith(next);
  if (href) next.querySelector(`a[href="${CSS.escape(href)}"]`)?.focus();
}

let behind = false;

async function refresh() {
  if (!by("follow").checked || document.hidden) return;
  try {
    const r = await fetch(location.href, { headers: { "If-None-Match": by("live").dataset.mark } });
    if (r.status === 304) {
      if (behind) notice("");
    } else if (!r.ok || r.redirected) {
      notice(say("status", { n: r.status }), true);
    } else {
      take(new DOMParser().parseFromString(await r.text(), "text/html").getElementById("live"));
      notice(say("fresh"));
    }
    behind = false;
    by("checked").textContent = say("checked", { at: new Date().toLocaleTimeString(document.documentElement.lang) });
  } catch {
    behind = true;
    notice(say("stale"), true);
  }
}

setInterval(refresh, every);
document.addEventListener("visibilitychange", refresh);
by("follow").addEventListener("change", refresh);

// To close the tryout, or to open it again with a reason.
by("state").addEventListener("submit", (e) => {
  e.preventDefault();
  const form = e.target;
  busy(e.submitter, async () => {
    const json = by("reason") ? { reason: by("reason").value.trim() } : undefined;
    const answer = await ask("POST", `/v1/tryouts/${form.dataset.id}/${form.dataset.do}`, { json });
    if (answer.ok) location.reload();
    else form.querySelector("[data-answer]").replaceChildren(problem(answer));
  });
});
