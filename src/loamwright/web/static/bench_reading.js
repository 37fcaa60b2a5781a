// Forms and readings of the bench: a field list drawn as the pages draw it, for one thumb or for a scale that types.

import { newId } from "./entries.js";
import { unitsInUse } from "./numbers.js";
import { say, sentence } from "./bench_said.js";
import { el, go, once } from "./bench_parts.js";

const CONTAINER = "container:";

/** A form of fields; `keeps(raw, id)` gets the texts by name and an id that stays the same until they are kept. */
export function form(children, button, keeps, { plain = false } = {}) {
  const id = newId();
  const last = plain ? el("button", { class: "act", type: "submit" }, button) : go(button);
  const made = el("form", { class: "stack", novalidate: true, "data-native": true }, children, last);
  const kept = once(() => keeps(rawOf(made), id));
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    kept();
  });
  made.addEventListener("keydown", onEnter);
  return made;
}

function onEnter(event) {
  // A scale that types ends each weighing with this key: on to the next reading that is needed, from the last one it is kept.
  if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
  const fields = Array.from(event.currentTarget.querySelectorAll("input[aria-required=true]"));
  const later = fields.filter((field) => field.compareDocumentPosition(event.target) & Node.DOCUMENT_POSITION_PRECEDING);
  const following = later.find((field) => !field.value && field.offsetParent !== null);
  if (!following) return;
  event.preventDefault();
  following.focus();
}

function rawOf(made) {
  const raw = {};
  for (const [name, value] of new FormData(made)) (raw[name] ??= []).push(value);
  return raw;
}

/** One field of a field list as the reading piece; `choices` are [{id, name}] for references and containers. */
export function reading(
  field,
  { raw = {}, faults = {}, choices = [], hint = field.hint, label: own = field.label, count = 0 } = {},
) {
  const typed = raw[field.name] || [];
  const told = [hint && `${field.name}-hint`, faults[field.name] && `${field.name}-error`].filter(Boolean).join(" ");
  const what = { field, typed, told, wrong: Boolean(faults[field.name]), raw, choices, count };
  const words = [own, ifKnown(field) ? [" ", el("span", { class: "soft" }, say("if_known"))] : null];
  const said = [
    hint ? el("p", { class: "hint", id: `${field.name}-hint` }, hint) : null,
    faults[field.name]
      ? el("p", { class: "error", id: `${field.name}-error` }, el("span", {}, sentence(faults[field.name])))
      : null,
  ];
  if (field.kind === "flag") {
    return el("div", { class: "reading" }, tap("checkbox", field.name, "yes", words, typed[0] === "yes", what), said);
  }
  if (["choice", "ref", "refs", "quantities"].includes(field.kind)) {
    const legend = el("legend", { class: "label" }, words);
    return el("fieldset", { class: "reading", "aria-describedby": told || null }, legend, said, GROUPS[field.kind](what));
  }
  return el(
    "div",
    { class: "reading" },
    el("label", { class: "label", for: field.name }, words),
    said,
    el("div", { class: "put" }, put(what)),
  );
}

function ifKnown(field) {
  return !field.required && !["flag", "choice"].includes(field.kind);
}

const GROUPS = {
  choice: ({ field, typed }) => taps("radio", field.name, Object.entries(field.options), typed),
  ref: ({ field, typed, choices }) => {
    const named = choices.map((each) => [each.id, each.name]);
    const options = field.required ? named : [...named, ["", say("none")]];
    return taps("radio", field.name, options, typed.length || named.length !== 1 || !field.required ? typed : [named[0][0]]);
  },
  refs: ({ field, typed, choices }) =>
    taps(
      "checkbox",
      field.name,
      choices.map((each) => [each.id, each.name]),
      typed,
      true,
    ),
  quantities: (what) => [several(what), unitPart(what)],
};

function taps(type, name, options, typed, long = options.some(([, words]) => words.length > 18)) {
  const drawn = options.map(([key, words]) => tap(type, name, key, words, typed.includes(key), {}));
  return el("div", { class: long ? "taps long" : "taps" }, drawn);
}

function tap(type, name, value, words, checked, { told, wrong }) {
  const input = el("input", { type, name, value, "aria-describedby": told || null, "aria-invalid": wrong && "true" });
  input.defaultChecked = checked;
  return el("label", { class: "tap" }, input, " ", el("span", {}, words));
}

function several({ field, typed, told, wrong, count }) {
  const many = Math.max(count || field.expected, typed.length);
  const inputs = Array.from({ length: many }, (_, i) => {
    const named = `${field.label}, ${i + 1} / ${many}`;
    const attributes = {
      name: field.name,
      "aria-label": named,
      "aria-describedby": told || null,
      "aria-invalid": wrong && "true",
    };
    return el("label", {}, String(i + 1), blank("number", typed[i] || "", { ...attributes, inputmode: "decimal" }));
  });
  return el("div", { class: "several", "data-enter-next": true }, inputs);
}

function blank(kind, value, attributes) {
  const input = el("input", { class: `blank ${kind}`.trim(), type: "text", autocomplete: "off", ...attributes });
  input.defaultValue = value;
  return input;
}

function put(what) {
  const { field, typed, told, wrong } = what;
  const said = { "aria-describedby": told || null, "aria-invalid": wrong && "true", "aria-required": field.required && "true" };
  const attributes = { id: field.name, name: field.name, ...said };
  if (field.kind === "text") return blank("", typed[0] || "", { ...attributes, inputmode: field.name === "mark" && "numeric" });
  if (["date", "moment"].includes(field.kind)) {
    return blank("date", typed[0] || "", { ...attributes, type: field.kind === "moment" ? "datetime-local" : "date" });
  }
  const input = blank("number", typed[0] || "", { ...attributes, inputmode: field.kind === "whole" ? "numeric" : "decimal" });
  if (field.kind === "whole") return [step(field, -1), input, step(field, 1)];
  return field.quantity ? [input, unitPart(what)] : input;
}

function step(field, by) {
  const told = say(by > 0 ? "one_more" : "one_less", { what: field.label });
  return el("button", { class: "act step", type: "button", tabindex: -1, "data-step": by, "aria-label": told }, by > 0 ? "+" : "−");
}

function unitPart({ field, raw, choices }) {
  const name = `${field.name}_unit`;
  const units = unitsInUse();
  const pails = field.quantity === "volume" ? choices.map((each) => [CONTAINER + each.id, each.name]) : [];
  const options = [...field.units.map((key) => [key, units[key].label]), ...pails];
  const chosen = (raw[name] || [field.unit])[0];
  if (options.length === 1) {
    return [el("span", { class: "unit" }, options[0][1]), el("input", { type: "hidden", name, value: options[0][0] })];
  }
  const drawn = options.map(([key, words]) => el("option", { value: key, selected: key === chosen }, words));
  return el("select", { class: "blank", name, "aria-label": `${field.label}: ${units[chosen]?.label ?? ""}` }, drawn);
}
