// Makes a tryout of what the form holds.
import "./paper.js";
import { askOnce, busy, by, say } from "./page.js";
import { clear, told } from "./slips.js";

const form = by("new");
let rows = 0;

// add puts a row for an own item below the others.
function add() {
  const row = by("own-item").content.cloneNode(true).firstElementChild, n = ++rows;
  for (const field of row.querySelectorAll("[data-part]")) {
    field.id = `${field.dataset.part}-${n}`;
    field.parentElement.querySelector("label").htmlFor = field.id;
  }
  const kind = part(row, "kind"), remove = row.querySelector("[data-remove]");
  kind.addEventListener("change", () => { for (const s of row.querySelectorAll("[data-scale]")) s.hidden = kind.value !== "grade"; });
  row.setAttribute("aria-label", say("own-item", { n }));
  remove.setAttribute("aria-label", `${remove.textContent} ${n}`);
  remove.addEventListener("click", () => { row.remove(); by("add").focus(); });
  by("own").append(row);
  return row;
}

const part = (row, name) => row.querySelector(`[data-part="${name}"]`);

// nameOf makes an item's name of its title: lower-case words joined by -.
function nameOf(title, n) {
  const words = title.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().match(/[a-z0-9]+/g) ?? [];
  return words.join("-").slice(0, 60).replace(/-$/, "") || `item-${n}`;
}

const number = (field) => field.value.trim() === "" ? null : Number(field.value);

// ownItems reads the rows that have a title, and tells each field which part of
// the request it holds.
function ownItems() {
  const items = [];
  for (const row of document.querySelectorAll("[data-row]")) {
    const title = part(row, "title").value.trim(), kind = part(row, "kind").value;
    for (const field of row.querySelectorAll("[data-part]")) delete field.dataset.at;
    if (!title) continue;
    const at = `/own_items/${items.length}`;
    Object.entries({ title: at, kind: at + "/kind", least: at + "/scale", most: at + "/scale/1" }).forEach(([name, pointer]) => { part(row, name).dataset.at = pointer; });
    items.push({ item: nameOf(title, items.length + 1), title, kind, ...(kind === "grade" ? { scale: [number(part(row, "least")), number(part(row, "most"))] } : {}) });
  }
  return items;
}

const checked = (name) => [...form.querySelectorAll(`input[name="${name}"]:checked`)].map((e) => e.value);

function settings() {
  const all = { name: by("name").value.trim(), on: by("on").value, panel: by("panel").value.split("\n").map((l) => l.trim()).filter(Boolean), looks: number(by("looks")), best: number(by("best")) };
  for (const [key, list] of [["rubrics", checked("rubric")], ["bands", checked("band")], ["own_items", ownItems()]]) if (list.length) all[key] = list;
  return all;
}

form.addEventListener("submit", (e) => {
  e.preventDefault();
  busy(e.submitter, async () => {
    clear(form);
    const answer = await askOnce("POST", "/v1/tryouts", settings());
    if (answer.ok) location.href = "/tryouts/" + answer.body.id;
    else told(form, answer);
  });
});
by("add").addEventListener("click", () => part(add(), "title").focus());
add();
