// What is kept on this phone until the server has it: entries, pictures, the last bench sheet, who is at the bench.
//
// An entry is kept when `keep` resolves: it is on the disk of the phone then. It goes out in portions, one sender at a time
// over all open pages; the server takes the same entry any number of times and keeps it once, so a lost answer costs nothing.
// An entry leaves the phone only when a newer bench sheet names it as there.
//
// record = {order, id, entry, blobs: [sha256], state: "waiting" | "sent" | "refused", code, words}

import { newId } from "./entries.js";

const NAME = "loamwright";
const PORTION = 100;
const PORTION_BYTES = 4_000_000; // of pictures in one portion
const FIRST_PAUSE = 5_000;
const LONGEST_PAUSE = 300_000;
const PATIENCE = 45_000;
const COME_AGAIN = new Set([408, 425, 429, 502, 503, 504, 507]); // the whole portion can only wait

export class OutboxError extends Error {
  constructor(code, values = {}) {
    super(code);
    this.name = "OutboxError";
    this.code = code;
    this.values = values;
  }
}

// ---- The store of the phone

let opening = null;

function open() {
  opening ??= new Promise((resolve, reject) => {
    const asking = indexedDB.open(NAME, 1);
    asking.onupgradeneeded = () => {
      const entries = asking.result.createObjectStore("entries", { keyPath: "order", autoIncrement: true });
      entries.createIndex("id", "id", { unique: true });
      entries.createIndex("state", "state");
      asking.result.createObjectStore("blobs", { keyPath: "sha256" });
      asking.result.createObjectStore("values");
    };
    asking.onsuccess = () => {
      const base = asking.result;
      const forget = () => {
        base.close();
        opening = null;
      };
      base.onversionchange = forget;
      base.onclose = forget;
      resolve(base);
    };
    asking.onerror = () => {
      opening = null;
      reject(fault(asking.error));
    };
  });
  return opening;
}

function fault(error) {
  if (error instanceof OutboxError) return error;
  const full = error && error.name === "QuotaExceededError";
  return new OutboxError(full ? "phone_full" : "phone_not_kept", { reason: error ? `${error.name}: ${error.message}` : "" });
}

/** Runs `work(tx)` in one transaction; resolves with what it gives when all of it is on the disk, else nothing is. */
async function within(stores, mode, work) {
  const base = await open();
  return new Promise((resolve, reject) => {
    const tx = base.transaction(stores, mode, { durability: mode === "readwrite" ? "strict" : "default" });
    let found;
    let failed = null;
    tx.oncomplete = () => resolve(found);
    tx.onerror = (event) => {
      failed ??= event.target.error;
    };
    tx.onabort = () => reject(fault(failed || tx.error));
    Promise.resolve(work(tx)).then(
      (result) => {
        found = result;
      },
      (error) => {
        failed ??= error;
        try {
          tx.abort();
        } catch {
          reject(fault(error)); // it had ended already
        }
      },
    );
  });
}

function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Small things a page remembers on this phone, such as the batch that is being worked on. */
export const values = {
  get: (key) => within(["values"], "readonly", (tx) => asked(tx.objectStore("values").get(key))),
  set: (key, value) => within(["values"], "readwrite", (tx) => asked(tx.objectStore("values").put(value, key))),
};

// ---- Who and what this is

let ownId = null;

/** The id of this phone, made once. */
export function device() {
  ownId ??= within(["values"], "readwrite", async (tx) => {
    const kept = await asked(tx.objectStore("values").get("device"));
    if (kept) return kept;
    const made = newId();
    await asked(tx.objectStore("values").put(made, "device"));
    return made;
  }).catch((error) => {
    ownId = null;
    throw error;
  });
  return ownId;
}

/** Who is at the bench on this phone; an empty text while nobody said. */
export async function person() {
  return (await values.get("person")) || "";
}

/** Says who is at the bench; the server's pages are told at once, or as soon as there is a network. */
export async function setPerson(name) {
  await values.set("person", name);
  await values.set("person_told", false);
  changed();
  tellPerson();
}

/** What the server's page of now says of who is at the bench: taken unless the phone knows better, who then tells the server. */
export async function hearPerson(name) {
  const here = await person();
  const newer = (await values.get("person_told")) === false;
  if (here && (newer || !name)) return tellPerson();
  if (name && name !== here) {
    await values.set("person", name);
    changed();
  }
  return undefined;
}

async function tellPerson() {
  try {
    const answer = await posted("/bench/who", JSON.stringify({ name: await person() }));
    if (answer.ok) await values.set("person_told", true);
  } catch {
    // told when there is a network again
  }
}

// ---- Keeping

/** Keeps an entry (and pictures: a list of {sha256, data: Blob}) on the phone; rejects with code "phone_full" where there is no room. */
export async function keep(entry, { blobs = [] } = {}) {
  const pictures = await Promise.all(blobs.map(async (each) => ({ sha256: each.sha256, data: await each.data.arrayBuffer() })));
  const record = {
    id: entry.id,
    entry: JSON.parse(JSON.stringify(entry)),
    blobs: pictures.map((each) => each.sha256),
    state: "waiting",
    code: "",
    words: "",
  };
  await within(["entries", "blobs"], "readwrite", async (tx) => {
    const entries = tx.objectStore("entries");
    const there = await asked(entries.index("id").get(entry.id));
    if (there && same(there.entry, record.entry)) return; // a second tap on the same button
    if (there) throw new OutboxError("id_taken", { id: entry.id });
    for (const each of pictures) await asked(tx.objectStore("blobs").put(each));
    await asked(entries.add(record));
  });
  stayHere();
  changed();
  send();
  return entry.id;
}

function same(one, other) {
  const said = (entry) => JSON.stringify([entry.kind, entry.project, entry.body, entry.replaces, entry.reason]);
  return said(one) === said(other);
}

let askedToStay = false;

function stayHere() {
  // Without this the browser may clear what waits when the phone runs short of room.
  if (askedToStay || !navigator.storage || !navigator.storage.persist) return;
  askedToStay = true;
  navigator.storage.persist().catch(() => {});
}

/** Records of everything kept here and not yet named by a bench sheet, in the order it was kept. */
export function records() {
  return within(["entries"], "readonly", (tx) => asked(tx.objectStore("entries").getAll()));
}

/** The entries of `records()`. */
export async function all() {
  return (await records()).map((record) => record.entry);
}

/** How many entries are not at the server yet, refused ones included. */
export function waiting() {
  return within(["entries"], "readonly", async (tx) => {
    const states = tx.objectStore("entries").index("state");
    return (await asked(states.count("waiting"))) + (await asked(states.count("refused")));
  });
}

/** The picture of a photo entry that is still on the phone, as a Blob, or null. */
export async function picture(sha256) {
  const kept = await within(["blobs"], "readonly", (tx) => asked(tx.objectStore("blobs").get(sha256)));
  return kept ? new Blob([kept.data], { type: "image/jpeg" }) : null;
}

/** Makes refused entries wait again, after what stood in the way was mended. */
export async function tryRefusedAgain() {
  await within(["entries"], "readwrite", async (tx) => {
    const entries = tx.objectStore("entries");
    for (const record of await asked(entries.index("state").getAll("refused"))) {
      await asked(entries.put({ ...record, state: "waiting", code: "", words: "" }));
    }
  });
  changed();
  return send();
}

// ---- Telling pages that something changed

const listeners = new Set();
const channel = "BroadcastChannel" in self ? new BroadcastChannel("loamwright-outbox") : null;
const last = { sending: false, problem: "", clock_ahead_ms: 0, said_at: 0 };

if (channel) channel.onmessage = () => tellHere();

async function tellHere() {
  if (!listeners.size) return;
  const found = await status();
  for (const listener of listeners) listener(found);
}

function changed() {
  if (channel) channel.postMessage("changed");
  tellHere().catch(() => {});
}

/** {waiting, refused, sending, problem, clock_ahead_ms}; problem is "" or "no_network", "server_full", "server_trouble", "not_allowed". */
export async function status() {
  const [waits, refused, clock] = await Promise.all([
    waiting(),
    within(["entries"], "readonly", (tx) => asked(tx.objectStore("entries").index("state").count("refused"))),
    values.get("clock_ahead_ms"),
  ]);
  return { waiting: waits, refused, sending: last.sending, problem: last.problem, clock_ahead_ms: clock || 0 };
}

/** Calls `listener(status)` whenever something was kept, sent or refused, on this page or another; gives back how to stop. */
export function onChange(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

// ---- Sending

let running = null;
let again = false;

/** Sends what waits, one sender at a time; resolves with {left, problem} when nothing more can be sent now. */
export function send() {
  again = true;
  running ??= run();
  return running;
}

async function run() {
  try {
    let result = { left: 0, problem: "" };
    while (again) {
      again = false;
      result = await alone(sendAll).catch((error) => ({ left: 1, problem: error.code || "phone_not_kept" }));
    }
    last.problem = result.problem;
    plan(result);
    return result;
  } finally {
    running = null; // in the same step as the last look at `again`: nothing that comes now is missed
    changed();
  }
}

function alone(work) {
  return navigator.locks ? navigator.locks.request("loamwright-send", work) : work();
}

async function sendAll() {
  if (!(await portion(1, 0)).length) return { left: 0, problem: "" };
  last.sending = true;
  changed();
  let size = PORTION;
  let after = 0; // past an entry that the server cannot take by itself: the others still go
  let problem = "";
  try {
    for (;;) {
      const batch = await portion(size, after);
      if (!batch.length) break;
      const answer = await push(batch);
      if (answer.taken) {
        if (!(await settle(batch, answer.taken))) after = batch[batch.length - 1].order;
        size = PORTION;
        changed();
        continue;
      }
      problem = answer.problem;
      if (answer.stop) break;
      if (batch.length > 1) {
        size = Math.ceil(batch.length / 2);
      } else {
        if (answer.tooLarge) await settle(batch, { refused: [{ id: batch[0].id, code: "too_large", words: "" }] });
        after = batch[0].order;
        size = PORTION;
      }
    }
  } finally {
    last.sending = false;
  }
  const left = await waitingOnly();
  return { left, problem: left ? problem : "" };
}

function waitingOnly() {
  return within(["entries"], "readonly", (tx) => asked(tx.objectStore("entries").index("state").count("waiting")));
}

/** The next records to send with their pictures, oldest first. */
function portion(size, after) {
  return within(["entries", "blobs"], "readonly", async (tx) => {
    const found = [];
    let bytes = 0;
    const keys = await asked(tx.objectStore("entries").index("state").getAllKeys("waiting"));
    for (const order of keys.sort((a, b) => a - b).filter((key) => key > after).slice(0, size)) {
      const record = await asked(tx.objectStore("entries").get(order));
      record.pictures = [];
      for (const mark of record.blobs) {
        const kept = await asked(tx.objectStore("blobs").get(mark));
        if (kept) record.pictures.push(kept);
      }
      bytes += record.pictures.reduce((sum, each) => sum + each.data.byteLength, 0);
      if (found.length && bytes > PORTION_BYTES) break;
      found.push(record);
    }
    return found;
  });
}

async function posted(address, body) {
  const giveUp = new AbortController();
  const timer = setTimeout(() => giveUp.abort(), PATIENCE);
  try {
    const headers = { "Content-Type": "application/json" };
    const answer = await fetch(address, { method: "POST", headers, body, signal: giveUp.signal, cache: "no-store" });
    return { ok: answer.ok, status: answer.status, text: await answer.text() };
  } finally {
    clearTimeout(timer);
  }
}

async function push(batch) {
  const pictures = new Map(batch.flatMap((record) => record.pictures.map((each) => [each.sha256, each.data])));
  const blobs = Array.from(pictures, ([sha256, data]) => ({ sha256, data: base64(data) }));
  const entries = batch.map((record) => record.entry);
  const body = JSON.stringify({ device: await device(), now: new Date().toISOString(), entries, blobs });
  let answer;
  try {
    answer = await posted("/bench/push", body);
  } catch {
    return { problem: "no_network", stop: true };
  }
  if (answer.ok) {
    try {
      const taken = JSON.parse(answer.text);
      await values.set("clock_ahead_ms", taken.clock_ahead_ms || 0).catch(() => {}); // a full phone still sends
      return { taken };
    } catch {
      return { problem: "no_network", stop: true }; // not our server: a login page of a network, say
    }
  }
  if (answer.status === 413) return { problem: "server_trouble", tooLarge: true };
  if (COME_AGAIN.has(answer.status)) return { problem: answer.status === 507 ? "server_full" : "no_network", stop: true };
  if (answer.status < 500) return { problem: "not_allowed", stop: true };
  return { problem: "server_trouble" };
}

/** Writes down what the server said of a portion; whether it said anything of it. */
async function settle(batch, taken) {
  const there = new Set([...(taken.kept || []), ...(taken.had || []), ...(taken.aside || [])]);
  const refused = new Map((taken.refused || []).map((each) => [each.id, each]));
  const mark = (full) =>
    within(["entries", "blobs"], "readwrite", async (tx) => {
      const entries = tx.objectStore("entries");
      let said = false;
      for (const { order, id, blobs } of batch) {
        const record = await asked(entries.get(order));
        const no = refused.get(id);
        if (!record || !(there.has(id) || no)) continue;
        said = true;
        if (there.has(id) && full) {
          await asked(entries.delete(order));
          for (const each of blobs) await asked(tx.objectStore("blobs").delete(each));
        } else if (there.has(id)) {
          await asked(entries.put({ ...record, state: "sent", code: "", words: "" }));
        } else {
          await asked(entries.put({ ...record, state: "refused", code: no.code, words: no.words || "" }));
        }
      }
      return said;
    });
  try {
    return await mark(false);
  } catch (error) {
    if (error.code !== "phone_full") throw error;
    return mark(true); // no room even for a mark: what the notebook has makes room for what it has not
  }
}

export function base64(data) {
  const bytes = new Uint8Array(data);
  const parts = [];
  for (let i = 0; i < bytes.length; i += 0x8000) parts.push(String.fromCharCode(...bytes.subarray(i, i + 0x8000)));
  return btoa(parts.join(""));
}

let timer = null;
let pause = FIRST_PAUSE;
let started = false;

function plan(result) {
  if (!started) return;
  clearTimeout(timer);
  timer = null;
  if (!result.left) {
    pause = FIRST_PAUSE;
    return;
  }
  timer = setTimeout(send, pause * (0.75 + Math.random() / 2));
  pause = Math.min(2 * pause, LONGEST_PAUSE);
}

/** Sends now, when the network comes back, when a person comes back to the page, and ever again while something waits. */
export function startSending() {
  if (started) return;
  started = true;
  const soon = () => {
    pause = FIRST_PAUSE;
    send();
  };
  addEventListener("online", soon);
  addEventListener("pageshow", soon);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
  soon();
}

// ---- Bench sheets

async function letGo(tx, has) {
  const entries = tx.objectStore("entries");
  const still = new Set();
  const gone = [];
  for (const record of await asked(entries.getAll())) {
    if (record.state === "sent" && has.has(record.id)) gone.push(record);
    else record.blobs.forEach((mark) => still.add(mark));
  }
  for (const record of gone) {
    await asked(entries.delete(record.order));
    for (const mark of record.blobs) if (!still.has(mark)) await asked(tx.objectStore("blobs").delete(mark));
  }
}

/** The last bench sheet of a project (or of the one looked at last), and keeping a newer one. */
export const sheets = {
  async get(project = "") {
    const wanted = project || (await values.get("sheet_of"));
    return wanted ? ((await values.get(`sheet:${wanted}`)) ?? null) : null;
  },

  /** Keeps a sheet; entries it names as there leave the phone, in the same step. */
  async set(sheet) {
    const has = new Set(sheet.has || []);
    const project = sheet.project.id || sheet.project;
    const put = async (tx) => {
      await asked(tx.objectStore("values").put(sheet, `sheet:${project}`));
      await asked(tx.objectStore("values").put(project, "sheet_of"));
    };
    try {
      await within(["entries", "blobs", "values"], "readwrite", async (tx) => {
        await put(tx);
        await letGo(tx, has);
      });
    } catch (error) {
      if (error.code !== "phone_full") throw error;
      await within(["entries", "blobs"], "readwrite", (tx) => letGo(tx, has)); // makes room first
      await within(["values"], "readwrite", put);
    }
    changed();
  },

  /** Asks the server for a newer sheet of a project and keeps it; null where there is no network. */
  async fetch(project = "") {
    const wanted = project || (await values.get("sheet_of")) || "";
    const have = (await records()).map((record) => record.id);
    let answer;
    try {
      answer = await posted("/bench/sheet", JSON.stringify({ project: wanted, device: await device(), have }));
      if (!answer.ok) return null;
      const sheet = JSON.parse(answer.text);
      await sheets.set(sheet);
      return sheet;
    } catch {
      return null;
    }
  },
};

// ---- A file of what waits, for when no network will come

/** One file of everything not at the server: a head line, one line an entry, one line a picture. */
export async function exportFile() {
  const waits = (await records()).filter((record) => record.state !== "sent");
  const lines = [{ format: "loamwright waiting 1", device: await device(), written: new Date().toISOString() }];
  lines.push(...waits.map((record) => record.entry));
  for (const mark of new Set(waits.flatMap((record) => record.blobs))) {
    const kept = await within(["blobs"], "readonly", (tx) => asked(tx.objectStore("blobs").get(mark)));
    if (kept) lines.push({ blob: mark, data: base64(kept.data) });
  }
  return new Blob(
    lines.map((line) => `${JSON.stringify(line)}\n`),
    { type: "application/x-ndjson" },
  );
}
