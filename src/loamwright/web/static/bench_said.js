// Words of the bench on the phone, for translators: a key, its English, placeholders by name; and numbers as the pages show them.
// Sentences of faults come with the bench sheet, from the same table the pages use.

import { say as sayOf } from "./said.js";

const SAID = {
  home: "At the bench",
  as_of: "As of {when}",
  no_sheet:
    "Nothing of a project is on this phone yet. Open the project with a network, and tap “Take it to the bench” on Today.",
  not_fetched: "The project could not be fetched. Look for the network, then open this again from Today.",
  who: "Who is at the bench?",
  somebody: "Somebody else",
  name_hint: "name or initials",
  that_is_me: "That is me",
  other_person: "Somebody else is at the bench",
  nobody: "nobody yet",
  in_hand: "In hand",
  go_soil: "Weigh the soil",
  go_stabiliser: "Weigh the stabiliser",
  go_water: "Weigh the water",
  go_press: "Press its blocks",
  due: "Due",
  nothing_due: "Nothing is due today.",
  weigh: "Weigh",
  press: "Press",
  break: "Break",
  write: "Write anything else",
  waiting: "Not sent yet",
  charts: "Charts",
  one_more: "{what}: one more",
  one_less: "{what}: one less",
  today: "Today",
  bench: "Bench",
  all_sent: "Everything is sent.",
  n_waiting_one: "{n} not sent yet",
  n_waiting_other: "{n} not sent yet",
  kept: "Kept: {what}",
  undo: "Undo",
  undone: "Undone: {what}",
  keep: "Keep",
  more: "More, if known",
  if_known: "if known",
  none: "none",
  batch_name: "Batch {n}, {mix}",
  open_of: "Open a batch of",
  no_mix: "No mix is written down yet. That wants the network: blends and mixes are made on their own pages.",
  batches: "Batches",
  no_batch: "No batch is open.",
  open_batch: "Open a batch",
  open_it: "Open it",
  weigh_now: "Weigh now",
  weighed: "Weighed",
  soil_next: "soil next",
  stabiliser_next: "stabiliser next",
  water_next: "water next",
  press_next: "press it",
  n_blocks_one: "{n} block",
  n_blocks_other: "{n} blocks",
  soil: "Damp soil",
  stabiliser: "Stabiliser",
  water: "Water",
  too_wet: "The soil holds too much already: dry it first.",
  too_much: "Too much stabiliser: put it right",
  add_soil: "Add damp soil",
  add_soil_then: "Before any water: mix it in dry, split as the blend is. Then weigh it as soil here.",
  piles: "{parts} and {last}, damp, mixed together.",
  mix_dry: "Mix dry to one colour, then stabiliser meets the damp soil",
  now: "Now",
  press_its_blocks: "Press its blocks",
  keep_weighing: "Keep this weighing",
  tap_in: "Stabiliser is in: start the clock",
  more_soil: "More soil",
  more_water: "More water",
  whole_batch: "The whole batch",
  weighed_so_far: "Weighed so far",
  nothing_yet: "Nothing yet.",
  tare_off: "container {tare} off",
  dose_reached: "Dose reached, of the total dry mix",
  conventions: "{total} of the total dry mix = {dry} of the dry soil",
  moisture_reached: "Moisture reached, of the dry mix",
  hold_left: "{held} since the stabiliser went in, {left} left.",
  hold_over: "{held} since the stabiliser went in: past the {limit} it may wait.",
  hold_rest: "{held} since the {stabiliser} went in. It may rest, covered.",
  lime: "lime",
  stabiliser_word: "stabiliser",
  other_batch: "Another batch",
  next_block: "Next block",
  scratch: "Scratch",
  fill_in: "Fill in",
  press_to: "Press to",
  on_gauge: "On the gauge.",
  height: "Height",
  keep_block: "Keep this block",
  more_of_block: "More of this block",
  spoiled: "Spoiled",
  spoiled_n: "Spoiled: {n}",
  all_pressed: "All pressed: no more of this batch",
  its_blocks: "Its blocks",
  none_yet: "None yet.",
  at_press: "At {press}.",
  on_other: "On {press}",
  no_press: "No press is named yet: without the size of its mould there is no density.",
  name_press: "Name your press",
  no_marks: "No marks are set aside for this phone. Take a number nobody uses, and its check digit if you know it.",
  block_of: "Block {mark}",
  dry_density: "dry density {density}",
  question: "Question",
  to_weigh_first: "{what} to weigh first",
  find_mark: "Mark read from the block",
  open_block: "Open this block",
  no_such_block: "No block on this phone carries the mark {mark}.",
  to_break: "To break",
  spares: "Spares",
  no_block_waits: "No block waits.",
  into_water: "into water {when}",
  break_when: "break {when}",
  in_water: "in water",
  pressed_here: "just pressed",
  broken: "Broken",
  next_is: "Next: block {mark}",
  spare: "spare",
  soaked: "soaked",
  dry: "dry",
  put_in_water: "It is in water now",
  in_water_for: "In water for {span}, {left} to go.",
  in_water_enough: "In water for {span}: long enough.",
  not_in_water: "Not in water yet: {hours} are wanted.",
  bend: "Bend it",
  half_1: "Crush the first half",
  half_2: "Crush the second half",
  whole: "Crush it whole",
  on_rig: "On {rig}.",
  no_rig: "No rig is named yet: type the load itself.",
  keep_test: "Keep this test",
  more_sizes: "More: sizes, day",
  crushing: "Crushing strength",
  bending: "Bending strength",
  gross_area: "As tested, on the gross area of {length} by {width}; no shape factor.",
  one_half: "One half only.",
  two_halves: "Mean of two halves.",
  screening: "for screening only",
  read_so_far: "Read so far",
  read_before: "Read before",
  other_block: "Another block",
  choose_kind: "What do you want to write down?",
  lacking: "No {what} is written down yet.",
  other_kind: "Something else",
  send_now: "Send now",
  as_file: "Save as a file",
  file_hint: "Where no network will come: carry the file to the machine that holds the notebook and take it in there.",
  not_taken: "Not taken: {why}",
  try_again: "Try these again",
  cannot_read: "Some things could not be read. What you typed is still here; nothing was kept yet.",
  caution: "Caution.",
  plan: "Trial plan",
  choose: "Choose",
  make: "Recipe",
  n_asked_one: "{n} question",
  n_asked_other: "{n} questions",
  asked: "Questions",
  none_asked: "Nothing is asked.",
  stands: "It stands",
  leave_out: "Leave it out",
  three_plans: "Three plans",
  plan_takes: "What each takes and can show",
  plan_as_of: "As of {when}: what was weighed or read since is not in it.",
  plans_none: "No plan can be told here: it wants a mix and a press that are written down. Take the project along again once they are.",
  keep_plan: "Keep: {plan}",
  few_marks: "This plan wants {n} marks, and {left} are set aside for this phone. Take the project along again with a network.",
  for_mixes: "For {mixes}",
  other_mixes: "Other mixes",
  can_the_rig: "Can the rig break them",
  plan_batch: "Day {day}, batch {n}",
  row_of_plan: "{n}. {what}",
  all_batches: "All its batches",
  n_fate_at: "{n} {fate} at {age} d",
  n_fate: "{n} {fate}",
  open_this: "Open this batch",
  open_as: "Open it as {mix}",
  place_first: "First of the two made again",
  place_second: "Second of the two made again",
  which_mix: "Which mix is it? The two best are made again.",
  opened: "opened",
  on_day: "day {n}",
  choose_as_of: "As of {when}: blocks broken since are not in it.",
  n_not_in_one: "{n} test kept on this phone is not in it yet.",
  n_not_in_other: "{n} tests kept on this phone are not in it yet.",
  chosen: "Chosen",
  first_of: "First of those that pass",
  nothing_passes: "Nothing passes yet.",
  nothing_compared: "Nothing to compare yet: break blocks first.",
  to_pails: "Turn it into pails and bags",
  compare: "Compare",
  apart: "Apart or not",
  in_order: "In order",
  not_in_order: "Not in the order",
  to_change: "What to change",
  choose_again: "Choose again",
  choose_this: "Choose this mix",
  no_brief: "No brief is decided: a choice made now stands on no limit.",
  none_to_choose: "No mix can be chosen yet: what is in the way stands above.",
  make_as_of: "As of {when}: pans, pails and doses read since are not in it.",
  choose_first: "Choose a mix first",
  no_recipe: "This phone was not given recipes of this mix. Take the project along again with a network.",
  before_recipe: "Before a recipe",
  nearest: "Nearest to the dose",
  nearest_heaps: "Nearest to the dose, in heaps",
  no_bags_near: "No number of half bags comes near the dose: weigh it",
  keep_recipe: "Keep this recipe",
  keep_this: "Keep this one",
  others: "Others",
  others_of_another: "The nearest in half bags: another mix",
  usual_day: "Not above 30 °C",
  hot_day: "Above 30 °C",
  hot_now: "For a day above 30 °C.",
  made_with: "With {mixer}, {press} and {pail}.",
  recipes_kept: "Recipes kept",
  prove: "Write down its proving batch",
  add_photo: "Add a photo",
  photo_of: "Photo of {what}",
  photo_file: "Photo",
  photo_note: "What it shows",
  photo_hint: "such as: crack along the long side",
  keep_photo: "Keep the photo",
  no_photo: "Choose a photo first.",
  photo_what: "Of what",
  undo_of: "Undo of {what}",
  undo_button: "Undo {what}",
  trouble: "This page could not be drawn ({reason}). What was kept is safe. Open the bench again.",
};

const THIN = "\u202f";
let learned = {};
let sentences = {};
let asWritten = new Set();
let threeDigits = new Set();
let digits = {};

/** Takes in what the sheet says of language, sentences and decimals. */
export function speakBy(sheet) {
  learned = sheet.said || {};
  sentences = sheet.sentences;
  asWritten = new Set(sheet.as_written);
  threeDigits = new Set(sheet.three_digits);
  digits = sheet.digits;
}

/** Words of the bench with their values put in. */
export function say(key, values = {}) {
  const template = learned[key] || SAID[key];
  return template === undefined ? sayOf(key, values) : put(template, (name) => (name in values ? String(values[name]) : "?"));
}

/** Words with a count, by the plurals of the page's language. */
export function countOf(key, n) {
  const rule = new Intl.PluralRules(document.documentElement.lang || "en").select(n);
  return say(`${key}_${rule}` in SAID || `${key}_${rule}` in learned ? `${key}_${rule}` : `${key}_other`, { n });
}

function put(template, value) {
  return template.replace(/\{(\w+)\}/g, (whole, name) => value(name));
}

/** The sentence of a fault or note: the twin of loamwright.words.sentences.sentence. */
export function sentence({ code, values = {} }) {
  const template = sentences[code];
  if (template === undefined) return code.replaceAll("_", " ");
  const all = { ...values };
  for (const [name, value] of Object.entries(values)) {
    if (typeof value === "number" && !(`${name}_pct` in all)) all[`${name}_pct`] = 100 * value;
  }
  return put(template, (name) => (name in all ? insideSentence(name, all[name]) : "?"));
}

function insideSentence(name, value) {
  if (typeof value === "number" && (threeDigits.has(name) || name.endsWith("_pct"))) return String(Number(value.toPrecision(3)));
  if (typeof value === "string") return asWritten.has(name) ? value : value.replaceAll("_", " ");
  if (typeof value === "number") return Number.isInteger(value) ? String(value) : String(Number(value.toPrecision(4)));
  return Array.isArray(value) ? value.map((each) => insideSentence(name, each)).join(", ") : String(value);
}

// ---- Numbers

/** A number with so many decimals; a true minus sign, never a "-0". */
export function decimals(value, places) {
  const text = value.toFixed(places);
  return (Number(text) === 0 ? text.replace("-", "") : text).replace("-", "−");
}

/** A value at the resolution of a scale, both in one unit. */
export function toStepText(value, step) {
  const places = step >= 1 ? 0 : Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return decimals(Math.round(value / step) * step, places);
}

/** {number, unit} of a value of the engine in the unit the person chose. */
export function shownValue(sheet, value, quantity, places) {
  const key = sheet.shown[quantity];
  const unit = sheet.units[key];
  return { number: decimals((value - unit.offset) / unit.factor, places ?? digits[key]), unit: unit.label };
}

export function withUnit({ number, unit }) {
  return `${number}${THIN}${unit}`;
}

export function percent(share, places = 1) {
  return `${decimals(100 * share, places)}${THIN}%`;
}

/** A span of minutes as a person says it. */
export function spanOf(minutes) {
  if (minutes < 1) return `${Math.round(minutes * 60)}${THIN}s`;
  if (minutes < 60) return `${Math.round(minutes)}${THIN}min`;
  if (minutes >= 2880) return `${Math.round(minutes / 1440)}${THIN}d`;
  const rest = Math.round(minutes) % 60;
  return `${Math.floor(Math.round(minutes) / 60)}${THIN}h${rest ? ` ${rest}${THIN}min` : ""}`;
}
