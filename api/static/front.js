// Judges the observation in the form, without a key.
import { ask, busy, by, make, number, problem, say } from "./page.js";

function told(a) {
  const list = (title, items) => items.length ? [make("h4", {}, title), make("ul", {}, ...items)] : [];
  const seen = a.findings.filter((f) => f.verdict === "fault" || f.verdict === "close");
  return [
    make("p", {}, say("player", { ref: a.player.ref, band: a.player.band, n: a.reps })),
    ...list(say("cautions"), a.cautions.map((c) => make("li", { lang: "en" }, c.says))),
    ...list(say("work-on"), a.work_on.map((w) => make("li", { lang: "en" }, w.cue))),
    ...list(say("findings"), seen.map((f) => make("li", {}, make("span", { lang: "en" }, f.title), " ", f.chance == null ? "" : say("chance", { n: number(100 * f.chance, 0) })))),
    ...list(say("keep"), a.keep.map((k) => make("li", { lang: "en" }, k.says))),
    make("details", {}, make("summary", {}, say("whole")), make("pre", { tabindex: 0 }, JSON.stringify(a, null, 2))),
  ];
}

by("try-form").addEventListener("submit", (event) => {
  event.preventDefault();
  busy(event.submitter, async () => {
    const answer = await ask("POST", "/v1/assess", { text: by("observation").value, type: "application/json" });
    by("answer-body").replaceChildren(...(answer.ok ? told(answer.body) : [problem(answer)]));
    by("answer").hidden = false;
    by("answer-title").focus();
  });
});
