// The rubric's file as text: line numbers, and every problem at its line.
import { ask, busy, by, make, newID, notice, problem, say, slipText } from "./page.js";
import { showImpact } from "./impact.js";
import { blocks, merged, who } from "./threeway.js";

const yaml = "application/yaml";
const source = by("source"), gutter = by("gutter");
let slips = [];

// number writes the line numbers; a line with a problem has a mark.
function number() {
  const marked = new Set(slips.map((s) => s.line));
  const n = source.value.split("\n").length;
  gutter.textContent = Array.from({ length: n }, (_, i) => (marked.has(i + 1) ? "▶ " : "") + (i + 1)).join("\n");
  gutter.scrollTop = source.scrollTop;
}

// go puts the cursor at a line.
function go(line) {
  const lines = source.value.split("\n");
  const from = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  source.focus();
  source.setSelectionRange(from, from + (lines[line - 1] ?? "").length);
  source.scrollTop = Math.max(0, (line - 6) * parseFloat(getComputedStyle(source).lineHeight));
}

const line = (s) => make("li", {},
  s.line ? make("button", { type: "button", class: "plain", onclick: () => go(s.line) }, say("line", { n: s.line })) : null, " ",
  make("span", { class: "tag" }, say(s.warning ? "warning" : "problem")), " ", make("span", { lang: "en" }, slipText({ ...s, line: 0 })));

let round = 0;

async function check() {
  const mine = ++round;
  const answer = await ask("POST", "/v1/rubrics/check", { text: source.value, type: yaml });
  if (mine !== round) return; // something newer is under way
  if (!answer.ok) { by("problems").replaceChildren(make("li", {}, problem(answer))); return; }
  slips = answer.body.problems;
  const bad = slips.filter((s) => !s.warning).length;
  by("problems-count").textContent = bad ? say("problems", { n: bad }) : slips.length ? say("warnings", { n: slips.length }) : say("sound");
  by("problems").replaceChildren(...slips.map(line));
  number();
}

// startFile wires the text view.
export function startFile({ at, name, editor, reasonIn, done }) {
  const answerBox = by("file-answer");
  let timer, etag = editor.dataset.etag;
  const later = () => { number(); clearTimeout(timer); timer = setTimeout(() => check().catch(() => notice(say("no-net"), true)), 400); };

  async function publish() {
    const reason = reasonIn(by("file-reason"));
    if (!reason) return;
    const answer = await ask("PUT", `${at}?reason=${encodeURIComponent(reason)}`, { text: source.value, type: yaml, headers: { "If-Match": etag, "Idempotency-Key": newID() } });
    if (answer.ok) { done(say("published", { n: answer.body.version })); return; }
    answerBox.replaceChildren(answer.status === 412 ? await conflict() : problem(answer));
    answerBox.focus();
  }

  // conflict shows the three texts where they differ, and puts together what
  // does not touch the same lines.
  async function conflict() {
    const now = await ask("GET", at, { headers: { Accept: yaml } });
    const all = blocks(source.defaultValue, now.body, source.value), differ = all.filter(who);
    const clash = differ.filter((b) => who(b) === "both").length;
    const cell = (key, lines) => make("td", { "data-label": say(key) }, make("pre", {}, lines.join("\n") || say("no-line")));
    const head = ["line-no", "before", "theirs", "yours"].map((k) => make("th", { scope: "col" }, say(k)));
    const takeIn = () => {
      source.value = merged(all);
      source.defaultValue = now.body; // what one begins with from now on
      etag = now.etag;
      answerBox.replaceChildren(make("p", { class: "notice" }, say("taken-in", { n: clash })));
      source.focus();
      later();
    };
    return make("div", { class: "notice bad" }, make("h3", {}, say("conflict")),
      make("p", {}, say("conflict-says", { n: /"v(\d+)-/.exec(now.etag ?? "")?.[1] }), " ", clash ? say("clash", { n: clash }) : say("no-clash")),
      make("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": say("conflict") },
        make("table", { class: "stack three-texts" }, make("thead", {}, make("tr", {}, ...head)),
          make("tbody", {}, ...differ.map((b) => make("tr", { class: who(b) }, make("th", { scope: "row" }, String(b.line)), cell("before", b.was), cell("theirs", b.theirs), cell("yours", b.yours)))))),
      make("div", { class: "row" }, make("button", { type: "button", id: "take-in", onclick: takeIn }, say("take-in")), make("a", { class: "button plain", href: location.pathname }, say("take-theirs"))));
  }

  source.addEventListener("input", later);
  source.addEventListener("scroll", () => { gutter.scrollTop = source.scrollTop; });
  by("file").addEventListener("toggle", () => { if (by("file").open) later(); });
  by("file-impact").addEventListener("click", (e) => busy(e.currentTarget, () => showImpact(name, { text: source.value, type: yaml }, by("file-effect"), by("file-line"))));
  by("file-form").addEventListener("submit", (e) => { e.preventDefault(); busy(e.submitter, publish); });
  number();
}
