/** The binary answer taken apart, and the slow answer's lines. */
import { Refused } from "./ask";
import type { Air, AirHead, AirSaid, EarlyHead, Problem, RestLine, Solid, Value } from "./types";

export interface Early {
  head: EarlyHead;
  /** null: those that are shown are still right, or there are none. */
  solids: Solid[] | null;
  air: Air[];
}

/** u32 length of the head, the head as JSON, then the arrays; offsets count from where the arrays begin. */
export function unframe(buffer: ArrayBuffer): Early {
  const length = new DataView(buffer).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length))) as EarlyHead;
  const begin = 4 + length;
  const floats = ([offset, count]: [number, number]) => new Float32Array(buffer, begin + offset, count);
  const counts = ([offset, count]: [number, number]) => new Uint32Array(buffer, begin + offset, count);
  const solids =
    !head.solids || head.same
      ? null
      : head.solids.parts.map((part) => ({
          name: part.name,
          role: part.role,
          positions: floats(part.positions),
          faces: counts(part.faces),
          edges: floats(part.edges),
          move: part.move,
        }));
  const air = head.same
    ? []
    : (head.air ?? []).map((one: AirHead) => ({
        positions: floats(one.positions),
        faces: counts(one.faces),
        ml: one.ml,
        words: one.words,
      }));
  return { head, solids, air };
}

function bytes(base64: string): ArrayBuffer {
  const text = atob(base64);
  const out = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i += 1) out[i] = text.charCodeAt(i);
  return out.buffer;
}

/** Air shut in, out of the slow answer. */
export const airOf = (said: AirSaid[]): Air[] =>
  said.map((one) => ({
    positions: new Float32Array(bytes(one.positions)),
    faces: new Uint32Array(bytes(one.faces)),
    ml: one.ml,
    words: one.words,
  }));

/** What came of an answer whose first part was told already. */
interface Failed {
  problem?: Problem;
  status?: number;
}

/**
 * The quick answer out of its stream: the numbers as soon as they are there, then all of it.
 *
 * first : takes the numbers
 * Raises Refused where making the solids failed.
 */
export async function early(body: ReadableStream<Uint8Array>, first: (values: Value[]) => void): Promise<Early> {
  const reader = body.getReader();
  let held = new Uint8Array(0);
  let begun = false;
  for (;;) {
    const { done, value } = await reader.read();
    if (value) held = joined(held, value);
    const end = held.length < 4 ? Infinity : 4 + new DataView(held.buffer).getUint32(0, true);
    if (!begun && held.length >= end) {
      begun = true;
      const head = JSON.parse(new TextDecoder().decode(held.subarray(4, end))) as { first?: boolean; values: Value[] };
      if (head.first) {
        first(head.values);
        held = held.slice(end);
      }
    }
    if (done) break;
  }
  const got = unframe(held.buffer);
  const { problem, status } = got.head as Failed;
  if (problem) throw new Refused(status ?? 0, problem);
  return got;
}

function joined(one: Uint8Array, other: Uint8Array): Uint8Array<ArrayBuffer> {
  const both = new Uint8Array(one.length + other.length);
  both.set(one);
  both.set(other, one.length);
  return both;
}

/** The lines of a stream of JSON, each as soon as it is whole. */
export async function* lines(body: ReadableStream<Uint8Array>): AsyncGenerator<RestLine> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let held = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      held += decoder.decode(value, { stream: !done });
      const whole = held.split("\n");
      held = whole.pop() ?? "";
      for (const line of whole) if (line.trim()) yield JSON.parse(line) as RestLine;
      if (done) break;
    }
    if (held.trim()) yield JSON.parse(held) as RestLine;
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}
