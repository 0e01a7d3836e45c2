/** Under each part: keys of the job file that the sheet does not show, ready to be said. */
import { type Control, named } from "./control";
import type { Controls } from "./controls";
import { button, make, write } from "./dom";
import { hintOf } from "./hint";
import type { Change, Field } from "./types";

/** Tables that a job may have several of, and what one of them is called. */
const LISTS: [RegExp, string, string][] = [
  [/^colour\.(\d+)\./, "colour", "colour"],
  [/^insert\.member\.(\d+)\./, "insert.member", "member"],
];

const isList = (key: string): boolean => LISTS.some(([, list]) => list === key);

interface Row {
  line: HTMLElement;
  means: HTMLElement;
  control: Control;
}

class Details {
  readonly box: HTMLDetailsElement;
  private readonly rows = new Map<string, Row>();
  private readonly list = make("div");
  private readonly tables = make("p", { class: "tables" });
  private keys: string[] = [];

  constructor(
    private readonly controls: Controls,
    private readonly change: (change: Change) => void,
    name: string,
  ) {
    const summary = make("summary", {}, "more that can be said");
    summary.append(make("span", { class: "unseen" }, `: ${name}`));
    this.box = make("details", { class: "more screen", "data-ours": true }, summary, this.list, this.tables);
    // The rows are made when somebody wants to see them.
    this.box.addEventListener("toggle", () => this.refresh());
  }

  offer(keys: string[]): void {
    this.keys = keys;
    this.box.hidden = keys.length === 0;
    this.refresh();
  }

  private refresh(): void {
    if (!this.box.open) return;
    const missing = this.keys.filter((key) => this.controls.field(key) && !isList(key) && !onSheet(key, this.controls));
    for (const [key, row] of this.rows) {
      if (missing.includes(key) && row.line.isConnected) continue;
      row.line.remove();
      this.rows.delete(key);
    }
    let before: Element | null = null;
    for (const key of missing) {
      const row = this.rows.get(key) ?? this.row(this.controls.field(key)!);
      write(row.means, hintOf(this.controls.field(key)!));
      const place: Element | null = before ? before.nextElementSibling : this.list.firstElementChild;
      if (place !== row.line) this.list.insertBefore(row.line, place);
      before = row.line;
    }
    this.refreshTables();
  }

  private row(field: Field): Row {
    const means = make("span", { class: "means", id: `means-${field.key}` });
    const control = this.controls.loose(field, means.id);
    const label = make("label", { for: `key-${field.key}` }, named(field.key));
    const row = { line: make("p", {}, label, " ", control.box, " ", means), means, control };
    this.rows.set(field.key, row);
    return row;
  }

  private refreshTables(): void {
    const made: HTMLElement[] = [];
    for (const [pattern, key, word] of LISTS) {
      if (!this.keys.some((one) => pattern.test(one) || one === key)) continue;
      const have = new Set(this.keys.map((one) => pattern.exec(one)?.[1]).filter((n) => n !== undefined));
      made.push(button(`Another ${word}`, () => this.change({ key, add: true })));
      for (const n of have) {
        const name = this.controls.field(`${key}.${n}.name`)?.said || n;
        made.push(button(`Without ${word} ${name}`, () => this.change({ key: `${key}.${n}`, drop: true })));
      }
    }
    const words = (nodes: Iterable<Element>) => [...nodes].map((node) => node.textContent).join("\n");
    if (words(made) === words(this.tables.children)) return;
    const pressed = this.tables.contains(document.activeElement) ? document.activeElement?.textContent : null;
    this.tables.replaceChildren(...made);
    // Whoever pressed one of them stays there.
    if (pressed) (made.find((one) => one.textContent === pressed) ?? made[0])?.focus();
  }
}

const onSheet = (key: string, controls: Controls): boolean => {
  const control = controls.of(key);
  return control !== undefined && !control.box.closest(".more, .trouble");
};

export class More {
  private readonly parts = new Map<string, Details>();
  private places: Record<string, string[]> = {};

  constructor(
    private readonly controls: Controls,
    private readonly change: (change: Change) => void,
  ) {}

  /** Which keys belong to which part. */
  update(places: Record<string, string[]>, parts: [string, HTMLElement][]): void {
    this.places = places;
    for (const [id, section] of parts) this.put(id, section);
  }

  /** Whether keys belong to a part. */
  has(id: string): boolean {
    return (this.places[id]?.length ?? 0) > 0;
  }

  /** A part stands in the document, anew perhaps. */
  put(id: string, section: HTMLElement): void {
    const keys = this.places[id] ?? [];
    let details = this.parts.get(id);
    if (!details && keys.length === 0) return;
    if (!details) {
      details = new Details(this.controls, this.change, section.querySelector("h2")?.textContent ?? id);
      this.parts.set(id, details);
    }
    if (details.box.parentElement !== section || details.box.nextElementSibling) section.append(details.box);
    details.offer(keys);
  }
}
