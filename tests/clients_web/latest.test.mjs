import assert from "node:assert/strict";
import { mock, test } from "node:test";
import { Latest } from "../../clients/web/src/latest.js";

/** An act whose answers come when the test says so. */
function held() {
  const asked = [];
  const act = (wish, signal) =>
    new Promise((answer, fail) => asked.push({ wish, signal, answer, fail }));
  return { act, asked };
}

function told() {
  const answers = [];
  const failures = [];
  const tell = {
    answered: (answer, wish) => answers.push([wish, answer]),
    failed: (error) => failures.push(error),
  };
  return { tell, answers, failures };
}

const settle = () => new Promise((done) => setImmediate(done));

test("wishes that follow each other closely are asked once, for the last", () => {
  mock.timers.enable({ apis: ["setTimeout"] });
  try {
    const { act, asked } = held();
    const latest = new Latest(act, told().tell, 250);
    for (const wish of [1, 2, 3]) {
      latest.soon(wish);
      mock.timers.tick(249);
    }
    assert.equal(asked.length, 0);
    mock.timers.tick(1);
    assert.deepEqual(asked.map((one) => one.wish), [3]);
  } finally {
    mock.timers.reset();
  }
});

test("an older request is broken off, and its answer goes nowhere even if it comes last", async () => {
  const { act, asked } = held();
  const { tell, answers, failures } = told();
  const latest = new Latest(act, tell, 0);
  void latest.now("older");
  void latest.now("newer");
  assert.equal(asked[0].signal.aborted, true);
  assert.equal(asked[1].signal.aborted, false);
  asked[1].answer("new");
  await settle();
  asked[0].answer("old");
  await settle();
  assert.deepEqual(answers, [["newer", "new"]]);
  assert.deepEqual(failures, []);
});

test("the failure of a request broken off is not told, that of the newest is", async () => {
  const { act, asked } = held();
  const { tell, failures } = told();
  const latest = new Latest(act, tell, 0);
  void latest.now("older");
  void latest.now("newer");
  asked[0].fail(new Error("broken off"));
  const down = new Error("down");
  asked[1].fail(down);
  await settle();
  assert.deepEqual(failures, [down]);
});

test("a wish breaks off what is under way at once, before it is asked itself", () => {
  const { act, asked } = held();
  const latest = new Latest(act, told().tell, 10_000);
  void latest.now("older");
  latest.soon("newer");
  assert.equal(asked[0].signal.aborted, true);
  latest.drop();
});
