/**
 * What a tab holds: the job file's text, step by step, in the tab's own session storage, so that
 * a reload loses nothing and two tabs never meet.  Every step is stored once, under its number.
 */

/** A job as it stood: its text, and the name of its file in the folder ("" for none yet). */
export interface Step {
  text: string;
  name: string;
}

interface Book {
  first: number;
  at: number;
  last: number;
  /** By file name: its stamp in the folder, and the text it had there. */
  kept: Record<string, { stamp: string; text: string }>;
}

/** What Storage does of it; tests hand in a plain one. */
export type Store = Pick<Storage, "getItem" | "setItem" | "removeItem">;

/** Steps that can be undone; the oldest go first. */
const STEPS = 200;
const BOOK = "mouldgen.book";
const page = (n: number): string => `mouldgen.step.${n}`;

export class State {
  private book: Book = { first: 0, at: -1, last: -1, kept: {} };
  private now: Step = { text: "", name: "" };

  constructor(private readonly store: Store) {
    const said = store.getItem(BOOK);
    if (said === null) return;
    const book = JSON.parse(said) as Book;
    const step = store.getItem(page(book.at));
    if (step === null) return;
    this.book = book;
    this.now = JSON.parse(step) as Step;
  }

  /** Whether the tab holds no job yet. */
  get empty(): boolean {
    return this.book.at < 0;
  }

  get step(): Step {
    return this.now;
  }

  get text(): string {
    return this.now.text;
  }

  get name(): string {
    return this.now.name;
  }

  /** The stamp that the job's file had when this tab last read or wrote it. */
  get stamp(): string {
    return this.book.kept[this.now.name]?.stamp ?? "";
  }

  /** Whether the job differs from its file, or has none. */
  get unsaved(): boolean {
    return this.book.kept[this.now.name]?.text !== this.now.text;
  }

  get canUndo(): boolean {
    return this.book.at > this.book.first;
  }

  get canRedo(): boolean {
    return this.book.at < this.book.last;
  }

  /** A further step; what had been undone is gone. */
  push(step: Step): void {
    if (!this.empty && step.text === this.now.text && step.name === this.now.name) return;
    for (let n = this.book.at + 1; n <= this.book.last; n += 1) this.store.removeItem(page(n));
    this.book.at += 1;
    this.book.last = this.book.at;
    if (this.book.last - this.book.first >= STEPS) this.forget(1);
    this.now = step;
    this.write(page(this.book.at), JSON.stringify(step));
    this.keep();
  }

  /** One step back; null where there is none. */
  undo(): Step | null {
    return this.canUndo ? this.go(this.book.at - 1) : null;
  }

  /** One step forward again; null where there is none. */
  redo(): Step | null {
    return this.canRedo ? this.go(this.book.at + 1) : null;
  }

  /** The file of this name has this stamp and this text. */
  filed(name: string, stamp: string, text: string): void {
    if (name) this.book.kept[name] = { stamp, text };
    this.keep();
  }

  /** The job of this step has another file from now on; that is no step of its own. */
  rename(name: string): void {
    this.now = { ...this.now, name };
    this.write(page(this.book.at), JSON.stringify(this.now));
  }

  private go(at: number): Step | null {
    const said = this.store.getItem(page(at));
    if (said === null) return null;
    this.book.at = at;
    this.now = JSON.parse(said) as Step;
    this.keep();
    return this.now;
  }

  private keep(): void {
    this.write(BOOK, JSON.stringify(this.book));
  }

  private forget(many: number): void {
    for (let n = 0; n < many && this.book.first < this.book.at; n += 1) {
      this.store.removeItem(page(this.book.first));
      this.book.first += 1;
    }
  }

  /** A full store makes room by forgetting old steps; the job itself is a few kilobytes. */
  private write(name: string, said: string): void {
    for (;;) {
      try {
        this.store.setItem(name, said);
        return;
      } catch (thrown) {
        if (this.book.first >= this.book.at) throw thrown;
        this.forget(20);
      }
    }
  }
}
