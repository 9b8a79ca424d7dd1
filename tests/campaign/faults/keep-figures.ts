import { readFileSync, writeFileSync } from "node:fs";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "../../explore/proof-page.ts";
import { campaignFigures } from "./figures.ts";
import type { JudgedFaultWeek } from "./judge.ts";

/** Writes the figures of a campaign into the page of proofs. */
export function keepFigures(judged: readonly JudgedFaultWeek[]): void {
  const campaign = campaignFigures(judged);
  const figures = { ...(JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures), campaign };
  writeFileSync(FIGURES_FILE, `${JSON.stringify(figures, null, 2)}\n`);
  writeFileSync(PROOF_FILE, proofPage(figures));
}
