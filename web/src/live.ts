/** The one place that tells a screen reader what happened, and the lines that say what is being done. */
import { button, make, there, write } from "./dom";

let later = 0;

/** Say it when nothing else was said for a moment, so that a run of edits is told once. */
export function tell(words: string): void {
  clearTimeout(later);
  later = window.setTimeout(() => write(there("live"), words), 250);
}

/** From here on a person is told for how long, and may stop it [ms]. */
const LONG_MS = 3000;

/** A line that says what is being worked out just now.  Not read aloud. */
export class Working {
  private readonly words = make("span");
  private readonly since = make("span");
  private readonly press = button("Stop", () => this.stop?.());
  private stop: (() => void) | null = null;
  private begun = 0;
  private ticks = 0;

  constructor(private readonly line: HTMLElement) {
    line.hidden = true;
    line.append(this.words, this.since, " ", this.press);
  }

  /** stop : gives it up; what is said next without one keeps the last. */
  show(words: string, stop?: () => void): void {
    if (stop || this.line.hidden) this.stop = stop ?? null;
    write(this.words, words);
    if (!this.line.hidden) return;
    this.line.hidden = false;
    this.begun = performance.now();
    this.tick();
    this.ticks = window.setInterval(() => this.tick(), 1000);
  }

  done(): void {
    const within = this.line.contains(document.activeElement);
    clearInterval(this.ticks);
    this.line.hidden = true;
    // Who stopped it by the keyboard goes on with the job.
    if (within) there("sheet").focus({ preventScroll: true });
  }

  private tick(): void {
    const ms = performance.now() - this.begun;
    const long = ms >= LONG_MS;
    write(this.since, long ? `, ${Math.floor(ms / 1000)} s` : "");
    this.press.hidden = !long || this.stop === null;
  }
}
