import { describeScenarios, TWELVE } from "./lived-scenarios.ts";

describeScenarios((scenario) => !TWELVE.includes(scenario));
