// Small help for pages that work without it. Nothing here is required, nothing is disabled, no input is changed by itself.
"use strict";

// ---- Entry ids: one per form, time-ordered (UUID version 7, RFC 9562), so that a form sent twice is kept once.

function entryId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let time = Date.now();
  for (let i = 5; i >= 0; i -= 1) {
    bytes[i] = time % 256;
    time = Math.floor(time / 256);
  }
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

function idField(form) {
  return form.querySelector("input[data-entry-id]");
}

// ---- Typed text outlives a reload, a lost connection or a closed page of the same tab.

const PREFIX = "loamwright.typed.";

function place(form) {
  const number = Array.from(document.forms).indexOf(form);
  return PREFIX + location.pathname + "#" + (form.id || number);
}

function recall(key) {
  try {
    return JSON.parse(sessionStorage.getItem(key));
  } catch {
    return null;
  }
}

function remember(key, typed) {
  try {
    sessionStorage.setItem(key, JSON.stringify(typed));
  } catch {
    // A browser without room or permission for this still sends the form.
  }
}

function written(form) {
  return Array.from(form.elements).filter(
    (field) => field.name && !["hidden", "password", "file", "submit", "button"].includes(field.type) && field.type !== "fieldset",
  );
}

function values(form) {
  return written(form).map((field) =>
    ["radio", "checkbox"].includes(field.type) ? [field.name, field.checked] : [field.name, field.value],
  );
}

function given(form) {
  // The form as the server gave it. Addresses carry no ids, so this tells batch 7 from batch 8.
  const fields = Array.from(form.elements).filter((field) => field.name && field !== idField(form) && !field.name.startsWith("csrf"));
  return JSON.stringify(
    fields.map((field) => {
      if (["radio", "checkbox"].includes(field.type)) return [field.name, field.defaultChecked, field.value];
      if (field.tagName === "SELECT") return [field.name, Array.from(field.options, (option) => [option.value, option.defaultSelected])];
      return [field.name, field.type === "hidden" ? field.getAttribute("value") : field.defaultValue];
    }),
  );
}

function restore(form, kept) {
  // What the server sent back with an error is newer than what this tab remembers.
  if (kept.given !== given(form) || form.querySelector(".error")) return;
  written(form).forEach((field, i) => {
    const [, value] = kept.values[i];
    if (["radio", "checkbox"].includes(field.type)) field.checked = value;
    else field.value = value;
  });
  const id = idField(form);
  if (id && kept.id) id.value = kept.id;
  const line = document.createElement("p");
  line.className = "back";
  line.setAttribute("role", "status");
  line.textContent = "What was typed here before is back. It is not kept yet.";
  form.prepend(line);
}

function forgetSent() {
  // The line "kept" is shown only after the server has written: then what was sent need not be remembered.
  if (!document.querySelector("[data-kept]")) return;
  try {
    Object.keys(sessionStorage)
      .filter((key) => key.startsWith(PREFIX) && (recall(key) || {}).sent)
      .forEach((key) => sessionStorage.removeItem(key));
  } catch {
    // Nothing was remembered, nothing to forget.
  }
}

function watch(form) {
  const key = place(form);
  const id = idField(form);
  let sent = false;

  const kept = recall(key);
  if (kept) {
    restore(form, kept);
    sent = kept.sent === true && id !== null && id.value === kept.id;
  }
  if (id && !id.value) id.value = entryId();

  const hold = () => remember(key, { given: given(form), values: values(form), id: id && id.value, sent });
  const keep = () => {
    // Changed after sending: this is another reading, so it takes another id.
    if (sent && id) id.value = entryId();
    sent = false;
    hold();
  };
  form.addEventListener("input", keep);
  form.addEventListener("change", keep);
  form.addEventListener("submit", () => {
    sent = true;
    hold();
  });
  form.addEventListener("kept-here", () => {
    // Kept on the phone: nothing typed is left to remember, and the next reading takes another id.
    sent = false;
    if (id) id.value = entryId();
    try {
      sessionStorage.removeItem(key);
    } catch {
      // Nothing was remembered.
    }
  });
}

// ---- Number fields: one thumb, or a keyboard at lunch.

function fieldsOf(box) {
  return Array.from(box.querySelectorAll("input:not([type=hidden]), select, textarea"));
}

function needed(field) {
  return field.getAttribute("aria-required") === "true" && !field.value && field.offsetParent !== null;
}

function onEnter(event) {
  // In a grid or a row of numbers the enter key goes on to the next field, in a form to the next one that is needed and empty:
  // a scale that types ends each weighing with this key. Else it sends, as usual.
  if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
  const box = event.target.closest("[data-enter-next]");
  const fields = fieldsOf(box || event.target.form || document.createElement("form"));
  const after = fields.slice(fields.indexOf(event.target) + 1);
  const next = box ? after[0] : after.find(needed);
  if (!next) return;
  event.preventDefault();
  next.focus();
}

function onArrow(event) {
  if (!["ArrowUp", "ArrowDown"].includes(event.key)) return;
  const cell = event.target.closest("[data-enter-next] td");
  if (!cell || event.target.tagName !== "INPUT") return;
  const row = event.key === "ArrowUp" ? cell.parentElement.previousElementSibling : cell.parentElement.nextElementSibling;
  const input = row && row.children[cell.cellIndex] && row.children[cell.cellIndex].querySelector("input");
  if (!input) return;
  event.preventDefault();
  input.focus();
}

function onFocus(event) {
  // A number is replaced as a whole far more often than mended digit by digit.
  if (event.target.matches("input.number")) event.target.select();
}

function start() {
  forgetSent();
  document.querySelectorAll("form[method=post]:not([data-not-remembered])").forEach(watch);
  document.addEventListener("keydown", onEnter);
  document.addEventListener("keydown", onArrow);
  document.addEventListener("focusin", onFocus);
}

start();
