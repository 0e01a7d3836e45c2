/** The sheet in the document: parts by their id, values by theirs, and which of them are old. */
import { become } from "./morph";
import { make, there, write } from "./dom";
import type { Value } from "./types";

/** The order of the sheet; cards and parts of another name come behind, as they arrive. */
const ORDER = [
  "order", "insert", "gap", "mould", "resin", "beds", "pot", "calendar", "cuts", "buy", "log",
  "findings", "cautions", "made",
];

/** Headings of parts in which something can be said before there is anything to show. */
const TITLES: Record<string, string> = {
  mould: "Mould", resin: "Resin", beds: "Print beds", pot: "Pot", calendar: "Calendar", buy: "Buy", log: "Log",
};

/** What else has to be done once a part stands in the document. */
type Placed = (section: HTMLElement) => void;

export class Sheet {
  private readonly sections = new Map<string, HTMLElement>();
  private readonly html = new Map<string, string>();
  private readonly main = there("sheet");
  /** Parts that arrived since the last edit. */
  private seen = new Set<string>();

  constructor(private readonly placed: Placed) {
    for (const id of ORDER) this.part(id).hidden = true;
  }

  /** The section of a part, made where it belongs if it is not there yet. */
  part(id: string): HTMLElement {
    let section = this.sections.get(id);
    if (!section) {
      section = make("section", { id: `part-${id}` });
      this.sections.set(id, section);
      this.main.append(section);
    }
    return section;
  }

  /** Parts that can be seen, from top to bottom. */
  get parts(): [string, HTMLElement][] {
    return [...this.sections].filter(([, section]) => !section.hidden);
  }

  /** Begin a round of the slow answer. */
  begin(): void {
    this.seen = new Set();
  }

  /** One part as the sheet has it now. */
  put(id: string, html: string): void {
    const section = this.part(id);
    this.seen.add(id);
    if (this.html.get(id) !== html) {
      const next = sectionOf(html);
      // Rolling tables of one name are not all landmarks: there would be too many to find one by.
      for (const roll of next.querySelectorAll(".roll")) roll.setAttribute("role", "group");
      section.className = next.className;
      for (const name of ["aria-labelledby", "aria-label"]) {
        const said = next.getAttribute(name);
        if (said) section.setAttribute(name, said);
      }
      become(section, next);
      this.html.set(id, html);
      section.hidden = false;
      section.classList.remove("bare");
      this.placed(section);
    }
    fresh(section);
  }

  /** All parts from top to bottom; what stands right already is not moved. */
  order(ids: string[]): void {
    let before: Element | null = null;
    for (const id of ids) {
      const section = this.part(id);
      if (before && before.nextElementSibling !== section && !follows(section, before)) before.after(section);
      before = section;
    }
  }

  /**
   * The round is over: parts that the job no longer has go away.  Those in which something can be
   * said stay with their heading: where no gap meets every rule, another resin has to be said there.
   *
   * sayable : whether keys belong to a part
   */
  end(sayable: (id: string) => boolean): [string, HTMLElement][] {
    const bare: [string, HTMLElement][] = [];
    for (const [id, section] of this.sections) {
      if (this.seen.has(id)) continue;
      if (id in TITLES && sayable(id)) {
        strip(section, TITLES[id]!);
        this.back(id, section);
        bare.push([id, section]);
      } else if (ORDER.includes(id)) section.hidden = true;
      else {
        section.remove();
        this.sections.delete(id);
      }
      this.html.delete(id);
    }
    return bare;
  }

  /** A part that has no place in the sheet as it is goes where it would be. */
  private back(id: string, section: HTMLElement): void {
    const before = ORDER.slice(0, ORDER.indexOf(id)).reverse().map((one) => this.part(one)).find((one) => !one.hidden);
    if (before && !follows(section, before)) before.after(section);
  }

  /** Texts of values that stand in the document; the others are not there yet. */
  values(values: Value[]): void {
    for (const { id, text } of values) {
      const element = document.getElementById(id);
      if (!element) continue;
      // The words alone change here: the number behind them comes with its part.
      if (element.textContent !== text) {
        write(element, text);
        this.stale(element);
      }
      element.classList.remove("old");
    }
  }

  /**
   * Mark what is not worked out again yet: every value but those.
   *
   * why : said of each part that has such values
   */
  old(values: Value[], why = "being worked out again"): void {
    const known = new Set(values.map((value) => value.id));
    for (const [, section] of this.parts) {
      let some = false;
      for (const element of section.querySelectorAll("data[id], span[id]")) {
        const is = !known.has(element.id) && !element.closest("h2, [data-ours], .wrong");
        element.classList.toggle("old", is);
        some ||= is;
      }
      if (some) busy(section, why);
      else fresh(section);
    }
  }

  /** What is still being worked out will not be: say why. */
  left(why: string): void {
    for (const [, section] of this.parts) if (section.ariaBusy === "true") busy(section, why);
  }

  /** Under the name of the job: what it is, and what must be fixed first. */
  head(lead: string, stops: string[]): void {
    write(there("lead"), lead);
    const box = there("stops");
    box.hidden = stops.length === 0;
    box.replaceChildren(
      make("p", { class: "word" }, "Not ready: must be fixed first"),
      make("ul", {}, ...stops.map((stop) => make("li", {}, stop))),
    );
  }

  /** A value was written over: its part's text is no longer the one that was put. */
  private stale(element: Element): void {
    const id = element.closest("section")?.id.replace("part-", "");
    if (id) this.html.delete(id);
  }
}

/** Whether nothing but hidden sections lies between the two. */
function follows(section: Element, before: Element): boolean {
  let next = before.nextElementSibling;
  while (next instanceof HTMLElement && next !== section && next.hidden) next = next.nextElementSibling;
  return next === section;
}

function busy(section: HTMLElement, why: string): void {
  section.setAttribute("aria-busy", "true");
  let words = section.querySelector(":scope > .again");
  if (!words) {
    words = make("p", { class: "again screen", "data-ours": true });
    section.querySelector("h2")?.after(words);
  }
  if (words.textContent?.startsWith(why)) return;
  // What is wrong is said on top, which may be far away.
  const top = there("trouble").hasChildNodes() ? [": ", make("a", { href: "#trouble" }, "what is asked for")] : [];
  words.replaceChildren(why, ...top);
}

function fresh(section: HTMLElement): void {
  section.removeAttribute("aria-busy");
  section.querySelector(":scope > .again")?.remove();
  for (const element of section.querySelectorAll(".old")) element.classList.remove("old");
}

/** Nothing of a part is left but its heading and what the page itself put there. */
function strip(section: HTMLElement, title: string): void {
  const heading = section.querySelector(":scope > h2") ?? make("h2", {}, title);
  for (const node of [...section.childNodes]) {
    if (node !== heading && !(node instanceof HTMLElement && node.dataset["ours"] !== undefined)) node.remove();
  }
  fresh(section);
  section.prepend(heading);
  section.classList.add("bare");
  section.hidden = false;
}

/** A part's element, whether the text holds the section or what is in it. */
function sectionOf(html: string): HTMLElement {
  const held = make("template");
  held.innerHTML = html;
  const only = held.content.firstElementChild;
  if (only instanceof HTMLElement && only.localName === "section") return only;
  return make("section", {}, held.content);
}
