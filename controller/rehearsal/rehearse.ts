import { provenMemory, restored } from "../scan/memory.ts";
import { step } from "../scan/step.ts";
import { rehearseBareParts } from "./bare-parts.ts";
import type { Core } from "./controller.ts";
import { type Report, rounded } from "./report.ts";
import { type RunOptions, rehearseWith } from "./run.ts";
import type { Scenario } from "./scenario.ts";

/** The controller's own scan, as it runs on real water. */
export const REAL_CORE: Core = { step, provenMemory, restored };

/** Runs a scenario that `checkScenario` has found good. The same scenario, seed and settings give the same bytes. */
export const rehearse = (scenario: Scenario, options: RunOptions): Report => rehearseWith(REAL_CORE, scenario, options);

/** A report, and beside it what became of the same tank with the parts alone. */
export const withBareParts = (
  report: Report,
  scenario: Scenario,
  options: Pick<RunOptions, "seed" | "settings" | "watch">,
): Report => ({ ...report, bare: { truth: rounded(rehearseBareParts(scenario, options)) } });
