import type { Calculator } from "../calculator.ts";
import * as salinity from "./salinity.ts";
import { uncertainty } from "./uncertainty.ts";

/** Every calculator, in the order in which the help lists them. */
export const CALCULATORS: readonly Calculator[] = [...Object.values(salinity), uncertainty];
