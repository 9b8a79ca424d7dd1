import { type Corrections, UNCALIBRATED_K, UNCORRECTED } from "../../signals/corrected.ts";
import { NO_VALUES, type Values } from "./memory.ts";

const made = new WeakMap<Values, Corrections>();

/** Calibrations as the corrections that signals apply. `before`: those of the last scan. */
export function correctionsOf(values: Values, before: Values | null): Corrections {
  const corrections = known(values);
  return before === null || before === values || isSame(known(before), corrections)
    ? corrections
    : { ...corrections, changed: true };
}

function known(values: Values): Corrections {
  if (values === NO_VALUES) return UNCORRECTED;
  const found = made.get(values);
  if (found !== undefined) return found;
  const { conductivity } = values;
  const [first, second] = [values["thermometer-1"], values["thermometer-2"]];
  const corrections: Corrections = {
    firstK: first?.value ?? 0,
    secondK: second?.value ?? 0,
    firstDoubtK: first?.doubt ?? UNCALIBRATED_K,
    secondDoubtK: second?.doubt ?? UNCALIBRATED_K,
    cellFactor: conductivity?.value ?? 1,
    changed: false,
  };
  made.set(values, corrections);
  return corrections;
}

const isSame = (one: Corrections, other: Corrections): boolean =>
  one.firstK === other.firstK && one.secondK === other.secondK && one.cellFactor === other.cellFactor;
