import { describe, expect, it } from "vitest";
import { State, type Store } from "../src/state";

class Held implements Store {
  readonly all = new Map<string, string>();
  constructor(private readonly room = Infinity) {}
  getItem(name: string): string | null {
    return this.all.get(name) ?? null;
  }
  removeItem(name: string): void {
    this.all.delete(name);
  }
  setItem(name: string, said: string): void {
    let size = name.length + said.length;
    for (const [key, value] of this.all) if (key !== name) size += key.length + value.length;
    if (size > this.room) throw new DOMException("full", "QuotaExceededError");
    this.all.set(name, said);
  }
}

const filled = (store: Store, ...texts: string[]): State => {
  const state = new State(store);
  for (const text of texts) state.push({ text, name: "" });
  return state;
};

describe("the steps of a tab", () => {
  it("go back and forward again, and a new one drops what was undone", () => {
    const store = new Held();
    const state = filled(store, "a", "b", "c");
    expect([state.undo()?.text, state.undo()?.text, state.undo()]).toEqual(["b", "a", null]);
    expect(state.redo()?.text).toBe("b");
    state.push({ text: "d", name: "" });
    expect([state.canRedo, state.undo()?.text]).toEqual([false, "b"]);
    expect([...store.all.keys()].filter((key) => key.includes("step")).length).toBe(3);
  });

  it("outlive a reload, with their place", () => {
    const store = new Held();
    const before = filled(store, "a", "b", "c");
    before.filed("peg.toml", "7", "a");
    before.undo();
    const after = new State(store);
    expect([after.text, after.canUndo, after.canRedo]).toEqual(["b", true, true]);
    expect(after.redo()?.text).toBe("c");
  });

  it("are the same step where nothing changed", () => {
    const state = filled(new Held(), "a", "a");
    expect(state.canUndo).toBe(false);
  });

  it("are at most two hundred, of which the oldest go", () => {
    const store = new Held();
    const state = filled(store, ...Array.from({ length: 500 }, (_, n) => `text ${n}`));
    let steps = 0;
    while (state.undo()) steps += 1;
    expect([steps, state.text]).toEqual([199, "text 300"]);
    expect(store.all.size).toBe(201);
  });

  it("make room in a full store and keep the newest", () => {
    const store = new Held(2000);
    const state = filled(store, ...Array.from({ length: 60 }, (_, n) => `${n} ${"x".repeat(40)}`));
    expect(state.text.startsWith("59 ")).toBe(true);
    expect(new State(store).text).toBe(state.text);
  });

  it("know whether the job differs from its file, whatever the way there", () => {
    const state = new State(new Held());
    state.filed("peg.toml", "1", "a");
    state.push({ text: "a", name: "peg.toml" });
    expect([state.unsaved, state.stamp]).toEqual([false, "1"]);
    state.push({ text: "b", name: "peg.toml" });
    expect(state.unsaved).toBe(true);
    state.filed("peg.toml", "2", "b");
    expect([state.unsaved, state.stamp]).toEqual([false, "2"]);
    state.undo();
    expect([state.unsaved, state.stamp]).toEqual([true, "2"]);
  });

  it("of two tabs never meet", () => {
    const [one, other] = [filled(new Held(), "a"), filled(new Held(), "b")];
    one.push({ text: "c", name: "" });
    expect(other.text).toBe("b");
  });
});
