/** @typedef {Node | string | null | undefined | false} Child */

/**
 * Make an element. Text goes in as text: nothing here is ever read as markup.
 *
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number | boolean | ((event: Event) => void)>} attributes
 *   A function is a listener under its event's name; `true` is an attribute without a value.
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function h(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(name, value);
    else if (value !== false) made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(.../** @type {(Node | string)[]} */ (children.filter(Boolean)));
  return made;
}

/**
 * @param {string} caption
 * @param {string[]} columns
 * @param {Child[][]} rows The first cell of each names its row.
 */
export function table(caption, columns, rows) {
  const head = h("tr", {}, ...columns.map((column) => h("th", { scope: "col" }, column)));
  const body = rows.map(([first, ...rest]) =>
    h("tr", {}, h("th", { scope: "row" }, first), ...rest.map((cell) => h("td", {}, cell))),
  );
  return h(
    "table",
    {},
    h("caption", {}, caption),
    h("thead", {}, head),
    h("tbody", {}, ...body),
  );
}
