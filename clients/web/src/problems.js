/** @typedef {import("./api").Problem} Problem */

/** A failure in words that a visitor can act on. */
export class Trouble extends Error {
  /**
   * @param {string} message
   * @param {string[]} details One line for each place that was refused.
   */
  constructor(message, details = []) {
    super(message);
    this.details = details;
  }
}

const UNREACHABLE =
  "The brewing service cannot be reached. Check the connection, then try again.";
const NO_ANSWER = "The brewing service answered with something else than a plan. Try again later.";

/** @type {Record<number, string>} */
const BY_STATUS = {
  401: "Your visit to this page has run out. Load the page again.",
  403: "The brewing service does not let this page ask. Tell the club.",
  404: "This recipe or setup is not kept here, or no longer. Load the page again.",
  413: "The recipe on this page is too long for the brewing service. Tell the club.",
  429: "That was too many changes at once. Wait a minute, then try again.",
  503: "The brewing service is busy. Try again in a moment.",
};

/** @type {[RegExp, string][]} */
const REFUSED = [
  [/^\/recipe/, "The recipe on this page cannot be worked with. Tell the club what stands below."],
  [/^\/setup/, "What is said of your setup cannot be worked with."],
  [/^\/target/, "This cannot be brewed as asked."],
];

/** @type {Record<string, string>} */
const PLACES = {
  recipe: "",
  setup: "",
  target: "",
  vessels: "",
  constants: "",
  hop_bill: "hops",
  boil_off: "boiled off in an hour",
};

/**
 * Say what a refusal of the service means.
 *
 * @param {Problem} problem
 */
export function refused(problem) {
  const errors = problem.errors ?? [];
  if (problem.status === 422) return new Trouble(refusal(errors, problem), errors.map(line));
  if (problem.status < 500 || problem.status === 503) {
    return new Trouble(BY_STATUS[problem.status] ?? problem.detail ?? NO_ANSWER);
  }
  const number = problem.instance ? ` and this number: ${problem.instance}` : "";
  return new Trouble(`The brewing service has a fault of its own. Tell the club so${number}.`);
}

/** No answer came at all. */
export function unreachable() {
  return new Trouble(UNREACHABLE);
}

/** An answer came that is not one of the service's. */
export function unreadable() {
  return new Trouble(NO_ANSWER);
}

/**
 * Say what a refusal of the club's own site means.
 *
 * @param {number} status
 * @param {string} wanted
 */
export function refusedByClub(status, wanted) {
  if (status === 401 || status === 403) {
    return new Trouble(`Sign in to the club's site, then load this page again to get ${wanted}.`);
  }
  return new Trouble(`The club's site gave no ${wanted.replace(/^an? /, "")}. Try again later.`);
}

/**
 * @param {NonNullable<Problem["errors"]>} errors
 * @param {Problem} problem
 */
function refusal(errors, problem) {
  const pointer = errors[0]?.pointer ?? "";
  const known = REFUSED.find(([pattern]) => pattern.test(pointer));
  return known?.[1] ?? problem.detail ?? NO_ANSWER;
}

/** @param {{pointer?: string, detail: string}} error */
function line({ pointer = "", detail }) {
  const where = place(pointer);
  return where ? `${where.charAt(0).toUpperCase()}${where.slice(1)}: ${detail}` : detail;
}

/**
 * Put a JSON pointer into words: `/recipe/grist/0/mass` is "grist, line 1, mass".
 *
 * @param {string} pointer
 */
export function place(pointer) {
  const parts = pointer.split("/").slice(1).map(part);
  return parts.filter(Boolean).join(", ");
}

/** @param {string} text */
function part(text) {
  const name = text.replaceAll("~1", "/").replaceAll("~0", "~");
  if (/^\d+$/.test(name)) return `line ${Number(name) + 1}`;
  return PLACES[name] ?? name.replaceAll("_", " ");
}
