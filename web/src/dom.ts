/** Making elements: one function, and the finding of those that the page begins with. */

type Given = Record<string, string | boolean | ((event: Event) => void)>;

/**
 * An element with attributes and children.  A name that begins with "on" takes a listener;
 * false leaves an attribute out, true sets it empty.
 */
export function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  given: Given = {},
  ...children: (Node | string)[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

/** The element that the document begins with under this id. */
export function there(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the document has no #${id}`);
  return found;
}

/** A button that stands in a line of text. */
export function button(words: string, press: () => void, given: Given = {}): HTMLButtonElement {
  return make("button", { type: "button", onclick: press, ...given }, words);
}

/** A text shown only where it differs: writing the same text again would lose a selection in it. */
export function write(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

/** Whether a key that the page takes would be stolen from someone who types. */
export function typing(target: EventTarget | null): boolean {
  return target instanceof Element && target.matches("input:not([type=range], [type=checkbox], [type=radio]), textarea, select");
}
