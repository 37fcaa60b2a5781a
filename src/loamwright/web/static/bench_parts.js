// The pieces of the pages, drawn on the phone: the same markup as templates/pieces.html, made of nodes, so that no name or
// note a person typed is ever read as markup.

import { say } from "./bench_said.js";

const THIN = "\u202f";
const SVG = "http://www.w3.org/2000/svg";

/** An element; a function among the attributes listens, an attribute that is false, null or undefined is left out. */
export function el(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

function filled(made, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (typeof value === "function") made.addEventListener(name, value);
    else made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(
    ...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false && child !== ""),
  );
  return made;
}

const SHAPES = {
  met: () => [svg("circle", { class: "solid", cx: 9, cy: 9, r: 8.5 }), svg("path", { class: "cut", d: "M4.500 9.500l3 3 6-7" })],
  not_met: () => [svg("path", { class: "line", d: "M2 2h14v14h-14zM2 16l14-14" })],
  not_shown: () => [svg("circle", { class: "line dash", cx: 9, cy: 9, r: 7.5 })],
  question: () => [
    svg("path", { class: "line", d: "M9 1.500l7.500 7.500-7.500 7.500-7.500-7.500z" }),
    svg("circle", { class: "solid", cx: 9, cy: 9, r: 2 }),
  ],
};

/** A word with a shape. */
export function state(words, kind) {
  const shape = SHAPES[kind] ? svg("svg", { viewBox: "0 0 18 18", "aria-hidden": "true" }, SHAPES[kind]()) : null;
  return el("span", { class: "state" }, shape, el("span", {}, words));
}

function unitOf(unit) {
  return unit ? el("span", { class: "unit" }, THIN + unit) : null;
}

/** A plain instruction with one number. */
export function order({ text, number = "", unit = "", then = "" }) {
  return el(
    "p",
    { class: "order" },
    el("span", { class: "does" }, text),
    number ? [" ", el("span", { class: "number" }, number, unitOf(unit))] : null,
    then ? [" ", el("span", { class: "then" }, then)] : null,
  );
}

/** A number that was worked out on the phone. */
export function figure({ label, number, unit = "", told = "", standing = "", kind = "" }) {
  return el(
    "div",
    { class: "figure" },
    el("span", { class: "label" }, label),
    el("span", { class: "value" }, number, unitOf(unit)),
    told ? el("span", { class: "told" }, told) : null,
    standing ? el("span", { class: "told" }, state(standing, kind)) : null,
  );
}

/** The one button for the next thing, and any other button. */
export function go(label, tapped) {
  return el("button", { class: "go", type: tapped ? "button" : "submit", click: tapped && once(tapped) }, label);
}

export function act(label, tapped, more = {}) {
  return el("button", { class: "act", type: "button", click: once(tapped), ...more }, label);
}

export function acts(...buttons) {
  return el("div", { class: "acts" }, buttons);
}

/** Work that a second tap does not start again while the first is under way. */
export function once(work) {
  let busy = false;
  return async () => {
    if (busy) return;
    busy = true;
    try {
      await work();
    } finally {
      busy = false;
    }
  };
}

/** A link inside the bench: no address is loaded, the screen is drawn anew. */
export function link(kind, label, path, visit, at) {
  return el("a", { class: kind, href: path, click: (event) => follow(event, () => visit(path, at)) }, label);
}

function follow(event, work) {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  work();
}

/** What is due, what there is to choose from: {what, when, more, path, at} or {…, undo}. */
export function due(items, none, visit) {
  if (!items.length) return el("p", {}, none);
  return el(
    "ul",
    { class: "due" },
    items.map((item) => dueLine(item, visit)),
  );
}

function dueLine({ what, when = "", more = "", path = "", at, undo }, visit) {
  const inner = [
    el("span", { class: "what" }, what),
    " ",
    el("span", { class: "when" }, undo ? act(say("undo"), undo, { "aria-label": say("undo_button", { what }) }) : when),
    more ? [" ", el("span", { class: "more" }, more)] : null,
  ];
  if (!path) return el("li", {}, el("div", { class: "plain" }, inner));
  return el("li", {}, el("a", { href: path, click: (event) => follow(event, () => visit(path, at)) }, inner));
}

/** The line after keeping, with its undo. */
export function kept(message, undo) {
  return el(
    "div",
    { class: "kept", role: "status", "data-kept": true },
    el("p", {}, message),
    undo ? act(say("undo"), undo) : null,
  );
}

export function caution(words) {
  const shape = [svg("path", { class: "line", d: "M12 2.500L22 21H2zM12 9v6" }), svg("path", { class: "line", d: "M12 17v2" })];
  const drawn = svg("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, shape);
  return el("p", { class: "caution" }, drawn, el("span", {}, el("strong", {}, say("caution")), " ", words));
}

/** Something does not fit: what is asked, why, and the taps that answer it, as [words, tapped]. */
export function question(text, why, answers = []) {
  return el(
    "div",
    { class: "question stack", role: "group", "aria-label": text },
    el("p", {}, state(say("question"), "question")),
    el("p", { class: "asks" }, text),
    why ? el("p", {}, why) : null,
    answers.length ? acts(answers.map(([words, tapped]) => act(words, tapped))) : null,
  );
}

/** A table as the pages draw it; columns are {label, unit, count}, the first cell of a row is its head. */
export function table(caption, columns, rows) {
  const kind = (i) => (columns[i]?.count ? "count" : null);
  const head = columns.map(({ label: words, unit }, i) =>
    el("th", { scope: "col", class: kind(i) }, words, unit ? el("span", { class: "unit" }, unit) : null),
  );
  const body = rows.map((row) =>
    el(
      "tr",
      {},
      row.map((cell, i) => (i ? el("td", { class: kind(i) }, cell) : el("th", { scope: "row" }, cell))),
    ),
  );
  return el(
    "div",
    { class: "across", tabindex: 0, role: "region", "aria-label": caption },
    el("table", {}, el("caption", {}, caption), el("thead", {}, el("tr", {}, head)), el("tbody", {}, body)),
  );
}

export function fold(title, inner, open = false) {
  return el("details", { class: "fold", open }, el("summary", {}, title), inner);
}

export function next(...children) {
  return el("section", { class: "next", "aria-label": say("now") }, children);
}

export function label(words) {
  return el("p", { class: "label" }, words);
}
