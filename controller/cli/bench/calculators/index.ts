import type { Calculator } from "../calculator.ts";
import { convert } from "./convert.ts";
import * as nitrogen from "./nitrogen.ts";
import * as salinity from "./salinity.ts";
import * as salt from "./salt.ts";
import * as sensors from "./sensors.ts";
import * as tank from "./tank.ts";
import { uncertainty } from "./uncertainty.ts";
import * as water from "./water.ts";

/** Every calculator, in the order in which the help lists them. */
export const CALCULATORS: readonly Calculator[] = [
  ...Object.values(salinity),
  uncertainty,
  ...Object.values(salt),
  ...Object.values(nitrogen),
  ...Object.values(water),
  ...Object.values(tank),
  ...Object.values(sensors),
  convert,
];
