/**
 * @typedef {import("./api").Quantity} Quantity
 * @typedef {import("./api").Forecast} Forecast
 * @typedef {import("./api").Plan} Plan
 * @typedef {import("./api").PlannedHop} PlannedHop
 * @typedef {import("./api").VesselFit} VesselFit
 * @typedef {import("./api").VolumeAt} VolumeAt
 * @typedef {import("./api").Alternative} Alternative
 */

/** @type {Record<string, number>} Decimals that the reading of an instrument carries. */
const DECIMALS = {
  kg: 2,
  g: 0,
  lb: 2,
  oz: 2,
  L: 1,
  "US gal": 2,
  "imp gal": 2,
  degC: 1,
  degF: 0,
  SG: 3,
  degP: 1,
  EBC: 0,
  SRM: 0,
  IBU: 0,
  min: 0,
};
const SMALL_G = 10;

/** @type {Record<string, string>} */
const WRITTEN = { degC: "°C", degF: "°F", degP: "°P" };

/** @type {Record<VolumeAt, string>} */
export const WHERE = {
  kettle: "in the kettle",
  fermenter: "in the fermenter",
  package: "to package",
  unknown: "as the recipe counts it",
};

/**
 * Write a quantity as a person reads it, `4.53 kg`, `1.062` or `71.2 %`, not to be broken in two.
 *
 * @param {Quantity} quantity
 */
export function amount({ value, unit }) {
  if (unit === "fraction") return `${(100 * value).toFixed(1)}\u00a0%`;
  const decimals = unit === "g" && value < SMALL_G ? 1 : (DECIMALS[unit] ?? 2);
  const number = value.toFixed(decimals);
  return unit === "SG" ? number : `${number}\u00a0${WRITTEN[unit] ?? unit}`;
}

/** @param {Forecast} forecast */
export function ends({ interval_80: { low, high } }, between = " to ") {
  return `${amount(low)}${between}${amount(high)}`;
}

/** @param {PlannedHop} hop */
export function hopMoment(hop) {
  const time = amount(hop.time);
  switch (hop.moment) {
    case "mash":
      return "into the mash";
    case "first_wort":
      return "into the first wort";
    case "boil":
      return `${time} before the end of the boil`;
    case "stand": {
      const at = hop.temperature ? ` at ${amount(hop.temperature)}` : "";
      return `${time} of stand${at} after the boil`;
    }
    case "dry":
      return "dry, into the fermenter";
  }
}

const IN_ORDER = ["mash", "first_wort", "boil", "stand", "dry"];

/**
 * Hop additions in the order of the brew day.
 *
 * @param {PlannedHop[]} hops
 */
export function inOrder(hops) {
  const rank = (/** @type {PlannedHop} */ hop) => IN_ORDER.indexOf(hop.moment);
  return [...hops].sort((a, b) => rank(a) - rank(b) || b.time.value - a.time.value);
}

/** @param {Plan} plan */
export function heading({ asked }) {
  return `${amount(asked.volume)} ${WHERE[asked.volume_at]} at ${amount(asked.gravity)}`;
}

/** @param {Plan} plan */
export function verdict({ fit }) {
  if (!fit.reaches_gravity) {
    const most = fit.ceiling_gravity ? `; one mash gives ${amount(fit.ceiling_gravity)} at most` : "";
    return `Out of reach of one mash${most}.`;
  }
  return fit.fits ? "Fits every vessel." : "Does not fit this setup.";
}

/** @param {Plan} plan */
export function expectation({ forecast }) {
  return (
    `Four brews like this in five start between ${ends(forecast.original_gravity, " and ")}, ` +
    `end between ${ends(forecast.final_gravity, " and ")} and hold ` +
    `${ends(forecast.alcohol_by_volume)} of alcohol by volume.`
  );
}

/**
 * One vessel, as full as it will be.
 *
 * @param {VesselFit} check
 */
export function room(check) {
  // The service's own sentence says more, but says it in litres.
  if (check.needed.unit === "L") return check.detail;
  const left = check.usable.value - check.needed.value;
  const over = amount({ value: Math.abs(left), unit: check.needed.unit });
  return (
    `${amount(check.needed)} needed, ${amount(check.usable)} may be filled: ` +
    `${over} ${left < 0 ? "too much" : "to spare"}`
  );
}

/**
 * What would come of a fixed efficiency.
 *
 * @param {string} whose
 * @param {Alternative} rule
 */
export function byRule(whose, rule) {
  return (
    `By ${whose} ${amount(rule.efficiency)} you would weigh ${amount(rule.grain)} of grain and ` +
    `start near ${amount(rule.original_gravity.mean)} (${ends(rule.original_gravity)}).`
  );
}

/**
 * What is told to someone who cannot see the plan change.
 *
 * @param {Plan} plan
 */
export function summary(plan) {
  return `${heading(plan)}: ${amount(plan.grain)} of grain. ${verdict(plan)}`;
}

/**
 * Read a number as it is typed, with a decimal point or comma.
 *
 * @param {string} text
 * @returns {number | null}
 */
export function numberIn(text) {
  const trimmed = text.trim();
  return /^\d+([.,]\d+)?$/.test(trimmed) ? Number(trimmed.replace(",", ".")) : null;
}

/** @type {Record<string, {step: number, decimals: number}>} */
const MEASURES = {
  L: { step: 0.5, decimals: 1 },
  "US gal": { step: 0.25, decimals: 2 },
  "imp gal": { step: 0.25, decimals: 2 },
};

/**
 * From where to where, and in which steps, a volume may be chosen: up to a fifth more than the
 * kettle holds, so that what does not fit can be seen too.
 *
 * @param {Quantity} asked
 * @param {Quantity} kettle
 */
export function scale(asked, kettle) {
  const { step, decimals } = MEASURES[asked.unit] ?? { step: 0.5, decimals: 1 };
  const most = Math.ceil(Math.max(1.2 * kettle.value, asked.value));
  return { least: 2 * step, most, step, decimals };
}
