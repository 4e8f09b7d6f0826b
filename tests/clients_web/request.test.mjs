import assert from "node:assert/strict";
import { test } from "node:test";
import { scalingOf, scalingOfWay } from "../../clients/web/src/request.js";

const asked = scalingOf({ setup_id: "s" }, { recipe_id: "r" }, { volume: "20 L" }, "metric");
const target = {
  volume: { value: 16.9, unit: "L" },
  volume_at: "kettle",
  gravity: { value: 1.075, unit: "SG" },
};
const way = {
  kind: "strongest_beer",
  recipe: null,
  setup: null,
  plan: { asked: { ...target, bitterness: { value: 62, unit: "IBU" } } },
};

test("a scale is in pounds and ounces unless the units are metric", () => {
  const weighed = (units) => scalingOf({ setup_id: "s" }, { recipe_id: "r" }, {}, units);
  assert.equal(weighed("metric").preferences.weigh_in, "metric");
  assert.equal(weighed("us").preferences.weigh_in, "us");
  assert.equal(weighed("imperial").preferences.weigh_in, "us");
});

test("a way to another target is asked for as that target", () => {
  assert.deepEqual(scalingOfWay(asked, way), { ...asked, target });
});

test("a way with another recipe is asked for with it, without what the service remarked", () => {
  const grist = [{ name: "Pale ale malt", mass: { value: 7, unit: "kg" }, assumed: ["moisture"] }];
  const changed = scalingOfWay(asked, { ...way, recipe: { name: "Long Night", grist } });
  assert.equal(changed.recipe_id, undefined);
  assert.deepEqual(changed.recipe, {
    name: "Long Night",
    grist: [{ name: "Pale ale malt", mass: { value: 7, unit: "kg" } }],
  });
  assert.equal(changed.setup_id, "s");
});

test("a way that changes the setup cannot be asked for by itself", () => {
  assert.equal(scalingOfWay(asked, { ...way, setup: { name: "rinsed" } }), null);
});
