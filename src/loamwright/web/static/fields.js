// From typed texts to a body: the twin of loamwright.notebook.fields.parse over the field lists of the bench sheet.
// The same texts give the same body here and on the server, so an entry made without a network is the entry made with one.

import { InputError, parseNumber, strip, unit, unitsInUse, unitsOf, words } from "./numbers.js";

export { InputError };

const CONTAINER = "container:";
const DATE = /^([0-9]{4})-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$/;
const CLOCK = /^T([01]\p{Nd}|2[0-3]):[0-5]\p{Nd}$/u;
const ROW = /^([0-9]{1,4})-/;

/**
 * A body of all that could be read, and a fault for each field that could not.
 *
 * `fields` is a list of the sheet, `raw` is {name: [texts]}: a quantity's unit stands under "<name>_unit", a row's field under
 * "<name>-<i>-<field>". `units` is the sheet's table; without it the one given to `useUnits`.
 * Gives {body, faults}, faults being {name: InputError}.
 */
export function parseFields(fields, raw, units = unitsInUse()) {
  const body = {};
  const faults = {};
  for (const field of fields) {
    let value;
    try {
      value = PARSERS[field.kind](field, raw, units);
    } catch (fault) {
      if (!(fault instanceof InputError)) {
        throw fault;
      }
      faults[field.name] = fault;
      continue;
    }
    if (value !== null) {
      body[field.name] = value;
    } else if (field.required) {
      faults[field.name] = new InputError("missing_field", { field: field.name, label: field.label });
    }
  }
  return { body, faults };
}

/** The typed texts of a form as `parseFields` takes them: {name: [texts]}, files left out. */
export function rawOf(formData) {
  const raw = {};
  for (const [name, value] of formData) {
    if (typeof value === "string") {
      (raw[name] ??= []).push(value);
    }
  }
  return raw;
}

function textsOf(raw, name) {
  return Object.hasOwn(raw, name) ? raw[name] : [];
}

function first(raw, name) {
  return strip(textsOf(raw, name)[0] ?? "");
}

function fault(code, field, values) {
  return new InputError(code, { field: field.name, label: field.label, ...values });
}

function parseText(field, raw) {
  return first(raw, field.name) || null;
}

function parseChoice(field, raw) {
  const typed = first(raw, field.name);
  if (typed && !Object.hasOwn(field.options, typed)) {
    throw fault("unknown_choice", field, { typed, allowed: Object.keys(field.options).join(", ") });
  }
  return typed || null;
}

function parsePlainNumber(field, raw) {
  const typed = first(raw, field.name);
  return typed ? { typed, number: parseNumber(typed) } : null;
}

function parseWhole(field, raw) {
  const typed = first(raw, field.name);
  if (!typed) {
    return null;
  }
  const value = parseNumber(typed);
  if (value !== Math.trunc(value) || Math.abs(value) > 1e9) {
    throw fault("not_whole", field, { typed });
  }
  return value + 0; // no whole number is "minus zero"
}

function unitKey(field, raw, units) {
  const key = first(raw, `${field.name}_unit`);
  if (key.startsWith(CONTAINER) && field.quantity === "volume") {
    return key;
  }
  const allowed = unitsOf(field.quantity, units).join(", ");
  if (!key) {
    throw fault("unit_missing", field, { allowed });
  }
  if (unit(key, units).quantity !== field.quantity) {
    throw fault("unit_of_other_quantity", field, { unit: key, allowed });
  }
  return key;
}

/** The number text and unit key of "6.4 lb" typed into one field; the given key where no unit was typed. */
export function splitUnit(typed, key, quantity, units = unitsInUse()) {
  const stripped = strip(typed);
  const names = unitsOf(quantity, units).flatMap((own) => [
    [own, own],
    [units[own].label, own],
  ]);
  names.sort(([one], [other]) => other.length - one.length);
  for (const [name, own] of names) {
    if (!stripped.endsWith(name) || stripped === name) {
      continue;
    }
    const before = stripped.slice(0, -name.length);
    if (!/\p{L}$/u.test(before)) {
      return [strip(before), own];
    }
  }
  return [stripped, key];
}

function amount(field, text, raw, units) {
  const [typed, own] = splitUnit(text, "", field.quantity, units);
  if (!typed) {
    return null;
  }
  const number = parseNumber(typed);
  return { typed, number, unit: own || unitKey(field, raw, units) };
}

function parseQuantity(field, raw, units) {
  return amount(field, first(raw, field.name), raw, units);
}

function parseQuantities(field, raw, units) {
  const texts = textsOf(raw, field.name).flatMap((value) => value.split(";")).filter((part) => strip(part));
  return texts.length ? texts.map((part) => amount(field, part, raw, units)) : null;
}

function parseFlag(field, raw) {
  const typed = first(raw, field.name).toLowerCase();
  if (!["", "yes", "no", "on", "true", "false"].includes(typed)) {
    throw fault("unknown_choice", field, { typed, allowed: "yes, no" });
  }
  return typed ? ["yes", "on", "true"].includes(typed) : null;
}

function isDay(text) {
  const found = DATE.exec(text);
  if (!found) {
    return false;
  }
  const [year, month, day] = found.slice(1).map(Number);
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1];
  return year >= 1 && day <= days;
}

function parseDate(field, raw) {
  const typed = first(raw, field.name);
  if (typed && !isDay(typed)) {
    throw fault("not_a_date", field, { typed });
  }
  return typed || null;
}

function parseMoment(field, raw) {
  const typed = first(raw, field.name);
  if (typed && !(isDay(typed.slice(0, 10)) && CLOCK.test(typed.slice(10)))) {
    throw fault("not_a_moment", field, { typed });
  }
  return typed || null;
}

function parseRef(field, raw) {
  return first(raw, field.name) || null;
}

function parseRefs(field, raw) {
  const found = textsOf(raw, field.name).flatMap((value) => words(value.replaceAll(",", " ")));
  return found.length ? found : null;
}

function innerOf(raw, atRow) {
  const keys = Object.keys(raw).filter((key) => key.startsWith(atRow));
  return Object.fromEntries(keys.map((key) => [key.slice(atRow.length), raw[key]]));
}

function parseRows(field, raw, units) {
  const prefix = `${field.name}-`;
  const starts = Object.keys(raw).filter((key) => key.startsWith(prefix));
  const matches = starts.map((key) => ROW.exec(key.slice(prefix.length))).filter(Boolean);
  const numbers = [...new Set(matches.map((match) => Number(match[1])))].sort((one, other) => one - other);
  const found = [];
  const unitsAbove = {}; // a unit stands once at the head of a table and holds down to the next
  for (const index of numbers) {
    const own = innerOf(raw, `${prefix}${index}-`);
    Object.assign(unitsAbove, Object.fromEntries(Object.entries(own).filter(([key]) => key.endsWith("_unit") && first(own, key))));
    const inner = { ...unitsAbove, ...own };
    const asked = field.rows.filter((each) => each.kind !== "ref" && each.kind !== "refs");
    if (!asked.some((each) => first(inner, each.name))) {
      continue;
    }
    const { body, faults } = parseFields(field.rows, inner, units);
    for (const [name, wrong] of Object.entries(faults)) {
      throw new InputError(wrong.code, { ...wrong.values, row: index + 1, field: name });
    }
    found.push(body);
  }
  return found.length ? found : null;
}

const PARSERS = {
  text: parseText,
  choice: parseChoice,
  number: parsePlainNumber,
  whole: parseWhole,
  quantity: parseQuantity,
  quantities: parseQuantities,
  flag: parseFlag,
  date: parseDate,
  moment: parseMoment,
  ref: parseRef,
  refs: parseRefs,
  rows: parseRows,
  told: () => null, // figures shown to a person are written by the program, never typed
};
