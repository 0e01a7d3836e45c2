/** The sheet on paper: details shut, controls as text, the mould as a still picture. */
import { button } from "./dom";

export class Paper {
  readonly press: HTMLButtonElement;

  /** before : what has to be done so that everything on the sheet can be printed */
  constructor(before: () => void, whole: () => Promise<void>) {
    addEventListener("beforeprint", before);
    this.press = button("Print", () => {
      // What is still being worked out is waited for: half a sheet is no use on the bench.
      void whole().then(() => window.print());
    });
  }
}
