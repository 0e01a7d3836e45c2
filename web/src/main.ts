/** The page: what it is made of, put together. */
import "./page.css";
import { fetched, problemOf } from "./ask";
import { button, there, write } from "./dom";
import { Files } from "./files";
import { Job } from "./job";
import { Log } from "./log";
import { NewJob } from "./new";
import { Paper } from "./paper";
import type { Shown } from "./shown";
import { State } from "./state";
import { Still } from "./still";
import { Text } from "./text";
import { Take } from "./take";
import { Trouble } from "./trouble";
import type { Start } from "./types";
import { Undo } from "./undo";

/** The mould in three dimensions, or the sheet's pictures where the browser cannot. */
async function picture(): Promise<Shown & { print?: () => void }> {
  if (!document.createElement("canvas").getContext("webgl2")) return new Still();
  try {
    const { Picture } = await import("./picture/picture");
    return new Picture();
  } catch {
    return new Still();
  }
}

async function begin(): Promise<void> {
  const trouble = new Trouble();
  const [shown, start] = await Promise.all([picture(), fetched<Start>("/api/start")]);
  const state = new State(sessionStorage);
  if (state.empty) {
    if (start.name && start.stamp) state.filed(start.name, start.stamp, start.text);
    state.push({ text: start.text, name: start.stamp ? start.name : "" });
  }
  const parts: { files?: Files; undo?: Undo; text?: Text } = {};
  const take = new Take(state, start.pdf);
  const log = new Log(state, () => void job.again());
  const job = new Job(state, shown, {
    changed: () => {
      parts.files?.update();
      parts.undo?.update();
      parts.text?.update();
    },
    trouble: (problem, wrong) => trouble.show(problem, job.controls, wrong === "work" ? () => job.show() : null),
    renamed: (name) => {
      write(there("title"), name);
      document.title = `${name}: job sheet`;
    },
    placed: (id, section) => {
      if (id === "log") log.place(section);
    },
    done: (mustFix) => take.update(mustFix),
  });
  const files = (parts.files = new Files(state, job, start));
  const undo = (parts.undo = new Undo(state, job));
  const text = (parts.text = new Text(state, job));
  const fresh = new NewJob(job);
  const paper = new Paper(() => shown.print?.(), () => job.settled());
  there("doing").append(
    files.line, undo.back, undo.forth, button("New job", () => void fresh.begin()), paper.press, files.details,
  );
  there("take").append(text.details);
  job.show();
}

begin().catch((thrown: unknown) => new Trouble().show(problemOf(thrown), null));
