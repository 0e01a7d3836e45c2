/** What is wrong with the job as a whole, on top, with the one key that it asks for to be said there. */
import { named } from "./control";
import type { Controls } from "./controls";
import { button, make, there } from "./dom";
import type { Problem } from "./types";

export class Trouble {
  private readonly box = there("trouble");
  private shown = "";

  /**
   * null: nothing is wrong any more.
   *
   * again : where it is not the job that is wrong but the work on it: does it once more
   */
  show(problem: Problem | null, controls: Controls | null, again: (() => void) | null = null): void {
    const text = problem?.text ?? "";
    if (text === this.shown) return;
    this.shown = text;
    const within = this.box.contains(document.activeElement);
    this.box.replaceChildren();
    if (problem) this.tell(problem, controls, again);
    // Who answered here goes on with what is asked for next.
    if (within) (this.box.querySelector<HTMLElement>("input, select, button") ?? there("sheet")).focus({ preventScroll: true });
  }

  private tell(problem: Problem, controls: Controls | null, again: (() => void) | null): void {
    const what = again ? "Not everything could be worked out. " : "This job cannot be worked out as it is. ";
    this.box.append(make("p", { role: "alert" }, make("strong", {}, what), problem.text));
    if (again) this.box.append(make("p", { class: "doing" }, button("Try it again", again)));
    if (!problem.key || !controls) return;
    const shown = controls.of(problem.key);
    if (shown) {
      const away = () => controls.take(problem.key);
      this.box.append(make("p", { class: "doing" }, button("Go to it", () => shown.focus()), button("Take it out of the job", away)));
      return;
    }
    const control = controls.unheard(problem.key);
    this.box.append(make("p", {}, make("label", { for: `key-${problem.key}` }, named(problem.key)), " ", control.box));
  }
}
