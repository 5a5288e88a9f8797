// What was wrong with a form, each slip beside its field. A field says with
// data-at which part of the request it holds, as a JSON Pointer (RFC 6901).
import { make, problem, slipText } from "./page.js";

// clear takes away what was said of the last try.
export function clear(form) {
  form.querySelector("[data-answer]").replaceChildren();
  for (const said of form.querySelectorAll(".slip")) said.remove();
  for (const field of form.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    if (field.dataset.described) field.setAttribute("aria-describedby", field.dataset.described);
    else field.removeAttribute("aria-describedby");
  }
}

// mark says a slip below its field.
function mark(field, slip) {
  field.dataset.described ??= field.getAttribute("aria-describedby") ?? "";
  const id = `${field.id}-slip-${field.parentElement.querySelectorAll(".slip").length}`;
  field.parentElement.append(make("p", { class: "slip", id, lang: slip.lang ?? "en" }, slipText({ ...slip, pointer: "" })));
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", `${id} ${field.getAttribute("aria-describedby") ?? ""}`.trim());
}

// told shows a refused request: each slip at its field, what belongs to none
// below the form; the cursor goes to the first. What was typed stays.
export function told(form, answer) {
  const rest = [], marked = [];
  for (const slip of answer.body?.errors ?? []) {
    const holds = (f) => slip.pointer === f.dataset.at || slip.pointer?.startsWith(f.dataset.at + "/");
    const field = [...form.querySelectorAll("[data-at]")].filter(holds).sort((a, b) => b.dataset.at.length - a.dataset.at.length)[0];
    if (field) { mark(field, slip); marked.push(field); } else rest.push(slip);
  }
  if (rest.length || !marked.length) {
    const body = marked.length ? { ...answer.body, errors: rest } : answer.body;
    form.querySelector("[data-answer]").replaceChildren(problem({ ...answer, body }));
  }
  marked.sort((a, b) => a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING ? -1 : 1)[0]?.focus();
}
