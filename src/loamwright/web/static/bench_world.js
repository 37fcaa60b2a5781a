// The bench as it stands on this phone: the last bench sheet, and what was kept here since. Numbers come from the twin of the
// program's own kernels; batchView is the twin of loamwright.project.weigh.batch_view.

import { makeEntry } from "./entries.js";
import { toEngine, useUnits } from "./numbers.js";
import * as outbox from "./outbox.js";
import * as twin from "./twin.js";
import { say, speakBy } from "./bench_said.js";

// What a sheet of an older program does not have.
const LACKING = {
  planning: { sets: [], rig: [], open: [] },
  choosing: { mixes: [], ranked: [], options: [] },
  recipes: { mixes: {}, kept: [] },
  questions: [],
};

/** {sheet, records, own, person, …}; sheet is null while no project was taken along. */
export async function look() {
  const [kept, records, person] = await Promise.all([outbox.sheets.get(), outbox.records(), outbox.person()]);
  if (!kept || !kept.kinds || !kept.mixes) return { sheet: null, records, person };
  const sheet = { ...LACKING, ...kept };
  useUnits(sheet.units);
  speakBy(sheet);
  const fresh = unknownTo(sheet, records);
  const gone = new Set(fresh.flatMap((entry) => entry.replaces));
  const said = fresh.filter((entry) => Object.keys(entry.body).length && !gone.has(entry.id) && isHere(sheet, entry));
  const out = new Set([...gone, ...leftOut(said)]);
  const own = said.filter((entry) => !out.has(entry.id));
  const world = { sheet, records, person, own, gone, out };
  world.plans = allPlans(world);
  world.questions = sheet.questions.filter((each) => isAsked(world, each.code, each.about) && !isSettled(world, each));
  world.chosen = chosenMix(world);
  world.names = new Map(Object.values(sheet.choices).flatMap((list) => list.map((each) => [each.id, each.name])));
  world.batches = allBatches(world);
  world.blocks = allBlocks(world);
  return world;
}

/** Entries of this phone that the sheet does not count yet. */
function unknownTo(sheet, records) {
  const has = new Set(sheet.has || []);
  return records.filter((record) => record.state !== "refused" && !has.has(record.id)).map((record) => record.entry);
}

function isHere(sheet, entry) {
  return entry.project === sheet.project.id || entry.project === sheet.bench;
}

/** Whether one of two live versions was taken here, or both are gone. */
function isSettled(world, { versions = [] }) {
  return versions.length > 0 && versions[0].replaces.every((id) => world.gone.has(id));
}

/** Entities that answers given here leave out; of several answers to one question about one thing the newest decides. */
function leftOut(entries) {
  const verdicts = new Map();
  for (const { kind, body } of entries) {
    if (kind === "answer") for (const id of body.about || []) verdicts.set(`${body.question} ${id}`, body.verdict);
  }
  return [...verdicts].filter(([, verdict]) => verdict === "leave_out").map(([key]) => key.split(" ")[1]);
}

/** Whether a question still stands here: nobody answered it on this phone, and what it is about was not undone or settled. */
export function isAsked(world, code, about) {
  if (about.length && about.every((id) => world.gone.has(id))) return false;
  const given = ownOf(world, "answer").filter((entry) => entry.body.question === code);
  return !given.some((entry) => about.every((id) => (entry.body.about || []).includes(id)));
}

export function ownOf(world, kind, field = "", id = "") {
  return world.own.filter((entry) => entry.kind === kind && (!field || [entry.body[field]].flat().includes(id)));
}

/** The value of a stored amount in the engine's unit, or null. */
export function engine(amount) {
  return amount ? toEngine(amount.number, amount.unit) : null;
}

// ---- Choices

/** What a reference may name: from the sheet and from what was written here since. */
export function choicesOf(world, field) {
  const known = field.of.flatMap((kind) => (world.sheet.choices[kind] || []).filter((each) => !world.out.has(each.id)));
  const own = field.of.flatMap((kind) => ownOf(world, kind).map((entry) => ({ id: entry.id, name: nameOf(world, entry) })));
  return [...known, ...own];
}

/** What a person calls an entry made here. */
export function nameOf(world, entry) {
  if (entry.body.name) return entry.body.name;
  if (entry.kind === "batch") return batchOf(world, entry.id)?.name ?? world.sheet.kinds.batch.label;
  if (entry.kind === "block") return say("block_of", { mark: entry.body.mark });
  const about = Object.values(entry.body).find((value) => typeof value === "string" && world.names?.has(value));
  return world.sheet.kinds[entry.kind].label + (about ? `, ${world.names.get(about)}` : "");
}

export function named(list, id) {
  return list.find((each) => each.id === id) || null;
}

// ---- Batches

export function batchOf(world, id) {
  return named(world.batches, id);
}

function allBatches(world) {
  const { sheet } = world;
  const known = sheet.batches.filter((each) => !world.out.has(each.id)).map((each) => ({ ...each, own: false }));
  const opened = ownOf(world, "batch").map((entry, i) => {
    const batch = ownBatch(sheet, entry, (sheet.choices.batch || []).length + i + 1);
    const plan = named(world.plans, entry.body.plan);
    const row = plan?.rows.find((each) => each.row === entry.body.plan_row);
    return row ? { ...batch, marks: marksOf(row), press: plan.press || batch.press } : batch;
  });
  return [...known, ...opened].map((batch) => withReadings(world, batch));
}

function ownBatch(sheet, entry, number) {
  const mix = named(sheet.mixes, entry.body.mix) || { name: say("none"), fault: say("none") };
  const told = entry.body.targets;
  return {
    id: entry.id,
    own: true,
    name: say("batch_name", { n: number, mix: mix.name }),
    mix: entry.body.mix,
    fault: mix.fault,
    scale_step: told ? told.scale_step_kg : stepOf(sheet, entry.body.scale),
    soil_wanted: engine(entry.body.soil_wanted),
    target_water: told ? told.target_water_content : mix.target_water,
    dose: told ? told.stabiliser_of_total : mix.dose,
    soil_water: told ? told.soil_water_content : mix.soil_water,
    has_stabiliser: mix.has_stabiliser,
    stabiliser: mix.stabiliser,
    weighed: { soil: [], stabiliser: [], water: [] },
    stabiliser_in: null,
    air_temperature: sensible(engine(entry.body.air_temperature)),
    marks: [],
    press: sheet.press_last_used,
    fills: mix.fills || {},
    pressed: 0,
    spoiled: 0,
    over: false,
  };
}

/** Air that a batch can have stood in, or null: of any other the server asks. */
function sensible(air) {
  return air !== null && air >= twin.LEAST_AIR_TEMPERATURE && air <= twin.MOST_AIR_TEMPERATURE ? air : null;
}

export function stepOf(sheet, scale) {
  return named(sheet.scales, scale)?.step ?? sheet.fixed.scale_step;
}

function withReadings(world, batch) {
  if (batch.fault) return batch;
  const weighed = Object.fromEntries(
    Object.entries(batch.weighed).map(([what, list]) => [what, list.filter((each) => !world.out.has(each.id))]),
  );
  for (const entry of ownOf(world, "weighing", "batch", batch.id)) {
    const { what, mass, tare } = entry.body;
    const off = tare ? `, ${say("tare_off", { tare: amountWords(world.sheet, tare) })}` : "";
    const words = `${say(what)} ${amountWords(world.sheet, mass)}${off}`;
    weighed[what].push({ id: entry.id, net: engine(mass) - (engine(tare) || 0), words, entry });
  }
  const taps = ownOf(world, "stabiliser_in", "batch", batch.id);
  const spoiled = batch.spoiled + ownOf(world, "spoiled", "batch", batch.id).length;
  const over = batch.over || ownOf(world, "all_pressed", "batch", batch.id).length > 0;
  return { ...batch, weighed, spoiled, over, stabiliser_in: batch.stabiliser_in || taps[0]?.at || null };
}

export function amountWords(sheet, amount) {
  return `${amount.typed}\u202f${sheet.units[amount.unit]?.label ?? ""}`;
}

const sum = (list) => list.reduce((total, each) => total + each.net, 0);

/** Everything about one batch; InputError where it cannot be computed with. */
export function batchView(batch) {
  const {
    soil_water: soilWaterContent,
    dose: stabiliserOfTotal,
    target_water: targetWaterContent,
    scale_step: scaleStep,
  } = batch;
  const { soil, stabiliser, water } = batch.weighed;
  const drySoilMass = twin.dryMass({ moistMass: soil.length ? sum(soil) : batch.soil_wanted, waterContent: soilWaterContent });
  const wanted = twin.stabiliserMass({ drySoilMass, stabiliserOfTotal });
  const inMix = stabiliser.length ? sum(stabiliser) : wanted;
  const totalDryMass = drySoilMass + inMix;
  const order = twin.waterOrder({ totalDryMass, targetWaterContent, drySoilMass, soilWaterContent });
  const both = stabiliser.length > 0 && soil.length > 0;
  const weighed = { stabiliserMass: inMix, drySoilMass };
  const miss = both ? twin.doseMiss({ ...weighed, stabiliserOfTotal, scaleStep }) : null;
  const over = miss && miss.kind !== "as_near_as_the_scale" && miss.excessMass > 0 && !water.length && stabiliserOfTotal > 0;
  const wetted = { waterMass: sum(water), totalDryMass, drySoilMass, soilWaterContent };
  return {
    drySoilMass,
    stabiliserOrder: twin.toScaleStep({ mass: wanted, scaleStep }),
    waterOrder: order.notes.length ? null : twin.toScaleStep({ mass: order.waterMass, scaleStep }),
    achieved: both ? twin.achievedDose(weighed) : null,
    miss,
    remedy: over ? twin.overdoseRemedy({ ...weighed, stabiliserOfTotal, soilWaterContent }) : null,
    mixWater: water.length || order.notes.length ? twin.mixWaterContent(wetted) : null,
    notes: [...order.notes, ...(miss ? miss.notes : [])],
  };
}

/** What goes in next: soil, stabiliser, water, or nothing. */
export function nextWeighing(batch) {
  const wants = batch.has_stabiliser ? ["soil", "stabiliser", "water"] : ["soil", "water"];
  return wants.find((what) => !batch.weighed[what].length) || "";
}

/** The figures a person is told when a batch is opened, as loamwright.project.weigh.told_targets puts them. */
export function toldTargets(sheet, body, id) {
  const mix = named(sheet.mixes, body.mix);
  if (!mix || mix.fault) return null;
  const batch = ownBatch(sheet, { id, body }, 0);
  if (body.water_wanted) batch.target_water = engine(body.water_wanted);
  else batch.target_water = sheet.fixed.water_to_start;
  const view = batchView(batch);
  return {
    soil_kg: batch.soil_wanted,
    dry_soil_kg: view.drySoilMass,
    soil_water_content: batch.soil_water,
    stabiliser_of_total: batch.dose,
    stabiliser_kg: view.stabiliserOrder,
    water_kg: view.waterOrder,
    target_water_content: batch.target_water,
    scale_step_kg: batch.scale_step,
    stood_on: [...new Set([...mix.stood_on, id])].sort(),
    version: sheet.version,
  };
}

// ---- Blocks

function allBlocks(world) {
  const { sheet } = world;
  const known = sheet.blocks.filter((each) => !world.out.has(each.id));
  const made = ownOf(world, "block").map((entry) => ownBlock(world, entry));
  return [...known, ...made].map((block) => withTests(world, block));
}

function ownBlock(world, entry) {
  const { body } = entry;
  const batch = batchOf(world, body.batch);
  return {
    id: entry.id,
    own: true,
    entry,
    mark: body.mark,
    batch: body.batch,
    of: batch?.name ?? "",
    press: body.press || "",
    green_mass: engine(body.green_mass),
    height: engine(body.height),
    condition: { soaked: "soaked", dry: "dry", spare: "" }[body.fate] ?? (batch?.stabiliser === "none" ? "dry" : "soaked"),
    age_words: "",
    break_on: null,
    break_words: "",
    soak_words: "",
    in_water_since: null,
    bent: false,
    tests: [],
  };
}

function withTests(world, block) {
  const soaks = ownOf(world, "soak", "blocks", block.id);
  return {
    ...block,
    in_water_since: soaks.length ? soaks[soaks.length - 1].at : block.in_water_since,
    tests: (block.tests || []).filter((each) => !world.out.has(each.id)),
    crushes: ownOf(world, "crush", "block", block.id),
    bends: ownOf(world, "bend", "block", block.id),
  };
}

/** Marks set aside for this phone that no block and no plan has taken. */
export function freeMarks(world) {
  const used = new Set(world.blocks.map((block) => block.mark));
  for (const { entry } of world.records) {
    if (entry.kind === "block" && entry.body.mark) used.add(entry.body.mark);
    if (entry.kind === "plan") (entry.body.rows || []).forEach((row) => row.marks.forEach((mark) => used.add(mark)));
  }
  return world.sheet.marks.filter((mark) => !used.has(mark));
}

// ---- Plans, and the mix that is chosen

function allPlans(world) {
  const { planning } = world.sheet;
  const own = ownOf(world, "plan").filter((entry) => Array.isArray(entry.body.rows));
  const made = own.map(({ id, body: { press, mixes, rows } }) => ({ id, press, mixes, rows }));
  const known = planning.open.filter((plan) => !world.out.has(plan.id));
  const withOpened = (plan) => plan.rows.map((row) => ({ ...row, opened: openedOf(world, plan, row) }));
  return [...known, ...made].map((plan) => ({ ...plan, rows: withOpened(plan) }));
}

/** The mix of the batch that was opened for a row of a plan, or an empty text. */
function openedOf(world, plan, row) {
  const here = ownOf(world, "batch", "plan", plan.id).find((entry) => entry.body.plan_row === row.row);
  return row.opened || here?.body.mix || "";
}

/** Mixes a row of a plan may be of: its own, or of an open place those the other place has not taken. */
export function mixesOf(plan, row) {
  if (row.mix) return [row.mix];
  const taken = new Map(plan.rows.filter((each) => each.place && each.opened).map((each) => [each.place, each.opened]));
  if (taken.has(row.place)) return [taken.get(row.place)];
  return plan.mixes.filter((mix) => ![...taken.values()].includes(mix));
}

function marksOf(row) {
  return row.marks.map((mark, i) => ({ mark, fate: row.fates[i].fate }));
}

/** The choice that counts on this phone: the newest kept here, else that of the sheet. */
function chosenMix(world) {
  const entry = ownOf(world, "choice").at(-1);
  if (entry) {
    const name = (world.sheet.choices.mix || []).find((each) => each.id === entry.body.mix)?.name || say("none");
    return { id: entry.id, mix: entry.body.mix, name, reason: entry.body.reason };
  }
  const { chosen } = world.sheet.choosing;
  return chosen && !world.out.has(chosen.id) ? chosen : null;
}

/** Figures the program told, as an entry made later holds them: with the moment they are of. */
export function asOf(sheet, told) {
  return { ...told, as_of: sheet.as_of.iso };
}

// ---- Keeping

/** Keeps one entry on the phone; what takes the place of another says what it replaces, and the form and home of that. */
export async function keepEntry(world, kind, body, { id = "", replaces = [], reason = "", schema = 0, project = "" } = {}) {
  const known = world.sheet.kinds[kind];
  const entry = makeEntry({
    kind,
    schema: schema || known.schema,
    body,
    project: project || (known.bench ? world.sheet.bench : world.sheet.project.id),
    by: world.person,
    device: await outbox.device(),
    replaces,
    reason,
    id,
  });
  await outbox.keep(entry);
  await outbox.values.set("bench_kept", { id: entry.id, undone: replaces.length > 0 && !Object.keys(body).length });
  return entry;
}

/** Whether one tap takes an entry back: not what undoes or settles others, where something would have to come back. */
export function mayUndo(entry) {
  return Object.keys(entry.body).length > 0 && !entry.replaces.length;
}

/** Takes back an entry made here, or one of the sheet by what it says of its undoing; both stay in the record. */
export function undoEntry(world, { kind, schema, project, id, replaces }) {
  return keepEntry(world, kind, {}, { replaces: id ? [id] : replaces, reason: "typing slip", schema, project });
}

/** One line for an entry: its kind and what it says. */
export function lineOf(world, entry) {
  const kind = world.sheet.kinds[entry.kind];
  if (!kind) return entry.kind;
  if (!Object.keys(entry.body).length) return say("undo_of", { what: kind.label.toLowerCase() });
  const silent = entry.kind === "answer" ? "question" : ""; // its key is no word for a person
  const said = kind.fields.filter((each) => each.name in entry.body && each.kind !== "told" && each.name !== silent);
  const words = said.map((each) => valueWords(world, each, entry.body[each.name])).filter(Boolean);
  return words.length ? `${kind.label}: ${words.join(", ")}` : kind.label;
}

function valueWords(world, field, value) {
  switch (field.kind) {
    case "choice":
      return field.options[value] || value;
    case "quantity":
      return amountWords(world.sheet, value);
    case "quantities":
      return value.map((each) => amountWords(world.sheet, each)).join("; ");
    case "number":
      return value.typed;
    case "ref":
    case "refs":
      return [value]
        .flat()
        .map((id) => nameById(world, field, id))
        .join(", ");
    case "rows":
      return value
        .map((row) => field.rows.map((sub) => (sub.name in row ? valueWords(world, sub, row[sub.name]) : "")).join(" "))
        .join("; ");
    case "flag":
      return field.label;
    default:
      return String(value);
  }
}

function nameById(world, field, id) {
  const block = named(world.blocks, id);
  const entry = block ? null : named(world.own, id);
  return (
    named(choicesOf(world, field), id)?.name ??
    named(world.batches, id)?.name ??
    (block ? say("block_of", { mark: block.mark }) : (world.names.get(id) ?? (entry ? nameOf(world, entry) : say("none"))))
  );
}
