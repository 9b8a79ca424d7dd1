import type { Heat } from "./heat-balance.ts";
import { WATER_J_PER_L_K } from "./heat-balance.ts";
import { carryNitrogen, type Nitrogen } from "./nitrogen.ts";
import type { Water } from "./water.ts";

/** What water does to the tank when it comes or goes: its volume, its salt, its heat and its nitrogen move together. */
export interface Body {
  readonly water: Water;
  readonly heat: Heat;
  readonly nitrogen: Nitrogen;
}

/** What went along with water that went. */
export interface Load {
  readonly saltG: number;
  readonly joules: number;
  readonly nitrogenMg: number;
}

/** Into the last chamber, unless `intoDisplay`. Returns the joules that it brought. */
export function bringIn(body: Body, litres: number, saltG: number, celsius: number, intoDisplay: boolean): number {
  const broughtJ = litres * WATER_J_PER_L_K * celsius;
  body.water.volumeL += litres;
  body.water.saltG += saltG;
  if (intoDisplay) body.water.displayL += litres;
  body.heat.restJ += broughtJ;
  return broughtJ;
}

/** Tank water, with its salt. The caller says where it stood: the last chamber has what display and rear have not. */
export function carryOff(body: Body, litres: number): Load {
  const saltG = (body.water.saltG * litres) / body.water.volumeL;
  const nitrogenMg = carryNitrogen(body.nitrogen, litres / body.water.volumeL);
  const joules = litres * WATER_J_PER_L_K * body.heat.restC;
  body.water.volumeL -= litres;
  body.water.saltG -= saltG;
  body.heat.restJ -= joules;
  return { saltG, joules, nitrogenMg };
}
