// What a change would do to what is stored and to the rubric's own examples.
import { ask, make, problem, say, slipText } from "./page.js";

// titleOf is the title of a fault in the table, else its name in the file.
export const titleOf = (fault) => document.querySelector(`tr[data-row="${CSS.escape(fault)}"] strong`)?.textContent ?? fault;

const verdict = (v) => v ? say("verdict-" + v) : say("no-such");
let asked = new AbortController();

// showImpact judges what is stored by a body of the API's impact, {json} or
// {text, type}, and shows the answer in an element and, short, in a line beside
// it. A later call ends the one before. It gives the answer; null when ended.
export async function showImpact(name, body, out, line) {
  asked.abort();
  const mine = asked = new AbortController();
  out.setAttribute("aria-busy", "true");
  const progress = (l) => { if (l.progress) line.textContent = say("looked-at", { n: l.progress.done }); };
  try {
    const answer = await ask("POST", `/v1/rubrics/${encodeURIComponent(name)}/impact`, { ...body, line: progress, signal: mine.signal });
    const { impact, problem: late } = answer.body ?? {};
    if (late || !answer.ok) {
      line.textContent = say("no-impact");
      out.replaceChildren(problem(late ? { status: late.status, body: late } : answer));
    } else {
      line.textContent = short(impact);
      out.replaceChildren(...told(impact));
    }
    return answer;
  } catch (e) {
    if (mine.signal.aborted) return null;
    line.textContent = say("no-net");
    out.replaceChildren();
    return null;
  } finally {
    if (mine === asked) out.removeAttribute("aria-busy");
  }
}

// stopImpact ends what is under way: there is nothing to judge any more.
export const stopImpact = () => asked.abort();

const broken = (impact) => impact.problems.filter((p) => !p.warning);

function short(impact) {
  const would = impact.assessments === 0 ? say("none-stored") : say("would", { n: impact.changed, all: impact.assessments });
  return broken(impact).length ? would + " " + say("breaks", { n: broken(impact).length }) : would;
}

function told(impact) {
  const out = [], bad = broken(impact);
  if (bad.length) {
    out.push(make("div", { class: "notice bad" }, make("p", {}, say("broken")), make("ul", { lang: "en" }, ...bad.map((p) => make("li", {}, slipText(p))))));
  }
  if (impact.refused) out.push(make("p", {}, say("cannot", { n: impact.refused })));
  if (impact.faults.length) {
    out.push(make("ul", {}, ...impact.faults.map((f) => make("li", {}, say("turn", { fault: titleOf(f.fault), old: verdict(f.old), new: verdict(f.new), n: f.count })))));
  }
  if (impact.examples.length) {
    out.push(make("details", { open: impact.examples.length <= 12 }, make("summary", {}, say("which", { n: impact.examples.length })), make("ul", {}, ...impact.examples.map(one))));
  }
  return out;
}

function one(e) {
  const turns = e.findings.map((f) => `${titleOf(f.fault)}: ${verdict(f.old)} → ${verdict(f.new)}`).join(", ");
  return make("li", {}, make("a", { href: `/v1/assessments/${e.assessment}/report?lang=${document.documentElement.lang}` }, say("one", { player: e.player, on: e.on })), " ", turns || say("order"));
}
