import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";
import { PageKey, Service } from "../../clients/web/src/service.js";

const CLUB = "https://club.example/page-key";
const BREW = "https://brew.example";

let asked;
let keys;
let answers;
const real = globalThis.fetch;

beforeEach(() => {
  asked = [];
  answers = [];
  keys = ["first", "second", "third"];
  globalThis.fetch = async (address, request) => {
    asked.push({ address, ...request });
    if (address === CLUB) return Response.json({ text: keys.shift() });
    return answers.shift();
  };
});
afterEach(() => {
  globalThis.fetch = real;
});

const ok = (body) => Response.json(body);
const problem = (status, headers = {}) =>
  Response.json({ status, title: "t" }, { status, headers });
const signal = () => new AbortController().signal;
const authorizations = () =>
  asked.filter((one) => one.address !== CLUB).map((one) => one.headers.Authorization);

test("the key is fetched once for all who ask, as the visitor who is signed in", async () => {
  answers = [ok({ n: 1 }), ok({ n: 2 })];
  const service = new Service(BREW, new PageKey(CLUB));
  await Promise.all([service.post("/a", {}, signal()), service.post("/b", {}, signal())]);
  const [fetched, ...more] = asked.filter((one) => one.address === CLUB);
  assert.deepEqual(more, []);
  assert.equal(fetched.method, "POST");
  assert.equal(fetched.credentials, "same-origin");
  assert.deepEqual(authorizations(), ["Bearer first", "Bearer first"]);
});

test("elements of one page share the key, those of another address do not", () => {
  assert.equal(PageKey.from(CLUB), PageKey.from(CLUB));
  assert.notEqual(PageKey.from(CLUB), PageKey.from(`${CLUB}/other`));
});

test("a key that is no longer taken is renewed and the request sent again", async () => {
  answers = [problem(401), ok({ n: 1 })];
  const service = new Service(BREW, new PageKey(CLUB));
  assert.deepEqual(await service.post("/a", { wish: 1 }, signal()), { n: 1 });
  assert.deepEqual(authorizations(), ["Bearer first", "Bearer second"]);
  const bodies = asked.filter((one) => one.address !== CLUB).map((one) => one.body);
  assert.equal(bodies[0], bodies[1]);
});

test("two requests that find the key expired renew it once", async () => {
  answers = [problem(401), problem(401), ok({}), ok({})];
  const service = new Service(BREW, new PageKey(CLUB));
  await Promise.all([service.post("/a", {}, signal()), service.post("/b", {}, signal())]);
  assert.deepEqual(keys, ["third"]);
});

test("a key refused twice is a trouble and not a loop", async () => {
  answers = [problem(401), problem(401), ok({})];
  const service = new Service(BREW, new PageKey(CLUB));
  await assert.rejects(service.post("/a", {}, signal()), { message: /Load the page again/ });
  assert.equal(answers.length, 1);
});

test("the club's refusal is told, and the next request asks it again", async () => {
  const service = new Service(BREW, new PageKey(CLUB));
  const willing = globalThis.fetch;
  globalThis.fetch = async () => new Response("", { status: 401 });
  await assert.rejects(service.post("/a", {}, signal()), { message: /^Sign in/ });
  globalThis.fetch = willing;
  answers = [ok({ n: 1 })];
  assert.deepEqual(await service.post("/a", {}, signal()), { n: 1 });
});

test("a busy service is asked once more, after as long as it says", async () => {
  answers = [problem(503, { "Retry-After": "0" }), ok({ n: 1 })];
  const service = new Service(BREW, new PageKey(CLUB));
  assert.deepEqual(await service.post("/a", {}, signal()), { n: 1 });
});

test("whoever no longer wants the answer does not wait for a busy service", async () => {
  answers = [problem(429, { "Retry-After": "3600" }), ok({})];
  const service = new Service(BREW, new PageKey(CLUB));
  const wanted = new AbortController();
  const waiting = service.post("/a", {}, wanted.signal);
  setTimeout(() => wanted.abort(), 20);
  await assert.rejects(waiting);
  assert.equal(answers.length, 1);
});

test("a list is gathered from all its pages", async () => {
  answers = [ok({ items: [1, 2], next: "/v1/setups?cursor=c" }), ok({ items: [3], next: null })];
  const service = new Service(`${BREW}/`, new PageKey(CLUB));
  assert.deepEqual(await service.list("/v1/setups", signal()), [1, 2, 3]);
  assert.equal(asked.at(-1).address, `${BREW}/v1/setups?cursor=c`);
});

test("a connection that fails, or an answer that is no JSON, is told in plain words", async () => {
  const key = new PageKey(CLUB);
  await key.get();
  const service = new Service(BREW, key);
  answers = [new Response("<html>", { status: 502 })];
  await assert.rejects(service.post("/a", {}, signal()), { message: /Try again later/ });
  globalThis.fetch = async () => {
    throw new TypeError("fetch failed");
  };
  await assert.rejects(service.post("/a", {}, signal()), { message: /cannot be reached/ });
});

test("the key goes to the service and nowhere else, and cookies stay with the club", async () => {
  answers = [ok({})];
  const service = new Service(BREW, new PageKey(CLUB));
  await service.post("/a", {}, signal());
  for (const { address, credentials, headers } of asked) {
    assert.equal(Boolean(headers.Authorization), address.startsWith(BREW));
    assert.equal(credentials, address.startsWith(BREW) ? "omit" : "same-origin");
  }
});
