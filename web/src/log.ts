/** The log, in its part of the sheet: a load that was poured, and what was found at the lathe. */
import { askFor, givenUp, problemOf } from "./ask";
import { button, make } from "./dom";
import { Working } from "./live";
import type { State } from "./state";

interface Told {
  said: string[];
  warnings?: string[];
}

/** What may be said of a load; left empty it is as the pot card has it. */
const POURED: [name: string, words: string, means: string][] = [
  ["load", "load", "its number on the pot card; empty: the next one to pour"],
  ["shop", "in the shop", "such as 19 C"],
  ["close", "from mixing to pressure", "such as 16 min"],
  ["pressure", "pressure", "on the gauge, such as 45 psi"],
  ["when", "when", "such as 2026-11-20 18:30; empty: now"],
  ["gap", "gap", "as printed, of all, or of some as 1-4=0.9 mm; several with semicolons"],
  ["moulds", "moulds", "those really poured, such as 1-6, 8"],
  ["mixed", "mixed", "resin that was weighed out"],
  ["left", "left over", "of it"],
  ["note", "note", "anything else"],
];

const FOUND: [name: string, words: string, means: string][] = [
  ["load", "load", "the number that its card got"],
  ["words", "what was found", "all good; or such as: voids in 3 and 7, 7 scrapped, 25 min"],
  ["note", "note", "anything else"],
];

/** The command's words for a field, `--shop`, as this form has them. */
const asHere = (text: string): string =>
  text.replace(/--([a-z]+)/g, (flag, name: string) => POURED.find(([one]) => one === name)?.[1] ?? flag);

export class Log {
  private readonly box = make("details", { class: "more screen", "data-ours": true });
  private readonly said = make("div", { role: "status" });
  private readonly doing = make("p");
  private readonly working = new Working(this.doing);
  private readonly wrong = make("p", { class: "wrong", role: "alert" });
  private readonly again = make("input", { type: "checkbox" });

  /** logged : something was written, so what castings teach may be another thing now */
  constructor(
    private readonly state: State,
    private readonly logged: () => void,
  ) {
    this.box.append(
      make("summary", {}, "write into the log"),
      this.form("poured", "A load was poured", POURED, (values) => this.pour(values), make("p", {}, make("label", {}, this.again, " cast once more, a load that was poured before"))),
      this.form("found", "Found at the lathe", FOUND, (values) => this.write({ do: "result", ...values })),
      make("p", {}, button("Take the last one back", () => void this.write({ do: "undo" }))),
      this.doing,
      this.said,
      this.wrong,
    );
  }

  /** The part that it stands in is in the document. */
  place(section: HTMLElement): void {
    if (this.box.parentElement !== section) section.append(this.box);
  }

  private form(id: string, title: string, fields: typeof POURED, send: (values: Record<string, string>) => void, ...further: Node[]): HTMLFormElement {
    const inputs = new Map<string, HTMLInputElement>();
    const rows = fields.map(([name, words, means]) => {
      const input = make("input", { type: "text", id: `log-${id}-${name}`, class: "said", autocomplete: "off", "aria-describedby": `log-${id}-${name}-means` });
      inputs.set(name, input);
      return make("p", {}, make("label", { for: input.id }, words), " ", input, " ", make("span", { class: "means", id: `${input.id}-means` }, means));
    });
    const form = make("form", { "aria-label": title }, make("h3", {}, title), make("div", {}, ...rows), ...further, make("p", {}, make("button", { type: "submit" }, "Write it down")));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      send(Object.fromEntries([...inputs].map(([name, input]) => [name, input.value.trim()])));
    });
    return form;
  }

  private pour(values: Record<string, string>): void {
    const gap = (values["gap"] ?? "").split(";").map((one) => one.trim()).filter(Boolean);
    void this.write({ do: "pour", text: this.state.text, ...values, gap, again: this.again.checked });
  }

  private async write(body: object): Promise<void> {
    this.wrong.textContent = "";
    this.said.replaceChildren();
    const asking = new AbortController();
    this.working.show("being written down", () => asking.abort());
    try {
      const told = await askFor<Told>("/api/log", body, asking.signal);
      this.said.replaceChildren(...[...told.said, ...(told.warnings ?? [])].map((line) => make("p", {}, line)));
      for (const form of this.box.querySelectorAll("form")) form.reset();
      this.logged();
    } catch (thrown) {
      this.wrong.textContent = givenUp(thrown) ? "Stopped: look into the log whether it stands there." : asHere(problemOf(thrown).text);
    } finally {
      this.working.done();
    }
  }
}
