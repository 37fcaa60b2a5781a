// A photo at the bench: of a block, of what was just written, of a jar or a soil; made small and kept on the phone like any entry.

import * as outbox from "./outbox.js";
import { say } from "./bench_said.js";
import { acts, el, fold, link } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { choicesOf } from "./bench_world.js";

const KINDS = ["jar", "source"]; // blocks have their own screens

/** A fold that adds a photo of one thing. */
export function photoPart(bench, of, title = say("add_photo")) {
  return fold(title, photoForm(bench, () => of, `photo-${of}`));
}

/** A screen of its own: what the photo is of is tapped. */
export function photoScreen(bench) {
  const { world, visit } = bench;
  const choices = choicesOf(world, { of: KINDS });
  const what = { name: "of", label: say("photo_what"), kind: "ref", required: true, options: {}, of: KINDS };
  const kinds = KINDS.map((kind) => world.sheet.kinds[kind].label.toLowerCase()).join(", ");
  const lacking = el("p", {}, say("lacking", { what: kinds }));
  return {
    title: world.sheet.kinds.photo.label,
    nodes: [
      choices.length ? photoForm(bench, (raw) => (raw.of || [""])[0], "photo", reading(what, { choices })) : lacking,
      acts(
        link("act", say("other_kind"), "/bench/write", visit, { kind: "" }),
        link("act", say("bench"), "/bench", visit),
      ),
    ],
  };
}

function photoForm(bench, ofWhat, name, ...first) {
  const file = el("input", { class: "blank", type: "file", id: `${name}-file`, name: "file", accept: "image/*" });
  const note = { name: "note", label: say("photo_note"), kind: "text", required: false, hint: say("photo_hint") };
  const label = el("label", { class: "label", for: file.id }, say("photo_file"));
  const fields = [first, el("div", { class: "reading" }, label, el("div", { class: "put" }, file)), reading(note)];
  return form(fields, say("keep_photo"), (raw, id) => keepPhoto(bench, { raw, of: ofWhat(raw), id }), { plain: true });
}

async function keepPhoto({ world, draw, alert }, { raw, of, id }) {
  const file = (raw.file || [])[0];
  if (!file || !file.size || !of) return alert(say("no_photo"));
  try {
    const photos = await import("./photos.js");
    await photos.keepPhoto({ file, of, note: (raw.note || [""])[0], project: world.sheet.project.id, id });
  } catch (error) {
    return alert(say(error.code || "phone_not_kept", { reason: error.message, ...error.values }));
  }
  await outbox.values.set("bench_kept", { id });
  await draw();
  return scrollTo(0, 0);
}
