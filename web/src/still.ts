/** Without WebGL: the sheet's own pictures of the mould, which the server draws. */
import { make } from "./dom";
import type { Shown } from "./shown";
import type { Air } from "./types";

export class Still implements Shown {
  readonly stills = true;
  private readonly words = make("ul", { class: "air", "data-ours": true });

  solids(): void {}

  air(air: Air[]): void {
    const said = [...new Set(air.map((one) => one.words).filter(Boolean))];
    this.words.replaceChildren(...said.map((one) => make("li", {}, one)));
  }

  drawn(then: () => void): void {
    requestAnimationFrame(() => setTimeout(then));
  }

  place(section: HTMLElement): void {
    const before = section.querySelector('[data-slot="section"], table');
    if (this.words.parentElement !== section) section.insertBefore(this.words, before);
  }
}
