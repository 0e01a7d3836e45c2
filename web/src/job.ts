/**
 * The loop of the page: an edit asks for what is quick, shows it, then asks for the rest.
 * The newest edit wins; what an older one had said is kept, though its answer is not waited for.
 */
import { askFor, givenUp, plain, post, problemOf, Refused } from "./ask";
import type { Control } from "./control";
import { Controls } from "./controls";
import { airOf, early, lines, type Early } from "./framing";
import { tell, Working } from "./live";
import { there } from "./dom";
import { More } from "./more";
import { Sheet } from "./sheet";
import type { Shown, Watching } from "./shown";
import type { State, Step } from "./state";
import type { Change, Problem, RestLine, Value } from "./types";

interface Saying {
  change: Change;
  control: Control | null;
}

const texts = (said: (string | Value)[]): string[] => said.map((one) => (typeof one === "string" ? one : one.text));

/** A window that is not seen draws nothing; its slow work begins all the same [ms]. */
const SEEN_MS = 400;

const STOPPED = plain("stopped", "It was stopped before it was worked out.", "");

const after = (ms: number): Promise<void> => new Promise((then) => setTimeout(then, ms));

export class Job {
  readonly sheet: Sheet;
  readonly controls: Controls;
  private readonly more: More;
  private asking: AbortController | null = null;
  /** What a person gave up; any other is given up for a newer one. */
  private stopped: AbortController | null = null;
  private readonly working = new Working(there("progress"));
  /** The edit whose answer is awaited: its words are not in the text yet. */
  private saying: Saying | null = null;
  private chain: Promise<void> = Promise.resolve();
  /** The key of the solids that are shown. */
  private known = "";
  /** Whether every part shows the job as the tab holds it. */
  private complete = false;
  private lead = "";
  private stops: string[] = [];
  /** Awaited by who wants the whole sheet, as paper does. */
  private whole: Promise<void> = Promise.resolve();

  constructor(
    private readonly state: State,
    private readonly shown: Shown,
    private readonly watching: Watching,
  ) {
    this.controls = new Controls((key, said, control) => this.edit({ key, said }, control));
    this.more = new More(this.controls, (change) => this.edit(change, null));
    this.sheet = new Sheet((section) => this.placed(section));
    this.shown.place(this.sheet.part("mould"));
  }

  /** Say one key otherwise, or add or take away a table. */
  edit(change: Change, control: Control | null): void {
    this.mark("asked");
    this.asking?.abort();
    const before = this.saying;
    this.saying = { change, control };
    const mine = this.saying;
    this.chain = this.chain.then(async () => {
      // An edit came before the last one was answered: that one is written down all the same.
      if (before) await this.write(before);
      if (this.saying === mine) await this.early(mine);
    });
  }

  /** Show the job as the tab holds it now. */
  show(): void {
    this.mark("asked");
    this.asking?.abort();
    this.saying = null;
    this.controls.settle();
    this.watching.changed();
    this.chain = this.chain.then(() => (this.saying ? undefined : this.early(null)));
  }

  /** Open another job; the one before can be had back by undoing. */
  open(step: Step): void {
    this.state.push(step);
    this.show();
  }

  undo(): void {
    // What is not answered yet is what is undone.
    if (this.saying || this.state.undo()) this.show();
  }

  redo(): void {
    if (this.state.redo()) this.show();
  }

  /** Settles when every part is worked out, with pictures where they are asked for. */
  async settled(): Promise<void> {
    await this.chain;
    await this.whole;
  }

  /** Work the rest out again, with whatever pictures are wanted by now. */
  again(): Promise<void> {
    this.asking?.abort();
    this.chain = this.chain.then(() => this.early(null));
    return this.settled();
  }

  private async early(saying: Saying | null): Promise<void> {
    const asking = new AbortController();
    this.asking = asking;
    const body = { text: this.state.text, known: this.known, ...(saying ? { change: saying.change } : {}) };
    this.working.show("working out", () => this.stop(asking));
    try {
      const { body: coming } = await post("/api/early", body, asking.signal);
      if (!coming) return;
      const got = await early(coming, (values) => {
        if (saying && this.saying !== saying) return;
        this.complete = false;
        this.numbers(values);
      });
      if (saying && this.saying !== saying) return;
      // The picture comes first: the slow work takes the time of the graphics where both share it.
      const seen = this.take(got, saying);
      this.whole = Promise.race([seen, after(SEEN_MS)]).then(() => this.rest(asking));
    } catch (thrown) {
      if (givenUp(thrown) && this.stopped !== asking) return;
      this.working.done();
      if (givenUp(thrown)) await this.refused(STOPPED, saying, 0);
      else await this.refused(problemOf(thrown), saying, thrown instanceof Refused ? thrown.status : 0);
    }
  }

  /** Everything that is quick, in one go. */
  private take(got: Early, saying: Saying | null): Promise<void> {
    const { head } = got;
    if (saying) {
      this.state.push({ text: head.text, name: this.state.name });
      this.saying = null;
    }
    this.watching.trouble(null, "job");
    this.watching.renamed(head.name);
    this.numbers(head.values);
    saying?.control?.right();
    this.controls.update(head.fields);
    for (const [, section] of this.sheet.parts) this.controls.bind(section);
    this.more.update(head.places, this.sheet.parts);
    const lead = head.values.find((value) => value.id === "lead");
    if (lead) this.lead = lead.text;
    this.sheet.head(this.lead, this.stops);
    if (!head.same) this.known = head.solids?.key ?? "";
    this.shown.solids(head.same ? null : (got.solids ?? []), head.name, head.solids?.cut);
    if (!head.same) this.shown.air(got.air);
    this.watching.changed();
    return new Promise((seen) => {
      this.shown.drawn(() => {
        this.mark("shown");
        seen();
      });
    });
  }

  /** What is known of the numbers; all others are old. */
  private numbers(values: Value[]): void {
    this.sheet.old(values);
    this.sheet.values(values);
  }

  private async rest(asking: AbortController): Promise<void> {
    if (asking.signal.aborted) return;
    this.asking = asking;
    this.complete = false;
    this.sheet.begin();
    this.working.show("working out", () => this.stop(asking));
    try {
      const body = { text: this.state.text, stills: this.shown.stills };
      const got = await post("/api/rest", body, asking.signal);
      if (got.body) for await (const line of lines(got.body)) {
        if (asking.signal.aborted && this.stopped !== asking) return;
        this.line(line);
      }
    } catch (thrown) {
      if (asking.signal.aborted && this.stopped !== asking) return;
      this.given(asking.signal.aborted ? STOPPED : problemOf(thrown));
    }
  }

  private stop(asking: AbortController): void {
    this.stopped = asking;
    asking.abort();
  }

  /** The slow work ended before its end. */
  private given(problem: Problem): void {
    this.working.done();
    this.watching.trouble(problem, "work");
    this.sheet.left("not worked out");
  }

  private line(line: RestLine): void {
    if (line.step !== undefined) this.working.show(line.step);
    if (line.values) this.sheet.values(line.values);
    if (line.part) this.sheet.put(line.part.id, line.part.html);
    if (line.lead !== undefined) [this.lead] = texts([line.lead]) as [string];
    if (line.stops) this.stops = texts(line.stops);
    if (line.lead !== undefined || line.stops) this.sheet.head(this.lead, this.stops);
    if (line.order) this.sheet.order(line.order);
    if (line.air) this.shown.air(airOf(line.air));
    if (line.problem) this.given(line.problem);
    if (line.done) this.done(line.done.must_fix);
  }

  private done(mustFix: number): void {
    for (const [id, section] of this.sheet.end((id) => this.more.has(id))) this.more.put(id, section);
    this.complete = true;
    this.working.done();
    const gap = document.getElementById("gap.gap_mm")?.textContent;
    const fix = mustFix ? ` ${mustFix === 1 ? "One thing" : `${mustFix} things`} must be fixed first.` : "";
    tell(`Worked out.${gap ? ` The gap is ${gap}.` : ""}${fix}`);
    this.watching.done(mustFix);
  }

  private placed(section: HTMLElement): void {
    this.controls.bind(section);
    const id = section.id.replace("part-", "");
    if (id === "mould") this.shown.place(section);
    this.more.put(id, section);
    this.watching.placed(id, section);
  }

  /** An edit that is not to be shown by itself becomes part of the text. */
  private async write(saying: Saying): Promise<boolean> {
    try {
      const { text } = await askFor<{ text: string }>("/api/change", { text: this.state.text, ...saying.change });
      this.state.push({ text, name: this.state.name });
      if ("said" in saying.change) saying.control?.kept(saying.change.said);
      else saying.control?.right();
      return true;
    } catch (thrown) {
      this.wrong(problemOf(thrown), saying);
      return false;
    }
  }

  /**
   * A job that cannot be worked out.  Where the key that was edited is itself at fault the text
   * stays as it was; where another key has to follow, as a width has to with another shape, the
   * edit is kept and the other key is asked for.
   */
  private async refused(problem: Problem, saying: Saying | null, status: number): Promise<void> {
    if (saying && this.saying === saying) {
      const other = status === 422 && problem.key !== "" && problem.key !== saying.change.key;
      const kept = other && (await this.write(saying));
      this.saying = null;
      this.watching.changed();
      if (!kept) {
        if (!other) this.wrong(problem, saying);
        // The edit had stopped the work on the job as it still is.
        if (!this.complete) this.whole = this.rest(new AbortController());
        this.shown.drawn(() => this.mark("shown"));
        return;
      }
    }
    const control = this.controls.of(problem.key);
    if (control) control.wrong(problem);
    this.watching.trouble(problem, status === 422 ? "job" : "work");
    this.sheet.old([], "as it was before the last change");
    this.shown.drawn(() => this.mark("shown"));
  }

  private wrong(problem: Problem, saying: Saying): void {
    if (saying.control) saying.control.wrong(problem);
    else this.watching.trouble(problem, "job");
  }

  /** Marks for whoever measures; only the last of each is kept. */
  private mark(name: string): void {
    performance.clearMarks(name);
    performance.mark(name);
  }
}
