import type { ProofPart, ProvingRun } from "../../shared/contract/index.ts";
import type { Box, Sight } from "./box.ts";

/** The walk of a person who shows part after part that it works; every step must be taken as it is meant. */
export class Prover {
  readonly #box: Box;

  constructor(box: Box) {
    this.#box = box;
  }

  /** A float is lifted and let fall, or pressed down and let rise, and stays as it was. */
  float(part: "high-float" | "working-float" | "low-float" | "reservoir-float" | "floor-sensor"): this {
    const box = this.#box;
    const rests = box.sight[part];
    const other = rests === "dry" ? "wet" : "dry";
    box
      .sees({ [part]: other } as Sight)
      .afterSeconds(2)
      .sees({ [part]: rests } as Sight)
      .afterSeconds(2);
    return this.says(part);
  }

  runs(part: ProvingRun, seconds: number): this {
    const box = this.#box;
    box.asks({ kind: "prove", at: "tank", part, seconds });
    if (box.accepted !== true) throw new Error(`${part}: ${box.outcome}`);
    box.until(() => box.record.proving.run === null, 10);
    return this;
  }

  says(
    part: ProofPart,
    more: { readonly ml?: number; readonly mm?: number; readonly backward?: boolean; readonly by?: string } = {},
  ): this {
    this.#box.asks({ kind: "proven", at: "tank", part, ...more });
    if (this.#box.accepted !== true) throw new Error(`${part}: ${this.#box.outcome}`);
    return this;
  }

  /** The return pump stands still for two minutes, and runs again. */
  levelWithThePumpOff(): this {
    this.#box.sees({ "return-sensor": "gone" }).scan();
    this.runs("pump-off-level", 120).says("pump-off-level", { mm: 62 });
    this.#box.sees({ "return-sensor": "there" }).after(6);
    return this;
  }

  /** 25 mL/s into a jug, twice, and hardly anything after the stop. */
  pump(mlPerS = 25): this {
    for (const _ of [1, 2]) {
      this.runs("top-off-pump", 10)
        .#settles()
        .says("top-off-pump", { ml: 10 * mlPerS });
    }
    return this.runs("siphon", 30).says("siphon", { ml: 5 }).#settles();
  }

  #settles(): this {
    this.#box.after(2);
    return this;
  }

  waterGuard(): this {
    return this.runs("water-guard", 5).says("water-guard").#settles();
  }

  /** Everything that top-off stands on. */
  water(): this {
    this.#box.asks({ kind: "hold", at: "network", minutes: 60 });
    this.float("high-float").float("working-float");
    this.levelWithThePumpOff().waterGuard().pump();
    this.#box.asks({ kind: "end-hold", at: "tank", answer: null });
    return this;
  }

  /** Everything that the heat stands on. */
  heat(): this {
    return this.runs("heat-guard", 5).says("heat-guard").runs("heater-1", 30).says("heater-1");
  }
}
