// Numbers as people write them, and units: the twin of loamwright.units. The table of units comes from the bench sheet.
// Same texts give the same numbers here and on the server; docs/reference/twin.md says how that is checked.

/** A value that cannot be computed with: `code` and `values` are for programs and carry the names of the Python side. */
export class InputError extends Error {
  constructor(code, values = {}) {
    const told = Object.entries(values).map(([name, value]) => `${name}=${value}`);
    super(`${code}: ${told.join(", ")}`);
    this.name = "InputError";
    this.code = code;
    this.values = values;
  }
}

// What Python takes for white space; a browser's own set has one sign more and five fewer.
const SPACE = "[\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000]";
const ENDS = new RegExp(`^${SPACE}+|${SPACE}+$`, "gu");
const SPACES = new RegExp(`${SPACE}+`, "u");

/** A text without white space at its ends, as Python's `strip`. */
export function strip(text) {
  return text.replace(ENDS, "");
}

/** The words of a text, as Python's `split`. */
export function words(text) {
  return strip(text).split(SPACES).filter(Boolean);
}

const DIGIT = /\p{Nd}/u;
const NUMBER = new RegExp(
  `^(?<sign>[-−+]?)${SPACE}*` +
    `(?:(?<whole>\\p{Nd}+)${SPACE}+(?<top>\\p{Nd}+)${SPACE}*/${SPACE}*(?<under>\\p{Nd}+)` + // 1 1/2
    `|(?<top2>\\p{Nd}+)${SPACE}*/${SPACE}*(?<under2>\\p{Nd}+)` + // 1/2
    "|(?<decimal>\\p{Nd}+(?:[.,]\\p{Nd}*)?|[.,]\\p{Nd}+)(?<power>[eE][-+]?\\p{Nd}+)?)$",
  "u",
);
const VULGAR = /[¼½¾⅐-⅞]/gu;

/** A digit of any script as 0 to 9: digits of a script stand in a row of ten, so its place in the run of digits tells it. */
function plainDigit(digit) {
  const code = digit.codePointAt(0);
  let first = code;
  while (DIGIT.test(String.fromCodePoint(first - 1))) {
    first -= 1;
  }
  return String((code - first) % 10);
}

function plain(digits) {
  return digits.replace(/\p{Nd}/gu, plainDigit);
}

/**
 * A number as a person writes it: fractions, a decimal comma or point, never a thousands separator.
 * Throws InputError "no_number", "not_a_number" or "divided_by_zero".
 */
export function parseNumber(text) {
  const stripped = strip(
    strip(text)
      .replaceAll("٫", ".")
      .replace(VULGAR, (found) => " " + found.normalize("NFKC").replace("⁄", "/")),
  );
  if (!stripped) {
    throw new InputError("no_number");
  }
  const found = NUMBER.exec(stripped)?.groups;
  if (!found) {
    throw new InputError("not_a_number", { typed: text });
  }
  const sign = found.sign === "-" || found.sign === "−" ? -1 : 1;
  if (found.decimal !== undefined) {
    const value = Number(plain(found.decimal.replace(",", ".") + (found.power ?? "")));
    if (!Number.isFinite(value)) {
      throw new InputError("not_a_number", { typed: text });
    }
    return sign * value;
  }
  const under = Number(plain(found.under ?? found.under2));
  if (under === 0) {
    throw new InputError("divided_by_zero", { typed: text });
  }
  const value = Number(plain(found.whole ?? "0")) + Number(plain(found.top ?? found.top2)) / under;
  if (!(Math.max(value, under) < Infinity)) {
    throw new InputError("not_a_number", { typed: text });
  }
  return sign * value;
}

// ---- Units: {key: {label, quantity, factor, offset}}; factor × number + offset is the value in the engine's unit.

let inUse = null;

/** Take a table of units (the sheet's) as the one used where none is given. */
export function useUnits(table) {
  inUse = table;
}

/** The table of units in use. */
export function unitsInUse() {
  if (inUse === null) {
    throw new Error("no table of units: call useUnits(sheet.units) first, or give the table");
  }
  return inUse;
}

/** The unit with this key; InputError "unknown_unit" where there is none. */
export function unit(key, units = unitsInUse()) {
  if (!Object.hasOwn(units, key)) {
    throw new InputError("unknown_unit", { unit: key, known: Object.keys(units).join(", ") });
  }
  return units[key];
}

/** Keys of the units a quantity can be given in, engine unit first. */
export function unitsOf(quantity, units = unitsInUse()) {
  return Object.keys(units).filter((key) => units[key].quantity === quantity);
}

/** The value in the engine's unit. */
export function toEngine(number, unitKey, units = unitsInUse()) {
  const { factor, offset } = unit(unitKey, units);
  return number * factor + offset;
}

/** The number in this unit of a value in the engine's unit. */
export function fromEngine(value, unitKey, units = unitsInUse()) {
  const { factor, offset } = unit(unitKey, units);
  return (value - offset) / factor;
}
