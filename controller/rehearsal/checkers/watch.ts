import type { Violation } from "../report.ts";
import { heatPermitted } from "./heat-permitted.ts";
import { latchHolds } from "./latch-holds.ts";
import { litresBounded } from "./litres-bounded.ts";
import { pourPermitted } from "./pour-permitted.ts";
import type { Checker, Scene } from "./scene.ts";
import { startWaits } from "./start-waits.ts";

/** All checkers of a run; a violation is reported when it begins or changes its kind, not in every scan it lasts. */
export interface InvariantWatch {
  see(scene: Scene, atH: number): void;
  /** A scan that stopped on a broken invariant of its own. */
  stopped(detail: string, atH: number): void;
  violations(): readonly Violation[];
}

const CHECKERS: readonly [invariant: string, make: () => Checker][] = [
  ["S1", pourPermitted],
  ["S2", litresBounded],
  ["S3", latchHolds],
  ["S4", heatPermitted],
  ["S5a", startWaits],
];

/** Figures differ from scan to scan in what is one violation. */
const FIGURES = /[\d.]+/g;

export function watchInvariants(): InvariantWatch {
  const found: Violation[] = [];
  const watched = CHECKERS.map(([invariant, make]) => ({ invariant, check: make(), said: "" }));
  return {
    see: (scene, atH) => {
      for (const each of watched) {
        const detail = each.check(scene);
        const said = detail === null ? "" : detail.replaceAll(FIGURES, "");
        if (detail !== null && said !== each.said) found.push({ invariant: each.invariant, atH, detail });
        each.said = said;
      }
    },
    stopped: (detail, atH) => {
      found.push({ invariant: "assertion", atH, detail });
    },
    violations: () => found,
  };
}
