import type { Chance } from "../chance.ts";
import type { Drawn } from "../rooms.ts";
import type { RawFault } from "./shapes.ts";

/**
 * A keeper who fills up in time, is at home on most evenings and reads what is locked, measures once a week, and has hands
 * in the tank now and then.
 */
export function handsOf(chance: Chance, box: Drawn, faults: readonly RawFault[], hours: number): object[] {
  const hands: object[] = [...refills(chance, box, hours), ...evenings(chance), ...holds(chance)];
  hands.push({ do: "hand-test", atH: chance.between(18, hours - 6) });
  const colder = faults.find(({ kind }) => kind === "cold-water-change");
  if (colder !== undefined) hands.push(waterChange(chance, box, Math.min(hours - 1, colder.atH + 1)));
  if (chance.of(0.5)) hands.push(waterChange(chance, box, chance.between(6, hours - 8)));
  return hands;
}

/** Before it can be empty. */
export function refills(chance: Chance, { reservoirL, mostLPerDay }: Drawn, hours: number): object[] {
  const hands: object[] = [];
  let atH = 0;
  while (true) {
    atH = round(atH + chance.between(0.4, 0.75) * (reservoirL / mostLPerDay) * 24);
    if (atH >= hours) return hands;
    hands.push({ do: "refill", atH, told: !chance.of(0.1) });
  }
}

function evenings(chance: Chance): object[] {
  return [0, 1, 2, 3, 4, 5, 6].flatMap((day) => {
    const atH = round(day * 24 + chance.between(18, 22));
    if (chance.of(0.12)) return [];
    return [
      { do: "acknowledge", atH },
      { do: "clear", atH },
      { do: "end-hold", atH },
    ];
  });
}

function holds(chance: Chance): object[] {
  const hands: object[] = [];
  for (let left = Math.floor(chance.between(0, 4)); left > 0; left--) {
    const atH = chance.between(1, 160);
    const minutes = Math.round(chance.between(5, 90));
    hands.push({ do: "hold", atH, minutes, told: !chance.of(0.1) });
    if (chance.of(0.8)) hands.push({ do: "end-hold", atH: round(atH + minutes / 60), answer: "evaporation" });
  }
  return hands;
}

/** A twentieth to a sixth of the water, mixed as well as a keeper mixes. */
export const waterChange = (
  chance: Chance,
  { start, volumeL }: Drawn,
  atH: number,
  told = !chance.of(0.1),
  mixedWithin = 0.5,
): object => ({
  do: "water-change",
  atH,
  litres: round(volumeL * chance.between(0.04, 0.17)),
  salinity: round(start.salinity + chance.between(-mixedWithin, mixedWithin)),
  told,
});

const round = (value: number): number => Math.round(value * 1000) / 1000;
