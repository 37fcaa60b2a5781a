// Weigh: open a batch of a mix, one weighing a time, the orders worked out anew from what was really weighed.

import { parseFields } from "./fields.js";
import { fromEngine } from "./numbers.js";
import * as twin from "./twin.js";
import { percent, say, sentence, spanOf, toStepText } from "./bench_said.js";
import { act, acts, due, el, figure, label, link, next, order } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { batchOf, batchView, choicesOf, named, nextWeighing, toldTargets } from "./bench_world.js";
import { newId } from "./entries.js";

export function weighScreen(bench) {
  const batch = bench.at.batch ? batchOf(bench.world, bench.at.batch) : null;
  if (batch) return batch.fault ? stuck(bench, batch) : batchScreen(bench, batch);
  return bench.at.mix ? openScreen(bench, {}, {}) : listScreen(bench);
}

// ---- Batches, and mixes to open one of

function listScreen({ world, visit }) {
  const { sheet } = world;
  const batches = [...world.batches].reverse().map((batch) => batchLine(batch));
  const mixes = sheet.mixes.map((mix) =>
    mix.fault ? { what: mix.name, more: mix.fault } : { what: mix.name, path: "/bench/weigh", at: { mix: mix.id, batch: "", plan: "" } },
  );
  return {
    title: say("weigh"),
    nodes: [
      el("h2", {}, say("batches")),
      due(batches, say("no_batch"), visit),
      el("h2", {}, say("open_of")),
      due(mixes, say("no_mix"), visit),
      acts(link("act", say("bench"), "/bench", visit)),
    ],
  };
}

function batchLine(batch) {
  if (batch.fault) return { what: batch.name, more: batch.fault };
  const waits = nextWeighing(batch);
  return { what: batch.name, when: waits ? say(`${waits}_next`) : say("weighed"), path: "/bench/weigh", at: { batch: batch.id } };
}

function stuck({ visit }, batch) {
  const back = acts(link("act", say("other_batch"), "/bench/weigh", visit, { batch: "", mix: "" }));
  return { title: batch.name, nodes: [el("p", {}, batch.fault), back] };
}

// ---- Opening one

const OPENING = ["soil_wanted", "water_wanted", "air_temperature", "scale"];

function openScreen(bench, raw, faults) {
  const { world, at } = bench;
  const kind = world.sheet.kinds.batch;
  const mix = named(world.sheet.mixes, at.mix);
  if (!mix || mix.fault) return listScreen(bench);
  const scales = world.sheet.scales;
  const usual = {
    water_wanted: [mix.target_water_text],
    water_wanted_unit: ["pct"],
    ...(scales.length && { scale: [scales[scales.length - 1].id] }),
  };
  const plan = named(world.plans, at.plan);
  const row = plan?.rows.find((each) => each.row === at.plan_row);
  const typed = { ...usual, ...(row ? soilFor(world.sheet, mix, plan, row) : {}), ...raw };
  const fields = OPENING.map((name) => kind.fields.find((each) => each.name === name)).filter(
    (each) => each.kind !== "ref" || choicesOf(world, each).length,
  );
  const drawn = fields.map((field) =>
    reading(field, { raw: typed, faults, choices: field.of.length ? choicesOf(world, field) : [] }),
  );
  return {
    title: say("open_batch"),
    nodes: [
      el("p", {}, el("b", {}, mix.name)),
      row ? el("p", {}, say("plan_batch", { day: row.day, n: row.row })) : null,
      form(drawn, say("open_it"), (given, id) => openBatch(bench, given, id, row)),
    ],
    cautions: ["batch"],
  };
}

/** Damp soil for the blocks of a row, filled in before anything is typed. */
function soilFor(sheet, mix, plan, row) {
  const press = plan.press || sheet.presses.at(-1)?.id;
  const each = mix.soil_per_block?.[press];
  const unit = sheet.shown.mass;
  return each ? { soil_wanted: [fromEngine(each * row.fates.length, unit).toFixed(1)], soil_wanted_unit: [unit] } : {};
}

async function openBatch(bench, raw, id, row) {
  const { world, at, keep } = bench;
  const planned = row ? { plan: [at.plan], plan_row: [String(row.row)] } : {};
  const { body, faults } = parseFields(world.sheet.kinds.batch.fields, { ...raw, ...planned, mix: [at.mix] });
  if (Object.keys(faults).length) return showAgain(openScreen(bench, raw, faults));
  await keep("batch", withTargets(world.sheet, body, id), { id, then: () => ({ batch: id, mix: "", plan: "" }) });
}

/** The body with its told targets; as it is where nothing can be computed, as the server keeps it. */
export function withTargets(sheet, body, id = newId()) {
  try {
    const targets = toldTargets(sheet, body, id);
    return targets ? { ...body, targets } : body;
  } catch (fault) {
    if (!(fault instanceof twin.InputError)) throw fault;
    return body;
  }
}

/** Draws a screen again in place, with what was typed and its faults. */
export function showAgain(screen) {
  const main = document.getElementById("main");
  const alert = el("p", { class: "error", role: "alert" }, el("span", {}, say("cannot_read")));
  main.replaceChildren(el("h1", { tabindex: -1 }, screen.title), alert, ...screen.nodes.flat(Infinity).filter(Boolean));
  main.querySelector("[aria-invalid=true]")?.focus();
}

// ---- One batch

function batchScreen(bench, batch, raw = {}, faults = {}) {
  let view;
  try {
    view = batchView(batch);
  } catch (fault) {
    if (!(fault instanceof twin.InputError)) throw fault;
    return weighedWrong(bench, batch, sentence(fault));
  }
  const { world, visit, keep } = bench;
  const waits = nextWeighing(batch);
  const clock = batch.has_stabiliser && !batch.stabiliser_in && waits !== "soil";
  const tapIn = () => keep("stabiliser_in", { batch: batch.id });
  return {
    title: batch.name,
    nodes: [
      nextPart(bench, batch, view, waits, clock && !waits),
      waits || view.remedy ? weighingForm(bench, batch, view.remedy ? "soil" : waits, raw, faults) : null,
      clock
        ? waits
          ? acts(act(say("tap_in"), tapIn))
          : el("button", { class: "go", type: "button", click: tapIn }, say("tap_in"))
        : null,
      waits || view.remedy ? null : moreParts(bench, batch),
      el("h2", {}, say("whole_batch")),
      orders(world.sheet, batch, view).map(order),
      figures(world.sheet, batch, view),
      el("h2", {}, say("weighed_so_far")),
      weighings(bench, batch),
      acts(
        link("act", say("other_batch"), "/bench/weigh", visit, { batch: "", mix: "" }),
        link("act", say("bench"), "/bench", visit),
      ),
    ],
    cautions: ["weighing", "stabiliser_in"],
  };
}

function weighedWrong(bench, batch, words) {
  const back = acts(link("act", say("other_batch"), "/bench/weigh", bench.visit, { batch: "", mix: "" }));
  return {
    title: batch.name,
    nodes: [
      el("p", { class: "error" }, el("span", {}, words)),
      el("h2", {}, say("weighed_so_far")),
      weighings(bench, batch),
      back,
    ],
  };
}

function nextPart(bench, batch, view, waits, mixDry) {
  const { world, visit } = bench;
  const hold = holdLine(world.sheet, batch);
  const notes = view.notes.map((note) => el("p", {}, sentence(note)));
  if (view.remedy) {
    const add = massOrder(world.sheet, say("add_soil"), view.remedy.moistSoilMass, batch.scale_step, say("add_soil_then"));
    return next(label(say("too_much")), order(add), notes, hold);
  }
  if (waits) {
    const now = orders(world.sheet, batch, view).find((each) => each.what === waits);
    return next(
      label(say("weigh_now")),
      order(waits === "soil" ? { ...now, then: piles(world.sheet, batch) } : now),
      notes,
      hold,
    );
  }
  if (mixDry) return next(label(say("now")), order({ text: say("mix_dry") }), hold);
  const press = link("go", say("press_its_blocks"), "/bench/press", visit, { batch: batch.id });
  return next(label(say("weighed")), press, hold);
}

/** An order at the scale's step, in the unit the person chose. */
export function massOrder(sheet, text, mass, step, then = "") {
  const key = sheet.shown.mass;
  return { text, number: toStepText(fromEngine(mass, key), fromEngine(step, key)), unit: sheet.units[key].label, then };
}

function orders(sheet, batch, view) {
  const found = [{ what: "soil", ...massOrder(sheet, say("soil"), batch.soil_wanted, batch.scale_step) }];
  if (batch.dose > 0)
    found.push({ what: "stabiliser", ...massOrder(sheet, say("stabiliser"), view.stabiliserOrder, batch.scale_step) });
  const dry = view.waterOrder === null;
  const water = dry
    ? { text: say("water"), number: say("none"), then: say("too_wet") }
    : massOrder(sheet, say("water"), view.waterOrder, batch.scale_step);
  return [...found, { what: "water", ...water }];
}

function piles(sheet, batch) {
  const parts = named(sheet.mixes, batch.mix)?.piles || [];
  if (parts.length < 2) return "";
  const said = parts.map((pile) => {
    const { number, unit } = massOrder(sheet, "", pile.of_damp * batch.soil_wanted, batch.scale_step);
    return `${pile.name} ${number}\u202f${unit}`;
  });
  return say("piles", { parts: said.slice(0, -1).join(", "), last: said[said.length - 1] });
}

function weighingForm(bench, batch, what, raw, faults) {
  const { world, keep } = bench;
  const kind = world.sheet.kinds.weighing;
  const fields = kind.fields.filter((each) => ["mass", "tare"].includes(each.name));
  const drawn = fields.map((field) =>
    reading(field, { raw, faults, label: field.name === "mass" ? `${say(what)}: ${field.label.toLowerCase()}` : field.label }),
  );
  return form(drawn, say("keep_weighing"), async (given, id) => {
    const parsed = parseFields(kind.fields, { ...given, batch: [batch.id], what: [what] });
    if (Object.keys(parsed.faults).length) return showAgain(batchScreen(bench, batch, given, parsed.faults));
    await keep("weighing", parsed.body, { id });
  });
}

function moreParts(bench, batch) {
  const { visit } = bench;
  const more = (what) => ({ kind: "weighing", preset: { batch: batch.id, what }, back: "/bench/weigh" });
  const found = [
    link("act", say("more_soil"), "/bench/write", visit, more("soil")),
    link("act", say("more_water"), "/bench/write", visit, more("water")),
  ];
  return acts(
    batch.has_stabiliser && !batch.stabiliser_in
      ? link("act", say("press_its_blocks"), "/bench/press", visit, { batch: batch.id })
      : null,
    found,
  );
}

function weighings({ undo, visit }, batch) {
  const lines = Object.values(batch.weighed)
    .flat()
    .map((each) => ({ ...each, undoing: each.entry || each.undo }))
    .map(({ words, undoing }) => ({ what: words, undo: undoing && (() => undo(undoing)) }));
  return due(lines, say("nothing_yet"), visit);
}

function figures(sheet, batch, view) {
  const found = [];
  if (view.achieved) {
    const { ofTotalDryMix, ofDrySoil } = view.achieved;
    const values = { wanted_pct: 100 * batch.dose, achieved_pct: 100 * view.miss.achievedOfTotal };
    found.push(
      figure({
        label: say("dose_reached"),
        number: percent(ofTotalDryMix, 2).replace(/\u202f%$/, ""),
        unit: "%",
        told: say("conventions", { total: percent(ofTotalDryMix, 2), dry: percent(ofDrySoil, 2) }),
        standing: sentence({ code: `miss_${view.miss.kind}`, values }),
        kind: view.miss.kind === "its_own_mix" ? "not_met" : "met",
      }),
    );
  }
  if (batch.weighed.water.length) {
    found.push(figure({ label: say("moisture_reached"), number: percent(view.mixWater).replace(/\u202f%$/, ""), unit: "%" }));
  }
  return found.length ? el("div", { class: "figures" }, found) : null;
}

/** How long the stabiliser has been in, and how long is left; it counts on by itself. */
export function holdLine(sheet, batch) {
  if (!batch.stabiliser_in) return null;
  const line = el("strong", {}, "");
  const tell = () => {
    const words = holdWords(sheet, batch);
    if (line.textContent !== words) line.textContent = words;
  };
  tell();
  const timer = setInterval(() => (line.isConnected ? tell() : clearInterval(timer)), 15_000);
  return line.textContent ? el("p", {}, line) : null;
}

function holdWords(sheet, batch) {
  const start = new Date(batch.stabiliser_in);
  const at = new Date(Math.max(Date.now(), start.getTime()));
  const state = twin.hold({ stabiliserIn: start, at, airTemperature: batch.air_temperature });
  if (state.minutesHeld > sheet.judged["clock-runs"] * 60) return "";
  const held = spanOf(state.minutesHeld);
  if (batch.stabiliser !== "cement")
    return say("hold_rest", { held, stabiliser: say(batch.stabiliser === "lime" ? "lime" : "stabiliser_word") });
  if (state.minutesLeft < 0) return say("hold_over", { held, limit: spanOf(state.limitMinutes) });
  return say("hold_left", { held, left: spanOf(state.minutesLeft) });
}
