import { expect, test } from "vitest";
import { MACHINES } from "./machines.ts";
import { explore } from "./search.ts";

/** The machines that are through in a moment, in every run of the tests; `npm run explore` goes through all of them. */
const SMALL = [
  "hold",
  "start-fitted",
  "start-shared",
  "start-bare",
  "alarm-by-itself",
  "alarm-acknowledged",
  "alarm-cleared",
  "contact",
  "effect",
  "caution",
  "proving",
] as const;

test.each(SMALL)("%s: explored to the end, no rule broken", (key) => {
  const { broken, states } = explore((MACHINES[key] as NonNullable<(typeof MACHINES)[string]>)());
  expect(broken).toBeNull();
  expect(states).toBeGreaterThan(30);
});
