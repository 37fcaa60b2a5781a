// Plan: the three plans the program told with the last sheet, kept with marks of this phone; then the batches of a plan in
// their order.

import { say } from "./bench_said.js";
import { act, acts, due, el, fold, label, link, next, table } from "./bench_parts.js";
import { asOf, freeMarks, mixesOf, named } from "./bench_world.js";

export function planScreen(bench) {
  const { world, visit } = bench;
  const open = world.plans.filter((plan) => nextRow(plan)).reverse();
  return {
    title: say("plan"),
    nodes: [
      open.map((plan, i) => openPart(bench, plan, i)),
      offersPart(bench, Boolean(open.length)),
      acts(link("act", say("bench"), "/bench", visit)),
    ],
  };
}

// ---- A plan that is kept

function nextRow(plan) {
  return plan.rows.find((row) => !row.opened);
}

function openPart(bench, plan, place) {
  const row = nextRow(plan);
  const { world, visit } = bench;
  const mixes = mixesOf(plan, row);
  const open = mixes.map((mix, i) => {
    const words = mixes.length > 1 ? say("open_as", { mix: mixName(world, mix) }) : say("open_this");
    const kind = place || i || mixes.length > 1 ? "act" : "go";
    return link(kind, words, "/bench/weigh", visit, { mix, batch: "", plan: plan.id, plan_row: row.row });
  });
  const rows = plan.rows.map((each) => ({
    what: say("row_of_plan", { n: each.row, what: rowName(world, plan, each) }),
    when: each.opened ? say("opened") : say("on_day", { n: each.day }),
    more: fatesWords(each.fates),
  }));
  return [
    next(
      label(say("plan_batch", { day: row.day, n: row.row })),
      el("p", {}, el("strong", {}, rowName(world, plan, row)), ": ", fatesWords(row.fates)),
      mixes.length > 1 ? el("p", {}, say("which_mix")) : null,
      mixes.length > 1 ? acts(open) : open,
    ),
    fold(say("all_batches"), due(rows, "", visit)),
  ];
}

function mixName(world, mix) {
  return named(world.sheet.choices.mix || [], mix)?.name ?? say("none");
}

function rowName(world, plan, row) {
  const mixes = mixesOf(plan, row);
  if (row.opened) return mixName(world, row.opened);
  if (mixes.length === 1) return mixName(world, mixes[0]);
  return say(row.place === 1 ? "place_first" : "place_second");
}

/** What a batch is for: "3 soaked at 28 d, 2 dry at 28 d, 1 spare". */
function fatesWords(fates) {
  const order = ["soaked", "dry", "spare"];
  const counted = new Map();
  const place = ({ fate, age_days: age }) => 1000 * order.indexOf(fate) + (age || 0);
  const sorted = [...fates].sort((one, other) => place(one) - place(other));
  for (const { fate, age_days: age } of sorted) {
    const key = JSON.stringify([fate, age]);
    counted.set(key, (counted.get(key) || 0) + 1);
  }
  return [...counted]
    .map(([key, n]) => {
      const [fate, age] = JSON.parse(key);
      return age ? say("n_fate_at", { n, fate: say(fate), age }) : say("n_fate", { n, fate: say(fate) });
    })
    .join(", ");
}

// ---- Plans to keep

function offersPart(bench, folded) {
  const { world, at, visit } = bench;
  const { sets, rig } = world.sheet.planning;
  if (!sets.length) return folded ? null : el("p", {}, say("plans_none"));
  const chosen = sets[at.set || 0] || sets[0];
  const others = sets.filter((each) => each !== chosen);
  const lines = others.map((each) => ({ what: each.names.join("; "), path: "/bench/plan", at: { set: sets.indexOf(each) } }));
  const offers = [
    folded ? null : el("h2", {}, say("three_plans")),
    el("p", { class: "soft" }, say("plan_as_of", { when: world.sheet.as_of.words })),
    el("p", {}, say("for_mixes", { mixes: chosen.names.join("; ") })),
    table(say("plan_takes"), chosen.columns, chosen.rows),
    chosen.sizes.map((size) => sizePart(bench, size)),
    rig.length ? [el("h2", {}, say("can_the_rig")), rig.map((words) => el("p", {}, words))] : null,
    lines.length ? fold(say("other_mixes"), due(lines, "", visit)) : null,
  ];
  return folded ? fold(say("three_plans"), el("div", { class: "stack" }, offers), at.set > 0) : offers;
}

function sizePart({ world, keep }, size) {
  const marks = freeMarks(world);
  const wanted = size.body.rows.reduce((sum, row) => sum + row.fates.length, 0);
  const words = size.notes.map((each) => el("p", {}, each));
  if (marks.length < wanted) return [words, el("p", {}, say("few_marks", { n: wanted, left: marks.length }))];
  const tapped = () => keep("plan", planBody(world.sheet, size.body, marks));
  return [words, acts(act(say("keep_plan", { plan: size.name }), tapped))];
}

/** The plan as the program told it, its blocks marked from those set aside for this phone. */
function planBody(sheet, body, marks) {
  let taken = 0;
  const rows = body.rows.map((row) => {
    const own = marks.slice(taken, taken + row.fates.length);
    taken += row.fates.length;
    return { ...row, marks: own };
  });
  return { ...body, rows, needs: asOf(sheet, body.needs) };
}
