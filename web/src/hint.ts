/** What a key means, beside the field that has the focus.  Escape and leaving the field hide it. */
import { make, there } from "./dom";
import type { Field } from "./types";

const FROM: Record<string, string> = {
  shop: "from the shop file",
  card: "from the card",
};

const box = make("p", { id: "hint", class: "hint screen", hidden: true });

const sentence = (text: string): string => {
  const words = text.replaceAll("`", "").trim();
  return words ? `${words[0]!.toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? "" : "."}` : "";
};

/** All that can be said of a key, in one line. */
export function hintOf(field: Field): string {
  // A list of choices says itself what is usual.
  const listed = field.kind === "yes-no" || field.choices.length > 0;
  const held = field.said === "" && field.usual !== "" && !listed ? `Without it: ${field.usual}.` : "";
  const from = field.said === "" && FROM[field.from] ? sentence(FROM[field.from]!) : "";
  return [sentence(field.hint), held, from].filter(Boolean).join(" ");
}

/** Show what a field means under its control. */
export function showHint(control: HTMLElement, field: Field): void {
  const words = hintOf(field);
  box.hidden = words === "";
  if (box.hidden) return;
  if (!box.isConnected) there("sheet").append(box); // within a landmark, where readers look for it
  box.textContent = words;
  const at = control.getBoundingClientRect();
  const left = Math.min(at.left, document.documentElement.clientWidth - box.offsetWidth - 8);
  box.style.left = `${Math.max(8, left) + window.scrollX}px`;
  box.style.top = `${at.bottom + window.scrollY + 4}px`;
}

/** Hide it again. */
export function hideHint(): void {
  box.hidden = true;
}
