// Parts of a page as the server has them now. All else stays, and with it what
// is typed there.
import { by, keepFocus } from "./page.js";

// anew fetches the page once more; null when it is the same as before. It
// throws where there is no net.
export async function anew(headers = {}) {
  const r = await fetch(location.href, { headers });
  if (r.status === 304) return null;
  if (!r.ok || r.redirected) throw Object.assign(new Error("status"), { status: r.status });
  return new DOMParser().parseFromString(await r.text(), "text/html");
}

// take shows a newer part in place of the old one; what was open or in focus
// there stays so.
export function take(page, id) {
  const old = by(id), next = page.getElementById(id);
  if (!old || !next) return;
  const open = [...old.querySelectorAll("details[open]")].map((d) => d.id);
  for (const d of next.querySelectorAll("details")) d.open = open.includes(d.id);
  next.hidden = old.hidden;
  keepFocus(() => by(id), () => old.replaceWith(next));
}
