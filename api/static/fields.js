// The fields of the evaluator's form: what they hold as a rep of an
// observation, and back.

const form = document.getElementById("entry");
const items = form ? [...form.querySelectorAll("[data-measure]")] : [];

// handU is how well a time between two taps of a thumb is known, in seconds: a
// tap follows the eye with a scatter of some 0.07 s (common practice in timing
// by hand), and there are two.
const handU = 0.1;

const box = (item) => item.querySelector('input[type="text"]');

// readNumber takes 3.5 and 3,5; NaN for what is no number.
const readNumber = (s) => /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(s.trim()) ? Number(s.trim().replace(",", ".")) : NaN;

// snapshot holds every field by its name, to be put back later.
export function snapshot() {
  const all = {};
  for (const e of form.elements) {
    const key = e.id || e.name;
    if (!key || e.type === "button" || e.type === "submit") continue;
    if (e.type === "radio") { if (e.checked) all[e.name] = e.value; continue; }
    all[key] = e.value;
    if (e.dataset.u) all[key + " u"] = e.dataset.u;
  }
  return all;
}

// restore puts a snapshot back.
export function restore(all) {
  for (const e of form.elements) {
    const key = e.id || e.name;
    if (e.type === "radio") { if (e.name in all) e.checked = e.value === all[e.name]; continue; }
    if (!(key in all)) continue;
    e.value = all[key];
    if (e.closest(".amount")) setU(e, all[key + " u"] ?? "");
  }
}

// clearItems empties what was seen and leaves where and who.
export function clearItems() {
  for (const item of items) {
    const b = box(item);
    if (b) { b.value = ""; b.removeAttribute("aria-invalid"); setU(b, ""); continue; }
    item.querySelector('input[value=""]').checked = true;
  }
  for (const f of form.querySelectorAll("[data-frame]")) f.value = "";
}

function setU(input, u) {
  if (u) input.dataset.u = u; else delete input.dataset.u;
  input.parentElement.querySelector("[data-u]:not(input)").textContent = u ? "± " + u : "";
}

// timed fills in the times whose two moments were tapped, in ms.
export function timed(at) {
  for (const item of items) {
    const { from, to } = item.dataset;
    if (!from || !(from in at) || !(to in at)) continue;
    box(item).value = ((at[to] - at[from]) / 1000).toFixed(2);
    setU(box(item), String(handU));
  }
}

// seen reads the items: {measures, grades, bad}; bad are fields that hold no number.
export function seen() {
  const measures = {}, grades = [], bad = [];
  for (const item of items) {
    const { measure, kind, unit } = item.dataset;
    const b = box(item);
    const value = b ? b.value : item.querySelector("input:checked").value;
    b?.removeAttribute("aria-invalid");
    if (value.trim() === "") continue;
    grades.push({ item: measure, grade: value });
    if (kind === "yes-no") { measures[measure] = value === "yes"; continue; }
    const n = readNumber(value);
    if (Number.isNaN(n)) { bad.push(b); b.setAttribute("aria-invalid", "true"); continue; }
    if (kind === "grade") { measures[measure] = n; continue; }
    measures[measure] = { value: n, unit };
    if (b.dataset.u) measures[measure].u = Number(b.dataset.u);
  }
  return { measures, grades, bad };
}

// marks are the frame numbers that were typed; undefined without any.
export function marks() {
  const frames = {};
  for (const f of form.querySelectorAll("[data-frame]")) if (f.value !== "") frames[f.dataset.frame] = Number(f.value);
  const fps = form.querySelector("#fps");
  if (Object.keys(frames).length === 0) return undefined;
  return { ...(fps.value === "" ? {} : { fps: Number(fps.value) }), frames };
}

for (const item of items) {
  const b = box(item);
  b?.addEventListener("input", () => setU(b, "")); // typed by hand: its own word
}
