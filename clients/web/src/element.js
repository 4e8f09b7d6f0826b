import { h } from "./dom.js";
import { Latest } from "./latest.js";
import { Trouble } from "./problems.js";
import { scalingOf, scalingOfWay } from "./request.js";
import { PageKey, Service } from "./service.js";
import { SetupChooser } from "./setup_chooser.js";
import { SheetMaker } from "./sheet_maker.js";
import css from "./style.css";
import { TroubleBox } from "./trouble_box.js";
import { drawPlan } from "./view.js";
import { VolumeChooser } from "./volume_chooser.js";
import { amount, heading, summary } from "./words.js";

/**
 * @typedef {import("./api").Plan} Plan
 * @typedef {import("./api").Scaling} Scaling
 * @typedef {import("./api").ScalingDocument} ScalingDocument
 * @typedef {import("./api").Target} Target
 * @typedef {import("./api").UnitSystem} UnitSystem
 * @typedef {import("./api").VolumeAt} VolumeAt
 * @typedef {import("./api").WayOut} WayOut
 * @typedef {import("./setup_chooser.js").ChosenSetup} ChosenSetup
 */

const NO_PLAN_YET = "On your setup";
const FROM_BEFORE = "The plan that stands below is from before.";

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
  /** @type {{asked: ScalingDocument, answer: Scaling} | null} */
  #known = null;
  /** @type {WayOut | null} */
  #way = null;

  #beginning = new Latest(
    (_, signal) => this.#begin(signal),
    {
      answered: ([setups, units]) => this.#offerSetups(setups, units),
      failed: (error) => this.#fail(error, () => this.#start()),
    },
    0,
  );
  #asking = new Latest(
    (/** @type {ScalingDocument} */ asked, signal) => this.#post(asked, signal, "&store=false"),
    {
      answered: (answer, asked) => this.#answered(asked, answer),
      failed: (error) => this.#fail(error, () => this.#ask()),
    },
  );

  #setups = new SetupChooser((chosen) => this.#chooseSetup(chosen));
  #volumes = new VolumeChooser((chosen) => this.#chooseTarget(chosen));
  #sheets = new SheetMaker((asked, headers, signal) => this.#post(asked, signal, "", headers), {
    made: (kept) => this.#kept(kept),
    failed: (error, again) => this.#fail(error, again),
  });
  #trouble = new TroubleBox();
  #title = h("h3", { tabindex: "-1" }, NO_PLAN_YET);
  #plan = h("div", { class: "plan" });
  #said = h("p", { role: "status", class: "said" });

  constructor() {
    super();
    const root = this.attachShadow({ mode: "open" });
    const style = new CSSStyleSheet();
    style.replaceSync(css);
    root.adoptedStyleSheets = [style];
    const controls = h("div", { class: "controls" }, this.#setups.node, this.#volumes.node);
    const inside = [controls, this.#trouble.node, this.#title, this.#plan, this.#sheets.node];
    const panel = { class: "panel", "aria-label": "This recipe on your setup" };
    root.append(h("slot"), h("section", panel, h("div", { class: "within" }, ...inside, this.#said)));
  }

  connectedCallback() {
    this.#start();
  }

  disconnectedCallback() {
    this.#beginning.drop();
    this.#asking.drop();
    this.#sheets.withdraw();
  }

  attributeChangedCallback() {
    if (this.isConnected) this.#start();
  }

  /** Several attributes that change at once start it once. */
  #start() {
    this.#showNothing("Asking for a plan.");
    this.#volumes.reset();
    this.#target = {};
    const volume = this.getAttribute("volume");
    const at = this.getAttribute("volume-at");
    if (volume) this.#target.volume = volume;
    if (at) this.#target.volume_at = /** @type {VolumeAt} */ (at);
    this.#sheets.makeAt(this.getAttribute("sheet-url"));
    this.#beginning.soon(undefined);
  }

  /**
   * @param {AbortSignal} signal
   * @returns {Promise<[import("./api").StoredSetup[], UnitSystem]>}
   */
  async #begin(signal) {
    const key = PageKey.from(new URL(this.#needed("key-url"), document.baseURI).href);
    this.#service = new Service(this.#needed("service"), key);
    const [setups, brewers] = await Promise.all([
      this.#service.list("/v1/setups", signal),
      this.#service.list("/v1/brewers", signal),
    ]);
    return [setups, this.getAttribute("units") ?? brewers[0]?.units ?? "metric"];
  }

  /**
   * @param {import("./api").StoredSetup[]} setups
   * @param {UnitSystem} units
   */
  #offerSetups(setups, units) {
    this.#units = units;
    this.#setups.offer(setups, units, this.getAttribute("setup-id"));
  }

  /** @param {string} name */
  #needed(name) {
    const value = this.getAttribute(name);
    if (value) return value;
    throw new Trouble(`This page is not ready yet: its element needs ${name}="...".`);
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
    if (this.#setup) this.#ask();
  }

  #ask() {
    this.#sheets.withdraw();
    try {
      const setup = /** @type {ChosenSetup} */ (this.#setup);
      this.#asking.soon(scalingOf(setup, this.#recipe(), this.#target, this.#units));
      this.#busy(true);
    } catch (error) {
      this.#fail(error, () => this.#ask());
    }
  }

  #recipe() {
    const recipe_id = this.getAttribute("recipe-id");
    if (recipe_id) return { recipe_id };
    const script = this.querySelector('script[type="application/json"]');
    if (!script) throw new Trouble("This page is not ready yet: its element holds no recipe.");
    try {
      return { recipe: JSON.parse(script.textContent ?? "") };
    } catch {
      throw new Trouble("The recipe that this page hands over is not JSON. Tell the club.");
    }
  }

  /**
   * @param {ScalingDocument} asked
   * @param {AbortSignal} signal
   * @param {Record<string, string>} headers
   * @returns {Promise<Scaling>}
   */
  #post(asked, signal, query = "", headers = {}) {
    const service = /** @type {Service} */ (this.#service);
    return service.post(`/v1/scalings?units=${this.#units}${query}`, asked, signal, headers);
  }

  /**
   * @param {ScalingDocument} asked
   * @param {Scaling} answer
   */
  #answered(asked, answer) {
    this.#known = { asked, answer };
    const { volume, volume_at } = answer.plan.asked;
    this.#volumes.show({ volume, volume_at }, answer.setup.vessels.kettle.capacity);
    this.#lookAt(null);
    this.#said.textContent = summary(answer.plan);
  }

  /** @param {WayOut | null} way The way out to be looked at instead of the plan as asked. */
  #lookAt(way) {
    if (!this.#known) return;
    const { asked, answer } = this.#known;
    this.#way = way;
    this.#draw(way?.plan ?? answer.plan, answer);
    this.#sheets.offer(way ? scalingOfWay(asked, way) : asked);
  }

  /**
   * Show the plan that is on the sheet. A way out that is asked for by itself is refitted once
   * more, and may come out a little different.
   *
   * @param {Scaling} kept
   */
  #kept(kept) {
    if (this.#known) this.#draw(kept.plan, this.#known.answer);
    this.#said.textContent = `The brew sheet is made. ${summary(kept.plan)}`;
  }

  /**
   * @param {Plan} plan
   * @param {Scaling} answer What was answered to what is asked for.
   */
  #draw(plan, answer) {
    this.#busy(false);
    this.#trouble.clear();
    this.#title.textContent = heading(plan);
    const back = this.#way ? [this.#wayBack(this.#way, answer)] : [];
    this.#plan.replaceChildren(...back, ...drawPlan(plan, (way) => this.#turnTo(way)));
  }

  /** @param {WayOut | null} way */
  #turnTo(way) {
    this.#lookAt(way);
    this.#title.focus();
  }

  /**
   * @param {WayOut} way
   * @param {Scaling} answer
   */
  #wayBack(way, { plan: { asked } }) {
    const label = `Back to ${amount(asked.volume)} as asked`;
    const back = h("button", { type: "button", click: () => this.#turnTo(null) }, label);
    return h("div", { class: "way" }, h("p", {}, h("strong", {}, "A way out: "), way.detail), back);
  }

  /** @param {string} why */
  #showNothing(why) {
    this.#asking.drop();
    this.#sheets.withdraw();
    this.#known = null;
    this.#volumes.node.hidden = true;
    this.#busy(false);
    this.#trouble.clear();
    this.#title.textContent = NO_PLAN_YET;
    this.#plan.replaceChildren(h("p", {}, why));
    this.#said.textContent = "";
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
    this.#busy(false);
    this.#said.textContent = "";
    if (!this.#known) this.#plan.replaceChildren();
    this.#trouble.show(error, this.#known ? FROM_BEFORE : "", () => {
      // The button goes once there is an answer: whoever uses a keyboard must not be lost then.
      this.#title.focus();
      again();
    });
  }
}

if (!customElements.get("wortwright-recipe")) {
  customElements.define("wortwright-recipe", WortwrightRecipe);
}
