export { rehearseBareParts } from "./bare-parts.ts";
export { type LiveField, rehearsalField } from "./field.ts";
export { SCAN_PACES, type ScanPace } from "./pace.ts";
export { REAL_CORE, rehearse, withBareParts } from "./rehearse.ts";
export type { Report } from "./report.ts";
export { type RunOptions, rehearseWith } from "./run.ts";
export { checkScenario, type Scenario, type ScenarioError, scenarioJsonSchema } from "./scenario.ts";
export { summaryOf } from "./summary.ts";
