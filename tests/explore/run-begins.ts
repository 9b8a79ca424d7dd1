import { isAtTank, presence } from "../../controller/decisions/presence.ts";
import { FRESH_PROVING } from "../../controller/decisions/proving/memory.ts";
import { runRefused } from "../../controller/decisions/proving/requests.ts";
import type { ProveRequest } from "../../shared/contract/requests.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

const NOBODY_THERE = presence.fresh(rehearsalSettings());

/** As the proving machine judges it before the part itself is asked: nobody has said that they stand at the tank. */
export const mayRunBegin = (request: ProveRequest): boolean =>
  isAtTank(request.at, { keptOf: () => NOBODY_THERE as never, before: () => NOBODY_THERE as never }) &&
  runRefused(FRESH_PROVING, request) === null;
