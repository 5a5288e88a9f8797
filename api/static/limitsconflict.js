// Another editor published meanwhile: what they changed beside what one changed
// oneself, and what both began with.
import { ask, busy, make, say } from "./page.js";
import { titleOf } from "./impact.js";

// limitIn reads a limit out of a rubric as JSON: its numbers, none for no limit.
function limitIn(rubric, { fault, kind, band }) {
  let is = (rubric.faults?.[fault] ?? rubric.outcomes?.[fault])?.[kind];
  if (is && typeof is === "object" && !Array.isArray(is)) is = is[band] ?? is.value;
  return is == null ? [] : [is].flat();
}

const same = (a, b) => a.length === b.length && a.every((x, i) => Number(x) === Number(b[i]));
const shown = (ends) => ends.length ? ends.join(" – ") : say("none");

// row is one limit that somebody changed; null where nobody did.
function row(cell, rubric) {
  const was = cell.inputs.map((i) => i.dataset.was), yours = cell.inputs.map((i) => i.value.trim().replace(",", ".")), theirs = limitIn(rubric, cell);
  const byThem = !same(was, theirs), byYou = !same(was, yours);
  if (!byThem && !byYou) return null;
  const td = (key, text) => make("td", { "data-label": say(key) }, text);
  return make("tr", { class: byThem && byYou ? "both" : "" }, make("th", { scope: "row" }, `${titleOf(cell.fault)}, ${cell.band}`),
    td("before", shown(was)), td("theirs", byThem ? shown(theirs) : say("untouched")), td("yours", byYou ? shown(yours) : say("untouched")),
    td("who", say(byThem && byYou ? same(yours, theirs) ? "agree" : "both" : byThem ? "only-theirs" : "only-yours")));
}

// conflict shows it; again publishes on top of what is there now.
export async function conflict({ at, since, cells, again }) {
  const now = await ask("GET", at);
  const version = /"v(\d+)-/.exec(now.etag ?? "")?.[1];
  const diff = await ask("GET", `${at}/differences?from=${since}&to=${version}`);
  const head = ["limit", "before", "theirs", "yours", "who"].map((k) => make("th", { scope: "col" }, say(k)));
  return make("div", { class: "notice bad" },
    make("h2", {}, say("conflict")), make("p", {}, say("conflict-says", { n: version })),
    make("table", { class: "stack" }, make("thead", {}, make("tr", {}, ...head)), make("tbody", {}, ...cells.map((c) => row(c, now.body)).filter(Boolean))),
    make("h3", {}, say("all-theirs")), make("ul", { lang: "en" }, ...(diff.body.differences ?? []).map((d) => make("li", {}, d.says))),
    make("div", { class: "row" },
      make("button", { type: "button", id: "on-top", onclick: (e) => busy(e.currentTarget, () => again(now.etag)) }, say("on-top")),
      make("a", { class: "button plain", href: location.pathname }, say("take-theirs"))));
}
