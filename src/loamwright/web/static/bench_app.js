// The bench on the phone: screens at addresses without ids, drawn from the last bench sheet and what was kept here since.

import * as outbox from "./outbox.js";
import { countOf, say } from "./bench_said.js";
import { act, acts, caution, due, el, kept, label, link, next } from "./bench_parts.js";
import { form, reading } from "./bench_reading.js";
import { keepEntry, lineOf, look, mayUndo, nextWeighing, undoEntry } from "./bench_world.js";
import { weighScreen } from "./bench_weigh.js";
import { pressScreen } from "./bench_press.js";
import { breakScreen } from "./bench_break.js";
import { askedScreen, settleEntry } from "./bench_asked.js";
import { chartsScreen } from "./bench_charts.js";
import { chooseScreen } from "./bench_choose.js";
import { makeScreen } from "./bench_make.js";
import { planScreen } from "./bench_plan.js";
import { waitingScreen, writeScreen } from "./bench_write.js";

const SCREENS = {
  "/bench": homeScreen,
  "/bench/weigh": weighScreen,
  "/bench/press": pressScreen,
  "/bench/break": breakScreen,
  "/bench/write": writeScreen,
  "/bench/plan": planScreen,
  "/bench/choose": chooseScreen,
  "/bench/make": makeScreen,
  "/bench/asked": askedScreen,
  "/bench/waiting": waitingScreen,
  "/bench/charts": chartsScreen,
};
const AGAIN_AFTER = 4_000;

// ---- Where we are: the screen in the address, what is worked on in the phone's own store

let at = {};

async function remembered() {
  return history.state?.at ?? (await outbox.values.get("bench_at")) ?? {};
}

/** Goes to a screen; `chosen` says what is worked on there, over what was chosen before. */
async function visit(path, chosen = {}) {
  at = { ...at, ...chosen };
  await outbox.values.set("bench_at", at);
  await outbox.values.set("bench_kept", null);
  history.pushState({ at }, "", path);
  await draw({ moved: true });
}

/** Keeps the screen and says anew what is worked on there. */
async function choose(chosen) {
  at = { ...at, ...chosen };
  await outbox.values.set("bench_at", at);
  history.replaceState({ at }, "", location.pathname);
}

// ---- Drawing

let drawing = Promise.resolve();

function draw(how = {}) {
  drawing = drawing.then(() => drawNow(how)).catch(showTrouble);
  return drawing;
}

async function drawNow({ moved = false } = {}) {
  const world = await look();
  const make = SCREENS[location.pathname] || homeScreen;
  const lastKept = world.sheet ? await keptLine(world) : null;
  const screen = world.sheet ? make(bench(world)) : emptyScreen(world);
  const main = document.getElementById("main");
  main.replaceChildren(el("h1", { tabindex: -1 }, screen.title), ...[lastKept, ...screen.nodes.flat(Infinity)].filter(Boolean));
  document.title = `${screen.title}${world.sheet ? ` · ${world.sheet.project.name}` : ""}`;
  showHead(world);
  const sentences = (screen.cautions || []).flatMap((kind) => world.sheet?.cautions[kind] || []);
  document.getElementById("cautions").replaceChildren(...[...new Set(sentences)].map(caution));
  if (!moved) return;
  scrollTo(0, 0);
  main.querySelector("h1").focus({ preventScroll: true });
}

function showTrouble(error) {
  const words = say("trouble", { reason: error && error.message ? error.message : String(error) });
  document.getElementById("main").prepend(el("p", { class: "error", role: "alert" }, el("span", {}, words)));
}

function showHead(world) {
  document.getElementById("project").textContent = world.sheet ? world.sheet.project.name : "";
  document.getElementById("who").textContent = world.person || say("nobody");
  const today = document.getElementById("today");
  today.href = world.sheet ? `/p/${world.sheet.project.id}/today` : "/";
}

/** What every screen is given. */
function bench(world) {
  return {
    world,
    at,
    visit,
    choose,
    draw,
    keep: (kind, body, more) => keepAndDraw(world, kind, body, more),
    undo: (entry) => done(() => undoEntry(world, entry)),
    settle: (version) => done(() => settleEntry(world, version)),
    alert: showAlert,
  };
}

/** Keeps an entry and draws anew; where the phone cannot keep it, says so and leaves what was typed. */
async function keepAndDraw(world, kind, body, { then = null, ...more } = {}) {
  let entry;
  try {
    entry = await keepEntry(world, kind, body, more);
  } catch (error) {
    showAlert(say(error.code || "phone_not_kept", { reason: error.message, ...error.values }));
    return null;
  }
  if (then) await choose(then(entry));
  await draw();
  scrollTo(0, 0);
  return entry;
}

function showAlert(words) {
  document.getElementById("not-kept")?.remove();
  const line = el("p", { class: "error", role: "alert", id: "not-kept" }, el("span", {}, words));
  document.querySelector("#main h1").after(line);
  line.scrollIntoView({ block: "center" });
}

/** Does what appends an entry in place of others, then draws anew. */
async function done(work) {
  try {
    await work();
  } catch (error) {
    showAlert(say(error.code || "phone_not_kept", { reason: error.message, ...error.values }));
    return;
  }
  await draw();
}

async function keptLine(world) {
  const last = await outbox.values.get("bench_kept");
  const record = last && world.records.find((each) => each.id === last.id);
  if (!record) return null;
  const old = last.undone && world.records.find((each) => record.entry.replaces.includes(each.id));
  const what = lineOf(world, old ? old.entry : record.entry);
  const undo = mayUndo(record.entry) ? () => done(() => undoEntry(world, record.entry)) : null;
  return kept(say(last.undone ? "undone" : "kept", { what }), undo);
}

// ---- Home

function homeScreen({ world, visit, draw: again }) {
  if (!world.person || at.asking) return whoScreen({ world, draw: again });
  const { sheet } = world;
  const waits = world.records.filter((record) => record.state !== "sent").length;
  const inHand = world.batches
    .filter((batch) => !batch.fault)
    .map(inHandLine)
    .filter(Boolean);
  inHand.sort((one, other) => one.turn - other.turn);
  const [first, ...others] = inHand;
  const weigh = (kind) => link(kind, say("weigh"), "/bench/weigh", visit, { batch: "", mix: "" });
  return {
    title: say("home"),
    nodes: [
      el("p", { class: "soft" }, say("as_of", { when: sheet.as_of.words })),
      first ? next(label(first.what), link("go", first.go, first.path, visit, first.at)) : next(weigh("go")),
      others.length ? [el("h2", {}, say("in_hand")), due(others, "", visit)] : null,
      acts(
        first ? weigh("act") : null,
        link("act", say("press"), "/bench/press", visit, { batch: "" }),
        link("act", say("break"), "/bench/break", visit, { block: "", task: "" }),
        link("act", say("write"), "/bench/write", visit, { kind: "" }),
        link("act", say("plan"), "/bench/plan", visit, { set: 0 }),
        link("act", say("choose"), "/bench/choose", visit),
        link("act", say("make"), "/bench/make", visit),
        world.questions.length ? link("act", countOf("n_asked", world.questions.length), "/bench/asked", visit) : null,
        Object.keys(sheet.charts || {}).length ? link("act", say("charts"), "/bench/charts", visit) : null,
        link("act", waits ? countOf("n_waiting", waits) : say("waiting"), "/bench/waiting", visit),
        act(say("other_person"), async () => {
          at = { ...at, asking: true };
          await again({ moved: true });
        }),
      ),
      el("h2", {}, say("due")),
      due(
        sheet.due.map(({ what, when }) => ({ what, when })),
        say("nothing_due"),
        visit,
      ),
    ],
  };
}

// A mix that waits loses strength by the minute: the batch furthest on comes first.
const TURNS = ["press", "water", "stabiliser", "soil"];

function inHandLine(batch) {
  const waits = nextWeighing(batch);
  if (!waits && batch.over) return null;
  const step = waits || "press";
  const where = { path: waits ? "/bench/weigh" : "/bench/press", at: { batch: batch.id, mix: "" } };
  return { what: batch.name, when: say(`${step}_next`), go: say(`go_${step}`), turn: TURNS.indexOf(step), ...where };
}

function whoScreen({ world, draw: again }) {
  const { sheet } = world;
  const named = world.own.filter((entry) => entry.kind === "person").map((entry) => entry.body.name);
  const people = [...new Set([...sheet.people, ...named])];
  const is = async (name) => {
    await outbox.setPerson(name);
    at = { ...at, asking: false };
    await again({ moved: true });
  };
  const added = async (raw) => {
    const name = (raw.name || [""])[0].trim();
    if (!name) return;
    if (!people.includes(name)) await keepEntry({ ...world, person: name }, "person", { name });
    await outbox.values.set("bench_kept", null);
    await is(name);
  };
  const field = { ...sheet.kinds.person.fields[0], label: say("somebody"), hint: say("name_hint") };
  return {
    title: say("who"),
    nodes: [
      people.length ? acts(people.map((name) => act(name, () => is(name)))) : null,
      form([reading(field)], say("that_is_me"), added),
    ],
  };
}

function emptyScreen() {
  return { title: say("home"), nodes: [el("p", {}, say(at.notFetched ? "not_fetched" : "no_sheet"))] };
}

// ---- Fresh sheets

let fetching = null;
let fetchedAt = 0;

function fetchSheet(project = "") {
  fetching ??= outbox.sheets.fetch(project).finally(() => {
    fetching = null;
    fetchedAt = Date.now();
  });
  return fetching;
}

/** A newer sheet is drawn only while nobody is in the middle of typing. */
async function refresh() {
  if (navigator.onLine === false || Date.now() - fetchedAt < AGAIN_AFTER) return;
  if ((await fetchSheet()) && !typing()) await draw();
}

function typing() {
  const fields = Array.from(document.querySelectorAll("#main input:not([type=hidden])"));
  return fields.some((field) => field.checked !== field.defaultChecked || field.value !== field.defaultValue);
}

async function sentLeave(status) {
  // What was sent can leave the phone once a sheet names it.
  if (status.sending || status.waiting > status.refused) return;
  const records = await outbox.records();
  if (records.some((record) => record.state === "sent")) await refresh();
}

/** A scale that types like a keyboard is heard although no field was touched. */
function onKey(event) {
  if (event.target !== document.body && event.target.tagName !== "H1" && event.target.id !== "main") return;
  if (event.ctrlKey || event.metaKey || event.altKey || !/^[0-9+.,]$/.test(event.key)) return;
  const field = document.querySelector("#main form input.number");
  if (field) field.focus();
}

function onFocus(event) {
  if (event.target.matches?.("input.number")) event.target.select();
}

async function start() {
  document.addEventListener("keydown", onKey);
  document.addEventListener("focusin", onFocus);
  addEventListener("popstate", async () => {
    at = await remembered();
    await draw({ moved: true });
  });
  at = await remembered();
  const wanted = new URLSearchParams(location.search).get("project");
  if (wanted !== null) {
    const found = await fetchSheet(wanted);
    at = { notFetched: !found };
    history.replaceState({ at }, "", "/bench");
  }
  outbox.onChange((status) => sentLeave(status).catch(() => {}));
  outbox.startSending();
  await draw();
  document.body.dataset.drawn = "yes";
  addEventListener("online", () => refresh().catch(() => {}));
  await refresh();
}

start().catch(showTrouble);
