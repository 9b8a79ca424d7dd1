import type { Random } from "../../controller/rehearsal/plant/random.ts";

/** Chance in the shapes that a week is made of. Figures have three decimals, so that a scenario can be read. */
export interface Chance {
  between(least: number, most: number): number;
  /** Every power of ten between the two is as likely: for what may be small or very large. */
  spread(least: number, most: number): number;
  /** As likely below zero. */
  eitherSide(least: number, most: number): number;
  of(probability: number): boolean;
  one<Of>(list: readonly Of[]): Of;
}

export function chanceFrom(random: Random): Chance {
  const between = (least: number, most: number) => round(least + (most - least) * random.uniform());
  const spread = (least: number, most: number) => round(least * (most / least) ** random.uniform());
  return {
    between,
    spread,
    eitherSide: (least, most) => (random.uniform() < 0.5 ? -1 : 1) * spread(least, most),
    of: (probability) => random.uniform() < probability,
    one: <Of>(list: readonly Of[]) => list[Math.floor(random.uniform() * list.length)] as Of,
  };
}

const round = (value: number): number => Math.round(value * 1000) / 1000;
