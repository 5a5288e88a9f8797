// Puts players on a tryout's roster; lines that were refused stay to be mended.
import { askOnce, busy, by, make, notice, say, slipText } from "./page.js";
import { clear, told } from "./slips.js";

// lines reads one player a line: the bib, then the reference.
const lines = (text) => text.split("\n").map((l) => l.trim()).filter(Boolean);

function player(line) {
  const [, bib, ref] = /^([^,;\t]*)[,;\t]?(.*)$/.exec(line);
  return { bib: bib.trim(), player: ref.trim() };
}

// startEnrol wires the form; done is called when something was put on.
export function startEnrol(done) {
  const form = by("enrol");
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    busy(e.submitter, async () => {
      clear(form);
      const typed = lines(by("players").value);
      if (!typed.length) { notice(say("nobody"), true); by("players").focus(); return; }
      const answer = await askOnce("POST", `/v1/tryouts/${form.dataset.id}/roster`, typed.map(player));
      if (!answer.ok) { told(form, answer); return; }
      const refused = answer.body.lines.filter((l) => l.status === "refused");
      const meanwhile = lines(by("players").value).filter((l) => !typed.includes(l));
      by("players").value = [...refused.map((l) => typed[l.line - 1]), ...meanwhile].join("\n");
      await done().catch((e) => console.info("done, and not shown:", e)); // the board follows by itself
      notice(say("enrolled", { n: typed.length - refused.length }));
      if (!refused.length) return;
      form.querySelector("[data-answer]").replaceChildren(make("div", { class: "notice bad" }, make("p", {}, say("refused", { n: refused.length })),
        make("ul", { lang: "en" }, ...refused.flatMap((l) => l.problem.errors.map((s) => make("li", {}, typed[l.line - 1], ": ", slipText({ ...s, pointer: "" })))))));
      by("players").focus();
    });
  });
}
