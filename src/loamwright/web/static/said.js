// Sentences said on the phone itself, for translators: a key, its English, placeholders by name.
// A table of another language comes with the bench sheet (sheet.said) and is put in by `learn`.

const SAID = {
  not_sent_one: "{n} not sent yet",
  not_sent_other: "{n} not sent yet",
  not_taken_one: "{n} not taken",
  not_taken_other: "{n} not taken",
  kept_here: "Kept on this phone, not sent yet: {what}",
  seen_before: "No network. This page is as it was on {when}; what you keep now waits on this phone.",
  needs_network: "This needs the network, and there is none now. What you typed stays here.",
  needs_sheet: "This phone has not been given what it needs to keep this without a network. What you typed stays here.",
  told_needs_network: "The figures for this are worked out by the program, and there is no network. What you typed stays here. The bench on this phone has them as of its last touch.",
  phone_full: "This phone is full: nothing of this was kept. What you typed is still here. Clear some room on the phone, then keep it again.",
  phone_not_kept: "This phone could not keep this ({reason}). What you typed is still here. Write it on paper too.",
  id_taken: "Something else was kept from this page already. Load the page again, then type this again.",
  clock_ahead: "This phone's clock is {span} ahead. Set it right in the settings of the phone, then write down a note “Clock was wrong”.",
  clock_behind: "This phone's clock is {span} behind. Set it right in the settings of the phone, then write down a note “Clock was wrong”.",
  clock_note: "Clock was wrong",
  minutes_one: "{n} minute",
  minutes_other: "{n} minutes",
  hours_one: "{n} hour",
  hours_other: "{n} hours",
  days_one: "{n} day",
  days_other: "{n} days",
  no_network: "No network; tried again by itself.",
  server_full: "The machine that holds the notebook is full. Free some room there.",
  server_trouble: "The machine that holds the notebook could not take this. It is tried again by itself.",
  not_allowed: "The machine that holds the notebook did not take this from here. Open this page at its own address.",
  too_large: "This is too large to be taken. Make it shorter, or the picture smaller.",
  photo_not_read: "This file cannot be read as a picture. Choose a photo.",
  photo: "Photo",
  not_read: "{label} cannot be read. Look at it again.",
};

let learned = {};

/** Takes in a table of another language. */
export function learn(table) {
  learned = table || {};
}

/** A sentence with its values put in. */
export function say(key, values = {}) {
  const template = learned[key] || SAID[key] || key.replaceAll("_", " ");
  return template.replace(/\{(\w+)\}/g, (whole, name) => (name in values ? String(values[name]) : whole));
}

/** A sentence with a count, by the rule of plurals of the page's language. */
export function count(key, n, values = {}) {
  const rule = new Intl.PluralRules(document.documentElement.lang || "en").select(n);
  const found = `${key}_${rule}`;
  return say(found in SAID || found in learned ? found : `${key}_other`, { n, ...values });
}

/** A span of time a person would say. */
export function span(milliseconds) {
  const minutes = Math.round(Math.abs(milliseconds) / 60_000);
  if (minutes < 90) return count("minutes", minutes);
  if (minutes < 23.5 * 60) return count("hours", Math.round(minutes / 60));
  return count("days", Math.round(minutes / 1440));
}
