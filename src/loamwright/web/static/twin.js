// The bench kernels on the phone: the twin of loamwright.engine.bench, for weighing, pressing and breaking without a network.
// Same names (in camelCase), same checks in the same order, same order of operations, so the same floats to the last digits.
// One object of named values goes in, in kg, mm, MPa, kN, kg/m³, °C, minutes, shares 0 to 1. InputError and notes carry the
// codes, and the names of values, of the Python side. What each kernel means stands there; docs/reference/twin.md tells how
// the two are held together.

import { InputError, strip } from "./numbers.js";

export { InputError };

// ---- Checks

// A thing that is no number at all (a field left out) fails like one that is out of range.
const isNumber = (value) => typeof value === "number";

function checkPositive(named) {
  for (const [quantity, value] of Object.entries(named)) {
    if (!(isNumber(value) && value > 0)) {
      throw new InputError("not_positive", { quantity, value });
    }
  }
}

function checkNotNegative(named) {
  for (const [quantity, value] of Object.entries(named)) {
    if (!(isNumber(value) && value >= 0)) {
      throw new InputError("negative", { quantity, value });
    }
  }
}

function checkBetween(least, most, named) {
  for (const [quantity, value] of Object.entries(named)) {
    if (!(isNumber(value) && value >= least && value <= most)) {
      throw new InputError("out_of_range", { quantity, value, least, most });
    }
  }
}

// Where Python refuses because a number ran out of room, so does the phone: nothing is computed on with "endless".

function squared(value) {
  const found = value * value;
  if (found === Infinity && value !== Infinity) {
    throw new RangeError(`${value} is too large to square`);
  }
  return found;
}

function whole(value) {
  if (value === Infinity) {
    throw new RangeError(`${value} is no whole number`);
  }
  return Math.trunc(value);
}

/** A sum rounded once, whatever the order: partial sums that do not overlap (Shewchuk 1997). */
function exactSum(values) {
  const partials = [];
  for (const value of values) {
    let sum = value;
    let kept = 0;
    for (const partial of partials) {
      const [large, small] = Math.abs(sum) < Math.abs(partial) ? [partial, sum] : [sum, partial];
      const high = large + small;
      const low = small - (high - large);
      if (low) {
        partials[kept] = low;
        kept += 1;
      }
      sum = high;
    }
    partials.length = kept;
    partials.push(sum);
  }
  return partials.reduceRight((total, partial) => total + partial, 0);
}

function mean(values) {
  return exactSum(values) / values.length;
}

/** Standard deviation of a sample (n - 1), from the first value, so that equal values spread by exactly nothing. */
function sampleDeviation(values) {
  const apart = values.map((value) => value - values[0]);
  const middle = mean(apart);
  const squares = apart.map((each) => (each - middle) * (each - middle));
  return Math.sqrt(exactSum(squares) / (values.length - 1));
}

// ---- moisture

export const LARGEST_WATER_CONTENT = 1;
export const LARGEST_TARGET_WATER_CONTENT = 0.5;
export const STEP_SLACK = 1e-6;

export function waterContent({ wetMass, dryMass, tareMass = 0 }) {
  checkNotNegative({ tare_mass: tareMass });
  if (!(dryMass > tareMass)) {
    throw new InputError("dry_not_above_tare", { dry_mass: dryMass, tare_mass: tareMass });
  }
  if (!(wetMass >= dryMass)) {
    throw new InputError("wet_below_dry", { wet_mass: wetMass, dry_mass: dryMass });
  }
  return (wetMass - dryMass) / (dryMass - tareMass);
}

export function dryMass({ moistMass, waterContent }) {
  checkPositive({ moist_mass: moistMass });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return moistMass / (1 + waterContent);
}

export function moistMass({ dryMass, waterContent }) {
  checkPositive({ dry_mass: dryMass });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return dryMass * (1 + waterContent);
}

function checkBatch(totalDryMass, drySoilMass, soilWaterContent) {
  checkPositive({ total_dry_mass: totalDryMass, dry_soil_mass: drySoilMass });
  checkBetween(0, LARGEST_WATER_CONTENT, { soil_water_content: soilWaterContent });
  if (!(drySoilMass <= totalDryMass * (1 + STEP_SLACK))) {
    throw new InputError("soil_above_total", { dry_soil_mass: drySoilMass, total_dry_mass: totalDryMass });
  }
}

export function waterToAdd({ totalDryMass, targetWaterContent, drySoilMass, soilWaterContent }) {
  checkBatch(totalDryMass, drySoilMass, soilWaterContent);
  checkBetween(0, LARGEST_TARGET_WATER_CONTENT, { target_water_content: targetWaterContent });
  return targetWaterContent * totalDryMass - soilWaterContent * drySoilMass;
}

export function mixWaterContent({ waterMass, totalDryMass, drySoilMass, soilWaterContent }) {
  checkNotNegative({ water_mass: waterMass });
  checkBatch(totalDryMass, drySoilMass, soilWaterContent);
  return (waterMass + soilWaterContent * drySoilMass) / totalDryMass;
}

export function waterOrder({ totalDryMass, targetWaterContent, drySoilMass, soilWaterContent }) {
  const mass = waterToAdd({ totalDryMass, targetWaterContent, drySoilMass, soilWaterContent });
  const held = soilWaterContent * drySoilMass;
  const values = { surplus: -mass, mix_water_content: held / totalDryMass, target_water_content: targetWaterContent };
  const notes = mass < 0 ? [{ code: "soil_holds_more_than_wanted", values }] : [];
  return { waterMass: mass, wanted: targetWaterContent * totalDryMass, held, notes };
}

export function waterVolumeToStart({ dryMixVolume, waterPerMixVolume }) {
  checkPositive({ dry_mix_volume: dryMixVolume });
  checkBetween(0, LARGEST_TARGET_WATER_CONTENT, { water_per_mix_volume: waterPerMixVolume });
  return dryMixVolume * waterPerMixVolume;
}

export function constantMass({ weighings, scaleStep }) {
  const count = weighings.length;
  if (count < 2) {
    throw new InputError("too_few", { quantity: "weighings", count, least: 2 });
  }
  checkPositive({ scale_step: scaleStep });
  weighings.forEach((mass, place) => checkPositive({ [`weighings[${place}]`]: mass }));
  const change = weighings[count - 1] - weighings[count - 2];
  const allowed = scaleStep * (1 + STEP_SLACK);
  const notes = change > allowed ? [{ code: "mass_rose", values: { change, scale_step: scaleStep } }] : [];
  return { constant: Math.abs(change) <= allowed, change, notes };
}

// ---- dose

export const BASES = Object.freeze(["of_total_dry_mix", "of_dry_soil", "by_volume_one_to_n"]);
export const LARGEST_OF_TOTAL = 0.5;
export const LARGEST_PER_DRY_SOIL = 1;
export const LEAST_SOIL_VOLUMES = 2;
export const MOST_SOIL_VOLUMES = 100;

/** A dose: one number with one basis, checked when made. */
export class Dose {
  constructor({ value, basis }) {
    if (basis === "of_total_dry_mix") {
      checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: value });
    } else if (basis === "of_dry_soil") {
      checkBetween(0, LARGEST_PER_DRY_SOIL, { stabiliser_per_dry_soil: value });
    } else if (basis === "by_volume_one_to_n") {
      checkBetween(LEAST_SOIL_VOLUMES, MOST_SOIL_VOLUMES, { soil_volumes_per_stabiliser: value });
    } else {
      throw new InputError("unknown_basis", { basis, known: BASES.join(", ") });
    }
    this.value = value;
    this.basis = basis;
    Object.freeze(this);
  }
}

export function ofTotalFromDrySoil({ stabiliserPerDrySoil }) {
  checkBetween(0, LARGEST_PER_DRY_SOIL, { stabiliser_per_dry_soil: stabiliserPerDrySoil });
  return stabiliserPerDrySoil / (1 + stabiliserPerDrySoil);
}

export function perDrySoilFromOfTotal({ stabiliserOfTotal }) {
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: stabiliserOfTotal });
  return stabiliserOfTotal / (1 - stabiliserOfTotal);
}

export function ofTotalFromVolumes({ soilVolumesPerStabiliser, stabiliserLooseDensity, soilLooseDensity }) {
  checkBetween(LEAST_SOIL_VOLUMES, MOST_SOIL_VOLUMES, { soil_volumes_per_stabiliser: soilVolumesPerStabiliser });
  checkPositive({ stabiliser_loose_density: stabiliserLooseDensity, soil_loose_density: soilLooseDensity });
  return stabiliserLooseDensity / (stabiliserLooseDensity + soilVolumesPerStabiliser * soilLooseDensity);
}

export function volumesFromOfTotal({ stabiliserOfTotal, stabiliserLooseDensity, soilLooseDensity }) {
  checkPositive({
    stabiliser_of_total: stabiliserOfTotal,
    stabiliser_loose_density: stabiliserLooseDensity,
    soil_loose_density: soilLooseDensity,
  });
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: stabiliserOfTotal });
  return (stabiliserLooseDensity * (1 - stabiliserOfTotal)) / (soilLooseDensity * stabiliserOfTotal);
}

export function stabiliserMass({ drySoilMass, stabiliserOfTotal }) {
  checkPositive({ dry_soil_mass: drySoilMass });
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: stabiliserOfTotal });
  return (drySoilMass * stabiliserOfTotal) / (1 - stabiliserOfTotal);
}

export function totalDryMass({ drySoilMass, stabiliserOfTotal }) {
  checkPositive({ dry_soil_mass: drySoilMass });
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: stabiliserOfTotal });
  return drySoilMass / (1 - stabiliserOfTotal);
}

export function drySoilMass({ totalDryMass, stabiliserOfTotal }) {
  checkPositive({ total_dry_mass: totalDryMass });
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: stabiliserOfTotal });
  return totalDryMass * (1 - stabiliserOfTotal);
}

export function stabiliserOfTotal({ stabiliserMass, drySoilMass }) {
  checkNotNegative({ stabiliser_mass: stabiliserMass });
  checkPositive({ dry_soil_mass: drySoilMass });
  return stabiliserMass / (drySoilMass + stabiliserMass);
}

export function ofTotal({ dose, stabiliserLooseDensity = null, soilLooseDensity = null }) {
  const { value, basis } = dose instanceof Dose ? dose : new Dose(dose);
  if (basis === "of_total_dry_mix") {
    return value;
  }
  if (basis === "of_dry_soil") {
    return ofTotalFromDrySoil({ stabiliserPerDrySoil: value });
  }
  if (stabiliserLooseDensity === null || soilLooseDensity === null) {
    const given = { stabiliser_loose_density: stabiliserLooseDensity, soil_loose_density: soilLooseDensity };
    throw new InputError("densities_needed", given);
  }
  return ofTotalFromVolumes({ soilVolumesPerStabiliser: value, stabiliserLooseDensity, soilLooseDensity });
}

function everyConvention(share, stabiliserLooseDensity, soilLooseDensity) {
  const perDrySoil = share / (1 - share);
  if (stabiliserLooseDensity === null || soilLooseDensity === null || share === 0) {
    return { ofTotalDryMix: share, ofDrySoil: perDrySoil, oneToN: null };
  }
  checkPositive({ stabiliser_loose_density: stabiliserLooseDensity, soil_loose_density: soilLooseDensity });
  return { ofTotalDryMix: share, ofDrySoil: perDrySoil, oneToN: stabiliserLooseDensity / (soilLooseDensity * perDrySoil) };
}

export function inEveryConvention({ dose, stabiliserLooseDensity = null, soilLooseDensity = null }) {
  const share = ofTotal({ dose, stabiliserLooseDensity, soilLooseDensity });
  return everyConvention(share, stabiliserLooseDensity, soilLooseDensity);
}

export function achievedDose({ stabiliserMass, drySoilMass, stabiliserLooseDensity = null, soilLooseDensity = null }) {
  const share = stabiliserOfTotal({ stabiliserMass, drySoilMass });
  return everyConvention(share, stabiliserLooseDensity, soilLooseDensity);
}

// ---- weigh_out

export const COUNTS_AS_THE_MIX = 0.05;

/** A mass as this scale can show it; whole steps are taken of the step as it is written, so that 57 × 0.01 is 0.57. */
export function toScaleStep({ mass, scaleStep }) {
  checkPositive({ scale_step: scaleStep });
  const steps = Math.floor(mass / scaleStep + 0.5);
  if (!Number.isFinite(steps)) {
    throw new RangeError(`${mass} in steps of ${scaleStep} is no number of steps`);
  }
  const [digits, power = "0"] = String(scaleStep).split("e");
  const [whole, part = ""] = digits.split(".");
  return Number(`${BigInt(steps) * BigInt(whole + part)}e${Number(power) - part.length}`);
}

function coarse(stabiliserMass, scaleStep) {
  const share = stabiliserMass * COUNTS_AS_THE_MIX;
  if (share > 0 && share < scaleStep) {
    return [{ code: "scale_too_coarse", values: { scale_step: scaleStep, stabiliser_mass: stabiliserMass } }];
  }
  return [];
}

export function targetsFromMoistSoil({
  moistSoilMass,
  soilWaterContent,
  stabiliserOfTotal,
  targetWaterContent,
  soilScaleStep,
  scaleStep,
}) {
  const drySoil = dryMass({ moistMass: moistSoilMass, waterContent: soilWaterContent });
  const stabiliser = stabiliserMass({ drySoilMass: drySoil, stabiliserOfTotal });
  const total = drySoil + stabiliser;
  const water = waterOrder({ totalDryMass: total, targetWaterContent, drySoilMass: drySoil, soilWaterContent });
  return {
    moistSoilMass,
    moistSoilOrder: toScaleStep({ mass: moistSoilMass, scaleStep: soilScaleStep }),
    drySoilMass: drySoil,
    stabiliserMass: stabiliser,
    stabiliserOrder: toScaleStep({ mass: stabiliser, scaleStep }),
    totalDryMass: total,
    waterMass: water.waterMass,
    waterOrder: water.notes.length ? null : toScaleStep({ mass: water.waterMass, scaleStep }),
    notes: [...water.notes, ...coarse(stabiliser, scaleStep)],
  };
}

export function targetsFromDrySoil({ drySoilMass, soilWaterContent, ...rest }) {
  const moistSoilMass = moistMass({ dryMass: drySoilMass, waterContent: soilWaterContent });
  return targetsFromMoistSoil({ moistSoilMass, soilWaterContent, ...rest });
}

export function doseMiss({ stabiliserMass: weighed, drySoilMass, stabiliserOfTotal: wanted, scaleStep }) {
  checkPositive({ scale_step: scaleStep });
  const achieved = stabiliserOfTotal({ stabiliserMass: weighed, drySoilMass });
  const wantedMass = stabiliserMass({ drySoilMass, stabiliserOfTotal: wanted });
  const excess = weighed - wantedMass;
  const relative = wanted > 0 ? (achieved - wanted) / wanted : null;
  const slack = 1 + STEP_SLACK;
  let kind = "its_own_mix";
  if (Math.abs(excess) <= scaleStep * slack) {
    kind = "as_near_as_the_scale";
  } else if (relative !== null && Math.abs(relative) <= COUNTS_AS_THE_MIX * slack) {
    kind = "counts_as_the_mix";
  }
  return { kind, excessMass: excess, achievedOfTotal: achieved, relative, notes: coarse(wantedMass, scaleStep) };
}

export function drySoilToAdd({ stabiliserMass, drySoilMass, stabiliserOfTotal: wanted }) {
  checkPositive({ stabiliser_mass: stabiliserMass, dry_soil_mass: drySoilMass, stabiliser_of_total: wanted });
  checkBetween(0, LARGEST_OF_TOTAL, { stabiliser_of_total: wanted });
  const toAdd = (stabiliserMass * (1 - wanted)) / wanted - drySoilMass;
  if (toAdd < -STEP_SLACK * drySoilMass) {
    const achieved = stabiliserOfTotal({ stabiliserMass, drySoilMass });
    throw new InputError("not_overdosed", { achieved_of_total: achieved, stabiliser_of_total: wanted });
  }
  return toAdd;
}

export function overdoseRemedy({ stabiliserMass, drySoilMass, stabiliserOfTotal, soilWaterContent }) {
  checkBetween(0, LARGEST_WATER_CONTENT, { soil_water_content: soilWaterContent });
  const toAdd = drySoilToAdd({ stabiliserMass, drySoilMass, stabiliserOfTotal });
  const newSoil = drySoilMass + toAdd;
  return {
    drySoilMass: toAdd,
    moistSoilMass: toAdd * (1 + soilWaterContent),
    newDrySoilMass: newSoil,
    newTotalDryMass: newSoil + stabiliserMass,
  };
}

/** `parts` is a list of {source, parts, pailDryMass, waterContent}. */
export function splitByParts({ dryMass, parts }) {
  checkPositive({ dry_mass: dryMass });
  if (!parts.length) {
    throw new InputError("too_few", { quantity: "parts", count: 0, least: 1 });
  }
  const names = parts.map((part) => part.source);
  if (new Set(names).size !== names.length) {
    throw new InputError("same_source_twice", { sources: names.join(", ") });
  }
  for (const part of parts) {
    checkPositive({ parts: part.parts, pail_dry_mass: part.pailDryMass });
    checkBetween(0, LARGEST_WATER_CONTENT, { water_content: part.waterContent });
  }
  const oneSet = exactSum(parts.map((part) => part.parts * part.pailDryMass));
  return parts.map((part) => {
    const share = (part.parts * part.pailDryMass) / oneSet;
    const mass = dryMass * share;
    return {
      source: part.source,
      share,
      dryMass: mass,
      moistMass: mass * (1 + part.waterContent),
      pails: mass / part.pailDryMass,
    };
  });
}

// ---- density

export const USUAL_WEIGHINGS = 3;
export const LEAST_LOOSE_DENSITY = 50;
export const MOST_LOOSE_DENSITY = 3000;

export function bulkDensity({ moistMass, volume }) {
  checkPositive({ moist_mass: moistMass, volume });
  return moistMass / volume;
}

export function pailDryMass({ filledMass, tareMass, waterContent }) {
  checkNotNegative({ tare_mass: tareMass });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  if (!(filledMass > tareMass)) {
    throw new InputError("filled_not_above_tare", { filled_mass: filledMass, tare_mass: tareMass });
  }
  return (filledMass - tareMass) / (1 + waterContent);
}

export function looseDryDensity({ filledMass, tareMass, pailVolume, waterContent }) {
  checkPositive({ pail_volume: pailVolume });
  const density = pailDryMass({ filledMass, tareMass, waterContent }) / pailVolume;
  checkBetween(LEAST_LOOSE_DENSITY, MOST_LOOSE_DENSITY, { loose_dry_density: density });
  return density;
}

export function struckPails({ filledMasses, tareMass, waterContent, pailVolume = null }) {
  if (!filledMasses.length) {
    throw new InputError("too_few", { quantity: "filled_masses", count: 0, least: 1 });
  }
  const dry = filledMasses.map((filledMass) => pailDryMass({ filledMass, tareMass, waterContent }));
  const count = dry.length;
  const spread = count > 1 ? sampleDeviation(dry) : null;
  const filledMass = mean(filledMasses);
  let density = null;
  let densitySd = null;
  if (pailVolume !== null) {
    density = looseDryDensity({ filledMass, tareMass, pailVolume, waterContent });
    densitySd = spread === null ? null : spread / pailVolume;
  }
  return {
    count,
    moistMass: filledMass - tareMass,
    dryMass: mean(dry),
    dryMassSd: spread,
    looseDryDensity: density,
    looseDryDensitySd: densitySd,
    notes: count < USUAL_WEIGHINGS ? [{ code: "fewer_than_three_weighings", values: { count } }] : [],
  };
}

// ---- pressing

export function cylinderArea({ bore, cylinders = 1, rodDiameter = 0 }) {
  checkPositive({ bore, cylinders });
  checkNotNegative({ rod_diameter: rodDiameter });
  if (cylinders !== whole(cylinders)) {
    throw new InputError("not_whole", { quantity: "cylinders", value: cylinders });
  }
  if (!(rodDiameter < bore)) {
    throw new InputError("rod_not_below_bore", { rod_diameter: rodDiameter, bore });
  }
  return ((cylinders * Math.PI) / 4) * (squared(bore) - squared(rodDiameter));
}

export function pressForce({ gaugePressure, bore, cylinders = 1, rodDiameter = 0 }) {
  checkNotNegative({ gauge_pressure: gaugePressure });
  return (gaugePressure * cylinderArea({ bore, cylinders, rodDiameter })) / 1000;
}

export function soilPressure({ force, mouldLength, mouldWidth }) {
  checkNotNegative({ force });
  checkPositive({ mould_length: mouldLength, mould_width: mouldWidth });
  return (1000 * force) / (mouldLength * mouldWidth);
}

export function soilPressureFromGauge({ gaugePressure, bore, mouldLength, mouldWidth, cylinders = 1, rodDiameter = 0 }) {
  const force = pressForce({ gaugePressure, bore, cylinders, rodDiameter });
  return soilPressure({ force, mouldLength, mouldWidth });
}

export function gaugeForSoilPressure({ soilPressure, bore, mouldLength, mouldWidth, cylinders = 1, rodDiameter = 0 }) {
  checkNotNegative({ soil_pressure: soilPressure });
  checkPositive({ mould_length: mouldLength, mould_width: mouldWidth });
  const area = cylinderArea({ bore, cylinders, rodDiameter });
  return (soilPressure * mouldLength * mouldWidth) / area;
}

export function blockVolume({ blockLength, blockWidth, blockHeight }) {
  checkPositive({ block_length: blockLength, block_width: blockWidth, block_height: blockHeight });
  return (blockLength * blockWidth * blockHeight) / 1e9;
}

export function fillMass({ dryDensity, blockVolume, waterContent }) {
  checkPositive({ dry_density: dryDensity, block_volume: blockVolume });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return dryDensity * blockVolume * (1 + waterContent);
}

export function greenDensity({ greenMass, blockVolume }) {
  checkPositive({ green_mass: greenMass, block_volume: blockVolume });
  return greenMass / blockVolume;
}

export function greenDryDensity({ greenMass, blockVolume, waterContent }) {
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return greenDensity({ greenMass, blockVolume }) / (1 + waterContent);
}

export function looseHeight({ fillMass, looseMoistDensity, mouldLength, mouldWidth }) {
  checkPositive({
    fill_mass: fillMass,
    loose_moist_density: looseMoistDensity,
    mould_length: mouldLength,
    mould_width: mouldWidth,
  });
  return (1e9 * fillMass) / (looseMoistDensity * mouldLength * mouldWidth);
}

export function compressionRatio({ looseHeight, blockHeight }) {
  checkPositive({ loose_height: looseHeight, block_height: blockHeight });
  if (!(looseHeight >= blockHeight)) {
    throw new InputError("loose_below_pressed", { loose_height: looseHeight, block_height: blockHeight });
  }
  return looseHeight / blockHeight;
}

// ---- hold

export const HOLD_LIMIT_MINUTES = 60;
export const HOT_HOLD_LIMIT_MINUTES = 30;
export const HOT_AIR_TEMPERATURE = 30;
export const LEAST_AIR_TEMPERATURE = -40;
export const MOST_AIR_TEMPERATURE = 60;

const MOMENT = /^\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d(?:\.\d{1,6})?)?(?<offset>Z|[-+]\d\d:\d\d)?$/;

/** Milliseconds of a moment: a Date, or a text such as "2026-05-01T14:15:00+02:00" that says its offset. */
function milliseconds(quantity, moment) {
  if (moment instanceof Date && !Number.isNaN(moment.getTime())) {
    return moment.getTime();
  }
  const found = MOMENT.exec(moment);
  const time = Date.parse(moment);
  if (!found || Number.isNaN(time)) {
    throw new RangeError(`${quantity}: ${moment} is no moment`);
  }
  if (!found.groups.offset) {
    throw new InputError("no_offset", { quantity, value: moment });
  }
  return time;
}

/** Moments are a Date or a text with its offset; the phone's clock counts in milliseconds. */
export function minutesHeld({ stabiliserIn, at }) {
  const start = milliseconds("stabiliser_in", stabiliserIn);
  const end = milliseconds("at", at);
  if (end < start) {
    const said = (moment) => (moment instanceof Date ? moment.toISOString() : moment);
    throw new InputError("before_start", { stabiliser_in: said(stabiliserIn), at: said(at) });
  }
  return (end - start) / 1000 / 60;
}

export function holdLimitMinutes({ airTemperature }) {
  checkBetween(LEAST_AIR_TEMPERATURE, MOST_AIR_TEMPERATURE, { air_temperature: airTemperature });
  return airTemperature > HOT_AIR_TEMPERATURE ? HOT_HOLD_LIMIT_MINUTES : HOLD_LIMIT_MINUTES;
}

export function minutesLeft({ minutesHeld, holdLimitMinutes }) {
  checkNotNegative({ minutes_held: minutesHeld });
  checkPositive({ hold_limit_minutes: holdLimitMinutes });
  return holdLimitMinutes - minutesHeld;
}

export function hold({ stabiliserIn, at, airTemperature = null }) {
  const held = minutesHeld({ stabiliserIn, at });
  const limit = airTemperature === null ? HOLD_LIMIT_MINUTES : holdLimitMinutes({ airTemperature });
  const left = minutesLeft({ minutesHeld: held, holdLimitMinutes: limit });
  const notes = [];
  if (left < 0) {
    notes.push({ code: "hold_over", values: { minutes_over: -left, hold_limit_minutes: limit } });
  }
  if (airTemperature === null) {
    notes.push({ code: "air_temperature_not_given", values: { hold_limit_minutes: limit } });
  }
  return { minutesHeld: held, limitMinutes: limit, minutesLeft: left, notes };
}

// ---- marks

export const LONGEST_MARK = 5;
export const SHORTEST_MARK = 2;
export const LAST_COUNTER = 9999;

export function checkDigit({ digits }) {
  if (!/^[0-9]+$/.test(digits)) {
    throw new InputError("not_digits", { value: digits });
  }
  let product = 10;
  for (const digit of digits) {
    product = (2 * ((product + Number(digit)) % 10 || 10)) % 11;
  }
  return String((11 - product) % 10);
}

export function makeMark({ counter }) {
  checkBetween(1, LAST_COUNTER, { counter });
  const digits = String(Math.trunc(counter));
  return digits + checkDigit({ digits });
}

function faultOfMark(read) {
  if (!read) {
    return "empty";
  }
  if (!/^[0-9]+$/.test(read)) {
    return "not_digits";
  }
  if (read.length < SHORTEST_MARK) {
    return "too_short";
  }
  if (read.length > LONGEST_MARK) {
    return "too_long";
  }
  if (read.startsWith("0")) {
    return "leading_zero";
  }
  return checkDigit({ digits: read.slice(0, -1) }) === read.slice(-1) ? null : "wrong_digit";
}

export function checkMark({ text }) {
  const read = strip(text);
  const fault = faultOfMark(read);
  return { text: read, counter: fault === null ? Number(read.slice(0, -1)) : null, fault };
}

// ---- phases

export const STANDARD_GRAVITY = 9.80665;
export const WATER_DENSITY = 1000;
export const LEAST_SPECIFIC_GRAVITY = 1.5;
export const MOST_SPECIFIC_GRAVITY = 6;

export function dryDensity({ bulkDensity, waterContent }) {
  checkPositive({ bulk_density: bulkDensity });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return bulkDensity / (1 + waterContent);
}

export function dryUnitWeight({ moistUnitWeight, waterContent }) {
  checkPositive({ moist_unit_weight: moistUnitWeight });
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  return moistUnitWeight / (1 + waterContent);
}

export function unitWeight({ density }) {
  checkPositive({ density });
  return (density * STANDARD_GRAVITY) / 1000;
}

export function densityFromUnitWeight({ unitWeight }) {
  checkPositive({ unit_weight: unitWeight });
  return (1000 * unitWeight) / STANDARD_GRAVITY;
}

export function voidRatio({ dryDensity, specificGravity }) {
  checkPositive({ dry_density: dryDensity });
  checkBetween(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, { specific_gravity: specificGravity });
  const solidsDensity = WATER_DENSITY * specificGravity;
  if (!(dryDensity < solidsDensity)) {
    throw new InputError("denser_than_solids", { dry_density: dryDensity, solids_density: solidsDensity });
  }
  return solidsDensity / dryDensity - 1;
}

export function porosity({ voidRatio }) {
  checkNotNegative({ void_ratio: voidRatio });
  return voidRatio / (1 + voidRatio);
}

export function saturation({ waterContent, specificGravity, voidRatio }) {
  checkBetween(0, LARGEST_WATER_CONTENT, { water_content: waterContent });
  checkBetween(LEAST_SPECIFIC_GRAVITY, MOST_SPECIFIC_GRAVITY, { specific_gravity: specificGravity });
  checkPositive({ void_ratio: voidRatio });
  return (waterContent * specificGravity) / voidRatio;
}

export function phases({ bulkDensity, waterContent, specificGravity }) {
  const density = dryDensity({ bulkDensity, waterContent });
  const ratio = voidRatio({ dryDensity: density, specificGravity });
  const filled = saturation({ waterContent, specificGravity, voidRatio: ratio });
  return {
    dryDensity: density,
    voidRatio: ratio,
    porosity: porosity({ voidRatio: ratio }),
    saturation: filled,
    notes: filled > 1 ? [{ code: "saturation_above_one", values: { saturation: filled } }] : [],
  };
}

export function phaseVolumes({ volume, voidRatio, saturation }) {
  checkPositive({ volume });
  checkNotNegative({ void_ratio: voidRatio });
  checkBetween(0, 1, { saturation });
  const solids = volume / (1 + voidRatio);
  const voids = solids * voidRatio;
  return { solids, water: voids * saturation, air: voids * (1 - saturation) };
}

// ---- strength

export const UNCALIBRATED_JACK_FACTOR = 0.9;
export const LEAST_JACK_FACTOR = 0.3;
export const MOST_JACK_FACTOR = 1.2;
export const RIG_MARGIN = 2;
export const LEAST_BENDING_RATIO = 0.1;
export const MOST_BENDING_RATIO = 0.4;

export function compressiveStrength({ force, blockLength, blockWidth }) {
  checkNotNegative({ force });
  checkPositive({ block_length: blockLength, block_width: blockWidth });
  return (1000 * force) / (blockLength * blockWidth);
}

export function loadToCrush({ compressiveStrength, blockLength, blockWidth }) {
  checkNotNegative({ compressive_strength: compressiveStrength });
  checkPositive({ block_length: blockLength, block_width: blockWidth });
  return (compressiveStrength * blockLength * blockWidth) / 1000;
}

export function jackForce({ gaugePressure, ramArea, jackFactor }) {
  checkNotNegative({ gauge_pressure: gaugePressure });
  checkPositive({ ram_area: ramArea });
  checkBetween(LEAST_JACK_FACTOR, MOST_JACK_FACTOR, { jack_factor: jackFactor });
  return (gaugePressure * ramArea * jackFactor) / 1000;
}

export function jackReading({ gaugePressure, ramArea, jackFactor = null }) {
  const factor = jackFactor === null ? UNCALIBRATED_JACK_FACTOR : jackFactor;
  const notes = jackFactor === null ? [{ code: "jack_not_calibrated", values: { jack_factor: factor } }] : [];
  return { force: jackForce({ gaugePressure, ramArea, jackFactor: factor }), jackFactor: factor, notes };
}

export function meanOfHalves({ firstHalf, secondHalf }) {
  checkNotNegative({ first_half: firstHalf, second_half: secondHalf });
  return (firstHalf + secondHalf) / 2;
}

export function bendingToCrushing({ bendingStrength, compressiveStrength }) {
  checkNotNegative({ bending_strength: bendingStrength });
  checkPositive({ compressive_strength: compressiveStrength });
  return bendingStrength / compressiveStrength;
}

export function ratioCheck({ bendingStrength, compressiveStrength }) {
  const ratio = bendingToCrushing({ bendingStrength, compressiveStrength });
  if (ratio >= LEAST_BENDING_RATIO && ratio <= MOST_BENDING_RATIO) {
    return { ratio, notes: [] };
  }
  const values = { ratio, least: LEAST_BENDING_RATIO, most: MOST_BENDING_RATIO };
  return { ratio, notes: [{ code: "bending_ratio_unusual", values }] };
}

export function rigCheck({ rigCapacity, loadAtBrief, rigMargin = RIG_MARGIN }) {
  checkPositive({ rig_capacity: rigCapacity, load_at_brief: loadAtBrief });
  checkBetween(1, 10, { rig_margin: rigMargin });
  const needed = rigMargin * loadAtBrief;
  const enough = rigCapacity >= needed;
  const code = rigCapacity < loadAtBrief ? "rig_too_weak" : "rig_near_its_limit";
  const notes = enough ? [] : [{ code, values: { rig_capacity: rigCapacity, load_needed: needed } }];
  return { loadAtBrief, loadNeeded: needed, enough, notes };
}

export function heightToThickness({ blockHeight, thickness }) {
  checkPositive({ block_height: blockHeight, thickness });
  return blockHeight / thickness;
}

// ---- bending

export const LEAST_SPAN_TO_THICKNESS = 3;

export function bendingStrength({ force, span, blockWidth, thickness }) {
  checkNotNegative({ force });
  checkPositive({ span, block_width: blockWidth, thickness });
  return (3 * 1000 * force * span) / (2 * blockWidth * squared(thickness));
}

export function loadToBend({ bendingStrength, span, blockWidth, thickness }) {
  checkNotNegative({ bending_strength: bendingStrength });
  checkPositive({ span, block_width: blockWidth, thickness });
  return (2 * bendingStrength * blockWidth * squared(thickness)) / (3 * span) / 1000;
}

export function bendingNotes({ span, thickness }) {
  checkPositive({ span, thickness });
  const ratio = span / thickness;
  if (ratio >= LEAST_SPAN_TO_THICKNESS) {
    return [];
  }
  return [{ code: "beam_is_stubby", values: { span_to_thickness: ratio, least: LEAST_SPAN_TO_THICKNESS } }];
}

export function ownWeightLoad({ blockMass, blockLength, span }) {
  checkPositive({ block_mass: blockMass, block_length: blockLength, span });
  return (STANDARD_GRAVITY / 1000) * blockMass * (1 - blockLength / (2 * span));
}

export function leverForce({ hungMass, loadArm, blockArm, leverMass, leverCentre }) {
  checkNotNegative({ hung_mass: hungMass, lever_mass: leverMass, lever_centre: leverCentre });
  checkPositive({ load_arm: loadArm, block_arm: blockArm });
  const lifted = (hungMass * loadArm) / blockArm + (leverMass * leverCentre) / blockArm;
  return (STANDARD_GRAVITY / 1000) * lifted;
}

export function massToHang({ force, loadArm, blockArm, leverMass, leverCentre }) {
  checkNotNegative({ force, lever_mass: leverMass, lever_centre: leverCentre });
  checkPositive({ load_arm: loadArm, block_arm: blockArm });
  return (((1000 * force) / STANDARD_GRAVITY - (leverMass * leverCentre) / blockArm) * blockArm) / loadArm;
}
