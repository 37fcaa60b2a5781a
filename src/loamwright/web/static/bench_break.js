// Break: find a block by its mark or by what is due, into water, bend and crush, and its strength as soon as there is one.

import { parseFields } from "./fields.js";
import * as twin from "./twin.js";
import { say, sentence, spanOf } from "./bench_said.js";
import { act, acts, due, el, fold, link, next, order } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { strengths } from "./bench_strength.js";
import { lineOf, named, ownOf } from "./bench_world.js";
import { showAgain } from "./bench_weigh.js";
import { askedAbout } from "./bench_asked.js";
import { photoPart } from "./bench_photo.js";

const TASKS = ["bend", "half_1", "half_2", "whole"];
const READINGS = { load: ["load"], jack: ["gauge"], lever: ["bucket"] };
const SOAK_UNDER = 0.9;

export function breakScreen(bench) {
  const block = bench.at.block ? named(bench.world.blocks, bench.at.block) : null;
  return block ? blockScreen(bench, block) : listScreen(bench);
}

// ---- Finding one

function listScreen({ world, visit }, missed = "") {
  const waiting = world.blocks.filter((block) => !crushed(block));
  const dated = waiting.filter((block) => block.condition);
  dated.sort((one, other) => (one.break_on || "9999").localeCompare(other.break_on || "9999"));
  const lines = (blocks) =>
    blocks.map((block) => ({
      what: `${block.mark}, ${conditionWords(block)}`,
      when: whenWords(block),
      more: block.of,
      path: "/bench/break",
      at: { block: block.id, task: "" },
    }));
  const spares = waiting.filter((block) => !block.condition);
  const field = { name: "mark", label: say("find_mark"), kind: "whole", required: true, hint: "" };
  const find = form([reading(field)], say("open_block"), async (raw) => {
    const mark = (raw.mark || [""])[0].trim();
    const found = world.blocks.filter((block) => block.mark === mark);
    if (found.length) return visit("/bench/break", { block: found[0].id, task: "" });
    return showFound(listScreen({ world, visit }, mark));
  });
  return {
    title: say("break"),
    nodes: [
      missed ? el("p", { class: "error", role: "alert" }, el("span", {}, markWords(missed))) : null,
      find,
      el("h2", {}, say("to_break")),
      due(lines(dated), say("no_block_waits"), visit),
      spares.length ? fold(say("spares"), due(lines(spares), "", visit)) : null,
      acts(link("act", say("bench"), "/bench", visit)),
    ],
  };
}

function showFound(screen) {
  document
    .getElementById("main")
    .replaceChildren(el("h1", { tabindex: -1 }, screen.title), ...screen.nodes.flat(Infinity).filter(Boolean));
}

function markWords(mark) {
  const { fault } = twin.checkMark({ text: mark });
  const code = fault === "wrong_digit" ? "mark_wrong_digit" : "mark_not_usual";
  return `${say("no_such_block", { mark })} ${fault && fault !== "empty" ? sentence({ code, values: { mark } }) : ""}`.trim();
}

function conditionWords(block) {
  return say(block.condition || "spare");
}

function whenWords(block) {
  if (block.in_water_since) return say("in_water");
  if (block.own) return say("pressed_here");
  if (block.condition === "soaked" && block.soak_words) return say("into_water", { when: block.soak_words });
  return block.break_words ? say("break_when", { when: block.break_words }) : "";
}

function crushed(block) {
  const pieces = piecesOf(block);
  return pieces.has("whole") || (pieces.has("half_1") && pieces.has("half_2"));
}

/** Pieces crushed, here and elsewhere. */
function piecesOf(block) {
  return new Set([...block.crushes.map((entry) => entry.body.piece), ...block.tests.map((each) => each.piece)]);
}

/** Bend first where nothing was done; after bending the halves; nothing once it is crushed. */
function nextTask(block) {
  const pieces = piecesOf(block);
  if (crushed(block)) return "";
  if (pieces.has("half_1")) return "half_2";
  return block.bent || block.bends.length || pieces.has("half_2") ? "half_1" : "bend";
}

// ---- One block

function blockScreen(bench, block, raw = {}, faults = {}) {
  const { world, at, visit } = bench;
  const task = at.task || nextTask(block);
  const rig = rigOf(world, at, task);
  const tests = [...block.bends, ...block.crushes];
  return {
    title: say("block_of", { mark: block.mark }),
    nodes: [
      next(
        task ? order({ text: say(task), number: block.mark }) : doneWith(bench, block),
        el("p", {}, [block.of, block.age_words].filter(Boolean).join(". ")),
        waterPart(bench, block),
      ),
      askedAbout(bench, [block.id, ...block.tests.map((each) => each.id)]),
      strengths(world, block),
      task ? testForm(bench, block, task, rig, raw, faults) : null,
      task ? otherTasks(bench, block, task, rig) : null,
      tests.length
        ? [
            el("h2", {}, say("read_so_far")),
            due(
              tests.map((entry) => ({ what: lineOf(world, entry), undo: () => bench.undo(entry) })),
              "",
              visit,
            ),
          ]
        : null,
      block.tests.length
        ? [
            el("h2", {}, say("read_before")),
            due(
              block.tests.map((each) => ({ what: each.words, undo: each.undo && (() => bench.undo(each.undo)) })),
              "",
              visit,
            ),
          ]
        : null,
      photoPart(bench, block.id),
      acts(
        link("act", say("other_block"), "/bench/break", visit, { block: "", task: "" }),
        link("act", say("bench"), "/bench", visit),
      ),
    ],
    cautions: ["crush"],
  };
}

/** A broken block leads on to its next sister that waits. */
function doneWith({ world, visit }, block) {
  const sister = world.blocks.find((each) => each.batch === block.batch && each.condition === block.condition && !crushed(each));
  if (!sister) return el("p", {}, say("broken"));
  return [
    el("p", { class: "label" }, say("broken")),
    link("go", say("next_is", { mark: sister.mark }), "/bench/break", visit, { block: sister.id, task: "" }),
  ];
}

function rigOf(world, at, task) {
  const used = [...world.own].reverse().find((entry) => entry.kind === (task === "bend" ? "bend" : "crush") && entry.body.rig);
  const rigs = world.sheet.rigs;
  return named(rigs, at.rig) || (used && named(rigs, used.body.rig)) || rigs[rigs.length - 1] || null;
}

function waterPart({ world, keep }, block) {
  if (block.condition !== "soaked" || block.crushes.length) return null;
  if (!block.in_water_since) {
    const hours = `${world.sheet.soak_hours}\u202fh`;
    return [
      el("p", {}, el("strong", {}, say("not_in_water", { hours }))),
      acts(act(say("put_in_water"), () => keep("soak", { blocks: [block.id] }))),
    ];
  }
  const minutes = Math.max(0, (Date.now() - new Date(block.in_water_since).getTime()) / 60_000);
  const wanted = world.sheet.soak_hours * 60;
  const enough = minutes >= SOAK_UNDER * wanted;
  const words = enough
    ? say("in_water_enough", { span: spanOf(minutes) })
    : say("in_water_for", { span: spanOf(minutes), left: spanOf(wanted - minutes) });
  return el("p", {}, el("strong", {}, words));
}

function otherTasks({ world, visit }, block, task, rig) {
  const others = TASKS.filter((each) => each !== task).map((each) =>
    link("act", say(each), "/bench/break", visit, { task: each }),
  );
  const rigs = world.sheet.rigs
    .filter((each) => each.id !== rig?.id)
    .map((each) => link("act", say("on_rig", { rig: each.name }), "/bench/break", visit, { rig: each.id }));
  return acts(others, rigs);
}

function testForm(bench, block, task, rig, raw, faults) {
  const { world, keep } = bench;
  const name = task === "bend" ? "bend" : "crush";
  const kind = world.sheet.kinds[name];
  const readings = rig ? READINGS[rig.how] : ["load"];
  const first = [
    "condition",
    ...(block.in_water_since ? [] : ["soaked_for"]),
    ...readings,
    ...(task === "bend" ? ["span"] : task === "whole" ? [] : ["length"]),
  ];
  const sizes = task === "bend" ? ["width", "thickness", "took"] : ["length", "width", "height", "how", "mass"];
  const more = [...sizes, "soaked_for", ...(rig ? [] : ["gauge", "bucket"]), "on"].filter((each) => !first.includes(each));
  const span = ownOf(world, "bend").at(-1)?.body.span;
  const typed = { condition: [block.condition || "soaked"], ...(span && { span: [span.typed], span_unit: [span.unit] }), ...raw };
  const drawn = (names) =>
    names.map((each) =>
      reading(
        kind.fields.find((field) => field.name === each),
        { raw: typed, faults, choices: [] },
      ),
    );
  const body = [
    el("p", {}, rig ? say("on_rig", { rig: rig.name }) : say("no_rig")),
    drawn(first),
    fold(
      say("more_sizes"),
      drawn(more),
      more.some((each) => faults[each]),
    ),
  ];
  return form(body, say("keep_test"), async (given, id) => {
    const fixed = { block: [block.id], ...(rig && { rig: [rig.id] }), ...(name === "crush" && { piece: [task] }) };
    const parsed = parseFields(kind.fields, { ...given, ...fixed });
    if (Object.keys(parsed.faults).length) return showAgain(blockScreen(bench, block, given, parsed.faults));
    await keep(name, parsed.body, { id, then: () => ({ task: "" }) });
  });
}
