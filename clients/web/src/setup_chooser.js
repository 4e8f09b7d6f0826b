import { h } from "./dom.js";
import { SetupForm } from "./setup_form.js";

/**
 * @typedef {import("./api").StoredSetup} StoredSetup
 * @typedef {import("./api").SetupDocument} SetupDocument
 * @typedef {import("./api").UnitSystem} UnitSystem
 * @typedef {{setup_id: string} | {setup: SetupDocument}} ChosenSetup
 */

const DESCRIBED = "described";

/** Whose kettle: one of the brewer's setups, or one described here. */
export class SetupChooser {
  /** @param {(chosen: ChosenSetup | null) => void} choose Null while none is described. */
  constructor(choose) {
    this.choose = choose;
    this.form = new SetupForm((setup) => choose({ setup }));
    this.select = h("select", { id: "setup", change: () => this.#changed() });
    this.known = h("p", { class: "setup" }, h("label", { for: "setup" }, "Your setup"), this.select);
    this.node = h("div", { hidden: true }, this.known, this.form.node);
  }

  /**
   * Offer the brewer's setups and choose one, by its id if it is given.
   *
   * @param {StoredSetup[]} setups
   * @param {UnitSystem} units
   * @param {string | null} id
   */
  offer(setups, units, id) {
    const options = setups.map((setup) => h("option", { value: setup.id }, setup.name));
    options.push(h("option", { value: DESCRIBED }, "another, described here"));
    this.select.replaceChildren(...options);
    if (id && setups.some((setup) => setup.id === id)) this.select.value = id;
    this.known.hidden = setups.length === 0;
    this.form.measureIn(units);
    this.node.hidden = false;
    this.#changed();
  }

  #changed() {
    const described = this.select.value === DESCRIBED;
    this.form.node.hidden = !described;
    if (!described) this.choose({ setup_id: this.select.value });
    else this.choose(this.form.described ? { setup: this.form.described } : null);
  }
}
