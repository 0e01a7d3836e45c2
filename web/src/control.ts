/** A value that is edited where it stands: an element with a key becomes a form control. */
import { make } from "./dom";
import { hideHint, hintOf, showHint } from "./hint";
import type { Field, Problem } from "./types";

/** What a person said of a key; the control shows what becomes of it. */
export type Say = (key: string, said: string, control: Control) => void;

/** `piece.hole_depth` for people: "piece, hole depth". */
export const named = (key: string): string => key.replaceAll("_", " ").split(".").join(", ");

/** As the row calls it in which the value stands; of several in a row also which one. */
function nameBeside(shown: HTMLElement, key: string): string {
  const row = shown.closest("tr");
  const head = row?.querySelector("th[scope=row]");
  if (!row || !head || head.querySelector("[data-key]")) return named(key);
  const alone = row.querySelectorAll("[data-key]").length === 1;
  const words = head.textContent?.trim() ?? "";
  return alone ? words : `${words}, ${named(key.split(".").at(-1) ?? "")}`;
}

/** A key of which nothing is known but its name. */
export const unknown = (key: string): Field => ({
  key, said: "", shown: "", kind: "text", choices: [], usual: "", hint: "", from: "",
});

export class Control {
  readonly box: HTMLElement;
  private readonly input: HTMLInputElement | HTMLSelectElement;
  private error: HTMLElement | null = null;
  /** What was typed and not taken yet, or refused. */
  private typed: string | null = null;
  /** Whether the job says something of the key that the sheet could not be worked out with. */
  private ahead = false;
  /** What the control held as a person began to change it. */
  private before = "";

  /**
   * shown : the sheet's own element for the value, or null where the sheet does not show it
   */
  constructor(
    public field: Field,
    private readonly shown: HTMLElement | null,
    private readonly say: Say,
    /** The id of a text that tells what the key means, where one stands in the document. */
    private readonly describedBy = "",
  ) {
    this.input = isChoice(field) ? make("select") : make("input", { type: "text", autocomplete: "off", spellcheck: "false" });
    this.input.classList.add("said");
    if (!describedBy) this.input.setAttribute("aria-label", shown ? nameBeside(shown, field.key) : named(field.key));
    this.input.id = `key-${field.key}`;
    if (describedBy) this.input.setAttribute("aria-describedby", describedBy);
    this.box = make("span", { class: field.kind === "list" ? "field whole" : "field" });
    if (shown) {
      shown.replaceWith(this.box);
      this.box.append(shown);
    }
    this.box.append(this.input);
    this.listen();
    this.refresh();
  }

  /** The job changed, or the sheet's text did. */
  update(field: Field): void {
    this.field = field;
    this.goesAhead(false);
    this.refresh();
  }

  /** The value was refused: why stands beside it, and what was typed stays. */
  wrong(problem: Problem): void {
    if (!this.error) {
      this.error = make("span", { class: "wrong", role: "alert", id: `wrong-${this.field.key}` });
      this.box.append(this.error);
    }
    const allowed = problem.allowed && `Allowed: ${problem.allowed}`;
    this.error.textContent = [problem.what, allowed, problem.try].filter(Boolean).map(full).join(" ");
    hideHint();
    this.input.setAttribute("aria-invalid", "true");
    this.input.setAttribute("aria-describedby", this.error.id);
  }

  /** The value was taken. */
  right(): void {
    this.error?.remove();
    this.error = null;
    this.typed = null;
    this.goesAhead(false);
    this.before = this.input.value;
    this.input.removeAttribute("aria-invalid");
    if (this.describedBy) this.input.setAttribute("aria-describedby", this.describedBy);
    else this.input.removeAttribute("aria-describedby");
    this.refresh();
  }

  /** The value is in the job, though another key has to follow before the sheet can show it. */
  kept(said: string): void {
    this.right();
    this.field = { ...this.field, said };
    this.goesAhead(true);
    this.refresh();
  }

  private goesAhead(ahead: boolean): void {
    this.ahead = ahead;
    this.box.classList.toggle("ahead", ahead);
  }

  focus(): void {
    const folded = this.box.closest("details");
    if (folded) folded.open = true;
    this.input.focus();
  }

  private get focused(): boolean {
    return document.activeElement === this.input;
  }

  private get sheetText(): string {
    return this.ahead ? "" : (this.shown?.textContent ?? "");
  }

  /** What the control shows while nobody is in it: the sheet's words, else the job file's. */
  private get resting(): string {
    if (this.field.kind === "list" && this.field.said) return this.field.said;
    return this.sheetText || this.field.said || (this.shown ? this.field.usual : "");
  }

  /** What it shows to whoever edits it: the job file's own words, where it has any. */
  private get editing(): string {
    return this.field.said || this.resting;
  }

  private refresh(): void {
    if (this.typed !== null) return;
    if (this.input instanceof HTMLSelectElement) {
      this.fill(this.input);
      return;
    }
    const text = this.focused ? this.editing : this.resting;
    // Someone who is in the middle of a word keeps it.
    if (this.focused && this.input.value !== this.before) return;
    if (this.input.value !== text) this.input.value = text;
    this.before = text;
    this.input.placeholder = this.shown ? "" : this.field.usual;
    this.input.size = Math.min(40, Math.max(3, text.length || this.input.placeholder.length));
  }

  /** A list: what may be said, the sheet's words beside the one that holds, and nothing said. */
  private fill(select: HTMLSelectElement): void {
    const { said, usual, choices, kind } = this.field;
    const words = kind === "yes-no" && choices.length === 0 ? ["true", "false"] : choices;
    const options: [string, string][] = words.map((word) => [word, spoken(word, kind)]);
    if (said && !words.includes(said)) options.unshift([said, said]);
    if (said === "" || usual !== "") options.unshift(["", usual ? `as usual: ${spoken(usual, kind)}` : "not said"]);
    const now = options.find(([word]) => word === said);
    const text = this.sheetText;
    if (now && text && text !== now[1]) now[1] = said ? `${text} (${said})` : text;
    const known = [...select.options].map((option) => `${option.value}\n${option.label}`).join("\n\n");
    if (known !== options.map(([word, label]) => `${word}\n${label}`).join("\n\n")) {
      select.replaceChildren(...options.map(([word, label]) => make("option", { value: word }, label)));
    }
    select.value = said;
    this.before = said;
  }

  private listen(): void {
    this.input.addEventListener("focus", () => {
      if (!this.describedBy && !this.error) {
        showHint(this.input, this.field);
        if (hintOf(this.field)) this.input.setAttribute("aria-describedby", "hint");
      }
      if (this.input instanceof HTMLInputElement && this.typed === null) {
        this.refresh();
        this.input.select();
      }
    });
    this.input.addEventListener("blur", () => {
      hideHint();
      if (!this.error && !this.describedBy) this.input.removeAttribute("aria-describedby");
      if (this.input instanceof HTMLInputElement) this.commit();
      this.refresh();
    });
    if (this.input instanceof HTMLSelectElement) {
      this.input.addEventListener("change", () => this.commit());
    } else {
      this.input.addEventListener("input", () => {
        (this.input as HTMLInputElement).size = Math.min(40, Math.max(3, this.input.value.length));
      });
    }
    this.input.addEventListener("keydown", (event) => {
      const key = (event as KeyboardEvent).key;
      if (key === "Enter" && this.input instanceof HTMLInputElement) {
        event.preventDefault();
        this.commit(true);
      } else if (key === "Escape") {
        hideHint();
        this.restore();
      }
    });
  }

  /** Say what was typed, if it is anything new; once more if it was refused and is insisted on. */
  private commit(insisted = false): void {
    const said = this.input.value.trim();
    const refused = insisted && this.error !== null;
    if (said === (this.typed ?? this.before) && !refused) return;
    if (said === this.before && this.typed !== null) {
      this.right();
      return;
    }
    this.typed = said;
    this.say(this.field.key, said, this);
  }

  /** As it was before anything was typed. */
  private restore(): void {
    this.input.value = this.before;
    if (this.typed !== null) this.right();
    if (this.input instanceof HTMLInputElement) this.input.select();
  }
}

const full = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`);

const spoken = (word: string, kind: string): string =>
  kind === "yes-no" ? (word === "true" ? "yes" : word === "false" ? "no" : word) : word;

const isChoice = (field: Field): boolean =>
  field.kind === "yes-no" || ((field.kind === "choice" || field.kind === "card") && field.choices.length > 0);
