/** The one place that tells a screen reader what happened, without moving anything. */
import { there, write } from "./dom";

let later = 0;

/** Say it when nothing else was said for a moment, so that a run of edits is told once. */
export function tell(words: string): void {
  clearTimeout(later);
  later = window.setTimeout(() => write(there("live"), words), 250);
}

/** What is being worked out just now, at the foot of the window; empty hides it.  Not read aloud. */
export function progress(words: string): void {
  const line = there("progress");
  line.hidden = words === "";
  write(line, words);
}
