/** Requests to the server of this page: JSON there, whatever was asked for back. */
import type { Problem } from "./types";

/** A tab has a name of its own, so that the server drops its older work and nobody else's. */
const tab = Array.from(crypto.getRandomValues(new Uint8Array(9)), (n) => n.toString(16)).join("");

/** The server said no; `problem` is its reason, in words for people. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly problem: Problem,
  ) {
    super(problem.text);
  }
}

/** A problem that the page itself tells. */
export const plain = (id: string, what: string, trying: string): Problem => ({
  id,
  what,
  where: "",
  key: "",
  allowed: "",
  try: trying,
  text: `${what} ${trying}`.trimEnd(),
});

/** A problem for people out of whatever was thrown. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof Refused) return thrown.problem;
  const words = thrown instanceof Error ? thrown.message : String(thrown);
  return plain("page", `The page itself failed: ${words}.`, "Load it again: nothing that was typed is lost.");
}

/** Whether a request ended because the page itself gave it up. */
export const givenUp = (thrown: unknown): boolean =>
  thrown instanceof DOMException && thrown.name === "AbortError";

async function answer(path: string, init: RequestInit): Promise<Response> {
  let got: Response;
  try {
    got = await fetch(path, { ...init, headers: { ...init.headers, "X-Tab": tab } });
  } catch (thrown) {
    if (givenUp(thrown)) throw thrown;
    throw new Refused(0, plain("away", "Nothing answers at this address.", "Start mouldgen page again; nothing that was typed is lost."));
  }
  if (got.ok) return got;
  let problem: Problem | undefined;
  try {
    problem = ((await got.json()) as { problem?: Problem }).problem;
  } catch (thrown) {
    if (givenUp(thrown)) throw thrown;
  }
  throw new Refused(got.status, problem ?? plain("server", `The request was refused (${got.status}).`, "Try it once more."));
}

/** Ask with JSON; the raw answer. */
export function post(path: string, body: object, signal?: AbortSignal): Promise<Response> {
  const init: RequestInit = {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  return answer(path, signal ? { ...init, signal } : init);
}

/** Ask with JSON for JSON. */
export async function askFor<T>(path: string, body: object, signal?: AbortSignal): Promise<T> {
  return (await (await post(path, body, signal)).json()) as T;
}

/** Send a file as it is; JSON back. */
export async function sent<T>(path: string, file: File, signal: AbortSignal): Promise<T> {
  const headers = { "Content-Type": "application/octet-stream" };
  return (await (await answer(path, { method: "POST", headers, body: file, signal })).json()) as T;
}

/** Fetch JSON. */
export async function fetched<T>(path: string): Promise<T> {
  return (await (await answer(path, { method: "GET" })).json()) as T;
}
