/** What the loop of the page asks of the others: of the picture, and of the rest of the document. */
import type { Air, Cut, Problem, Solid } from "./types";

/** Where the mould is shown; the page has one of two. */
export interface Shown {
  /** Solids to show from now on, null where those that are shown are right; air is not known yet. */
  solids(solids: Solid[] | null, name: string, cut: Cut | undefined): void;
  air(air: Air[]): void;
  /** Call back once what stands in the document has been drawn. */
  drawn(then: () => void): void;
  /** Pictures of the sheet are wanted with the rest. */
  readonly stills: boolean;
  /** The part that it stands in is in the document. */
  place(section: HTMLElement): void;
}

/** What the rest of the page wants to know. */
export interface Watching {
  /** The job's text or file changed, or what may be done with it. */
  changed(): void;
  /** Something is wrong with the job as a whole or with the work on it, or nothing is any more. */
  trouble(problem: Problem | null, wrong: "job" | "work"): void;
  renamed(name: string): void;
  /** A part stands in the document, anew perhaps. */
  placed(id: string, section: HTMLElement): void;
  done(mustFix: number): void;
}
