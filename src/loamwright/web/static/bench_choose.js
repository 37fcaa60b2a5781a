// Choose: what the broken blocks say of each mix as the program told it with the last sheet, and the choice with what it stood on.

import { parseFields } from "./fields.js";
import { countOf, say } from "./bench_said.js";
import { acts, due, el, fold, label, link, next, order, state } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { asOf, ownOf } from "./bench_world.js";
import { showAgain } from "./bench_weigh.js";
import { askedOf } from "./bench_asked.js";

export function chooseScreen(bench, raw = {}, faults = {}) {
  const { world, visit } = bench;
  const { choosing, as_of: asked } = world.sheet;
  const since = ownOf(world, "crush").length + ownOf(world, "bend").length;
  return {
    title: say("choose"),
    nodes: [
      nextPart(bench),
      el("p", { class: "soft" }, say("choose_as_of", { when: asked.words }), since ? ` ${countOf("n_not_in", since)}` : ""),
      askedOf(bench, "choose"),
      choosing.mixes.length
        ? [comparison(choosing), ranking(choosing, visit), choiceForm(bench, raw, faults)]
        : el("p", {}, say("nothing_compared")),
      acts(link("act", say("bench"), "/bench", visit)),
    ],
    cautions: ["choice"],
  };
}

function nextPart({ world, visit }) {
  const { choosing } = world.sheet;
  if (world.chosen) {
    const told = order({ text: world.chosen.name, then: world.chosen.reason });
    return next(label(say("chosen")), told, link("go", say("to_pails"), "/bench/make", visit));
  }
  if (!choosing.ranked.length) return null;
  const [{ what, when }] = choosing.ranked;
  return next(label(say("first_of")), order({ text: what, then: when }));
}

function comparison({ brief, mixes, pairs, pair_notes: notes }) {
  const said = [...pairs, ...notes];
  return [
    el("h2", {}, say("compare")),
    el("p", {}, brief),
    mixes.map((mix) => [
      el("h3", {}, mix.name),
      el("p", {}, state(mix.word, mix.shape)),
      [mix.line, mix.chances, ...mix.notes].filter(Boolean).map((words) => el("p", {}, words)),
    ]),
    said.length ? fold(say("apart"), el("div", { class: "stack" }, said.map((words) => el("p", {}, words)))) : null,
  ];
}

function ranking({ ranked, rank_notes: notes, bars, ladder }, visit) {
  return [
    el("h2", {}, say("in_order")),
    due(ranked, say("nothing_passes"), visit),
    notes.map((words) => el("p", {}, words)),
    bars.length ? [el("h3", {}, say("not_in_order")), due(bars, "", visit)] : null,
    ladder.length ? [el("h2", {}, say("to_change")), due(ladder, "", visit)] : null,
  ];
}

function choiceForm(bench, raw, faults) {
  const { world, keep } = bench;
  const { decided, options, told } = world.sheet.choosing;
  const { fields } = world.sheet.kinds.choice;
  const head = el("h2", {}, say(world.chosen ? "choose_again" : "choose"));
  if (!options.length) return [head, el("p", {}, say("none_to_choose"))];
  const typed = { mix: [options[0].id], ...raw };
  const drawn = fields
    .filter((field) => field.kind !== "told")
    .map((field) => reading(field, { raw: typed, faults, choices: field.name === "mix" ? options : [] }));
  const keeps = async (given, id) => {
    const parsed = parseFields(fields, given);
    if (Object.keys(parsed.faults).length) return showAgain(chooseScreen(bench, given, parsed.faults));
    await keep("choice", { ...parsed.body, stood_on: asOf(world.sheet, told.stood_on) }, { id });
  };
  return [head, decided ? null : el("p", {}, say("no_brief")), form(drawn, say("choose_this"), keeps)];
}
