import { h, table } from "./dom.js";
import * as words from "./words.js";

/**
 * @typedef {import("./api").Plan} Plan
 * @typedef {import("./api").WayOut} WayOut
 * @typedef {import("./api").Quantity} Quantity
 * @typedef {import("./api").Forecast} Forecast
 */

const { amount, ends } = words;

/**
 * Draw a plan, in the order in which it is judged and then brewed.
 *
 * @param {Plan} plan
 * @param {(way: WayOut) => void} show Called with the way out that is to be looked at.
 * @returns {Node[]}
 */
export function drawPlan(plan, show) {
  const well = plan.fit.fits && plan.fit.reaches_gravity;
  return [
    h("p", { class: "verdict", "data-well": String(well) }, words.verdict(plan)),
    ...(plan.ways_out.length ? [waysOut(plan.ways_out, show)] : []),
    h("p", { class: "expectation" }, words.expectation(plan)),
    h("div", { class: "columns" }, weigh(plan), hops(plan), water(plan), forecast(plan)),
    vessels(plan),
    ...doubts(plan),
    ...cautions(plan),
    ...compared(plan),
  ];
}

/**
 * @param {string} title
 * @param {...(Node | string)} inside
 */
function section(title, ...inside) {
  return h("section", {}, h("h4", {}, title), ...inside);
}

/** @param {Plan} plan */
function weigh(plan) {
  const rows = plan.grist.map((line) => [
    line.name,
    number(line.to_weigh),
    `the ${line.added_to}`,
  ]);
  return section(
    "Grist",
    table("What to weigh", ["Malt or sugar", "Weigh", "Goes into"], rows),
    h("p", {}, `${amount(plan.grain)} of grain in the mash.`),
  );
}

/** @param {Plan} plan */
function hops(plan) {
  if (!plan.hop_bill.length) return section("Hops", h("p", {}, "None in this recipe."));
  const rows = words.inOrder(plan.hop_bill).map((hop) => [
    `${hop.name}, ${hop.form}, ${amount(hop.alpha)} alpha acid`,
    number(hop.to_weigh),
    words.hopMoment(hop),
  ]);
  return section("Hops", table("Hops by the time they go in", ["Hop", "Weigh", "When"], rows));
}

/** @param {Plan} plan */
function water({ water: w, temperatures: t }) {
  /** @type {(string | Node)[][]} */
  const rows = [
    ["Strike water", number(w.strike), `at ${amount(t.strike_water)}`],
    ...t.mash.map((rest) => ["Mash", number(rest.temperature), `for ${amount(rest.time)}`]),
    ...w.sparge.map((sparge, index) => [`Sparge ${index + 1}`, number(sparge), ""]),
    ["Before the boil", number(w.preboil), `reads ${amount(w.preboil_hot)} hot`],
    ["Boil", number(t.boil_time), ""],
    ["After the boil", number(w.postboil), `reads ${amount(w.postboil_hot)} hot`],
    ["Into the fermenter", number(w.fermenter), `${amount(w.kettle_loss)} stay behind`],
    ["To package", number(w.packaged), `${amount(w.fermenter_loss)} stay behind`],
  ];
  const told = `Volumes are cold; strike for grain at ${amount(t.grain)}`;
  return section("Water and wort", table(told, ["Step", "Reach", "Note"], rows));
}

/** @param {Plan} plan */
function forecast({ forecast: f, in_reserve: reserve }) {
  /** @type {[string, Forecast][]} */
  const ranged = [
    ["Mash efficiency", f.mash_efficiency],
    ["Gravity before the boil", f.preboil_gravity],
    ["Original gravity", f.original_gravity],
    ["Final gravity", f.final_gravity],
    ["Alcohol by volume", f.alcohol_by_volume],
  ];
  const rows = [
    ...ranged.map(([name, one]) => [name, number(one.mean), ends(one)]),
    ["Bitterness", number(f.bitterness), `by ${capital(f.bitterness_formula)}`],
    ["Colour", number(f.colour), ""],
  ];
  return section(
    "Forecast",
    table("The range holds four such brews in five", ["Of the beer", "Expect", "Range"], rows),
    h(
      "p",
      {},
      `Have ${amount(reserve.dry_extract)} of dry malt extract ready for the low end and ` +
        `${amount(reserve.top_up)} of boiled water for the high end.`,
    ),
  );
}

/** @param {Plan} plan */
function vessels({ fit }) {
  const items = fit.checks.map((check) =>
    h(
      "li",
      {},
      h("strong", {}, `${capital(check.vessel)}, ${check.at}: ${check.fits ? "fits" : "does not fit"}. `),
      sentence(words.room(check)),
    ),
  );
  const bag =
    fit.wet_bag_lifted && fit.wet_bag_drained
      ? ` The bag weighs ${amount(fit.wet_bag_lifted)} when first lifted and ` +
        `${amount(fit.wet_bag_drained)} drained.`
      : "";
  return section(
    "Room in the vessels",
    h("ul", {}, ...items),
    h("p", {}, `The largest grain bill that fits is ${amount(fit.largest_grain_bill)}.${bag}`),
  );
}

/**
 * @param {WayOut[]} ways
 * @param {(way: WayOut) => void} show
 */
function waysOut(ways, show) {
  const items = ways.map((way) => {
    const price =
      `${amount(way.volume)} at ${amount(way.original_gravity)} from ${amount(way.grain)} of ` +
      `grain, ${amount(way.burner_time)} at the boil.`;
    const button = h(
      "button",
      { type: "button", click: () => show(way), "aria-label": `Show this way: ${way.detail}` },
      "Show this way",
    );
    const said = [h("p", {}, h("strong", {}, way.detail)), h("p", {}, price), ...risks(way)];
    return h("li", {}, h("div", {}, ...said), button);
  });
  return section("Ways out", h("ul", { class: "ways" }, ...items));
}

/** @param {WayOut} way */
function risks({ risks: told }) {
  if (!told.length) return [];
  const items = told.map((risk) => h("li", {}, risk.detail));
  return [h("details", {}, h("summary", {}, "What may go wrong with it"), h("ul", {}, ...items))];
}

/** @param {Plan} plan */
function doubts({ warnings }) {
  if (!warnings.length) return [];
  const items = warnings.map((warning) => h("li", {}, warning.detail));
  return [section("Doubts about these numbers", h("ul", {}, ...items))];
}

/** @param {Plan} plan */
function cautions(plan) {
  if (!plan.cautions.length) return [];
  const items = plan.cautions.map((caution) =>
    h("li", {}, h("strong", {}, caution.hazard), ` ${caution.advice}`),
  );
  return [section("Take care", h("ul", { class: "care" }, ...items))];
}

/** @param {Plan} plan */
function compared({ compared_with: { stated_efficiency: stated, average_efficiency: average } }) {
  const lines = [
    stated && words.byRule("the recipe's own efficiency of", stated),
    average && words.byRule("the plain average of your past brews,", average),
  ].filter((line) => line !== null);
  if (!lines.length) return [];
  return [section("By a fixed efficiency instead", ...lines.map((line) => h("p", {}, line)))];
}

/** @param {string} text */
function sentence(text) {
  return `${capital(text)}.`;
}

/** @param {string} text */
function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {Quantity} quantity */
function number(quantity) {
  return h("span", { class: "number" }, amount(quantity));
}
