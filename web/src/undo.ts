/** Steps back and forward: two buttons, and the keys everyone knows, outside of what is typed. */
import { button, typing } from "./dom";
import type { Job } from "./job";
import type { State } from "./state";

export class Undo {
  readonly back: HTMLButtonElement;
  readonly forth: HTMLButtonElement;

  constructor(
    private readonly state: State,
    private readonly job: Job,
  ) {
    this.back = button("Undo", () => job.undo(), { "aria-keyshortcuts": "Control+Z" });
    this.forth = button("Redo", () => job.redo(), { "aria-keyshortcuts": "Control+Y" });
    document.addEventListener("keydown", (event) => this.key(event));
    this.update();
  }

  /** A button that can do nothing says so, and keeps the focus that it has. */
  update(): void {
    this.back.setAttribute("aria-disabled", String(!this.state.canUndo));
    this.forth.setAttribute("aria-disabled", String(!this.state.canRedo));
  }

  private key(event: KeyboardEvent): void {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || typing(event.target)) return;
    const key = event.key.toLowerCase();
    const forth = key === "y" || (key === "z" && event.shiftKey);
    if (!forth && key !== "z") return;
    event.preventDefault();
    if (forth) this.job.redo();
    else this.job.undo();
  }
}
