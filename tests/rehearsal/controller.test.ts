import { describe, expect, it } from "vitest";
import type { Core } from "../../controller/rehearsal/controller.ts";
import { checkScenario, REAL_CORE, rehearseWith } from "../../controller/rehearsal/index.ts";
import type { Durable } from "../../controller/scan/memory.ts";
import type { Image, StartNews } from "../../shared/contract/index.ts";
import { SETTINGS } from "./still-tank.ts";

/** What the controller is told when it starts, what memory it is given, and what the disk confirms. */
function watchStarts(faults: object[], hours = 1) {
  const starts: (StartNews & { readonly atScan: number })[] = [];
  const given: (Durable | null)[] = [];
  const images: Image[] = [];
  const sequences: number[] = [];
  const core: Core = {
    ...REAL_CORE,
    restored: (durable, settings) => {
      given.push(durable);
      return REAL_CORE.restored(durable, settings, 0);
    },
    step: (memory, image, settings) => {
      if (image.start !== null) starts.push({ ...image.start, atScan: images.length });
      images.push(image);
      const step = REAL_CORE.step(memory, image, settings);
      sequences.push(step.record.memorySequence);
      return step;
    },
  };
  const { scenario, errors } = checkScenario({ name: "starts", hours, faults }, SETTINGS);
  if (scenario === null) throw new Error(JSON.stringify(errors));
  const report = rehearseWith(core, scenario, { seed: 3, settings: SETTINGS });
  return { starts, given, images, sequences, report };
}

describe("the report's beliefs of the ledger", () => {
  it("unknown, then evaporation-only at 0.6, 0.7 and 0.9: a row each for its beginning and the last that is surer by more than 0.1", () => {
    let scan = 0;
    const core: Core = {
      ...REAL_CORE,
      step: (memory, image, settings) => {
        const step = REAL_CORE.step(memory, image, settings);
        scan += 1;
        const belief = scan < 100 ? "unknown" : "evaporation-only";
        const sureness = scan < 100 ? 0 : scan < 200 ? 0.6 : scan < 300 ? 0.7 : 0.9;
        return { ...step, record: { ...step.record, ledger: { ...step.record.ledger, belief, sureness } } };
      },
    };
    const { scenario } = checkScenario({ name: "beliefs", hours: 0.1 }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    expect(rehearseWith(core, scenario, { seed: 3, settings: SETTINGS }).beliefs).toEqual([
      { atH: 0, ledger: "unknown", sureness: 0 },
      { atH: 0.0069, ledger: "evaporation-only", sureness: 0.6 },
      { atH: 0.0208, ledger: "evaporation-only", sureness: 0.9 },
    ]);
  });
});

describe("the controller in a rehearsal", () => {
  it("first scan: sound memory, off 0 ms, elapsed 0; then 250 ms each", () => {
    const { starts, images } = watchStarts([], 0.01);
    expect(starts).toEqual([{ memory: "sound", offMs: 0, atScan: 0 }]);
    expect(images[0]?.elapsedMs).toBe(0);
    expect(images[1]?.elapsedMs).toBe(SETTINGS.scanMs);
  });

  it("each scan: the sequence of the scan before is on disk", () => {
    const { images, sequences } = watchStarts([], 0.3);
    for (let scan = 1; scan < images.length; scan++) {
      expect(images[scan]?.durableSequence).toBe(sequences[scan - 1]);
    }
  });

  it("killed for 60 s: sound memory, off 60,000 ms, 240 scans missed", () => {
    const { starts, given, report } = watchStarts([{ kind: "controller-killed", atH: 0.5, value: 60 }]);
    expect(starts[1]).toMatchObject({ memory: "sound", offMs: 60_000 });
    expect(given[0]?.sequence).toBeGreaterThan(1);
    expect(report.scans).toBe(3600 * 4 - 60 * 4);
  });

  it("killed in the next pour for 120 s: one restart, no violation, less than 0.3 L poured", () => {
    const { starts, report } = watchStarts([{ kind: "kill-mid-pour", value: 120 }], 2);
    expect(starts).toHaveLength(2);
    expect(report.violations).toEqual([]);
    expect(report.truth.pouredL).toBeLessThan(0.3);
  });

  it("memory lost or old by an hour: missing or older at the next restart, sound at the one after", () => {
    const kill = { kind: "controller-killed", atH: 0.5, value: 10 };
    const lost = watchStarts([{ kind: "memory-lost" }, kill, { ...kill, atH: 0.7 }]);
    expect(lost.starts.map(({ memory }) => memory)).toEqual(["sound", "missing", "sound"]);
    expect(lost.given[0]).toBeNull();
    expect(lost.report.lockouts[0]?.reason).toBe("memory-lost");
    const old = watchStarts(
      [
        { kind: "memory-old", value: 1 },
        { ...kill, atH: 1.5 },
      ],
      2,
    );
    const sound = watchStarts([{ ...kill, atH: 1.5 }], 2);
    expect(old.starts[1]?.memory).toBe("older");
    expect(old.given[0]?.sequence).toBeLessThan(sound.given[0]?.sequence ?? 0);
  });

  it("clock set back an hour while off: off-time unknown; an hour ahead: 3,660 s", () => {
    const kill = { kind: "controller-killed", atH: 0.5, value: 60 };
    const back = watchStarts([kill, { kind: "clock-jump", atH: 0.505, value: -3600 }]);
    expect(back.starts[1]?.offMs).toBeNull();
    const ahead = watchStarts([kill, { kind: "clock-jump", atH: 0.505, value: 3600 }]);
    expect(ahead.starts[1]?.offMs).toBe(3_660_000);
  });

  it("clock jumps a day back while running, or the broker is down: report as without", () => {
    const plain = watchStarts([]).report;
    expect(watchStarts([{ kind: "clock-jump", atH: 0.3, value: -86_400 }]).report).toEqual(plain);
    expect(watchStarts([{ kind: "broker-down", atH: 0.3, untilH: 0.6 }]).report).toEqual(plain);
  });
});
