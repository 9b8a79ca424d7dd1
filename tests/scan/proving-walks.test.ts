import fc from "fast-check";
import { afterAll, expect, test, vi } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { nothingProven } from "../../controller/decisions/proving/memory.ts";
import { keptIn, type Memory } from "../../controller/scan/memory.ts";
import {
  type CalibrateRequest,
  MARKS,
  PROOF_PARTS,
  PROVING_RUNS,
  type ProofPart,
  type Request,
  SESSIONS,
  STANDARDS,
} from "../../shared/contract/index.ts";
import { Box, type Sight, withStored } from "./box.ts";
import { type Event, noneMet, SMALL, walk, walkArbitrary } from "./walk.ts";

/**
 * Random walks of somebody who proves and calibrates at random, from the tank and from afar, while parts fail and the
 * controller is killed: whatever is asked, only what may run runs, and nothing is proven or corrected by itself.
 */
vi.setConfig({ testTimeout: 600_000 });
const RUNS = Number(process.env.RUNS ?? 60);

type Asked = Event["asked"];
const at = fc.constantFrom<Request["at"]>("tank", "tank", "tank", "network");
const asks = (fields: object): fc.Arbitrary<Asked> => fc.record({ at, ...fields } as never) as fc.Arbitrary<Asked>;
const kind = (name: Request["kind"]) => fc.constant(name);
const calibrates = (step: CalibrateRequest["step"], fields: object = {}) =>
  asks({ kind: kind("calibrate"), step: fc.constant(step), ...fields });

const provingAsked: fc.Arbitrary<Asked> = fc.oneof(
  {
    weight: 6,
    arbitrary: asks({
      kind: kind("prove"),
      part: fc.constantFrom(...PROVING_RUNS),
      seconds: fc.constantFrom(2, 10, 30, 400),
    }),
  },
  {
    weight: 6,
    arbitrary: asks({
      kind: kind("proven"),
      part: fc.constantFrom(...PROOF_PARTS),
      ml: fc.constantFrom(0, 50, 250, 500, Number.NaN),
      backward: fc.constantFrom(false, false, true),
    }),
  },
  asks({ kind: kind("at-tank"), minutes: fc.constantFrom(0, 5, 90) }),
  asks({ kind: kind("end-run") }),
  asks({ kind: kind("hold"), minutes: fc.constant(1) }),
  asks({ kind: kind("end-hold"), answer: fc.constant(null) }),
  asks({ kind: kind("undo-calibration"), number: fc.nat({ max: 6 }) }),
  calibrates("begin", { session: fc.constantFrom(...SESSIONS) }),
  calibrates("dry"),
  calibrates("standard", {
    standard: fc.constantFrom(...STANDARDS),
    labelMsPerCm: fc.constantFrom(53, 12.88),
    labelC: fc.constant(25),
  }),
  calibrates("reference", { referenceC: fc.constantFrom(24, 25, 25.4, Number.NaN) }),
  calibrates("accept"),
  calibrates("abandon"),
  calibrates("mark", { mark: fc.constantFrom(...MARKS), mm: fc.constantFrom(-80, -40, 4, 65, 90, Number.NaN) }),
);

/** What hands do while they prove: floats go up and down, a thermometer is warmed, the cell hangs in air or standard. */
const hands = fc.constantFrom<Sight>(
  { "high-float": "wet" },
  { "high-float": "dry" },
  { "working-float": "wet", "high-float": "dry" },
  { "return-sensor": "gone" },
  { "return-sensor": "there" },
  { "thermometer-1": 26.4 },
  { conductivity: 0.01 },
  { conductivity: 52 },
  {},
  {},
);

const events = fc
  .tuple(walkArbitrary, fc.array(fc.tuple(provingAsked, hands), { minLength: 50, maxLength: 50 }))
  .map(([walked, proving]) =>
    walked.map((event, index): Event => {
      const [asked, sight] = proving[index] as [Asked, Sight];
      return { ...event, asked, sight: index % 3 === 0 ? event.sight : sight };
    }),
  );

/** Budgets and waits as always, and nothing was ever seen to work. */
const UNPROVEN = (() => {
  const kept = withStored(new Box(SMALL).afterSeconds(10).onDisk, PROVING, nothingProven(SMALL));
  return new Box(SMALL).starts(kept, { memory: "sound", offMs: 0 }).afterSeconds(10);
})();

const met = { ...noneMet(), runs: 0, proven: 0, guards: 0, refused: 0 };

test("random walks of proving and calibrating: only permitted runs run, each new proof or correction follows an accepted request", () => {
  const property = fc.property(events, (walked) => {
    let pumpOnMs = 0;
    let proven = new Set<ProofPart>();
    const walker = {
      killed: () => {
        pumpOnMs = 0;
      },
      scanned: (box: Box) => {
        runsAsItMay(box);
        pumpOnMs = box.pumpOn ? pumpOnMs + (box.image?.elapsedMs ?? 0) : 0;
        expect(pumpOnMs).toBeLessThanOrEqual(30_000 + 70_000);
        proven = provenAsSaid(box, proven);
        correctedAsSaid(box);
        expect(JSON.stringify([box.record.proving, box.record.calibration])).not.toMatch(/NaN|Infinity/);
      },
    };
    walk(walked, met, walker, UNPROVEN);
  });
  fc.assert(property, { numRuns: RUNS });
});

function runsAsItMay({ commands, record, before }: Box): void {
  const { run } = record.proving;
  if (run !== null) met.runs += 1;
  const under = keptIn(before, PROVING).volatile.proving.run?.part ?? run?.part;
  for (const [relay, guard] of [
    ["top-off-pump", "water-guard"],
    ["heater-1", "heat-guard"],
  ] as const) {
    if (!commands[relay] || commands[guard]) continue;
    met.guards += 1;
    // A relay behind an open guard: the test of that guard, and nothing else.
    expect(run?.part ?? under).toBe(guard);
  }
  if (commands["top-off-pump"]) {
    expect(["pouring", "proving"]).toContain(record.topOff.state);
    expect(record.topOff.latch).toBeNull();
  }
}

/** Proofs appear only with an accepted word, and disappear only with a failed run, a lost memory or a refused siphon. */
function provenAsSaid({ record, image }: Box, before: Set<ProofPart>): Set<ProofPart> {
  const now = new Set(PROOF_PARTS.filter((part) => record.proofs[part] !== null));
  const accepted = new Set(record.outcomes.flatMap(({ id, accepted }) => (accepted ? [id] : [])));
  met.refused += record.outcomes.length - accepted.size;
  const said = (image?.requests ?? []).flatMap((one) =>
    one.kind === "proven" && accepted.has(one.id) ? [one.part] : [],
  );
  for (const part of now) {
    if (before.has(part)) continue;
    met.proven += 1;
    if (image?.start === null) expect(said).toContain(part);
  }
  return now;
}

function correctedAsSaid({ record, image, memory, before }: Box): void {
  const valuesIn = (kept: Memory) => keptIn(kept, CALIBRATION).durable.values;
  if (valuesIn(memory) === valuesIn(before) || image?.start !== null) return;
  expect(record.outcomes.some(({ accepted }) => accepted)).toBe(true);
  const { inForce } = record.calibration;
  expect(Math.abs(inForce["thermometer-1"].value)).toBeLessThanOrEqual(1.5);
  expect(Math.abs(inForce["thermometer-2"].value)).toBeLessThanOrEqual(1.5);
  expect(inForce.conductivity.value).toBeGreaterThanOrEqual(0.7);
  expect(inForce.conductivity.value).toBeLessThanOrEqual(1.4);
  expect(inForce["high-float-mm"].value).toBeGreaterThan(inForce["pump-off-level-mm"].value);
}

afterAll(() => {
  // A property that never sees what it speaks of says nothing.
  expect(met.runs).toBeGreaterThan(100);
  expect(met.guards).toBeGreaterThan(5);
  expect(met.proven).toBeGreaterThan(0);
  expect(met.refused).toBeGreaterThan(100);
});
