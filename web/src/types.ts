/** What server and page say to each other: the shapes of requests and answers. */

/** One value of the sheet: the element that shows it, and its text. */
export interface Value {
  id: string;
  text: string;
}

export type Kind =
  | "text"
  | "count"
  | "number"
  | "quantity"
  | "share"
  | "yes-no"
  | "date"
  | "choice"
  | "card"
  | "list";

/** One key of the job file: what it says, what holds without it, and what it means. */
export interface Field {
  key: string;
  said: string;
  shown: string;
  kind: Kind;
  choices: string[];
  usual: string;
  hint: string;
  from: string;
}

/** What a person does to one key: says it otherwise, adds a table to a list, takes one away. */
export type Change =
  | { key: string; said: string }
  | { key: string; add: true }
  | { key: string; drop: true };

/** What was wrong, where, what is allowed and what to try; `key` is empty where no one key is at fault. */
export interface Problem {
  id: string;
  what: string;
  where: string;
  key: string;
  allowed: string;
  try: string;
  text: string;
}

/** A run of numbers in the arrays of an answer: byte offset and how many. */
export type Run = [offset: number, count: number];

export type Role = "body" | "lid" | "insert" | "other";

export interface PartHead {
  name: string;
  role: Role;
  positions: Run;
  faces: Run;
  edges: Run;
  /** [mm] where it goes as the parts are moved apart. */
  move: [number, number, number];
}

export interface AirHead {
  positions: Run;
  faces: Run;
  ml: number;
  words: string;
}

/** Lowest and highest x, y, z [mm]. */
export type Box = [[number, number, number], [number, number, number]];

/** The plane of the section: the axis across it, and where on that axis it lies [mm]. */
export interface Cut {
  axis: "x" | "y";
  at: number;
}

export interface SolidsHead {
  key: string;
  parts: PartHead[];
  cut: Cut;
}

/** The head of the quick answer; the arrays follow it. */
export interface EarlyHead {
  text: string;
  name: string;
  values: Value[];
  fields: Field[];
  places: Record<string, string[]>;
  solids: SolidsHead | null;
  air: AirHead[];
  same: boolean;
  made: number;
}

/** Air shut in, as the slow answer has it: arrays in base64. */
export interface AirSaid {
  positions: string;
  faces: string;
  ml: number;
  words: string;
}

/** One line of the slow answer. */
export interface RestLine {
  step?: string;
  values?: Value[];
  part?: { id: string; html: string };
  lead?: string | Value;
  stops?: (string | Value)[];
  /** Ids of all parts from top to bottom. */
  order?: string[];
  air?: AirSaid[];
  done?: { state: string; must_fix: number };
  problem?: Problem;
}

/** The job file of a tab: its text, the name it has in the folder ("" for none), its stamp there. */
export interface Opened {
  name: string;
  text: string;
  stamp: string;
}

export interface Start extends Opened {
  version: string;
  shipped: { name: string; title: string }[];
  files: string[];
  folder: string;
  pdf: boolean;
  today: string;
}

/** A part of the picture: a closed mesh with its sharp edges, and how far it is lifted when apart [mm]. */
export interface Solid {
  name: string;
  role: Role;
  positions: Float32Array;
  faces: Uint32Array;
  edges: Float32Array;
  move: [number, number, number];
}

/** Air that stays shut in: where, how much, and the sentence about it. */
export interface Air {
  positions: Float32Array;
  faces: Uint32Array;
  ml: number;
  words: string;
}
