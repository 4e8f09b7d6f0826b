import assert from "node:assert/strict";
import { test } from "node:test";
import * as words from "../../clients/web/src/words.js";

const q = (value, unit) => ({ value, unit });
const plain = (text) => text.replaceAll("\u00a0", " ");

test("amounts carry the decimals that an instrument shows", () => {
  const written = [
    [q(4.5349, "kg"), "4.53 kg"],
    [q(62.4, "g"), "62 g"],
    [q(7.25, "g"), "7.3 g"],
    [q(1.0618, "SG"), "1.062"],
    [q(0.7124, "fraction"), "71.2 %"],
    [q(160.47, "degF"), "160 °F"],
    [q(65, "degC"), "65.0 °C"],
    [q(5.2834, "US gal"), "5.28 US gal"],
  ];
  for (const [quantity, text] of written) assert.equal(plain(words.amount(quantity)), text);
});

test("an amount is not broken from its unit at the end of a line", () => {
  assert.ok(!words.amount(q(5.28, "US gal")).startsWith("5.28 "));
});

test("a typed number may have a decimal point or comma, and must be a number", () => {
  assert.equal(words.numberIn(" 27,5 "), 27.5);
  assert.equal(words.numberIn("27.5"), 27.5);
  for (const wrong of ["", "ten", "10.", "-3", "1e3", "1,000.5", "10 L"]) {
    assert.equal(words.numberIn(wrong), null, wrong);
  }
});

test("the stick reaches beyond the kettle, and to what was asked if that is more", () => {
  assert.equal(words.scale(q(20, "L"), q(35, "L")).most, 42);
  assert.equal(words.scale(q(60, "L"), q(35, "L")).most, 60);
  const gallons = words.scale(q(5, "US gal"), q(10, "US gal"));
  assert.deepEqual([gallons.least, gallons.step, gallons.most], [0.5, 0.25, 12]);
});

test("hops stand in the order of the brew day, the longest boil first", () => {
  const hop = (name, moment, minutes) => ({ name, moment, time: q(minutes, "min") });
  const mixed = [
    hop("dry", "dry", 4320),
    hop("late", "boil", 5),
    hop("stand", "stand", 20),
    hop("early", "boil", 75),
    hop("first", "first_wort", 90),
  ];
  const names = words.inOrder(mixed).map((one) => one.name);
  assert.deepEqual(names, ["first", "early", "late", "stand", "dry"]);
  assert.equal(mixed[0].name, "dry");
});

test("a stand is told with its temperature where there is one", () => {
  const stand = { moment: "stand", time: q(20, "min"), temperature: q(80, "degC") };
  assert.equal(plain(words.hopMoment(stand)), "20 min of stand at 80.0 °C after the boil");
  const hot = { ...stand, temperature: null };
  assert.equal(plain(words.hopMoment(hot)), "20 min of stand after the boil");
});

test("room is told in the brewer's units, whichever way it is short", () => {
  const check = { needed: q(10.25, "US gal"), usable: q(8.75, "US gal"), detail: "38.8 L" };
  assert.match(plain(words.room(check)), /1\.50 US gal too much$/);
  const less = { ...check, needed: q(8, "US gal") };
  assert.match(plain(words.room(less)), /0\.75 US gal to spare$/);
});

test("a beer out of reach is told with the most that one mash gives", () => {
  const fit = { fits: true, reaches_gravity: false, ceiling_gravity: q(1.0871, "SG") };
  assert.equal(words.verdict({ fit }), "Out of reach of one mash; one mash gives 1.087 at most.");
  assert.equal(
    words.verdict({ fit: { ...fit, ceiling_gravity: null } }),
    "Out of reach of one mash.",
  );
});
