// Questions: what does not fit, as of the sheet and of what was kept here, answered with one tap.

import { say } from "./bench_said.js";
import { acts, el, link, question } from "./bench_parts.js";
import { keepEntry } from "./bench_world.js";

export function askedScreen(bench) {
  const { world, visit } = bench;
  return {
    title: say("asked"),
    nodes: [
      pieces(bench, world.questions),
      world.questions.length ? null : el("p", {}, say("none_asked")),
      acts(link("act", say("bench"), "/bench", visit)),
    ],
  };
}

/** The open questions of one verb. */
export function askedOf(bench, verb) {
  return pieces(
    bench,
    bench.world.questions.filter((each) => each.verb === verb),
  );
}

/** The open questions about any of these. */
export function askedAbout(bench, ids) {
  return pieces(
    bench,
    bench.world.questions.filter((each) => each.about.some((id) => ids.includes(id))),
  );
}

function pieces(bench, questions) {
  return questions.map((each) => question(each.text, each.why, answersOf(bench, each)));
}

/** The taps of a question: it stands, it is left out; of two live versions which one counts. */
export function answersOf({ world, keep, settle }, { code, about, asks, versions = [] }) {
  const verdict = (words, said) => [words, () => keep("answer", { question: code, about, verdict: said })];
  return [
    ...versions.map((each) => [each.words, () => settle(each)]),
    ...(asks ? [verdict(say("stands"), "stands"), verdict(say("leave_out"), "leave_out")] : []),
  ];
}

/** Of two live versions one counts: an entry that says what it says, in the place of all. */
export function settleEntry(world, { kind, schema, project, body, replaces }) {
  return keepEntry(world, kind, body, { replaces, reason: "chosen of two", schema, project });
}
