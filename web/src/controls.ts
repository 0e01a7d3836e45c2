/** All controls of the document by their key, and what the job says of every key. */
import { Control, type Say, unknown } from "./control";
import type { Field } from "./types";

export class Controls {
  private readonly all = new Map<string, Control>();
  private fields = new Map<string, Field>();

  constructor(private readonly say: Say) {}

  /** What the job says now; controls of keys that did not change are not touched. */
  update(fields: Field[]): void {
    this.fields = new Map(fields.map((field) => [field.key, field]));
    for (const [key, control] of this.all) {
      if (!control.box.isConnected) this.all.delete(key);
      else control.update(this.fields.get(key) ?? unknown(key));
    }
  }

  field(key: string): Field | undefined {
    return this.fields.get(key);
  }

  /** The control of a key, where there is one in the document. */
  of(key: string): Control | undefined {
    const control = this.all.get(key);
    return control?.box.isConnected ? control : undefined;
  }

  /** Nothing that was typed and refused stands any longer: another job is shown. */
  settle(): void {
    for (const control of this.all.values()) control.right();
  }

  /** Say nothing of a key any more. */
  take(key: string): void {
    const control = this.of(key);
    if (control) this.say(key, "", control);
  }

  /** Give every value of a part that has a key its control, unless the key has one elsewhere. */
  bind(section: HTMLElement): void {
    for (const element of section.querySelectorAll<HTMLElement>("[data-key]")) {
      if (element.parentElement?.classList.contains("field") || element.closest("h1")) continue;
      const field = this.fields.get(element.dataset["key"]!) ?? this.whole(element);
      if (!field) continue;
      const other = this.of(field.key);
      if (other && !other.box.closest(".more")) continue;
      const within = other?.box.contains(document.activeElement) ?? false;
      other?.box.closest("p")?.remove(); // it was offered among what more can be said
      const control = new Control(field, element, this.say);
      this.all.set(field.key, control);
      if (within) control.focus();
    }
    for (const [key, control] of this.all) if (section.contains(control.box)) control.update(this.fields.get(key) ?? control.field);
  }

  /** A control for a key that the sheet does not show. */
  loose(field: Field, describedBy = ""): Control {
    const control = new Control(field, null, this.say, describedBy);
    this.all.set(field.key, control);
    return control;
  }

  /** A control for a key that an error names, though nothing shows it. */
  unheard(key: string): Control {
    return this.loose(this.fields.get(key) ?? unknown(key));
  }

  /** One of several readings is edited with the whole list: the first of them stands for it. */
  private whole(element: HTMLElement): Field | undefined {
    const key = element.dataset["key"]!;
    const list = this.fields.get(key.replace(/\.\d+$/, ""));
    return list?.kind === "list" && /\.[01]$/.test(key) ? list : undefined;
  }
}
