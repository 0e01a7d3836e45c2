/** Colours of the picture, out of the page's own style, so that light and dark are said in one place. */
import { Color } from "three";
import type { Role } from "../types";

export interface Tones {
  ground: Color;
  line: Color;
  air: Color;
  part: Record<Role, Color>;
}

const ROLES: Role[] = ["body", "lid", "insert", "other"];

/** As the style has them now; on paper they are those of light. */
export function tonesNow(): Tones {
  const style = getComputedStyle(document.documentElement);
  const tone = (name: string): Color => new Color(style.getPropertyValue(name).trim() || "#888888");
  const part = {} as Record<Role, Color>;
  for (const role of ROLES) part[role] = tone(`--part-${role}`);
  return { ground: tone("--ground"), line: tone("--part-line"), air: tone("--part-air"), part };
}
