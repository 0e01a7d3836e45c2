/** A new job: the same questions as at the terminal, one after another, in the flow of the document. */
import { askFor, problemOf } from "./ask";
import { button, make, there } from "./dom";
import type { Job } from "./job";

interface Question {
  id: string;
  words: string;
  usual: string;
  choices: [word: string, meaning: string][];
  hint: string;
  told: string[];
}

interface Asked {
  question?: Question;
  at?: number;
  of?: number;
  name?: string;
  text?: string;
  told?: string[];
}

export class NewJob {
  private answers: string[] = [];
  private box: HTMLElement | null = null;

  constructor(private readonly job: Job) {}

  /** Begin with the first question. */
  async begin(): Promise<void> {
    this.answers = [];
    this.box?.remove();
    this.box = make("section", { class: "new screen", "aria-labelledby": "new-title" });
    there("sheet").prepend(this.box);
    await this.ask("");
  }

  /** Ask what comes after the answers so far; wrong : why the last one was not taken */
  private async ask(typed: string): Promise<void> {
    let asked: Asked;
    let wrong = "";
    try {
      asked = await askFor<Asked>("/api/new", { answers: this.answers });
    } catch (thrown) {
      wrong = problemOf(thrown).text;
      if (this.answers.length === 0) {
        this.box?.replaceChildren(make("p", { class: "wrong", role: "alert" }, wrong));
        return;
      }
      typed = this.answers.pop() ?? typed;
      try {
        asked = await askFor<Asked>("/api/new", { answers: this.answers });
      } catch (again) {
        this.box?.replaceChildren(make("p", { class: "wrong", role: "alert" }, problemOf(again).text));
        return;
      }
    }
    if (asked.text !== undefined) this.end(asked.text, asked.told ?? []);
    else if (asked.question) this.show(asked.question, asked.at ?? this.answers.length + 1, asked.of ?? 0, typed, wrong);
  }

  private show(question: Question, at: number, of: number, typed: string, wrong: string): void {
    const box = this.box;
    if (!box) return;
    const form = make("form", { novalidate: true });
    const { field, value } = question.choices.length ? choice(question, typed, wrong !== "") : text(question, typed, wrong !== "");
    const said = make("p", { class: "wrong", role: "alert", id: "new-wrong" });
    form.append(
      ...question.told.map((line) => make("p", {}, line)),
      field,
      question.hint ? make("p", { class: "means", id: "new-hint" }, question.hint) : "",
      said,
      make(
        "p",
        { class: "doing" },
        make("button", { type: "submit" }, "Next"),
        this.answers.length ? button("Back", () => {
          const last = this.answers.pop() ?? "";
          void this.ask(last);
        }) : "",
        button("Leave it", () => this.leave()),
      ),
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.answers.push(value());
      void this.ask("");
    });
    box.replaceChildren(make("h2", { id: "new-title" }, `A new job: question ${at}${of ? ` of ${of}` : ""}`), form);
    said.textContent = wrong;
    const chosen = form.querySelector<HTMLElement>("input:checked");
    (chosen?.id === "new-other" ? form.querySelector<HTMLElement>("#new-own") : chosen ?? form.querySelector("input"))?.focus();
  }

  private leave(): void {
    this.box?.remove();
    this.box = null;
    there("sheet").focus();
  }

  /** The job is written; what is said of it at the end stays until it is read. */
  private end(text: string, told: string[]): void {
    if (told.length === 0) this.leave();
    else {
      const read = button("Read", () => this.leave());
      this.box?.replaceChildren(
        make("h2", { id: "new-title" }, "A new job"),
        ...told.map((line) => make("p", {}, line)),
        make("p", { class: "doing" }, read),
      );
      read.focus(); // what had the focus until now is gone
    }
    this.job.open({ text, name: "" });
    scrollTo(0, 0);
  }
}

interface Answer {
  field: HTMLElement;
  value: () => string;
}

/** Questions whose list does not say all: rows and columns of a mould, a density instead of a wood. */
const WIDER = ["mould", "wood"];

/** A question with a short list of answers: what is usual, the list, and one's own words. */
function choice(question: Question, typed: string, refused: boolean): Answer {
  const words = question.choices.map(([word]) => word);
  const own = WIDER.includes(question.id)
    ? make("input", {
        type: "text", id: "new-own", class: "said", size: "20", autocomplete: "off",
        "aria-label": "in your own words", value: words.includes(typed) ? "" : typed,
        "aria-invalid": refused ? "true" : false, "aria-describedby": refused ? "new-wrong" : false,
      })
    : null;
  const row = (word: string, text: string, meaning: string, id = ""): HTMLElement =>
    make(
      "label",
      { class: "one" },
      make("input", { type: "radio", name: "new-answer", value: word, id: id || false, checked: word === typed }),
      ` ${text}`,
      meaning && meaning !== text ? make("span", { class: "means" }, ` ${meaning}`) : "",
    );
  const field = make(
    "fieldset",
    question.hint ? { "aria-describedby": "new-hint" } : {},
    make("legend", {}, question.words),
    row("", "as usual", question.usual),
    ...question.choices.map(([word, meaning]) => row(word, word, meaning)),
  );
  const chosen = (): HTMLInputElement | null => field.querySelector("input:checked");
  if (own) {
    const last = row("\n", "in your own words", "", "new-other");
    field.append(make("div", { class: "other" }, last, " ", own));
    const other = last.querySelector("input")!;
    if (own.value) other.checked = true;
    own.addEventListener("input", () => (other.checked = true));
  }
  if (!chosen()) field.querySelector("input")!.checked = true;
  return { field, value: () => (own && chosen()?.id === "new-other" ? own.value.trim() : (chosen()?.value ?? "")) };
}

/** A question that is answered in one's own words. */
function text(question: Question, typed: string, refused: boolean): Answer {
  const described = [question.hint ? "new-hint" : "", refused ? "new-wrong" : ""].filter(Boolean).join(" ");
  const input = make("input", {
    type: "text", id: "new-answer", class: "said", size: "28", autocomplete: "off",
    value: typed, "aria-invalid": refused ? "true" : false,
    "aria-describedby": described || false,
  });
  const usual = question.usual ? make("span", { class: "means" }, ` left empty: ${question.usual}`) : "";
  const field = make("p", {}, make("label", { for: "new-answer" }, question.words), make("br"), input, usual);
  return { field, value: () => input.value.trim() };
}
