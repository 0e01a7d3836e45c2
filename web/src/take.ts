/** What is taken along: files to print from, the sheet, the cards, the job itself. */
import { givenUp, post, problemOf } from "./ask";
import { button, make, there } from "./dom";
import { tell, Working } from "./live";
import type { State } from "./state";

const KINDS: [string, string, string][] = [
  ["stl", "STL", "parts to print, one file each, in a zip"],
  ["3mf", "3MF", "the same with names and millimetres in the file, in a zip"],
  ["sheet", "Sheet", "this job as one file, to read and to print"],
  ["pdf", "PDF", "the sheet as pages"],
  ["cards", "Pot cards", "a page for each time the pot is shut, in a zip"],
  ["job", "Job file", "what you said, with your remarks"],
  ["all", "All of it", "in a zip"],
];

export class Take {
  private readonly anyway = make("input", { type: "checkbox", id: "take-anyway" });
  private readonly ask = make("p", { hidden: true }, make("label", {}, this.anyway, " although something must be fixed first: the files' names say so"));
  private readonly note = make("p", { class: "wrong", role: "alert" });
  private readonly doing = make("p");
  private readonly working = new Working(this.doing);
  private readonly paper = make("select", { id: "take-paper", class: "said" }, make("option", { value: "a4" }, "A4"), make("option", { value: "letter" }, "Letter"));

  constructor(
    private readonly state: State,
    pdf: boolean,
  ) {
    const kinds = KINDS.filter(([what]) => pdf || what !== "pdf");
    there("take").replaceChildren(
      make("h2", { id: "take-title" }, "Take along"),
      make("p", {}, make("label", { for: "take-paper" }, "paper"), " ", this.paper),
      this.ask,
      make("ul", { class: "take" }, ...kinds.map(([what, words, means]) => make("li", {}, button(words, () => void this.fetch(what, words)), " ", make("span", { class: "means" }, means)))),
      this.doing,
      this.note,
    );
  }

  /** mustFix : how many things are wrong with the job as it is */
  update(mustFix: number): void {
    this.ask.hidden = mustFix === 0;
    if (mustFix === 0) this.anyway.checked = false;
  }

  private async fetch(what: string, words: string): Promise<void> {
    const asking = new AbortController();
    this.note.textContent = "";
    tell(`${words}: being made.`);
    this.working.show(`${words}: being made`, () => asking.abort());
    try {
      const body = { text: this.state.text, what, paper: this.paper.value, anyway: this.anyway.checked };
      const got = await post("/api/download", body, asking.signal);
      const name = /filename="([^"]+)"/.exec(got.headers.get("Content-Disposition") ?? "")?.[1] ?? what;
      const href = URL.createObjectURL(await got.blob());
      const link = make("a", { href, download: name });
      document.body.append(link);
      link.click();
      link.remove();
      // The browser has read it by then.
      setTimeout(() => URL.revokeObjectURL(href), 60_000);
      tell(`${name} is made.`);
    } catch (thrown) {
      this.note.textContent = givenUp(thrown) ? `${words}: stopped.` : problemOf(thrown).text;
    } finally {
      this.working.done();
    }
  }
}
