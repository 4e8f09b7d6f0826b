import { h } from "./dom.js";
import { Latest } from "./latest.js";
import { Trouble } from "./problems.js";
import { PageKey, Service, fromClub } from "./service.js";
import { SetupChooser } from "./setup_chooser.js";
import css from "./style.css";
import { drawPlan } from "./view.js";
import { VolumeChooser } from "./volume_chooser.js";
import { amount, heading, summary } from "./words.js";

/**
 * @typedef {import("./api").Scaling} Scaling
 * @typedef {import("./api").ScalingDocument} ScalingDocument
 * @typedef {import("./api").Target} Target
 * @typedef {import("./api").UnitSystem} UnitSystem
 * @typedef {import("./api").WayOut} WayOut
 * @typedef {import("./setup_chooser.js").ChosenSetup} ChosenSetup
 */

/** Ways out that are a scaling to another target, so that they can be kept as one. */
const BY_TARGET = ["largest_volume", "strongest_beer", "several_brews"];

/** The recipe around which it stands, refitted to the visitor's setup. */
export class WortwrightRecipe extends HTMLElement {
  static observedAttributes = [
    "service", "key-url", "sheet-url", "recipe-id", "setup-id", "units", "volume", "volume-at",
  ];

  /** @type {Service | null} */
  #service = null;
  /** @type {UnitSystem} */
  #units = "metric";
  /** @type {ChosenSetup | null} */
  #setup = null;
  /** @type {Target} */
  #target = {};
  /** @type {Scaling | null} */
  #answer = null;
  /** @type {WayOut | null} */
  #way = null;
  #starting = false;
  /** @type {{body: string, key: string} | null} */
  #keeping = null;

  #beginning = new Latest(
    (_, signal) => this.#begin(signal),
    { answered: () => {}, failed: (error) => this.#fail(error, () => this.#start()) },
    0,
  );
  #asking = new Latest(
    (/** @type {ScalingDocument} */ body, signal) => this.#post(body, signal, "&store=false"),
    {
      answered: (answer) => this.#answered(answer),
      failed: (error) => this.#fail(error, () => this.#ask()),
    },
  );
  #storing = new Latest(
    (/** @type {ScalingDocument} */ body, signal) => this.#store(body, signal),
    {
      answered: (address) => this.#offerSheet(address),
      failed: (error) => this.#fail(error, () => void this.#keep()),
    },
  );

  #setups = new SetupChooser((chosen) => this.#chooseSetup(chosen));
  #volumes = new VolumeChooser((chosen) => this.#chooseTarget(chosen));
  #said = h("p", { role: "status", class: "said" });
  #trouble = h("div", { role: "alert", class: "trouble" });
  #title = h("h3", { tabindex: "-1" }, "On your setup");
  #plan = h("div", { class: "plan" });
  #sheet = h("div", { class: "sheet" });

  constructor() {
    super();
    const root = this.attachShadow({ mode: "open" });
    const style = new CSSStyleSheet();
    style.replaceSync(css);
    root.adoptedStyleSheets = [style];
    root.append(
      h("slot"),
      h(
        "section",
        { class: "panel", "aria-label": "This recipe on your setup" },
        h("div", { class: "controls" }, this.#setups.node, this.#volumes.node),
        this.#trouble,
        this.#title,
        this.#plan,
        this.#sheet,
        this.#said,
      ),
    );
  }

  connectedCallback() {
    this.#start();
  }

  disconnectedCallback() {
    for (const one of [this.#beginning, this.#asking, this.#storing]) one.drop();
  }

  attributeChangedCallback() {
    if (this.isConnected) this.#start();
  }

  /** Several attributes that change at once start it once. */
  #start() {
    this.#target = {};
    const volume = this.getAttribute("volume");
    const at = this.getAttribute("volume-at");
    if (volume) this.#target.volume = volume;
    if (at) this.#target.volume_at = /** @type {import("./api").VolumeAt} */ (at);
    this.#busy(true);
    this.#beginning.soon(undefined);
  }

  /** @param {AbortSignal} signal */
  async #begin(signal) {
    const key = PageKey.from(new URL(this.#needed("key-url"), document.baseURI).href);
    this.#service = new Service(this.#needed("service"), key);
    const [setups, brewers] = await Promise.all([
      this.#service.list("/v1/setups", signal),
      this.#service.list("/v1/brewers", signal),
    ]);
    if (signal.aborted) return;
    const own = this.getAttribute("units") ?? brewers[0]?.units ?? "metric";
    this.#units = /** @type {UnitSystem} */ (own);
    this.#setups.offer(setups, this.#units, this.getAttribute("setup-id"));
  }

  /** @param {string} name */
  #needed(name) {
    const value = this.getAttribute(name);
    if (value) return value;
    throw new Trouble(`This page is not set up yet: the element needs ${name}="...".`);
  }

  /** @param {ChosenSetup | null} chosen */
  #chooseSetup(chosen) {
    this.#setup = chosen;
    if (chosen) this.#ask();
    else this.#showNothing("Describe your setup, and the recipe is refitted to it.");
  }

  /** @param {import("./volume_chooser.js").Chosen} chosen */
  #chooseTarget(chosen) {
    this.#target = chosen;
    this.#ask();
  }

  #ask() {
    this.#storing.drop();
    this.#way = null;
    try {
      this.#busy(true);
      this.#asking.soon(this.#body());
    } catch (error) {
      this.#fail(error, () => this.#ask());
    }
  }

  /** @returns {ScalingDocument} */
  #body() {
    const recipe_id = this.getAttribute("recipe-id");
    const recipe = recipe_id ? { recipe_id } : { recipe: this.#written() };
    const { way, target } = { way: this.#way?.plan.asked, target: this.#target };
    return {
      .../** @type {ChosenSetup} */ (this.#setup),
      ...recipe,
      target: way
        ? { volume: way.volume, volume_at: way.volume_at, gravity: way.gravity }
        : target,
      preferences: { weigh_in: this.#units === "metric" ? "metric" : "us" },
    };
  }

  #written() {
    const script = this.querySelector('script[type="application/json"]');
    if (!script) {
      throw new Trouble("This page is not set up yet: there is no recipe for the element to read.");
    }
    try {
      return JSON.parse(script.textContent ?? "");
    } catch {
      throw new Trouble("The recipe on this page is not JSON. Tell the club.");
    }
  }

  /**
   * @param {ScalingDocument} body
   * @param {AbortSignal} signal
   * @param {Record<string, string>} headers
   * @returns {Promise<Scaling>}
   */
  #post(body, signal, query = "", headers = {}) {
    const service = /** @type {Service} */ (this.#service);
    return service.post(`/v1/scalings?units=${this.#units}${query}`, body, signal, headers);
  }

  /** @param {Scaling} answer */
  #answered(answer) {
    this.#answer = answer;
    const { volume, volume_at } = answer.plan.asked;
    this.#volumes.show({ volume, volume_at }, answer.setup.vessels.kettle.capacity);
    this.#draw();
    this.#said.textContent = summary(answer.plan);
  }

  #draw() {
    const answer = /** @type {Scaling} */ (this.#answer);
    const plan = this.#way?.plan ?? answer.plan;
    this.#busy(false);
    this.#trouble.replaceChildren();
    this.#title.textContent = heading(plan);
    const back = this.#way ? [this.#wayBack(this.#way)] : [];
    this.#plan.replaceChildren(...back, ...drawPlan(plan, (way) => this.#show(way)));
    this.#offerToKeep();
  }

  /** @param {WayOut} way */
  #wayBack(way) {
    const asked = /** @type {Scaling} */ (this.#answer).plan.asked;
    const back = h("button", { type: "button", click: () => this.#show(null) }, `Back to ${amount(asked.volume)} as asked`);
    return h("div", { class: "way" }, h("p", {}, h("strong", {}, "A way out: "), way.detail), back);
  }

  /** @param {WayOut | null} way */
  #show(way) {
    this.#storing.drop();
    this.#way = way;
    this.#draw();
    this.#title.focus();
  }

  #offerToKeep() {
    const possible = !this.#way || BY_TARGET.includes(this.#way.kind);
    if (!this.getAttribute("sheet-url")) this.#sheet.replaceChildren();
    else if (possible) {
      const button = h("button", { type: "button", click: () => void this.#keep() }, "Make the brew sheet");
      this.#sheet.replaceChildren(h("p", {}, button, " It keeps this plan for brew day."));
    } else this.#sheet.replaceChildren(h("p", {}, "A brew sheet is made of plans as asked only."));
  }

  async #keep() {
    for (const button of this.#sheet.querySelectorAll("button")) button.disabled = true;
    this.#said.textContent = "Making the brew sheet.";
    await this.#storing.now(this.#body());
  }

  /**
   * @param {ScalingDocument} document
   * @param {AbortSignal} signal
   */
  async #store(document, signal) {
    const body = JSON.stringify(document);
    // Sent again after a broken connection, the same wish must not be kept twice.
    if (this.#keeping?.body !== body) this.#keeping = { body, key: randomKey() };
    const headers = { "Idempotency-Key": this.#keeping.key };
    const { id } = await this.#post(document, signal, "", headers);
    const asked = { scaling_id: id };
    const made = await fromClub(this.#needed("sheet-url"), asked, "a brew sheet");
    return String(made.address);
  }

  /** @param {string} address */
  #offerSheet(address) {
    const link = h("a", { href: address, target: "_blank", rel: "noopener noreferrer" }, "Open the brew sheet");
    this.#sheet.replaceChildren(h("p", {}, link, " It opens in a new tab; the address stays good for 30 days."));
    this.#trouble.replaceChildren();
    this.#said.textContent = "The brew sheet is made.";
    link.focus();
  }

  /** @param {string} why */
  #showNothing(why) {
    this.#asking.drop();
    this.#answer = null;
    this.#busy(false);
    this.#title.textContent = "On your setup";
    this.#plan.replaceChildren(h("p", {}, why));
    this.#sheet.replaceChildren();
    this.#volumes.node.hidden = true;
    this.#trouble.replaceChildren();
  }

  /** @param {boolean} busy */
  #busy(busy) {
    this.#plan.setAttribute("aria-busy", String(busy));
  }

  /**
   * @param {unknown} error
   * @param {() => void} again
   */
  #fail(error, again) {
    const known = error instanceof Trouble ? error : new Trouble("This page could not work it out.");
    const places = known.details.map((detail) => h("li", {}, detail));
    const button = h("button", { type: "button", click: again }, "Try again");
    this.#trouble.replaceChildren(
      h("p", {}, known.message),
      ...(places.length ? [h("ul", {}, ...places)] : []),
      ...(this.#answer ? [h("p", {}, "What stands below is the plan from before.")] : []),
      button,
    );
    this.#said.textContent = "";
    if (this.#answer) this.#offerToKeep();
  }
}

function randomKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

if (!customElements.get("wortwright-recipe")) {
  customElements.define("wortwright-recipe", WortwrightRecipe);
}
