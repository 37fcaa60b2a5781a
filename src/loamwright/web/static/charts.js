// Draws a chart without a network from the same description as page and paper. The drawing library is fetched (from the phone's own
// keep when offline) only where a chart is shown. The content policy forbids making code from text, so expressions are walked.

const ROOT = new URL("./vega/", import.meta.url);
// For translation.
const WORDS = { numbers: "Its numbers", failed: "This chart could not be drawn here. Its numbers stand below." };
export const FILES = ["vega.min.js", "vega-lite.min.js", "vega-interpreter.js"].map((name) => new URL(name, ROOT).pathname);

let ready = null;

function script(name) {
  return new Promise((resolve, reject) => {
    const element = document.createElement("script");
    element.src = new URL(name, ROOT).href;
    element.onload = resolve;
    element.onerror = () => reject(new Error(name));
    document.head.append(element);
  });
}

function library() {
  ready ??= (async () => {
    await script("vega.min.js");
    await script("vega-lite.min.js");
    const { expressionInterpreter } = await import(new URL("vega-interpreter.js", ROOT).href);
    return { vega: globalThis.vega, vegaLite: globalThis.vegaLite, expressionInterpreter };
  })().catch((fault) => {
    ready = null; // tried again at the next chart
    throw fault;
  });
  return ready;
}

function make(name, words = "", attributes = {}) {
  const element = document.createElement(name);
  element.textContent = words;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

function head(column) {
  const cell = make("th", column.label, { scope: "col" });
  if (column.count) cell.className = "count";
  if (column.unit) cell.append(make("span", column.unit, { class: "unit" }));
  return cell;
}

function cell(words, place, columns) {
  const made = place === 0 ? make("th", words, { scope: "row" }) : make("td", words);
  if (columns[place].count) made.className = "count";
  return made;
}

export function chartTable(chart) {
  const table = make("table");
  table.append(make("caption", chart.title));
  const heads = make("tr");
  heads.append(...chart.columns.map(head));
  const top = make("thead");
  top.append(heads);
  const body = make("tbody");
  for (const row of chart.rows) {
    const line = make("tr");
    line.append(...row.map((words, place) => cell(words, place, chart.columns)));
    body.append(line);
  }
  table.append(top, body);
  const across = make("div", "", { class: "across", tabindex: "0", role: "region", "aria-label": chart.title });
  across.append(table);
  return across;
}

// The drawing as an image, so that it is seen as on a page: one thing with one text description, letters and size settled.
async function drawing(chart) {
  const { vega, vegaLite, expressionInterpreter } = await library();
  const runtime = vega.parse(vegaLite.compile(chart.description).spec, null, { ast: true });
  const view = new vega.View(runtime, { expr: expressionInterpreter, renderer: "none" });
  try {
    return await view.toSVG();
  } finally {
    view.finalize();
  }
}

let letters = null;

// An image sees no font of its page: the two cuts are laid into it. Without them a system font serves.
function lettersOf() {
  letters ??= Promise.all([[400, "400"], [600, "600 700"]].map(async ([cut, weight]) => {
    const answer = await fetch(new URL(`loam-text-${cut}-base.woff2`, import.meta.url));
    const bytes = new Uint8Array(await answer.arrayBuffer());
    const text = btoa(bytes.reduce((all, byte) => all + String.fromCharCode(byte), ""));
    return `@font-face{font-family:"Loam Text";font-weight:${weight};src:url(data:font/woff2;base64,${text})}`;
  })).then((rules) => `<style>${rules.join("")}</style>`, () => "");
  return letters;
}

// Puts a chart into an element: title, drawing, how to read it, its table. The table is there at once and stays when drawing fails.
export async function drawChart(element, chart) {
  const figure = make("figure", "", { class: "chart" });
  const caption = make("figcaption");
  caption.append(make("strong", chart.title));
  const image = make("img", "", { width: chart.width, height: chart.height, alt: chart.alt });
  const read = make("p", chart.read, { class: "small" });
  const fold = make("details", "", { class: "fold" });
  fold.append(make("summary", WORDS.numbers), chartTable(chart));
  figure.append(caption, image, read, fold);
  element.replaceChildren(figure);
  try {
    const svg = await drawing(chart);
    const end = svg.indexOf(">") + 1;
    const whole = svg.slice(0, end) + await lettersOf() + svg.slice(end);
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(whole)}`;
    await image.decode();
    return svg;
  } catch (fault) {
    image.replaceWith(make("p", WORDS.failed, { role: "status" }));
    return null;
  }
}
