// On every page: the worker that keeps pages on the phone, the line "3 not sent yet", and forms that are kept without a network.
//
// A form that may be kept here says so: data-kind (and data-project on the page's body), data-replaces with entry ids where it
// corrects, data-reason where a reason is fixed. Its fields are those of the kind, as for the server.

import { makeEntry } from "./entries.js";
import * as outbox from "./outbox.js";
import { count, learn, say, span } from "./said.js";

const CLOCK_OFF = 30 * 60_000;
const ANSWER_IN = 2_500;
const SHEET_OLD = 60_000;

// ---- The worker

async function register() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
    const { active } = await navigator.serviceWorker.ready;
    const verbs = Array.from(document.querySelectorAll("nav.verbs a, header a.today"), (link) => link.href);
    if (active && verbs.length) active.postMessage({ remember: [location.href, ...new Set(verbs)] });
  } catch {
    // Without it pages need the network; what is kept still waits on the phone.
  }
}

// ---- The line in the head of the page

function showStatus(found) {
  const place = document.querySelector("[data-unsent]");
  if (!place) return;
  const parts = [];
  if (found.waiting - found.refused > 0) parts.push(count("not_sent", found.waiting - found.refused));
  if (found.refused > 0) parts.push(count("not_taken", found.refused));
  const words = parts.join(", ");
  const link = place.querySelector("a") || place.appendChild(Object.assign(document.createElement("a"), { href: "/bench/waiting" }));
  if (link.textContent !== words) link.textContent = words;
  place.hidden = !words;
  showClock(found.clock_ahead_ms);
}

function showClock(ahead) {
  const there = document.getElementById("clock-off");
  if (Math.abs(ahead) < CLOCK_OFF) {
    if (there) there.remove();
    return;
  }
  if (there) return;
  const words = say(ahead > 0 ? "clock_ahead" : "clock_behind", { span: span(ahead) });
  const line = notice("clock-off", words);
  const project = document.body.dataset.project;
  if (!project) return;
  const link = document.createElement("a");
  link.textContent = say("clock_note");
  outbox.device().then((device) => {
    link.href = `/p/${project}/write/clock_note?preset_device=${device}`;
    line.append(" ", link);
  });
}

/** A line at the head of the page's own part; a second one of the same name takes the place of the first. */
function notice(name, words, { alert = false } = {}) {
  let line = document.getElementById(name);
  if (!line) {
    line = document.createElement("p");
    line.id = name;
    line.className = alert ? "error" : "back";
    line.setAttribute("role", alert ? "alert" : "status");
    const heading = document.querySelector("#main h1");
    if (heading) heading.after(line);
    else document.body.prepend(line);
  }
  const inner = document.createElement("span");
  inner.textContent = words;
  line.replaceChildren(inner);
  return line;
}

// ---- Whether the server can be reached

async function reached() {
  if (navigator.onLine === false) return false;
  const giveUp = new AbortController();
  const timer = setTimeout(() => giveUp.abort(), ANSWER_IN);
  try {
    const answer = await fetch("/ready", { signal: giveUp.signal, cache: "no-store" });
    return answer.ok && answer.headers.has("Loamwright-Version");
  } catch {
    return false;
  } finally {
    clearTimeout(timer);
  }
}

// ---- Forms

const letGo = new WeakSet(); // forms that go to the server now

async function onSubmit(event) {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post" || letGo.has(form) || "native" in form.dataset) return;
  event.preventDefault();
  const button = event.submitter;
  if (form.dataset.asking) return; // a second tap while the first is being looked at
  form.dataset.asking = "yes";
  try {
    if (await reached()) {
      letGo.add(form);
      form.requestSubmit(button || undefined);
      setTimeout(() => letGo.delete(form), 0);
    } else {
      await keepForm(form, button);
    }
  } finally {
    delete form.dataset.asking;
  }
}

function rawOf(form, button) {
  const raw = {};
  const take = (name, value) => {
    if (typeof value !== "string") return;
    const own = name.startsWith("preset_") ? name.slice("preset_".length) : name;
    (raw[own] ??= []).push(value);
  };
  for (const [name, value] of new FormData(form)) take(name, value);
  if (button && button.name) take(button.name, button.value);
  return raw;
}

async function keepForm(form, button) {
  const { kind: name, replaces = "", reason = "" } = form.dataset;
  if (!name) return refuse(form, say("needs_network"));
  const sheet = await outbox.sheets.get(document.body.dataset.project);
  const kind = sheet && sheet.kinds[name];
  if (!kind) return refuse(form, say("needs_sheet"));
  if (kind.asked === false) {
    const told = kind.fields.some((each) => each.kind === "told");
    return refuse(form, say(told ? "told_needs_network" : "needs_network"));
  }
  const { parseFields } = await import("./fields.js");
  const raw = rawOf(form, button);
  const { body, faults } = parseFields(kind.fields, raw, sheet.units);
  const wrong = Object.entries(faults);
  if (wrong.length) return showFaults(form, sheet, wrong);
  const entry = makeEntry({
    kind: name,
    schema: kind.schema || 1,
    body,
    project: kind.bench ? sheet.bench : document.body.dataset.project,
    by: await outbox.person(),
    device: await outbox.device(),
    replaces: replaces.split(" ").filter(Boolean),
    reason: replaces ? (raw.reason || [reason || "typing slip"])[0] : "",
    id: (raw.entry_id || [""])[0],
  });
  try {
    await outbox.keep(entry);
  } catch (error) {
    return refuse(form, say(error.code || "phone_not_kept", error.values));
  }
  return keptHere(form, kind);
}

function refuse(form, words) {
  notice("not-kept", words, { alert: true }).scrollIntoView({ block: "center" });
}

function faultWords(sheet, fault) {
  // The sheet has the server's own sentences of what can be typed wrong.
  const template = (sheet.sentences || {})[fault.code] || say("not_read", fault.values);
  return template.replace(/\{(\w+)\}/g, (whole, name) => (name in fault.values ? String(fault.values[name]) : whole));
}

function showFaults(form, sheet, wrong) {
  form.querySelectorAll("[data-fault-here]").forEach((old) => old.remove());
  for (const [name, fault] of wrong) {
    const field = form.querySelector(`[name="${CSS.escape(name)}"]`);
    const line = Object.assign(document.createElement("p"), { className: "error", textContent: faultWords(sheet, fault) });
    line.dataset.faultHere = "";
    line.setAttribute("role", "alert");
    const place = field && field.closest(".reading, fieldset");
    if (place) place.after(line);
    else form.prepend(line);
  }
  const first = form.querySelector(`[name="${CSS.escape(wrong[0][0])}"]`);
  if (first) first.focus();
}

function keptHere(form, kind) {
  const old = document.getElementById("not-kept");
  if (old) old.remove();
  form.querySelectorAll("[data-fault-here]").forEach((line) => line.remove());
  form.reset();
  const id = form.querySelector("input[data-entry-id]");
  if (id) id.value = "";
  // bench.js gives the next reading a fresh id and forgets what was typed.
  form.dispatchEvent(new CustomEvent("kept-here", { bubbles: true }));
  notice("kept-here", say("kept_here", { what: kind.label })).scrollIntoView({ block: "center" });
}

// ---- What this page needs on the phone

async function freshSheet() {
  const project = document.body.dataset.project || (await outbox.values.get("sheet_of"));
  if (!project) return;
  const kept = await outbox.sheets.get(project);
  const fetched = (await outbox.values.get(`fetched:${project}`)) || 0;
  const held = (await outbox.records()).some((record) => record.state === "sent");
  if (kept && !held && Math.abs(Date.now() - fetched) < SHEET_OLD && !document.querySelector("[data-kept]")) return;
  if (await outbox.sheets.fetch(project)) await outbox.values.set(`fetched:${project}`, Date.now());
}

function showSeen() {
  const seen = document.querySelector("meta[name=loamwright-seen]");
  if (!seen) return;
  const when = new Date(seen.content).toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" });
  notice("seen-before", say("seen_before", { when }));
}

// ---- Photos

async function onPhoto(event) {
  const form = event.target;
  if (!("photo" in form.dataset) || !self.crypto.subtle || !("indexedDB" in self)) return; // then the server makes it small
  event.preventDefault();
  const data = new FormData(form);
  const file = data.get("file");
  if (!file || !file.size || form.dataset.asking) return;
  form.dataset.asking = "yes";
  try {
    const { keepPhoto } = await import("./photos.js");
    const project = document.body.dataset.project;
    const id = await keepPhoto({ file, of: data.get("of"), note: data.get("note") || "", project, id: data.get("entry_id") });
    keptHere(form, { label: say("photo") });
    const { left } = await outbox.send();
    if (!left) location.assign(`${location.pathname}?kept=${id}`);
  } catch (error) {
    refuse(form, say(error.code || "phone_not_kept", error.values));
  } finally {
    delete form.dataset.asking;
  }
}

async function start() {
  document.addEventListener("submit", onPhoto);
  document.addEventListener("submit", onSubmit);
  showSeen();
  register();
  if (!("indexedDB" in self)) return;
  outbox.onChange(showStatus);
  const sheet = await outbox.sheets.get(document.body.dataset.project);
  if (sheet) learn(sheet.said);
  showStatus(await outbox.status());
  const { by } = document.body.dataset;
  if (by !== undefined && !document.querySelector("meta[name=loamwright-seen]")) await outbox.hearPerson(by);
  outbox.startSending();
  let was = (await outbox.status()).waiting;
  outbox.onChange((found) => {
    if (found.waiting < was) freshSheet(); // what was sent can leave the phone
    was = found.waiting;
  });
  await freshSheet();
}

start().catch(() => {
  // A browser that keeps nothing still shows pages and sends forms.
});
