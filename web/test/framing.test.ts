import { describe, expect, it } from "vitest";
import { airOf, lines, unframe } from "../src/framing";

/** As mouldgen/page/framing.py writes it. */
function framed(head: object, ...arrays: ArrayBufferView[]): ArrayBuffer {
  let said = JSON.stringify(head);
  while (new TextEncoder().encode(said).length % 4) said += " ";
  const told = new TextEncoder().encode(said);
  const size = 4 + told.length + arrays.reduce((sum, one) => sum + one.byteLength, 0);
  const out = new Uint8Array(size);
  new DataView(out.buffer).setUint32(0, told.length, true);
  out.set(told, 4);
  let at = 4 + told.length;
  for (const one of arrays) {
    out.set(new Uint8Array(one.buffer, one.byteOffset, one.byteLength), at);
    at += one.byteLength;
  }
  return out.buffer;
}

const positions = new Float32Array([0, 0, 0, 1, 0, 0, 0, 2.5, 0]);
const faces = new Uint32Array([0, 1, 2]);
const edges = new Float32Array([0, 0, 0, 1, 0, 0]);
const part = { name: "body", role: "body", positions: [0, 9], faces: [36, 3], edges: [48, 6], move: [0, 0, 0] };

describe("the quick answer", () => {
  it("gives back the arrays that were put in, whatever the head's length", () => {
    for (const name of ["a", "ab", "abc", "abcd", "pège"]) {
      const head = { name, solids: { key: "k", parts: [part] }, air: [], same: false };
      const { solids } = unframe(framed(head, positions, faces, edges));
      expect(solids?.[0]?.positions).toEqual(positions);
      expect(solids?.[0]?.faces).toEqual(faces);
      expect(solids?.[0]?.edges).toEqual(edges);
    }
  });

  it("has no solids where those that are shown are right, or there are none", () => {
    const same = { solids: { key: "k", parts: [part] }, air: [], same: true };
    expect(unframe(framed(same)).solids).toBeNull();
    expect(unframe(framed({ solids: null, air: [], same: false })).solids).toBeNull();
  });
});

const stream = (...pieces: Uint8Array[]): ReadableStream<Uint8Array> =>
  new ReadableStream({
    start(controller) {
      for (const piece of pieces) controller.enqueue(piece);
      controller.close();
    },
  });

describe("the slow answer", () => {
  it("comes line by line, wherever the pieces are parted", async () => {
    const said = '{"step":"dürr"}\n\n{"lead":"a"}\n{"done":{"state":"ready","must_fix":0}}';
    const bytes = new TextEncoder().encode(said);
    for (let cut = 0; cut <= bytes.length; cut += 1) {
      const got = [];
      for await (const line of lines(stream(bytes.slice(0, cut), bytes.slice(cut)))) got.push(line);
      expect(got).toEqual([{ step: "dürr" }, { lead: "a" }, { done: { state: "ready", must_fix: 0 } }]);
    }
  });

  it("has air as arrays in base64", () => {
    const base64 = (array: ArrayBufferView) => btoa(String.fromCharCode(...new Uint8Array(array.buffer)));
    const [air] = airOf([{ positions: base64(positions), faces: base64(faces), ml: 0.5, words: "under the foot" }]);
    expect(air).toEqual({ positions, faces, ml: 0.5, words: "under the foot" });
  });
});
