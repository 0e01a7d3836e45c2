/** A scan of an insert, put into the folder, so that a job can name it as its file. */
import { givenUp, problemOf, sent } from "./ask";
import { make } from "./dom";
import { tell, Working } from "./live";

/** Kinds of files that a scan may be, by the end of their name. */
const KINDS = [".stl", ".3mf", ".obj", ".ply", ".off", ".glb"];

/** The server takes no more than this [bytes], and one that is larger need not be sent. */
const LARGEST = 64_000_000;

interface Taken {
  name: string;
  sound: boolean;
  said: string;
}

export const isScan = (name: string): boolean => KINDS.some((kind) => name.toLowerCase().endsWith(kind));

export class Scan {
  readonly line = make("div");
  private readonly doing = make("p");
  private readonly working = new Working(this.doing);
  private readonly said = make("p", { role: "status" });
  private readonly wrong = make("p", { class: "wrong", role: "alert" });

  constructor() {
    const file = make("input", { type: "file", id: "scan-file", accept: KINDS.join(",") });
    file.addEventListener("change", () => {
      const [one] = file.files ?? [];
      if (one) void this.put(one);
      file.value = "";
    });
    const words = "put it into the folder, so that a job can name it as its insert's file";
    this.line.append(
      make("h2", {}, "A scan"),
      make("p", {}, make("label", { for: "scan-file" }, words), " ", file),
      this.doing,
      this.said,
      this.wrong,
    );
  }

  /** Put a file into the folder; one that is there already stays as it is. */
  async put(file: File): Promise<void> {
    this.said.textContent = "";
    this.wrong.textContent = "";
    if (file.size > LARGEST) {
      this.wrong.textContent = `${file.name} is larger than ${LARGEST / 1e6} MB. Make it coarser in the program that scanned it.`;
      return;
    }
    const asking = new AbortController();
    this.working.show(`${file.name}: being looked at`, () => asking.abort());
    try {
      const path = `/api/scan?name=${encodeURIComponent(file.name)}`;
      const { name, sound, said } = await sent<Taken>(path, file, asking.signal);
      this.said.textContent = `${name} is in the folder. ${sound ? said : ""} Say it under insert, file, with the shape scan.`;
      if (!sound) this.wrong.textContent = said;
      tell(this.said.textContent);
    } catch (thrown) {
      this.wrong.textContent = givenUp(thrown) ? `${file.name}: stopped, and not in the folder.` : problemOf(thrown).text;
    } finally {
      this.working.done();
    }
  }
}
