/**
 * A recipe on a page, refitted to the visitor's own brewing setup.
 *
 * Importing the module defines `<wortwright-recipe>`. What it needs is said by its attributes and,
 * where `recipe-id` is not given, by a `<script type="application/json">` inside it that holds the
 * recipe as `POST /v1/recipes` takes it, without `owner`.
 */
export declare class WortwrightRecipe extends HTMLElement {
  static readonly observedAttributes: readonly Attribute[];
}

/** The attributes of `<wortwright-recipe>`. */
export interface Attributes {
  /** Where the service is, such as `https://brew.club.example`. */
  service: string;
  /** Where the club's own server gives page keys. */
  "key-url": string;
  /** Where the club's own server makes the address of a brew sheet; without it there are none. */
  "sheet-url"?: string;
  /** The id of a stored recipe, instead of one written inside the element. */
  "recipe-id"?: string;
  /** The setup to begin with; the brewer's newest otherwise. */
  "setup-id"?: string;
  /** Units to show; the brewer's own otherwise. */
  units?: "metric" | "us" | "imperial";
  /** The volume to begin with, such as `10 L`; the recipe's otherwise. */
  volume?: string;
  /** Where that volume is counted; where the recipe counts it otherwise. */
  "volume-at"?: "kettle" | "fermenter" | "package";
}

export type Attribute = keyof Attributes;

declare global {
  interface HTMLElementTagNameMap {
    "wortwright-recipe": WortwrightRecipe;
  }
}
