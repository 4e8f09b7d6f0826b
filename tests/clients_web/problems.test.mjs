import assert from "node:assert/strict";
import { test } from "node:test";
import { place, refused, refusedByClub } from "../../clients/web/src/problems.js";

test("a pointer is put into words", () => {
  assert.equal(place("/recipe/grist/0/mass"), "grist, line 1, mass");
  assert.equal(place("/recipe/hop_bill/2/alpha"), "hops, line 3, alpha");
  assert.equal(place("/setup/vessels/kettle/capacity"), "kettle, capacity");
  assert.equal(place("/setup/constants/boil_off"), "boiled off in an hour");
  assert.equal(place(""), "");
});

test("a refusal says whose fault it is and where", () => {
  const errors = [{ pointer: "/recipe/grist/0/mass", detail: "'oops' is no mass." }];
  const trouble = refused({ status: 422, detail: "The body is refused in one place.", errors });
  assert.match(trouble.message, /^The recipe on this page/);
  assert.deepEqual(trouble.details, ["Grist, line 1, mass: 'oops' is no mass."]);
});

test("every refusal is words for a person, with what to do next", () => {
  for (const status of [401, 403, 404, 413, 422, 429, 500, 503]) {
    const { message } = refused({ status, title: "t", detail: "The detail." });
    assert.match(message, /^[A-Z].*\.$/, String(status));
    assert.ok(!/\b(HTTP|JSON|undefined|null|4\d\d|5\d\d)\b/.test(message), message);
  }
});

test("a fault of the service is told with the number that its operator looks for", () => {
  assert.match(refused({ status: 500, instance: "d35d916b" }).message, /d35d916b/);
});

test("a visitor whom the club does not know is told to sign in", () => {
  assert.match(refusedByClub(401, "a brew sheet").message, /^Sign in .* to get a brew sheet\.$/);
  assert.match(refusedByClub(500, "a brew sheet").message, /gave no brew sheet/);
});
