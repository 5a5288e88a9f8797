// The evaluator's page: what is entered is kept on the phone first, and sent
// when there is a net.
import { ask, by, keepFocus, make, newID, notice, problem, say, whoAmI } from "./page.js";
import { Outbox } from "./outbox.js";
import { clearItems, marks, restore, seen, snapshot, timed } from "./fields.js";

const form = by("entry");
const value = (id) => by(id)?.value.trim() ?? "";
const tryout = form?.dataset.tryout;
let box, club = "", redo = null, saving = false, sending = false, online = true, signedOut = false, needsNet = false, timer, wait = 5000;

const today = () => { const d = new Date(); return new Date(d - d.getTimezoneOffset() * 60000).toISOString().slice(0, 10); };
const bib = () => form.querySelector('input[name="bib"]:checked')?.value ?? "";
const who = () => tryout ? bib() : value("ref");
const counter = () => ["rep", club, form.dataset.rubric, tryout || value("session"), value("rater"), who(), value("on")].join("|");

// nextRep numbers a try. What this phone does not know it asks of the server;
// where nothing can be kept, the time of day makes a number of its own.
async function nextRep() {
  if (redo?.counter === counter()) return redo.rep;
  const known = box.note(counter());
  if (known !== undefined) return known + 1;
  if (!box.kept) { const d = new Date(); return d.getHours() * 3600 + d.getMinutes() * 60 + d.getSeconds() + 1; }
  if (!navigator.onLine) return 1;
  try {
    if (tryout) {
      const a = await asked(`/v1/tryouts/${encodeURIComponent(tryout)}/roster?` + new URLSearchParams({ evaluator: value("rater") }));
      return 1 + (a.ok ? a.body.items.find((p) => p.bib === bib())?.last_look ?? 0 : 0);
    }
    const q = new URLSearchParams({ player: who(), session: value("session"), rubric: form.dataset.rubric, on: value("on") });
    const a = await asked("/v1/assessments?" + q);
    return a.ok ? 1 + Math.max(0, ...a.body.items.map((x) => x.reps)) : 1;
  } catch { return 1; }
}

// asked asks the server what the number of a try goes by, and not for long: a net
// that hangs is none. The page waits meanwhile, since what would be typed now
// belongs to the next try.
async function asked(path) {
  const page = document.querySelector("main"), at = document.activeElement;
  page.inert = true;
  try {
    return await ask("GET", path, { signal: AbortSignal.timeout(3000 /* ms */) });
  } finally {
    page.inert = false;
    at?.focus({ preventScroll: true });
  }
}

function observation(rep, measures) {
  const player = { ref: value("ref") };
  if (value("age")) player.age = Number(value("age"));
  if (value("throws")) player.throws = value("throws");
  if (value("stature")) player.stature_cm = Number(value("stature"));
  const one = { rep };
  if (value("ball")) one.conditions = { ball: value("ball") };
  if (Object.keys(measures).length) one.measures = measures;
  const m = marks();
  if (m) one.marks = m;
  return { rubric: form.dataset.rubric, player, on: value("on"), session: value("session"), rater: value("rater"), reps: [one] };
}

// missing is the first field that must be filled and is not.
function missing() {
  if (tryout && !bib()) return form.querySelector('input[name="bib"]');
  return [...form.querySelectorAll("[required]")].find((e) => !e.checkValidity() || e.value.trim() === "");
}

// save takes one try at a time: a second tap would store it twice.
async function save() {
  if (saving) return;
  saving = true;
  try { await keepTry(); } finally { saving = false; }
}

async function keepTry() {
  const gap = missing();
  if (gap) { notice(say(tryout && gap.name === "bib" ? "need-bib" : "need", { field: gap.labels?.[0]?.textContent ?? "" }), true); gap.focus(); return; }
  const { measures, grades, bad } = seen();
  if (bad.length) { notice(say("bad-number", { found: bad[0].value }), true); bad[0].closest("details").open = true; bad[0].focus(); return; }
  if (!grades.length && !marks()) { notice(say("nothing"), true); return; }
  const rep = await nextRep();
  const record = { id: newID(), club, at: Date.now(), state: "unsent", who: who(), rep, counter: counter(), fields: snapshot() };
  if (tryout) {
    record.path = `/v1/tryouts/${encodeURIComponent(tryout)}/grades`;
    record.json = { grades: grades.map((g) => ({ bib: bib(), evaluator: value("rater"), ...g, look: rep })) };
  } else {
    record.path = "/v1/observations";
    record.json = observation(rep, measures);
  }
  await box.put(record);
  await box.setNote(record.counter, Math.max(rep, box.note(record.counter) ?? 0));
  redo = null;
  clearItems();
  await keepDraft();
  show();
  notice(say(box.kept ? "saved" : "held", { who: record.who, rep }), !box.kept);
  window.scrollTo({ top: 0 });
  send();
}

// send sends what was not sent yet, oldest first. A record leaves only when the
// server has answered for it; the same one sent twice is stored once.
async function send() {
  if (sending) return;
  sending = true;
  clearTimeout(timer);
  try {
    const me = await whoAmI(true, patience());
    online = true;
    signedOut = !me.club;
    if (me.club) {
      club = me.club;
      await box.setNote("club", club);
      for (const r of box.records()) {
        if (r.state === "unsent" && (!r.club || r.club === club) && !await sendOne(r)) break;
      }
    }
  } catch (e) {
    console.info("no net:", e);
    online = false;
  }
  sending = false;
  show();
  if (unsent().length) timer = setTimeout(send, wait = Math.min(2 * wait, 120000));
  else wait = 5000;
}

// patience ends a request on a net that hangs, so that the next one can be tried.
const patience = () => AbortSignal.timeout(30_000 /* ms */);

async function sendOne(r) {
  const a = await ask("POST", r.path, { json: r.json, signal: patience(), headers: { "Idempotency-Key": r.key ?? r.id } });
  if (a.status === 401 || a.status === 403) { signedOut = true; return false; }
  if (a.status >= 500 || a.status === 429 || a.status === 408 || a.body?.type === "/problems/in-flight") return false;
  if (!box.records().includes(r)) return true; // taken back meanwhile: the next save corrects it
  r.answer = a.ok ? refusedLines(a.body) : a.body;
  r.state = r.answer ? "refused" : "sent";
  await box.put(r);
  show();
  return true;
}

// refusedLines is one problem for the lines of a list that were refused; nothing
// when all were kept.
function refusedLines(body) {
  const bad = (body?.lines ?? []).filter((l) => l.status === "refused").map((l) => l.problem);
  return bad.length ? { ...bad[0], errors: bad.flatMap((p) => p.errors) } : undefined;
}

// sendAgain sends what was refused once more: a tryout may be open again, a bib
// be on the roster by now.
async function sendAgain() {
  for (const r of box.records()) {
    if (r.state === "refused") { r.state = "unsent"; r.key = newID(); await box.put(r); }
  }
  wait = 5000;
  send();
}

const unsent = () => box.records().filter((r) => r.state === "unsent");

// takeBack puts a try back into the form. One that was sent is corrected by
// saving it again: it keeps its number.
async function takeBack(r) {
  restore(r.fields);
  redo = { counter: r.counter, rep: r.rep };
  if (r.state === "sent") { r.state = "undone"; await box.put(r); } else await box.remove(r.id);
  show();
  notice(say(r.state === "undone" ? "back-sent" : "back", { who: r.who, rep: r.rep }));
  by("save").focus();
}

function undo() {
  const last = box.records().filter((r) => r.state !== "undone" && r.fields && sameForm(r)).at(-1);
  if (last) return takeBack(last);
  notice(say("no-undo"));
}

// sameForm: the record was entered on the form that is open.
const sameForm = (r) => r.counter.split("|")[2] === form.dataset.rubric && (r.json.grades ? r.path.includes(tryout || "-") : !tryout);

function show() {
  keepFocus(() => by("kept"), showCount);
  keepFocus(() => by("outbox-list"), showList);
}

const refused = () => box.records().filter((r) => r.state === "refused");

function showCount() {
  const n = unsent().length, bad = refused();
  by("count").textContent = say(n === 0 ? "count-0" : n === 1 ? "count-1" : "count", { n }) + (bad.length ? " " + say("count-refused", { n: bad.length }) : "");
  const where = n === 0 ? "" : say(!box.kept ? "not-kept" : signedOut ? "signed-out" : online ? "kept" : "offline");
  by("kept").textContent = [where, needsNet ? say("no-worker") : ""].join(" ").trim();
  if (n && signedOut) by("kept").append(" ", make("a", { href: "/sign-in?next=" + encodeURIComponent(location.pathname + location.search) }, say("sign-in")));
}

function showList() {
  by("outbox-list").replaceChildren(...box.records().filter((r) => r.state !== "undone").reverse().slice(0, 60).map((r) => make("li", {},
    say("entry-line", { who: r.who, rep: r.rep, state: say("state-" + r.state) }), " ",
    sameForm(r) ? make("button", { type: "button", class: "plain", onclick: () => takeBack(r) }, say("take-back"), make("span", { class: "unseen" }, ` ${r.who} ${r.rep}`)) : null,
    r.state === "refused" ? problem({ status: 422, body: r.answer }) : null)));
  if (refused().length) by("outbox").open = true;
}

let draftTimer;
const draftKey = () => "draft " + location.search.replace(/[?&]lang=\w+/, "");
const keepDraft = () => box.setNote(draftKey(), { fields: snapshot(), redo });

function stopWatch() {
  const at = {};
  const tap = (b, stamp) => {
    at[b.dataset.moment] = stamp;
    const zero = Math.min(...Object.values(at));
    for (const t of by("taps").children) {
      if (t.dataset.moment in at) {
        const s = ((at[t.dataset.moment] - zero) / 1000).toFixed(2);
        t.dataset.at = s;
        t.replaceChildren(t.dataset.name, make("b", {}, s + " s"));
      }
    }
    timed(at);
    keepDraft();
  };
  for (const b of by("taps")?.children ?? []) {
    b.dataset.name = b.textContent;
    b.addEventListener("pointerdown", (e) => tap(b, e.timeStamp)); // a thumb: when it comes down
    b.addEventListener("click", (e) => { if (e.detail === 0) tap(b, e.timeStamp); }); // a keyboard
  }
  const clear = () => {
    for (const b of by("taps")?.children ?? []) { delete at[b.dataset.moment]; delete b.dataset.at; b.replaceChildren(b.dataset.name); }
  };
  by("untap")?.addEventListener("click", clear);
  form.addEventListener("submit", clear);
}

// keep keeps a file, unless the one kept is the same: a browser killed while it
// replaces a file has neither.
async function keep(shelf, url, answer, text) {
  if (await (await shelf.match(url))?.text() !== text) await shelf.put(url, answer);
}

// ready keeps the page and those of the other rubrics for where there is no net.
async function ready() {
  try {
    await navigator.serviceWorker.register("/entry-worker.js", { scope: "/entry" });
    await navigator.storage?.persist?.();
    const shelf = await caches.open("entry-1");
    const pages = [...by("rubric").options].map((o) => "/entry?rubric=" + encodeURIComponent(o.value));
    const files = [...document.querySelectorAll("link[href], script[src]")].map((e) => e.href || e.src);
    const modules = ["page.js", "outbox.js", "fields.js"].map((f) => "/static/" + f), got = [];
    for (const url of [...modules, ...files, "/entry", location.pathname + location.search, ...pages]) {
      const answer = await fetch(url), text = await answer.clone().text(); // read to its end
      if (answer.ok && !answer.redirected) got.push([url, answer, text]);
    }
    for (const file of got) await keep(shelf, ...file); // all are here: none is left that fits no other
    document.body.dataset.ready = "offline"; // it opens without a net from now on
  } catch (e) {
    console.info("the page is not kept for later:", e);
    needsNet = true;
    show();
  }
}

async function playersKnown() {
  try {
    const a = await ask("GET", "/v1/players?limit=200");
    if (a.ok) by("refs")?.replaceChildren(...a.body.items.map((p) => make("option", { value: p.ref })));
  } catch { /* typed by hand without a net */ }
}

async function start() {
  box = await Outbox.open();
  club = box.note("club") ?? "";
  if (by("on")) by("on").value = today();
  if (by("session")) by("session").value = "field-" + today();
  const draft = box.note(draftKey()), last = box.note("where");
  if (last) restore(last);
  if (draft) { restore(draft.fields); redo = draft.redo; }
  for (const r of box.records()) if (r.state !== "unsent" && r.state !== "refused" && r.at < Date.now() - 36 * 3600e3) await box.remove(r.id);
  form.addEventListener("submit", (e) => { e.preventDefault(); save(); });
  form.addEventListener("input", () => {
    clearTimeout(draftTimer);
    draftTimer = setTimeout(async () => {
      await keepDraft();
      await box.setNote("where", Object.fromEntries(["session", "rater"].filter(by).map((id) => [id, by(id).value])));
    }, 200);
  });
  by("undo").addEventListener("click", undo);
  by("send").addEventListener("click", sendAgain);
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
  addEventListener("beforeunload", (e) => { if (!box.kept && unsent().length) e.preventDefault(); });
  stopWatch();
  show();
  if (!box.kept) notice(say("no-storage"), true);
  document.body.dataset.started = "yes";
  await send();
  await Promise.all([playersKnown(), ready()]);
}

if (form) start();
