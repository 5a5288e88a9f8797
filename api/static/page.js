// What all pages share: texts, requests with the session, problems in words.

const texts = JSON.parse(document.getElementById("words").textContent);

// say gives a text with its names in braces filled in.
export function say(key, values = {}) {
  return (texts[key] ?? key).replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
}

// make builds an element: attributes, then children; a text is only ever a text.
export function make(tag, attributes = {}, ...children) {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) e.addEventListener(name.slice(2), value);
    else if (value === true) e.setAttribute(name, "");
    else if (value !== false && value != null) e.setAttribute(name, value);
  }
  e.append(...children.filter((c) => c != null));
  return e;
}

export const by = (id) => document.getElementById(id);

// notice says what just happened, to eyes and to screen readers.
export function notice(text, bad = false) {
  const n = by("notice");
  n.classList.toggle("bad", bad);
  n.textContent = text;
}

// keepFocus does what writes a part of the page anew. What had the focus in it
// has it afterwards: the thing of the same id or address, without either the one
// of its kind at the same place; else the first that can be used, or the
// part itself.
export function keepFocus(part, work) {
  const at = document.activeElement, { id, tagName } = at, href = at.getAttribute("href");
  const within = (selector) => [...part().querySelectorAll(selector)];
  const place = within(tagName).indexOf(at);
  work();
  if (place < 0 || at.isConnected) return;
  const same = within(tagName).find((e, i) => id ? e.id === id : href ? e.getAttribute("href") === href : i === place);
  const to = same ?? within("a, button, input")[0] ?? part();
  if (to === part()) to.tabIndex = -1;
  to.focus({ preventScroll: true });
}

let session;

// whoAmI asks who is signed in: {club, role, csrf}.
export async function whoAmI(anew = false, signal = undefined) {
  if (anew || !session) {
    const r = await fetch("/session", { cache: "no-store", signal });
    if (!r.ok) throw new Error("session " + r.status);
    session = await r.json();
  }
  return session;
}

// ask sends a request and gives {ok, status, etag, body}; body is JSON where it
// is some, else text. line is told every line of NDJSON as it comes; body is the
// last. It throws only where there is no net, or when signal stops it.
export async function ask(method, path, { json, text, type, headers = {}, line, signal } = {}, again = true) {
  const h = { ...headers };
  let body;
  if (json !== undefined) { body = JSON.stringify(json); h["Content-Type"] = "application/json"; }
  if (text !== undefined) { body = text; h["Content-Type"] = type; }
  if (method !== "GET") {
    const { csrf } = await whoAmI(false, signal);
    if (csrf) h["X-Csrf-Token"] = csrf;
  }
  if (line) h.Accept = "application/x-ndjson";
  const r = await fetch(path, { method, headers: h, body, signal });
  const sent = r.headers.get("Content-Type") ?? "", isJSON = sent.includes("json");
  const raw = sent.includes("ndjson") ? await lastLine(r, line) : await r.text();
  const out = { ok: r.ok, status: r.status, etag: r.headers.get("ETag"), body: isJSON && raw ? JSON.parse(raw) : raw };
  if (again && r.status === 403 && out.body.errors?.some((e) => e.code === "no-csrf")) {
    await whoAmI(true); // signed in anew meanwhile
    return ask(method, path, { json, text, type, headers, line, signal }, false);
  }
  return out;
}

// lastLine reads lines as they come and gives the last.
async function lastLine(response, line) {
  let rest = "", last = "";
  for (const reader = response.body.pipeThrough(new TextDecoderStream()).getReader(); ;) {
    const { done, value } = await reader.read();
    if (done) return last;
    const lines = (rest + value).split("\n");
    rest = lines.pop();
    for (last of lines) line(JSON.parse(last));
  }
}

// slipText is one slip of a problem in a line.
export function slipText(s) {
  const at = s.line ? say("line", { n: s.line }) + ": " : s.pointer ? s.pointer + ": " : "";
  return at + say("slip", { found: s.found, wanted: s.wanted }) + (s.hint ? " (" + s.hint + ")" : "");
}

// problem lists what was wrong with a request.
export function problem(answer) {
  const b = answer.body;
  const box = make("div", { class: "notice bad", lang: "en" });
  if (!b || typeof b !== "object") {
    box.append(make("p", {}, say("status", { n: answer.status })));
    return box;
  }
  box.append(make("p", {}, make("strong", {}, b.title), " ", b.detail));
  if (b.errors?.length) box.append(make("ul", {}, ...b.errors.map((s) => make("li", {}, slipText(s)))));
  return box;
}

// busy keeps a button from being pressed twice while work is under way.
export async function busy(button, work) {
  if (button.getAttribute("aria-disabled") === "true") return;
  button.setAttribute("aria-disabled", "true");
  try {
    await work();
  } catch (e) {
    notice(say("no-net"), true);
    console.info(e);
  } finally {
    button.removeAttribute("aria-disabled");
  }
}

// number writes a number with at most so many digits behind the point.
export const number = (x, digits) => String(+Number(x).toFixed(digits));

let waiting = {};

// askOnce asks for what is to be done once: sent again after a failed connection,
// a request has the Idempotency-Key it had.
export async function askOnce(method, path, json) {
  const text = method + path + JSON.stringify(json);
  if (waiting.text !== text) waiting = { text, key: newID() };
  const answer = await ask(method, path, { json, headers: { "Idempotency-Key": waiting.key } });
  waiting = {};
  return answer;
}

// newID is a random UUID (RFC 9562, version 4), on pages without TLS too.
export function newID() {
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const hex = Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}
