import { h } from "./dom.js";
import { Latest } from "./latest.js";
import { fromClub } from "./service.js";

/**
 * @typedef {import("./api").Scaling} Scaling
 * @typedef {import("./api").ScalingDocument} ScalingDocument
 */

const STAYS = " It opens in a new tab. The address opens it for 30 days, for whoever has it.";

/** Keeps a plan, and has the club's server make the address of its brew sheet. */
export class SheetMaker {
  node = h("div", { class: "sheet" });
  /** @type {string | null} */
  #club = null;
  /** @type {{body: string, key: string} | null} */
  #sent = null;
  #making;

  /**
   * @param {(document: ScalingDocument, headers: Record<string, string>, signal: AbortSignal) =>
   *   Promise<Scaling>} store
   * @param {{made: (kept: Scaling) => void, failed: (error: unknown, again: () => void) => void}} tell
   */
  constructor(store, tell) {
    this.store = store;
    this.#making = new Latest(
      (/** @type {ScalingDocument} */ document, signal) => this.#make(document, signal),
      {
        answered: ({ kept, address }) => {
          tell.made(kept);
          this.#show(address);
        },
        failed: (error, document) => {
          this.offer(document);
          tell.failed(error, () => this.#start(document));
        },
      },
    );
  }

  /** @param {string | null} address Where the club's server makes addresses of sheets. */
  makeAt(address) {
    this.#club = address;
  }

  /** @param {ScalingDocument | null} document Null for a plan that cannot be kept by itself. */
  offer(document) {
    this.withdraw();
    if (!this.#club) return;
    if (!document) {
      this.node.append(h("p", {}, "A brew sheet cannot be made of this way out yet."));
      return;
    }
    const button = h("button", { type: "button", click: () => this.#start(document) }, "Make the brew sheet");
    this.node.append(h("p", {}, button, " It keeps this plan for brew day."));
  }

  withdraw() {
    this.#making.drop();
    this.node.replaceChildren();
  }

  /** @param {ScalingDocument} document */
  #start(document) {
    const said = h("p", { tabindex: "-1" }, "Making the brew sheet.");
    this.node.replaceChildren(said);
    said.focus();
    void this.#making.now(document);
  }

  /**
   * @param {ScalingDocument} document
   * @param {AbortSignal} signal
   */
  async #make(document, signal) {
    const body = JSON.stringify(document);
    // Sent again after a broken connection, the same wish must not be kept twice.
    if (this.#sent?.body !== body) this.#sent = { body, key: randomKey() };
    const kept = await this.store(document, { "Idempotency-Key": this.#sent.key }, signal);
    const made = await fromClub(this.#club ?? "", { scaling_id: kept.id }, "a brew sheet");
    return { kept, address: String(made.address) };
  }

  /** @param {string} href */
  #show(href) {
    const to = { href, target: "_blank", rel: "noopener noreferrer" };
    const link = h("a", to, "Open the brew sheet");
    this.node.replaceChildren(h("p", {}, link, STAYS));
    link.focus();
  }
}

function randomKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
