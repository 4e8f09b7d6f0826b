import { h } from "./dom.js";
import { numberIn } from "./words.js";

/**
 * @typedef {import("./api").SetupDocument} SetupDocument
 * @typedef {import("./api").UnitSystem} UnitSystem
 * @typedef {{input: HTMLInputElement, unit: HTMLSpanElement, wrong: HTMLElement, needed: boolean}} Field
 */

const MEMORY = "wortwright-setup";

/** @type {Record<UnitSystem, string>} */
const VOLUME_UNIT = { metric: "L", us: "US gal", imperial: "imp gal" };

const WAYS_TO_LAUTER = {
  no_sparge: "all the water at once, no sparge",
  batch_sparge: "drained, then sparged in batches",
  continuous_sparge: "sparged continuously",
};
const HOLDS_GRAIN = { bag: "a bag", false_bottom: "a false bottom" };

/** A setup described by the visitor. It is kept in their browser for the next recipe. */
export class SetupForm {
  /** @type {SetupDocument | null} */
  described = null;
  #unit = "L";

  /** @param {(setup: SetupDocument) => void} use */
  constructor(use) {
    this.use = use;
    this.kettle = field("kettle", "Kettle, to the brim", true);
    this.tun = field("tun", "Mash tun, if there is one", false);
    this.fermenter = field("fermenter", "Fermenter, to the brim", false);
    this.boilOff = field("boil-off", "Boiled off in an hour, if you know it", false);
    this.lauter = select("lauter", WAYS_TO_LAUTER);
    this.held = select("held", HOLDS_GRAIN);
    this.node = h(
      "form",
      { hidden: true, novalidate: true, submit: (event) => this.#submit(event) },
      h(
        "fieldset",
        {},
        h("legend", {}, "Your setup, described"),
        row(this.kettle),
        choice("How the wort leaves the grain", this.lauter),
        choice("What holds the grain", this.held),
        row(this.tun),
        row(this.fermenter),
        row(this.boilOff),
        h("button", { type: "submit" }, "Refit to this setup"),
      ),
    );
  }

  /** @param {UnitSystem} units */
  measureIn(units) {
    this.#unit = VOLUME_UNIT[units];
    for (const one of this.#fields()) one.unit.textContent = this.#unit;
    this.boilOff.unit.textContent = `${this.#unit} in an hour`;
    this.#recall();
    this.described = this.kettle.input.value ? this.#read() : null;
  }

  #fields() {
    return [this.kettle, this.tun, this.fermenter, this.boilOff];
  }

  /** @param {Event} event */
  #submit(event) {
    event.preventDefault();
    const setup = this.#read();
    this.#fields().find((one) => one.wrong.textContent)?.input.focus();
    if (!setup) return;
    this.described = setup;
    this.#remember();
    this.use(setup);
  }

  /** @returns {SetupDocument | null} */
  #read() {
    const [kettle, tun, fermenter, boilOff] = this.#fields().map((one) => this.#quantityIn(one));
    if (!kettle || this.#fields().some((one) => one.wrong.textContent)) return null;
    return {
      name: "The setup described",
      lauter_method: this.lauter.value,
      grain_held_by: this.held.value,
      vessels: {
        kettle: { capacity: kettle },
        ...(tun && { mash_tun: { capacity: tun } }),
        fermenters: fermenter ? [{ capacity: fermenter }] : [],
      },
      constants: boilOff ? { boil_off: { ...boilOff, unit: `${boilOff.unit}/h` } } : {},
    };
  }

  /** @param {Field} one */
  #quantityIn({ input, wrong, needed }) {
    const value = numberIn(input.value);
    const right = input.value.trim() === "" ? !needed : value !== null && value > 0;
    wrong.textContent = right ? "" : "Write a number such as 30 or 27.5.";
    input.setAttribute("aria-invalid", String(!right));
    return right && value ? { value, unit: this.#unit } : null;
  }

  #remember() {
    const kept = {
      unit: this.#unit,
      fields: this.#fields().map((one) => one.input.value),
      choices: [this.lauter.value, this.held.value],
    };
    try {
      localStorage.setItem(MEMORY, JSON.stringify(kept));
    } catch {
      // A browser that keeps nothing asks again on the next page.
    }
  }

  #recall() {
    try {
      const kept = JSON.parse(localStorage.getItem(MEMORY) ?? "null");
      if (kept?.unit !== this.#unit) return;
      this.#fields().forEach((one, index) => (one.input.value = String(kept.fields[index] ?? "")));
      [this.lauter.value, this.held.value] = kept.choices;
    } catch {
      // Nothing kept, or not by this form.
    }
  }
}

/**
 * @param {string} id
 * @param {string} label
 * @param {boolean} needed
 * @returns {Field & {id: string, label: string}}
 */
function field(id, label, needed) {
  const input = h("input", {
    type: "text",
    id,
    inputmode: "decimal",
    autocomplete: "off",
    "aria-describedby": `${id}-wrong`,
    "aria-required": String(needed),
  });
  const wrong = h("span", { id: `${id}-wrong`, class: "wrong" });
  return { id, label, input, unit: h("span", { class: "unit" }), wrong, needed };
}

/** @param {ReturnType<typeof field>} one */
function row({ id, label, input, unit, wrong }) {
  return h("p", {}, h("label", { for: id }, label), input, unit, wrong);
}

/**
 * @param {string} id
 * @param {Record<string, string>} choices
 */
function select(id, choices) {
  const options = Object.entries(choices).map(([value, said]) => h("option", { value }, said));
  return h("select", { id }, ...options);
}

/**
 * @param {string} label
 * @param {HTMLSelectElement} node
 */
function choice(label, node) {
  return h("p", {}, h("label", { for: node.id }, label), node);
}
