/** Job files: opened from the folder, from those shipped, from this computer; saved in the folder. */
import { askFor, fetched, problemOf, Refused } from "./ask";
import { button, make, there } from "./dom";
import type { Job } from "./job";
import { tell } from "./live";
import { isScan, Scan } from "./scan";
import type { State } from "./state";
import type { Opened, Start } from "./types";

/** A job file is a few kilobytes; the server takes no more than this [bytes]. */
const LARGEST = 256 * 1024;

export class Files {
  /** Save, and how the job stands to its file. */
  readonly line = make("span", { class: "files" });
  readonly details = make("details", { class: "open" });
  private readonly save: HTMLButtonElement;
  private readonly stands = make("span", { class: "stands" });
  private readonly note = make("p", { class: "wrong", role: "alert" });
  private readonly as = make("input", { type: "text", id: "save-as", size: "24", autocomplete: "off", spellcheck: "false", class: "said" });
  private readonly lists = make("div");
  private readonly scan = new Scan();
  private over = false;

  constructor(
    private readonly state: State,
    private readonly job: Job,
    private start: Start,
  ) {
    this.save = button("Save", () => void this.keep(), { "aria-keyshortcuts": "Control+S" });
    this.line.append(this.save, " ", this.stands);
    this.details.append(make("summary", {}, "Open, or save under another name"), this.saveAs(), this.note, this.lists, this.scan.line);
    this.details.addEventListener("toggle", () => void this.again());
    document.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
        event.preventDefault();
        void this.keep();
      }
    });
    this.dropped();
    this.list();
    this.update();
  }

  update(): void {
    const { name, unsaved } = this.state;
    this.stands.textContent = name ? (unsaved ? `${name}, changed since it was saved` : `saved as ${name}`) : "in no file yet";
  }

  /** Save under the name that it has; one that has none is asked for one. */
  async keep(): Promise<void> {
    if (!this.state.name) {
      this.details.open = true;
      if (!this.as.value) this.as.value = `${there("title").textContent ?? "job"}.toml`;
      this.as.focus();
      this.as.select();
      return;
    }
    await this.put(this.state.name, this.state.stamp);
  }

  private saveAs(): HTMLElement {
    const form = make("form", {}, make("label", { for: "save-as" }, "name of the file"), " ", this.as, " ", make("button", { type: "submit" }, "Save under this name"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const said = this.as.value.trim();
      if (said) void this.put(said.endsWith(".toml") ? said : `${said}.toml`, "");
    });
    return form;
  }

  private async put(name: string, stamp: string): Promise<void> {
    const text = this.state.text;
    try {
      const kept = await askFor<{ name: string; stamp: string }>("/api/save", { name, text, stamp, over: this.over });
      this.state.rename(kept.name);
      this.state.filed(kept.name, kept.stamp, text);
      this.wrong("");
      tell(`Saved as ${kept.name}.`);
    } catch (thrown) {
      const problem = problemOf(thrown);
      this.wrong(problem.text);
      if (thrown instanceof Refused && thrown.status === 409) {
        this.note.append(" ", button("Save over it", () => {
          this.over = true;
          void this.put(name, stamp);
        }));
      }
    } finally {
      this.over = false;
      this.update();
    }
  }

  /** The folder may hold other files by now. */
  private async again(): Promise<void> {
    if (!this.details.open) return;
    try {
      this.start = await fetched<Start>("/api/start");
      this.list();
    } catch (thrown) {
      this.wrong(problemOf(thrown).text);
    }
  }

  private list(): void {
    const file = make("input", { type: "file", id: "open-file", accept: ".toml" });
    file.addEventListener("change", () => {
      const [one] = file.files ?? [];
      if (one) void this.read(one);
      file.value = "";
    });
    const { files, shipped, folder } = this.start;
    const open = (from: string, name: string) => () => void this.open(from, name);
    this.lists.replaceChildren(
      make("h2", {}, "Jobs in the folder"),
      make("p", { class: "means" }, folder),
      files.length
        ? make("ul", {}, ...files.map((name) => make("li", {}, button(name, open("folder", name)))))
        : make("p", {}, "none yet"),
      make("h2", {}, "A file of this computer"),
      make("p", {}, make("label", { for: "open-file" }, "choose it, or drop it anywhere on the page"), " ", file),
      make("h2", {}, "Shipped jobs, to begin from"),
      make("ul", {}, ...shipped.map(({ name, title }) => make("li", {}, button(name, open("shipped", name)), title && title !== name ? ` ${title}` : ""))),
    );
  }

  private async open(from: string, name: string): Promise<void> {
    try {
      this.opened(await askFor<Opened>("/api/open", { from, name }), from === "folder");
    } catch (thrown) {
      this.wrong(problemOf(thrown).text);
    }
  }

  private async read(file: File): Promise<void> {
    if (file.size > LARGEST) {
      this.details.open = true;
      this.wrong(`${file.name} is no job file: it is larger than ${LARGEST / 1024} kB.`);
      return;
    }
    this.opened({ name: "", text: await file.text(), stamp: "" }, false);
  }

  private opened(job: Opened, filed: boolean): void {
    this.wrong("");
    if (filed) this.state.filed(job.name, job.stamp, job.text);
    this.details.open = false;
    this.job.open({ text: job.text, name: filed ? job.name : "" });
    there("sheet").focus();
    scrollTo(0, 0);
  }

  private dropped(): void {
    addEventListener("dragover", (event) => {
      if (event.dataTransfer?.types.includes("Files")) event.preventDefault();
    });
    addEventListener("drop", (event) => {
      const [file] = event.dataTransfer?.files ?? [];
      if (!file) return;
      event.preventDefault();
      if (/\.toml$/i.test(file.name)) void this.read(file);
      else if (isScan(file.name)) {
        this.wrong("");
        this.details.open = true;
        void this.scan.put(file).then(() => this.scan.line.scrollIntoView({ block: "nearest" }));
      } else this.wrong(`${file.name} is neither a job file, which ends in .toml, nor a scan.`);
    });
  }

  private wrong(words: string): void {
    this.note.textContent = words;
    if (words) this.details.open = true;
  }
}
