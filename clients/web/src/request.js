/**
 * @typedef {import("./api").ScalingDocument} ScalingDocument
 * @typedef {import("./api").Target} Target
 * @typedef {import("./api").UnitSystem} UnitSystem
 * @typedef {import("./api").WayOut} WayOut
 * @typedef {import("./setup_chooser.js").ChosenSetup} ChosenSetup
 * @typedef {{recipe_id: string} | {recipe: unknown}} ChosenRecipe
 */

/**
 * Write down what is asked for.
 *
 * @param {ChosenSetup} setup
 * @param {ChosenRecipe} recipe
 * @param {Target} target
 * @param {UnitSystem} units
 * @returns {ScalingDocument}
 */
export function scalingOf(setup, recipe, target, units) {
  return { ...setup, ...recipe, target, preferences: { weigh_in: units === "metric" ? "metric" : "us" } };
}

/**
 * Ask for a way out as a scaling of its own.
 *
 * @param {ScalingDocument} asked What the way leads out of.
 * @param {WayOut} way
 * @returns {ScalingDocument | null} Null for a way that changes how the setup is used: written
 *   out, a setup has no sessions to be calibrated from, and the plan would be another one.
 */
export function scalingOfWay(asked, way) {
  if (way.setup) return null;
  const { volume, volume_at, gravity } = way.plan.asked;
  const { recipe_id, recipe, ...rest } = asked;
  const own = recipe_id ? { recipe_id } : { recipe };
  const changed = way.recipe ? { recipe: withoutFindings(way.recipe) } : own;
  return { ...rest, ...changed, target: { volume, volume_at, gravity } };
}

/**
 * The service tells in `assumed` what it filled in, but is not told so.
 *
 * @param {unknown} answered
 * @returns {unknown}
 */
function withoutFindings(answered) {
  if (Array.isArray(answered)) return answered.map(withoutFindings);
  if (typeof answered !== "object" || answered === null) return answered;
  const kept = Object.entries(answered).filter(([name]) => name !== "assumed");
  return Object.fromEntries(kept.map(([name, value]) => [name, withoutFindings(value)]));
}
