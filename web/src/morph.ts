/**
 * One part of the sheet made into its newer self with as little as possible: what did not change
 * stays the same node, so that focus, caret, selection and place on the screen stay too.
 *
 * Nodes with `data-ours` are the page's own (a picture, a list of what more can be said) and are
 * left alone; a `.field` is the page's wrapper round a value, and counts as that value.
 */

const ours = (node: Node): boolean => node instanceof HTMLElement && node.dataset["ours"] !== undefined;

const fieldOf = (node: Node): Element | null =>
  node instanceof Element && node.classList.contains("field") ? node.firstElementChild : null;

function keyOf(node: Node): string {
  const element = fieldOf(node) ?? node;
  return element instanceof Element ? element.id : "";
}

const alike = (old: Node, next: Node): boolean =>
  (fieldOf(old) ?? old).nodeName === next.nodeName && keyOf(old) === keyOf(next);

/** The children of `old` become those of `next`. */
export function become(old: Element, next: Element): void {
  const olds = [...old.childNodes].filter((node) => !ours(node));
  const keyed = new Map<string, Node>();
  for (const node of olds) if (keyOf(node)) keyed.set(keyOf(node), node);
  const used = new Set<Node>();
  let at = 0;
  let place: Node | null = olds[0] ?? null;
  for (const child of [...next.childNodes]) {
    while (at < olds.length && used.has(olds[at]!)) at += 1;
    const key = keyOf(child);
    const candidate = key ? keyed.get(key) : olds[at];
    const match = candidate && !used.has(candidate) && alike(candidate, child) ? candidate : null;
    if (match === null) {
      old.insertBefore(child.cloneNode(true), place);
      continue;
    }
    used.add(match);
    same(match, child);
    if (match === place) place = after(match);
    else old.insertBefore(match, place);
  }
  for (const node of olds) if (!used.has(node)) node.parentNode?.removeChild(node);
}

/** The next sibling that is the sheet's. */
function after(node: Node): Node | null {
  let next = node.nextSibling;
  while (next && ours(next)) next = next.nextSibling;
  return next;
}

function same(old: Node, next: Node): void {
  if (!(old instanceof Element) || !(next instanceof Element)) {
    if (old.nodeValue !== next.nodeValue) old.nodeValue = next.nodeValue;
    return;
  }
  const element = fieldOf(old) ?? old;
  for (const { name } of [...element.attributes]) if (!next.hasAttribute(name)) element.removeAttribute(name);
  for (const { name, value } of [...next.attributes]) {
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
  }
  become(element, next);
}
