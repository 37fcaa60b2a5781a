// Make: the chosen mix in pails and half bags as the program told it with the last sheet, and the recipe kept with its figures.

import { say } from "./bench_said.js";
import { act, acts, due, el, go, label, link, next, order } from "./bench_parts.js";
import { asOf, lineOf, ownOf } from "./bench_world.js";
import { askedOf } from "./bench_asked.js";

export function makeScreen(bench) {
  const { world, visit } = bench;
  return {
    title: say("make"),
    nodes: [recipesOf(bench), askedOf(bench, "make"), keptPart(bench), acts(link("act", say("bench"), "/bench", visit))],
    cautions: ["recipe"],
  };
}

function recipesOf(bench) {
  const { world, at, visit } = bench;
  if (!world.chosen) return next(link("go", say("choose_first"), "/bench/choose", visit));
  const name = el("p", {}, el("b", {}, world.chosen.name));
  const found = world.sheet.recipes.mixes[world.chosen.mix];
  if (!found) return [name, el("p", {}, say("no_recipe"))];
  if (found.lacks.length) return [name, el("h2", {}, say("before_recipe")), due(found.lacks.map((what) => ({ what })), "", visit)];
  const day = at.hot ? found.hot : found.usual;
  const [first, others] = day.first ? [day.offers[0], day.offers.slice(1)] : [null, day.offers];
  const [mixer, press, pail] = day.names;
  return [
    first || day.weigh.length ? firstPart(bench, day, first) : null,
    name,
    el("p", { class: "soft" }, say("make_as_of", { when: world.sheet.as_of.words })),
    el("p", {}, say("made_with", { mixer, press, pail }), at.hot ? ` ${say("hot_now")}` : ""),
    day.notes.map((words) => el("p", {}, words)),
    others.length ? el("h2", {}, say(first ? "others" : "others_of_another")) : null,
    others.map((each) => [
      el("p", {}, el("strong", {}, each.line)),
      saidOf(each),
      acts(act(say("keep_this"), () => keepRecipe(bench, day, each))),
    ]),
    acts(link("act", say(at.hot ? "usual_day" : "hot_day"), "/bench/make", visit, { hot: !at.hot })),
  ];
}

function firstPart(bench, day, first) {
  if (!first) return next(label(say("no_bags_near")), day.weigh.map(order));
  return next(
    label(say(first.split ? "nearest_heaps" : "nearest")),
    first.orders.map(order),
    saidOf(first),
    go(say("keep_recipe"), () => keepRecipe(bench, day, first)),
  );
}

function saidOf({ split, reaches, batch }) {
  return [split ? el("p", {}, el("strong", {}, split)) : null, el("p", {}, `${reaches}. ${batch}.`)];
}

function keepRecipe({ world, at, keep }, day, { sets, half_bags: halfBags, told }) {
  const shown = asOf(world.sheet, { ...day.told, ...told });
  const hot = at.hot ? { hot: true } : {};
  return keep("recipe", { choice: world.chosen.id, ...day.named, sets, half_bags: halfBags, ...hot, shown });
}

function keptPart({ world, visit, undo }) {
  const own = ownOf(world, "recipe");
  const prove = own.at(-1);
  const known = world.sheet.recipes.kept.filter((each) => !world.out.has(each.id));
  const lines = [...own].reverse().map((entry) => ({ what: lineFor(world, entry), undo: () => undo(entry) }));
  if (!lines.length && !known.length) return null;
  return [
    el("h2", {}, say("recipes_kept")),
    due([...lines, ...[...known].reverse().map(({ what, when }) => ({ what, when }))], "", visit),
    prove ? acts(link("act", say("prove"), "/bench/write", visit, proving(prove.id))) : null,
  ];
}

function proving(recipe) {
  return { kind: "proving_batch", preset: { recipe }, back: "/bench/make", made: "" };
}

/** A recipe kept here in the words it was offered in, while the sheet still has them. */
function lineFor(world, entry) {
  const { sets, half_bags: halfBags } = entry.body;
  const days = Object.values(world.sheet.recipes.mixes).flatMap(({ usual, hot }) => [usual, hot].filter(Boolean));
  const alike = days.flatMap((day) => day.offers).filter((each) => each.sets === sets && each.half_bags === halfBags);
  const pails = JSON.stringify(entry.body.shown.pails);
  return alike.find((each) => JSON.stringify(each.told.pails) === pails)?.line ?? lineOf(world, entry);
}
