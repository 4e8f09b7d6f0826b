import { h } from "./dom.js";
import { WHERE, amount, numberIn, scale } from "./words.js";

/**
 * @typedef {import("./api").Quantity} Quantity
 * @typedef {import("./api").VolumeAt} VolumeAt
 * @typedef {{volume: Quantity, volume_at: VolumeAt}} Chosen
 */

/** @type {VolumeAt[]} */
const PLACES = ["package", "fermenter", "kettle"];
const HOW = "Write a number such as 10 or 9.5.";

/** How much beer: a stick to slide along, the same as a number, and where it is counted. */
export class VolumeChooser {
  #unit = "L";
  #decimals = 1;
  #chosen = false;

  /** @param {(chosen: Chosen) => void} choose */
  constructor(choose) {
    this.choose = choose;
    this.stick = h("input", { type: "range", id: "stick", input: () => this.#slid() });
    this.typed = h("input", {
      type: "text",
      id: "volume",
      inputmode: "decimal",
      autocomplete: "off",
      "aria-describedby": "volume-wrong",
      input: () => this.#tell(),
    });
    this.unit = h("span", { class: "unit" });
    this.least = h("span");
    this.most = h("span");
    this.wrong = h("p", { id: "volume-wrong", class: "wrong" });
    const places = PLACES.map((place) => h("option", { value: place }, WHERE[place]));
    this.at = h("select", { id: "at", change: () => this.#tell() }, ...places);
    this.node = h(
      "fieldset",
      { class: "volume", hidden: true },
      h("legend", {}, "How much beer"),
      h("div", {}, h("label", { for: "stick" }, "Slide to a volume"), this.stick),
      // The stick itself tells a screen reader where it ends.
      h("div", { class: "ends", "aria-hidden": "true" }, this.least, this.most),
      h(
        "div",
        { class: "pair" },
        h("div", {}, h("label", { for: "volume" }, "or write it"), this.typed, this.unit),
        h("div", {}, h("label", { for: "at" }, "counted"), this.at),
      ),
      this.wrong,
    );
  }

  /**
   * Show what was asked for, along a stick as long as the kettle is large. What the visitor has
   * chosen meanwhile is left as it is.
   *
   * @param {Chosen} asked
   * @param {Quantity} kettle
   */
  show(asked, kettle) {
    const { least, most, step, decimals } = scale(asked.volume, kettle);
    this.#unit = asked.volume.unit;
    this.#decimals = decimals;
    Object.assign(this.stick, { min: `${least}`, max: `${most}`, step: `${step}` });
    this.unit.textContent = this.#unit;
    this.least.textContent = amount({ value: least, unit: this.#unit });
    this.most.textContent = amount({ value: most, unit: this.#unit });
    if (!this.#chosen) {
      this.at.value = asked.volume_at;
      this.typed.value = asked.volume.value.toFixed(decimals);
      this.#slideTo(asked.volume.value);
    }
    this.node.hidden = false;
  }

  /** Let the next answer say what was asked for. */
  reset() {
    this.#chosen = false;
  }

  #slid() {
    this.typed.value = Number(this.stick.value).toFixed(this.#decimals);
    this.#tell();
  }

  /** @param {number} value */
  #slideTo(value) {
    this.stick.value = String(value);
    this.stick.setAttribute("aria-valuetext", amount({ value, unit: this.#unit }));
  }

  #tell() {
    this.#chosen = true;
    const value = numberIn(this.typed.value);
    this.wrong.textContent = value ? "" : HOW;
    this.typed.setAttribute("aria-invalid", String(!value));
    if (!value) return;
    this.#slideTo(value);
    const volume = { value, unit: this.#unit };
    this.choose({ volume, volume_at: /** @type {VolumeAt} */ (this.at.value) });
  }
}
