// Sends what a form of the reference holds and shows the answer below it.
"use strict";

// request reads a form into what fetch needs.
function request(form) {
  let path = form.dataset.path;
  const query = new URLSearchParams();
  const headers = {};
  let body;
  for (const field of form.querySelectorAll("[data-in]")) {
    switch (field.dataset.in) {
      case "path": path = path.replace("{" + field.name + "}", encodeURIComponent(field.value)); break;
      case "query": if (field.value !== "") query.set(field.name, field.value); break;
      case "header": if (field.value !== "") headers[field.name] = field.value; break;
      case "type": headers["Content-Type"] = field.value; break;
      case "accept": headers["Accept"] = field.value; break;
      case "body": body = field.value; break;
    }
  }
  const key = document.getElementById("key").value;
  if (key !== "") headers["Authorization"] = "Bearer " + key;
  const search = query.toString();
  return [path + (search === "" ? "" : "?" + search), { method: form.dataset.method, headers, body }];
}

// pretty lays JSON out; anything else is shown as it came.
function pretty(type, text) {
  if (!type.includes("json")) return text;
  try { return JSON.stringify(JSON.parse(text), null, 2); } catch { return text; }
}

async function send(form) {
  const out = form.querySelector("output");
  const button = form.querySelector("button");
  const show = (line, text) => {
    const head = document.createElement("p");
    const body = document.createElement("pre");
    head.textContent = line;
    body.textContent = text;
    body.tabIndex = 0;
    out.replaceChildren(head, body);
  };
  if (button.getAttribute("aria-disabled") === "true") return;
  button.setAttribute("aria-disabled", "true"); // disabled, it would lose the focus
  try {
    const [path, options] = request(form);
    const start = performance.now();
    const res = await fetch(path, options);
    const type = res.headers.get("Content-Type") || "";
    const text = await res.text();
    const ms = Math.round(performance.now() - start);
    show(`${res.status} ${res.statusText}, ${ms} ms, ${type}`, pretty(type, text));
  } catch (e) {
    show("The server did not answer", String(e));
  } finally {
    button.removeAttribute("aria-disabled");
  }
}

for (const choice of document.querySelectorAll("[data-fill]")) {
  choice.addEventListener("change", () => { document.getElementById(choice.dataset.fill).value = choice.value; });
}
for (const part of document.querySelectorAll(".try")) part.hidden = false;
for (const form of document.querySelectorAll("form.try")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (form.dataset.path !== undefined) send(form);
  });
}
