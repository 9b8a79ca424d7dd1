import { PROOF_PARTS, type ProofPart, type ProvingStatus, WALK } from "../../../shared/contract/index.ts";
import type { Visit } from "../at-tank/visit.ts";

/** What of the tank is worth seeing while this part is proven, in a few words. */
export const seenWords = (part: ProofPart, visit: Visit, { parts }: ProvingStatus): string =>
  WALK[part].shows
    .filter(({ node }) => !isProofPart(node) || parts[node].standing !== "not-fitted")
    .map(({ name, node, property, unit }) => {
      const text = visit.text(`${node}/${property}`);
      const words = text === "" ? "unknown" : (WORDS[text] ?? text);
      return { name, words: `${words}${unit === "" || text === "" ? "" : ` ${unit}`}` };
    })
    .filter(({ words }) => words !== "not-fitted")
    .map(({ name, words }) => `${name} ${words}`)
    .join(", ");

const WORDS: Readonly<Record<string, string>> = { true: "on", false: "off", "has-water": "water" };
const isProofPart = (node: string): node is ProofPart => (PROOF_PARTS as readonly string[]).includes(node);
