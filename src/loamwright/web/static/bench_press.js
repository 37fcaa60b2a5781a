// Press: the mark to scratch, the fill, one block a time, what was spoiled, a look at its sisters.

import { parseFields } from "./fields.js";
import * as twin from "./twin.js";
import { countOf, say, sentence, shownValue, withUnit } from "./bench_said.js";
import { act, acts, due, el, fold, label, link, next, order, question } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { amountWords, batchOf, batchView, freeMarks, isAsked, named, nextWeighing } from "./bench_world.js";
import { answersOf } from "./bench_asked.js";
import { photoPart } from "./bench_photo.js";
import { holdLine, massOrder, showAgain } from "./bench_weigh.js";

const FIRST = {
  gauge: ["mark", "gauge", "green_mass", "height", "fate"],
  no_gauge: ["mark", "fill_mass", "green_mass", "height", "fate"],
};
const MORE = ["gauge", "fill_mass", "loose_height", "corners_lost", "surface", "pressed_at"];

export function pressScreen(bench) {
  const batch = bench.at.batch ? batchOf(bench.world, bench.at.batch) : null;
  return batch && !batch.fault ? batchScreen(bench, batch) : listScreen(bench);
}

function listScreen({ world, visit }) {
  const lines = [...world.batches].reverse().map((batch) => {
    if (batch.fault) return { what: batch.name, more: batch.fault };
    const waits = nextWeighing(batch);
    const pressed = sistersOf(world, batch).length;
    const when = pressed
      ? countOf("n_blocks", pressed)
      : waits
        ? say("to_weigh_first", { what: say(waits).toLowerCase() })
        : say("press_next");
    return { what: batch.name, when, path: "/bench/press", at: { batch: batch.id } };
  });
  return { title: say("press"), nodes: [due(lines, say("no_batch"), visit), acts(link("act", say("bench"), "/bench", visit))] };
}

function sistersOf(world, batch) {
  return world.blocks.filter((block) => block.batch === batch.id);
}

// ---- Marks

/** Mark and fate of the next block: as its plan says, else the next mark set aside for this phone. */
export function nextMark(world, batch) {
  const used = new Set(world.blocks.map((block) => block.mark));
  world.records.forEach(({ entry }) => entry.kind === "block" && entry.body.mark && used.add(entry.body.mark));
  const planned = batch.marks.find((each) => !used.has(each.mark));
  return planned || { mark: freeMarks(world)[0] || "", fate: "" };
}

function markQuestions(bench, batch) {
  const { world } = bench;
  const found = [];
  for (const block of sistersOf(world, batch).filter((each) => each.own)) {
    const { fault } = twin.checkMark({ text: block.mark });
    if (fault && fault !== "empty") {
      const code = fault === "wrong_digit" ? "mark_wrong_digit" : "mark_not_usual";
      found.push(asked(bench, code, [block.id], { mark: block.mark }));
    }
    const alike = world.blocks.filter((each) => each.mark === block.mark);
    if (alike.length > 1)
      found.push(question(sentence({ code: "mark_twice", values: { mark: block.mark, n: alike.length } }), ""));
  }
  return found;
}

/** A question that comes up here, with its answers; null where it was answered. */
function asked(bench, code, about, values) {
  if (!isAsked(bench.world, code, about)) return null;
  return question(sentence({ code, values }), sentence({ code: `why_${code}` }), answersOf(bench, { code, about, asks: true }));
}

// ---- One batch at the press

function batchScreen(bench, batch, raw = {}, faults = {}) {
  const { world, visit, keep } = bench;
  const sisters = sistersOf(world, batch);
  const machine = machineOf(bench, batch, sisters);
  const others = world.sheet.presses.filter((each) => each.id !== machine?.id);
  const { mark, fate } = nextMark(world, batch);
  const newest = sisters.at(-1);
  const why = world.sheet.kinds.spoiled.fields.find((each) => each.name === "why").options;
  const spoil = Object.entries(why).map(([key, words]) =>
    act(words[0].toUpperCase() + words.slice(1), () => keep("spoiled", { batch: batch.id, why: key })),
  );
  return {
    title: batch.name,
    nodes: [
      next(label(say("next_block")), ordersAt(world, batch, machine, mark).map(order), holdLine(world.sheet, batch)),
      others.length
        ? [
            el("p", {}, say("at_press", { press: machine.name })),
            acts(
              others.map((each) => link("act", say("on_other", { press: each.name }), "/bench/press", visit, { press: each.id })),
            ),
          ]
        : null,
      mark ? null : el("p", {}, say("no_marks")),
      markQuestions(bench, batch),
      sisterQuestions(bench, sisters),
      machine
        ? null
        : [
            el("p", {}, say("no_press")),
            acts(link("act", say("name_press"), "/bench/write", visit, { kind: "press", preset: {}, back: "/bench/press" })),
          ],
      blockForm(bench, batch, machine, { mark, fate }, raw, faults),
      el("h2", {}, batch.spoiled ? say("spoiled_n", { n: batch.spoiled }) : say("spoiled")),
      acts(spoil),
      el("h2", {}, say("its_blocks")),
      due(
        [...sisters].reverse().map((block) => blockLine(bench, batch, block)),
        say("none_yet"),
        visit,
      ),
      newest ? photoPart(bench, newest.id, say("photo_of", { what: say("block_of", { mark: newest.mark }) })) : null,
      acts(
        sisters.length && !batch.over ? act(say("all_pressed"), () => keep("all_pressed", { batch: batch.id })) : null,
        link("act", say("weigh"), "/bench/weigh", visit, { batch: batch.id }),
        link("act", say("other_batch"), "/bench/press", visit, { batch: "" }),
        link("act", say("bench"), "/bench", visit),
      ),
    ],
    cautions: ["block"],
  };
}

/** The press chosen here, else that of the batch's last block, else the one it would be pressed on. */
function machineOf({ world, at }, batch, sisters) {
  const { presses } = world.sheet;
  return (
    named(presses, at.press) || named(presses, sisters.at(-1)?.press) || named(presses, batch.press) || presses.at(-1) || null
  );
}

function ordersAt(world, batch, machine, mark) {
  const { sheet } = world;
  const found = mark ? [{ text: say("scratch"), number: mark }] : [];
  const fill = machine ? fillOrder(world, batch, machine) : null;
  if (fill !== null) found.push(massOrder(sheet, say("fill_in"), fill, batch.scale_step));
  if (machine?.how === "gauge" && machine.gauge_wanted) {
    found.push({ text: say("press_to"), ...shownValue(sheet, machine.gauge_wanted, "pressure"), then: say("on_gauge") });
  } else if (machine?.block_height) {
    found.push({ text: say("height"), ...shownValue(sheet, machine.block_height, "length") });
  }
  return found;
}

/** Mass to fill in for the density of the batch's first block from this press, of its mix, or of the water ladder. */
function fillOrder(world, batch, machine) {
  const first = sistersOf(world, batch).find((block) => block.press === machine.id && dryDensity(world, batch, block) !== null);
  const known = batch.fills[machine.id];
  const density = known && !first?.own ? known.dry_density : first ? dryDensity(world, batch, first) : known?.dry_density;
  const height = machine.block_height || first?.height || known?.height;
  if (!density || !height) return null;
  return computed(() => {
    const blockVolume = twin.blockVolume({
      blockLength: machine.mould_length,
      blockWidth: machine.mould_width,
      blockHeight: height,
    });
    return twin.fillMass({ dryDensity: density, blockVolume, waterContent: waterOf(batch) });
  });
}

function waterOf(batch) {
  const { mixWater } = batchView(batch);
  if (mixWater === null) throw new twin.InputError("needed", { kind: "batch", field: say("water") });
  return mixWater;
}

function dryDensity(world, batch, block) {
  const machine = named(world.sheet.presses, block.press);
  if (!machine) return null;
  return computed(() => {
    const blockVolume = twin.blockVolume({
      blockLength: machine.mould_length,
      blockWidth: machine.mould_width,
      blockHeight: block.height,
    });
    return twin.greenDryDensity({ greenMass: block.green_mass, blockVolume, waterContent: waterOf(batch) });
  });
}

function computed(work) {
  try {
    return work();
  } catch (fault) {
    if (!(fault instanceof twin.InputError)) throw fault;
    return null;
  }
}

// ---- The form of a block

function blockForm(bench, batch, machine, { mark, fate }, raw, faults) {
  const { world, keep } = bench;
  const kind = world.sheet.kinds.block;
  const first = FIRST[machine?.how || "gauge"];
  const more = MORE.filter((name) => !first.includes(name));
  const typed = { mark: [mark], fate: fate ? [fate] : [], ...raw };
  const drawn = (names) =>
    names.map((name) => {
      const field = kind.fields.find((each) => each.name === name);
      return reading(field, { raw: typed, faults });
    });
  const inMore = more.some((name) => faults[name]);
  return form([drawn(first), fold(say("more_of_block"), drawn(more), inMore)], say("keep_block"), async (given, id) => {
    const parsed = parseFields(kind.fields, { ...given, batch: [batch.id], ...(machine && { press: [machine.id] }) });
    if (Object.keys(parsed.faults).length) return showAgain(batchScreen(bench, batch, given, parsed.faults));
    await keep("block", parsed.body, { id });
  });
}

function blockLine({ world, undo }, batch, block) {
  const { body } = block.entry || {};
  const size = body
    ? `${amountWords(world.sheet, body.green_mass)}, ${amountWords(world.sheet, body.height)}`
    : readWords(world.sheet, block);
  const density = dryDensity(world, batch, block);
  const more =
    density === null
      ? size
      : `${size}, ${say("dry_density", { density: withUnit(shownValue(world.sheet, density, "density")) })}`;
  const undoing = block.own ? block.entry : block.undo;
  return { what: say("block_of", { mark: block.mark }), more, undo: undoing ? () => undo(undoing) : null };
}

function readWords(sheet, block) {
  return `${withUnit(shownValue(sheet, block.green_mass, "mass"))}, ${withUnit(shownValue(sheet, block.height, "length"))}`;
}

// ---- Sisters

/** Blocks of one press that lie further from the median than sisters do, in mass; asked where one was pressed here. */
function sisterQuestions(bench, sisters) {
  const { world } = bench;
  const { "sister-apart": apart, "sisters-least": least } = world.sheet.judged;
  const found = [];
  for (const press of new Set(sisters.map((block) => block.press))) {
    const alike = sisters.filter((block) => block.press === press && block.green_mass > 0);
    if (alike.length < least) continue;
    const middle = median(alike.map((block) => block.green_mass));
    for (const block of alike.filter((each) => each.own)) {
      const ratio = block.green_mass / middle;
      if (Math.abs(ratio - 1) > apart) found.push(askOf(bench, block, ratio));
    }
  }
  return found;
}

function askOf(bench, block, ratio) {
  const tenTimes = Math.abs(Math.abs(Math.log10(ratio)) - 1) < 0.1;
  const code = tenTimes ? "sister_ten_times" : `sister_green_mass_${ratio > 1 ? "up" : "down"}`;
  const values = { mark: block.mark, apart_pct: Math.round(1000 * Math.abs(ratio - 1)) / 10 };
  return asked(bench, code, [block.id], values);
}

function median(values) {
  const sorted = [...values].sort((one, other) => one - other);
  const half = sorted.length / 2;
  return Number.isInteger(half) ? (sorted[half - 1] + sorted[half]) / 2 : sorted[Math.floor(half)];
}
