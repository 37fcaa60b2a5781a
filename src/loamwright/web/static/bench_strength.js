// Strength of a block as tested, from the readings kept on this phone: the twin of loamwright.project.breaking and loads.

import * as twin from "./twin.js";
import { say, sentence, shownValue, withUnit } from "./bench_said.js";
import { el, figure } from "./bench_parts.js";
import { engine, named } from "./bench_world.js";

/** Strength of a block from the tests kept here, as figures; null where there is none. */
export function strengths(world, block) {
  const found = [];
  const pieces = chosenPieces(block.crushes);
  if (pieces.length) found.push(shownStrength(world, say("crushing"), () => crushing(world, block, pieces)));
  const bent = block.bends.at(-1);
  if (bent) found.push(shownStrength(world, say("bending"), () => bending(world, block, bent)));
  return found.length ? el("div", { class: "figures" }, found) : null;
}

function shownStrength(world, words, compute) {
  try {
    const { value, notes, screening } = compute();
    const told = notes.filter(Boolean).join(" ");
    const standing = screening ? { standing: say("screening"), kind: "not_shown" } : {};
    return figure({ label: words, ...shownValue(world.sheet, value, "pressure"), told, ...standing });
  } catch (fault) {
    if (!(fault instanceof twin.InputError)) throw fault;
    return figure({ label: words, number: "–", standing: sentence(fault), kind: "question" });
  }
}

/** The tests that count together: whole, or the halves in one condition; the last one decides. */
function chosenPieces(crushes) {
  const newest = new Map(crushes.map((entry) => [entry.body.piece, entry]));
  const last = crushes.at(-1);
  if (!last || last.body.piece === "whole") return last ? [last] : [];
  return ["half_1", "half_2"]
    .map((half) => newest.get(half))
    .filter((entry) => entry && entry.body.condition === last.body.condition);
}

function crushing(world, block, pieces) {
  const each = pieces.map((entry) => crushedPiece(world, block, entry.body));
  const notes = [
    ...new Set(each.flatMap((one) => one.notes)),
    pieces.length === 2 ? say("two_halves") : pieces[0].body.piece === "whole" ? "" : say("one_half"),
  ];
  const value = each.length === 2 ? twin.meanOfHalves({ firstHalf: each[0].value, secondHalf: each[1].value }) : each[0].value;
  return { value, notes, screening: each.some((one) => one.screening) };
}

function crushedPiece(world, block, body) {
  if (body.how === "dissolved") return { value: 0, notes: [sentence({ code: "dissolved" })], screening: false };
  const force = forceOf(world, body, "crush");
  const machine = named(world.sheet.presses, block.press);
  if (body.piece !== "whole" && !body.length) throw new twin.InputError("half_needs_length", { mark: block.mark });
  const blockLength = engine(body.length) ?? needed(machine?.mould_length, "block", "press");
  const blockWidth = engine(body.width) ?? needed(machine?.mould_width, "block", "press");
  const value = twin.compressiveStrength({ force: force.value, blockLength, blockWidth });
  const size = (mm) => withUnit(shownValue(world.sheet, mm, "length"));
  const mould = body.length && body.width ? "" : sentence({ code: "mould_area_used" });
  return {
    value,
    screening: force.screening,
    notes: [say("gross_area", { length: size(blockLength), width: size(blockWidth) }), mould, ...force.notes],
  };
}

function bending(world, block, { body }) {
  const force = forceOf(world, body, "bend");
  const machine = named(world.sheet.presses, block.press);
  const blockWidth = engine(body.width) ?? needed(machine?.mould_width, "block", "press");
  const thickness = engine(body.thickness) ?? block.height;
  const span = engine(body.span);
  const value = twin.bendingStrength({ force: force.value, span, blockWidth, thickness });
  const notes = [
    ...force.notes,
    body.width ? "" : sentence({ code: "mould_width_used" }),
    ...twin.bendingNotes({ span, thickness }).map(sentence),
  ];
  return { value, notes, screening: force.screening };
}

function needed(value, kind, field) {
  if (value === null || value === undefined) throw new twin.InputError("needed", { kind, field });
  return value;
}

/** From what the rig shows to the force on the block, in kN: the twin of loamwright.project.loads. */
function forceOf(world, body, kind) {
  const rig = named(world.sheet.rigs, body.rig);
  const factor = rig?.calibration ?? null;
  const jackNote = () =>
    factor === null
      ? [sentence({ code: "jack_not_calibrated", values: { jack_factor: world.sheet.fixed.uncalibrated_jack } })]
      : [];
  if (body.load) {
    const load = engine(body.load);
    if (!rig) return { value: load, screening: false, notes: [sentence({ code: "rig_not_named" })] };
    if (rig.calibrated && factor === null) return { value: load, screening: false, notes: [] };
    return { value: load * (factor ?? world.sheet.fixed.uncalibrated_jack), screening: !rig.calibrated, notes: jackNote() };
  }
  if (!rig) throw new twin.InputError("needed", { kind, field: body.gauge || body.bucket ? "rig" : "load" });
  if (body.gauge) {
    const gauge = engine(body.gauge);
    const { "gauge-least": least, "gauge-most": most } = world.sheet.judged;
    if (!(gauge >= least && gauge <= most)) throw new twin.InputError("gauge_absurd", { value: gauge, least, most });
    const ramArea = twin.cylinderArea({ bore: needed(rig.ram_bore, "rig", "ram bore") });
    return {
      value: twin.jackReading({ gaugePressure: gauge, ramArea, jackFactor: factor }).force,
      screening: !rig.calibrated,
      notes: jackNote(),
    };
  }
  if (!body.bucket) throw new twin.InputError("needed", { kind, field: "load" });
  const lever = {
    hungMass: engine(body.bucket),
    loadArm: needed(rig.lever_ratio, "rig", "lever ratio"),
    blockArm: 1,
    leverMass: rig.lever_own ?? 0,
    leverCentre: 1,
  };
  return {
    value: twin.leverForce(lever),
    screening: false,
    notes: rig.lever_own === null ? [sentence({ code: "lever_own_left_out" })] : [],
  };
}
