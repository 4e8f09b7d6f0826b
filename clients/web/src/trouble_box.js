import { h } from "./dom.js";
import { Trouble } from "./problems.js";

/** Where it is said what went wrong, with a button to try again. */
export class TroubleBox {
  node = h("div", { role: "alert", class: "trouble" });

  /**
   * @param {unknown} error
   * @param {string} remark What holds of the rest of the page meanwhile.
   * @param {() => void} again
   */
  show(error, remark, again) {
    const trouble = error instanceof Trouble ? error : new Trouble("This page failed. Load it again.");
    if (trouble !== error) console.error(error);
    const places = trouble.details.map((detail) => h("li", {}, detail));
    this.node.replaceChildren(
      h("p", {}, h("strong", {}, trouble.message)),
      ...(places.length ? [h("ul", {}, ...places)] : []),
      ...(remark ? [h("p", {}, remark)] : []),
      h("button", { type: "button", click: again }, "Try again"),
    );
  }

  clear() {
    this.node.replaceChildren();
  }
}
