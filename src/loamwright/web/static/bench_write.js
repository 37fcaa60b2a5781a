// Write anything else, by the field list of its kind; and what waits on this phone to be sent.

import { parseFields } from "./fields.js";
import * as outbox from "./outbox.js";
import { countOf, say, sentence } from "./bench_said.js";
import { act, acts, due, el, fold, go, link, next } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { choicesOf, lineOf, mayUndo, named, ownOf } from "./bench_world.js";
import { showAgain } from "./bench_weigh.js";
import { photoPart, photoScreen } from "./bench_photo.js";

const OWN_SCREEN = new Set(["weighing", "stabiliser_in", "block", "spoiled", "all_pressed", "soak", "crush", "bend"]);
const VERBS = ["dig", "shake", "blend", "weigh", "press", "break", "make", "today"];

export function writeScreen(bench) {
  if (bench.at.kind === "photo") return photoScreen(bench);
  const kind = bench.world.sheet.kinds[bench.at.kind];
  return kind && kind.asked ? kindScreen(bench, bench.at.kind, kind) : listScreen(bench);
}

function listScreen({ world, visit }) {
  const kinds = Object.entries(world.sheet.kinds).filter(([name, kind]) => kind.asked && !OWN_SCREEN.has(name));
  kinds.sort(([, one], [, other]) => VERBS.indexOf(one.verb) - VERBS.indexOf(other.verb));
  const lines = kinds.map(([name, kind]) => ({
    what: kind.label,
    path: "/bench/write",
    at: { kind: name, preset: {}, back: "", made: "" },
  }));
  lines.push({ what: world.sheet.kinds.photo.label, path: "/bench/write", at: { kind: "photo" } });
  return { title: say("choose_kind"), nodes: [due(lines, "", visit), acts(link("act", say("bench"), "/bench", visit))] };
}

// ---- One kind

function kindScreen(bench, name, kind, raw = {}, faults = {}) {
  const { world, at, visit } = bench;
  const preset = at.preset || {};
  const fields = kind.fields.filter((field) => field.kind !== "told" && !(field.name in preset));
  const lacking = fields.filter(
    (field) => ["ref", "refs"].includes(field.kind) && field.required && !choicesOf(world, field).length,
  );
  const about = kind.fields
    .filter((field) => field.name in preset && field.of.length)
    .map((field) => named(choicesOf(world, field), preset[field.name])?.name);
  const made = kind.bench ? null : named(ownOf(world, name), at.made);
  return {
    title: kind.label,
    nodes: [
      about.filter(Boolean).map((words) => el("p", {}, el("b", {}, words))),
      lacking.map((field) => lackingPart(world, field, visit)),
      lacking.length ? null : kindForm(bench, name, kind, fields, preset, raw, faults),
      made ? photoPart(bench, made.id, say("photo_of", { what: kind.label.toLowerCase() })) : null,
      acts(
        link("act", say("other_kind"), "/bench/write", visit, { kind: "", preset: {}, back: "" }),
        link("act", say("bench"), "/bench", visit),
      ),
    ],
    cautions: [name],
  };
}

function lackingPart(world, field, visit) {
  const words = el("p", {}, say("lacking", { what: field.label.toLowerCase() }));
  const of = field.of[0];
  if (!world.sheet.kinds[of]?.asked) return words;
  return [words, acts(link("act", world.sheet.kinds[of].label, "/bench/write", visit, { kind: of, preset: {}, back: "" }))];
}

function kindForm(bench, name, kind, fields, preset, raw, faults) {
  const { world, keep, visit, at } = bench;
  const needed = fields.filter((field) => kind.first.includes(field.name) || faults[field.name] || raw[field.name]?.[0]);
  const rest = fields.filter((field) => !needed.includes(field));
  const [first, more] = rest.length > 1 ? [needed, rest] : [fields, []];
  const draw = (field) =>
    field.kind === "rows" ? rowsOf(world, field, raw, faults) : readingOf(world, kind, field, raw, faults);
  const body = [first.map(draw), more.length ? fold(say("more"), more.map(draw)) : null];
  return form(body, say("keep"), async (given, id) => {
    const fixed = Object.fromEntries(Object.entries(preset).map(([key, value]) => [key, [value]]));
    const parsed = parseFields(kind.fields, { ...given, ...fixed });
    if (Object.keys(parsed.faults).length) return showAgain(kindScreen(bench, name, kind, given, parsed.faults));
    const entry = await keep(name, parsed.body, { id, then: () => ({ made: id }) });
    if (entry && at.back) await leave(visit, at.back);
  });
}

async function leave(visit, back) {
  // The line "kept" goes along to the screen that asked.
  const last = await outbox.values.get("bench_kept");
  await visit(back, { kind: "", preset: {}, back: "", kept: last });
}

function readingOf(world, kind, field, raw, faults) {
  const choices = field.of.length ? choicesOf(world, field) : field.quantity === "volume" ? world.sheet.pails : [];
  const sole = kind.sole.includes(field.name) && choices.length === 1 && !raw[field.name];
  return reading(field, { raw: sole ? { ...raw, [field.name]: [choices[0].id] } : raw, faults, choices });
}

/** One row a possible entity: its reference goes along unseen, its other fields are asked under its name. */
function rowsOf(world, field, raw, faults) {
  const ref = field.rows.find((sub) => sub.kind === "ref");
  const asked = field.rows.filter((sub) => sub.kind !== "ref");
  const drawn = choicesOf(world, ref).map((choice, i) => [
    asked.map((sub) => {
      const name = `${field.name}-${i}-${sub.name}`;
      const inner = { ...sub, name, required: false };
      return reading(inner, {
        raw,
        faults: i === 0 && faults[field.name] ? { [name]: faults[field.name] } : {},
        label: `${choice.name}: ${sub.label.toLowerCase()}`,
      });
    }),
    el("input", { type: "hidden", name: `${field.name}-${i}-${ref.name}`, value: choice.id }),
  ]);
  return el("div", {}, drawn);
}

// ---- What waits

export function waitingScreen({ world, undo, visit, draw }) {
  const waits = world.records.filter((record) => record.state === "waiting");
  const refused = world.records.filter((record) => record.state === "refused");
  const line = (record) => ({
    what: lineOf(world, record.entry),
    more:
      record.state === "refused"
        ? say("not_taken", { why: record.words || sentence({ code: record.code }) })
        : [record.entry.by, whenOf(record.entry)].filter(Boolean).join(", "),
    undo:
      record.state === "waiting" && mayUndo(record.entry) && !world.gone.has(record.id)
        ? () => undo(record.entry)
        : null,
  });
  const send = async () => {
    await outbox.send();
    await draw();
  };
  const again = async () => {
    await outbox.tryRefusedAgain();
    await draw();
  };
  return {
    title: say("waiting"),
    nodes: [
      waits.length
        ? next(el("p", {}, el("strong", {}, countOf("n_waiting", waits.length))), go(say("send_now"), send))
        : refused.length
          ? null
          : el("p", {}, say("all_sent")),
      refused.length ? [due(refused.map(line), "", visit), acts(act(say("try_again"), again))] : null,
      waits.length ? due(waits.map(line), "", visit) : null,
      waits.length || refused.length
        ? [el("p", { class: "small" }, say("file_hint")), acts(act(say("as_file"), saveFile))]
        : null,
      acts(link("act", say("bench"), "/bench", visit)),
    ],
  };
}

function whenOf(entry) {
  return new Date(entry.at).toLocaleString(document.documentElement.lang || "en", {
    weekday: "short",
    hour: "2-digit",
    minute: "2-digit",
    hourCycle: "h23",
  });
}

async function saveFile() {
  const address = URL.createObjectURL(await outbox.exportFile());
  const anchor = el("a", { href: address, download: `not-sent-${new Date().toISOString().slice(0, 10)}.jsonl` });
  document.body.append(anchor);
  anchor.click();
  anchor.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
