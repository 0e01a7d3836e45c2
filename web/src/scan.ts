/** A scan of an insert, put into the folder, so that a job can name it as its file. */
import { problemOf, sent } from "./ask";
import { make } from "./dom";
import { tell } from "./live";

/** Kinds of files that a scan may be, by the end of their name. */
const KINDS = [".stl", ".3mf", ".obj", ".ply", ".off", ".glb"];

export const isScan = (name: string): boolean => KINDS.some((kind) => name.toLowerCase().endsWith(kind));

export class Scan {
  readonly line = make("div");
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
      this.said,
      this.wrong,
    );
  }

  /** Put a file into the folder; one that is there already stays as it is. */
  async put(file: File): Promise<void> {
    this.said.textContent = "";
    this.wrong.textContent = "";
    try {
      const { name } = await sent<{ name: string }>(`/api/scan?name=${encodeURIComponent(file.name)}`, file);
      this.said.textContent = `${name} is in the folder. Say it under insert, file, with the shape scan.`;
      tell(this.said.textContent);
    } catch (thrown) {
      this.wrong.textContent = problemOf(thrown).text;
    }
  }
}
