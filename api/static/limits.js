// The editor of a rubric's limits: change one, see what it would turn, publish
// with a reason.
import { ask, busy, by, make, newID, notice, problem, say } from "./page.js";
import { conflict } from "./limitsconflict.js";
import { showImpact, stopImpact } from "./impact.js";
import { startFile } from "./limitsfile.js";
import { startVersions } from "./limitsversions.js";

const editor = by("editor"), name = editor.dataset.name;
const at = `/v1/rubrics/${encodeURIComponent(name)}`;
const inputs = [...document.querySelectorAll("#limits input[data-fault]")];
const readNumber = (s) => /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(s.trim()) ? Number(s.trim().replace(",", ".")) : NaN;

// cells are the limits that can be set: {fault, band, kind, inputs}.
const cells = [...Map.groupBy(inputs, (i) => i.dataset.fault + " " + i.dataset.band).values()]
  .map((of) => ({ ...of[0].dataset, inputs: of }));

// edits are the limits that were changed; bad is the first field that holds no number.
function edits() {
  const list = [];
  let bad = null;
  for (const cell of cells) {
    let touched = false;
    for (const input of cell.inputs) {
      const own = input.value.trim() !== input.dataset.was, wrong = own && Number.isNaN(readNumber(input.value));
      input.classList.toggle("touched", own);
      if (wrong) { input.setAttribute("aria-invalid", "true"); bad ??= input; } else input.removeAttribute("aria-invalid");
      touched ||= own;
    }
    const ends = cell.inputs.map((i) => readNumber(i.value));
    if (touched) list.push({ cell, fault: cell.fault, band: cell.band, [cell.kind]: cell.kind === "between" ? ends : ends[0] });
  }
  return { list, bad };
}

// wanted are edits as the API takes them.
const wanted = (list) => list.map(({ cell, ...edit }) => edit);

async function impact() {
  const { list, bad } = edits();
  if (bad || !list.length) {
    stopImpact();
    by("impact-line").textContent = bad ? say("bad-number", { found: bad.value }) : say("nothing");
    by("impact").replaceChildren();
    return;
  }
  const answer = await showImpact(name, { json: { limits: wanted(list) } }, by("impact"), by("impact-line"));
  if (answer && !answer.ok) mark(answer.body.errors ?? [], list);
}

// mark shows which fields the slips speak of.
function mark(slips, list) {
  for (const s of slips) {
    const n = /^\/limits\/(\d+)/.exec(s.pointer ?? "");
    for (const i of (n && list[Number(n[1])]?.cell.inputs) ?? []) i.setAttribute("aria-invalid", "true");
  }
}

// reasonIn gives the reason that a field holds, "" after asking for it.
function reasonIn(field) {
  const reason = field.value.trim();
  field.setCustomValidity(reason ? "" : say("need-reason"));
  field.oninput = () => field.setCustomValidity("");
  field.reportValidity(); // says so beside the field, and puts the cursor there
  return reason;
}

let leaving = false;

// done shows the page as it is now and says what happened.
function done(text) {
  leaving = true;
  try { sessionStorage.setItem("said", text); } catch { /* refused: the page shows it all the same */ }
  location.reload();
}

async function publish(etag = editor.dataset.etag) {
  const { list, bad } = edits();
  if (bad) { bad.focus(); return; }
  if (!list.length) { by("impact-line").textContent = say("nothing"); return; }
  const reason = reasonIn(by("reason"));
  if (!reason) return;
  const answer = await ask("PATCH", at + "/limits", { json: { limits: wanted(list), reason }, headers: { "If-Match": etag, "Idempotency-Key": newID() } });
  if (answer.ok) { done(say("published", { n: answer.body.version })); return; }
  by("answer").replaceChildren(answer.status === 412 ? await conflict({ at, since: editor.dataset.version, cells, again: publish }) : problem(answer));
  by("answer").focus();
}

let timer;
by("limits").addEventListener("input", (e) => { if (e.target.dataset.fault) { clearTimeout(timer); timer = setTimeout(impact, 300); } });
by("limits").addEventListener("submit", (e) => { e.preventDefault(); busy(by("publish"), () => publish()); });
by("reset").addEventListener("click", () => { for (const i of inputs) i.value = i.dataset.was; impact(); notice(""); });
addEventListener("beforeunload", (e) => { if (!leaving && (edits().list.length || by("source").value !== by("source").defaultValue)) e.preventDefault(); });

const shared = { at, name, editor, reasonIn, done };
startVersions(shared);
startFile(shared);
try {
  const said = sessionStorage.getItem("said");
  if (said) { notice(said); by("notice").tabIndex = -1; by("notice").focus(); }
  sessionStorage.removeItem("said");
} catch { /* refused */ }
impact(); // the browser may have put back what was typed
document.body.dataset.started = "yes";
