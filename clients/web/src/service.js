import { Trouble, refused, refusedByClub, unreachable, unreadable } from "./problems.js";

/** @typedef {import("./api").Problem} Problem */

const PATIENCE_MS = 20_000;
const LONGEST_WAIT_S = 10;
const MOST_PAGES = 20;

/**
 * The page key of the club's server, shared by all elements of a page that name the same address.
 * It lives in memory only, and is fetched anew once the service no longer takes it.
 */
export class PageKey {
  /** @type {Map<string, PageKey>} */
  static #known = new Map();
  /** @type {Promise<string> | null} */
  #text = null;

  /** @param {string} address */
  static from(address) {
    const known = PageKey.#known.get(address) ?? new PageKey(address);
    PageKey.#known.set(address, known);
    return known;
  }

  /** @param {string} address */
  constructor(address) {
    this.address = address;
  }

  get() {
    const text = (this.#text ??= this.#fetch());
    // A failure is not kept: the next one who asks tries again.
    text.catch(() => this.forget(text));
    return text;
  }

  /**
   * @param {Promise<string>} text The key as `get` gave it: a newer one is left alone.
   */
  forget(text) {
    if (this.#text === text) this.#text = null;
  }

  async #fetch() {
    const answer = await fromClub(this.address, undefined, "a plan for your setup");
    if (typeof answer.text !== "string") throw refusedByClub(502, "a key for this page");
    return answer.text;
  }
}

/**
 * Ask the club's own site, as the visitor who is signed in there.
 *
 * @param {string} address
 * @param {unknown} body
 * @param {string} wanted
 * @returns {Promise<Record<string, unknown>>}
 */
export async function fromClub(address, body, wanted) {
  const response = await send(address, {
    method: "POST",
    credentials: "same-origin",
    headers: { Accept: "application/json", "Content-Type": "application/json" },
    body: JSON.stringify(body ?? {}),
  });
  if (!response.ok) throw refusedByClub(response.status, wanted);
  return /** @type {Promise<Record<string, unknown>>} */ (read(response));
}

/** The service, asked with a page key. */
export class Service {
  /**
   * @param {string} address
   * @param {PageKey} key
   */
  constructor(address, key) {
    this.address = address.replace(/\/+$/, "");
    this.key = key;
  }

  /**
   * Gather every page of a list.
   *
   * @param {string} path
   * @param {AbortSignal} signal
   * @returns {Promise<any[]>}
   */
  async list(path, signal) {
    const found = [];
    /** @type {string | null} */
    let next = path;
    for (let pages = 0; next !== null && pages < MOST_PAGES; pages += 1) {
      const page = await this.#ask(next, { signal });
      found.push(...page.items);
      next = page.next;
    }
    return found;
  }

  /**
   * @param {string} path
   * @param {unknown} body
   * @param {AbortSignal} signal
   * @param {Record<string, string>} headers
   * @returns {Promise<any>}
   */
  post(path, body, signal, headers = {}) {
    return this.#ask(path, {
      method: "POST",
      body: JSON.stringify(body),
      headers: { "Content-Type": "application/json", ...headers },
      signal,
    });
  }

  /**
   * @param {string} path
   * @param {RequestInit & {signal: AbortSignal}} request
   */
  async #ask(path, request) {
    let response = await this.#once(path, request);
    if (response.status === 429 || response.status === 503) {
      await pause(secondsToWait(response), request.signal);
      response = await this.#once(path, request);
    }
    if (response.ok) return read(response);
    throw refused(/** @type {Problem} */ (await read(response)));
  }

  /**
   * @param {string} path
   * @param {RequestInit & {signal: AbortSignal}} request
   */
  async #once(path, request) {
    const key = this.key.get();
    const response = await this.#with(await key, path, request);
    if (response.status !== 401) return response;
    this.key.forget(key);
    return this.#with(await this.key.get(), path, request);
  }

  /**
   * @param {string} text
   * @param {string} path
   * @param {RequestInit} request
   */
  #with(text, path, request) {
    const headers = { ...request.headers, Accept: "application/json", Authorization: `Bearer ${text}` };
    return send(this.address + path, { ...request, credentials: "omit", headers });
  }
}

/**
 * @param {string} address
 * @param {RequestInit} request
 */
async function send(address, request) {
  const limit = new AbortController();
  const stop = () => limit.abort();
  const timer = setTimeout(stop, PATIENCE_MS);
  request.signal?.addEventListener("abort", stop);
  try {
    return await fetch(address, { ...request, cache: "no-store", signal: limit.signal });
  } catch {
    throw unreachable();
  } finally {
    clearTimeout(timer);
    request.signal?.removeEventListener("abort", stop);
  }
}

/** @param {Response} response */
async function read(response) {
  const document = await response.json().catch(() => null);
  if (typeof document !== "object" || document === null) throw unreadable();
  return document;
}

/** @param {Response} response */
function secondsToWait(response) {
  const told = Number(response.headers.get("Retry-After") ?? "1");
  return Number.isFinite(told) ? Math.min(told, LONGEST_WAIT_S) : 1;
}

/**
 * @param {number} seconds
 * @param {AbortSignal} signal
 */
function pause(seconds, signal) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(resolve, seconds * 1000);
    const stop = () => {
      clearTimeout(timer);
      reject(new Trouble("No longer wanted."));
    };
    signal.addEventListener("abort", stop, { once: true });
  });
}
