// What pages that are printed for a meeting or a field share.
import { by } from "./page.js";

for (const e of document.querySelectorAll(".scripted")) e.hidden = false;
by("print")?.addEventListener("click", () => print());

// What is folded away on a screen stands on paper.
let folded = [];
addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("main details:not([open], .no-print)")];
  for (const d of folded) d.open = true;
});
addEventListener("afterprint", () => {
  for (const d of folded) d.open = false;
});
