/** The job file as it will be saved, for whoever would rather write in it. */
import { button, make } from "./dom";
import type { Job } from "./job";
import type { State } from "./state";

export class Text {
  readonly details = make("details", { class: "text" }, make("summary", {}, "The job file, as it is saved"));
  private readonly area = make("textarea", { id: "job-text", spellcheck: "false", "aria-label": "text of the job file" });

  constructor(
    private readonly state: State,
    job: Job,
  ) {
    const take = () => job.open({ text: this.area.value, name: this.state.name });
    this.details.append(this.area, make("p", { class: "doing" }, button("Take this text", take), button("As it was", () => this.fill())));
    this.details.addEventListener("toggle", () => this.fill());
  }

  /** The job changed: the text follows, unless somebody is writing in it. */
  update(): void {
    if (document.activeElement !== this.area) this.fill();
  }

  private fill(): void {
    if (this.details.open && this.area.value !== this.state.text) this.area.value = this.state.text;
  }
}
