import { type ProofPart, WALK } from "../../../shared/contract/index.ts";
import type { Visit } from "../at-tank/visit.ts";

/** What of the tank is worth seeing while this part is proven, in a few words. */
export const seenWords = (part: ProofPart, visit: Visit): string =>
  WALK[part].shows
    .map(({ name, node, property, unit }) => {
      const text = visit.text(`${node}/${property}`);
      const words = text === "" ? "unknown" : (ON_OFF[text] ?? text);
      return `${name} ${words}${unit === "" || text === "" ? "" : ` ${unit}`}`;
    })
    .join(", ");

const ON_OFF: Readonly<Record<string, string>> = { true: "on", false: "off" };
