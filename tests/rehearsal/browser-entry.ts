export { checkScenario, rehearse } from "../../controller/rehearsal/index.ts";
export { rehearsalSettings } from "../../shared/settings/index.ts";
