import type { Settings } from "./schema.ts";
import type { OutputWiring } from "./wiring.ts";

export interface PlacedPart {
  readonly place: string;
  readonly wiring: { readonly board: string; readonly pin?: number | undefined };
}

/** Every part of the file with its path, the sensors behind contacts too. */
export function listPlacedParts({ inputs, outputs }: Settings): PlacedPart[] {
  const wired = (room: string, parts: Record<string, (PlacedPart["wiring"] & object) | undefined>): PlacedPart[] =>
    Object.entries(parts).flatMap(([part, wiring]) => (wiring ? [{ place: `${room}.${part}`, wiring }] : []));
  const sensors = Object.entries(outputs as Record<string, OutputWiring | undefined>).flatMap(([part, wiring]) =>
    wiring?.sensed ? [{ place: `outputs.${part}.sensed`, wiring: wiring.sensed }] : [],
  );
  return [...wired("inputs", inputs), ...wired("outputs", outputs), ...sensors];
}
