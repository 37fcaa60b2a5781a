// Entries made on the phone: the same envelope as the notebook's (notebook/entry.py), with ids that sort as they were made.

let lastTime = 0;
let lastCount = 0;

function timed(now) {
  // Two ids of one millisecond, or of a clock set back, still sort as they were made: the count goes on.
  if (now > lastTime) {
    lastTime = now;
    lastCount = crypto.getRandomValues(new Uint16Array(1))[0] & 0x07ff;
  } else if (now < lastTime - 60_000) {
    lastTime = now; // the clock was put right
    lastCount = 0;
  } else if (lastCount === 0x0fff) {
    lastTime += 1;
    lastCount = 0;
  } else {
    lastCount += 1;
  }
  return [lastTime, lastCount];
}

/** A fresh UUID version 7 (RFC 9562), lower case. */
export function newId(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const [time, count] = timed(now);
  for (let i = 0; i < 6; i += 1) bytes[i] = Math.floor(time / 256 ** (5 - i)) % 256;
  bytes[6] = 0x70 | (count >> 8);
  bytes[7] = count & 0xff;
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** Whether a text is such an id. */
export function isId(text) {
  return /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(text);
}

/**
 * One entry, ready for `outbox.keep`.
 *
 * `project` is the project's id, or the bench's (sheet.bench) for people, pails, presses and rigs; `now` a Date; an empty
 * body with `replaces` withdraws what it replaces.
 */
export function makeEntry({
  kind,
  schema = 1,
  body,
  project,
  by = "",
  device,
  replaces = [],
  reason = "",
  id = "",
  now = new Date(),
}) {
  return {
    id: id || newId(now.getTime()),
    project,
    kind,
    schema,
    at: now.toISOString(),
    offset: -now.getTimezoneOffset(),
    by,
    device,
    body,
    replaces: [...new Set(replaces)].sort(),
    reason,
  };
}
