import type {
  ConductivityWiring,
  ContactWiring,
  SettingsFile,
  ThermometerWiring,
} from "../../../shared/settings/index.ts";
import type { Draft } from "./draft.ts";

/** A settings file that is being changed: what nobody is asked about stays in it as it is. */
export interface Existing {
  readonly raw: SettingsFile;
}

/** As much of a sitting as is needed to look at the old file beside the new one. */
interface Beside {
  readonly draft: Draft;
  readonly existing: Existing | null;
}

type Board = NonNullable<SettingsFile["boards"]>[string];

/** A board keeps the name that the file has for it. */
const nameOf = ({ existing }: Beside, kind: Board["kind"], usual: string): string =>
  Object.entries(existing?.raw.boards ?? {}).find(([, board]) => board.kind === kind)?.[0] ?? usual;

export const boardName = (beside: Beside): string => nameOf(beside, "firmata", "io");
export const lineName = (beside: Beside): string => nameOf(beside, "modbus", "line");
export const busName = (beside: Beside): string => nameOf(beside, "one-wire", "bus");

type Probe = "thermometer-1" | "thermometer-2" | "room-thermometer" | "conductivity-probe" | "source-probe";

/** A probe as the file has wired it, in whatever way; null = it has none. */
export function partAsItIs({ draft, existing }: Beside, part: Probe): { keep(): void } | null {
  const wiring: ThermometerWiring | ConductivityWiring | object | undefined = existing?.raw.inputs?.[part];
  if (wiring === undefined) return null;
  return {
    keep() {
      draft.inputs[part] = wiring;
      const { board } = wiring as { board: string };
      draft.boards[board] = { ...existing?.raw.boards?.[board], ...draft.boards[board] };
    },
  };
}

/** A contact that stays on its pin keeps what watches its line. */
export function contactAsItIs(
  { existing }: Beside,
  part: keyof NonNullable<SettingsFile["inputs"]>,
  { board, pin }: Pick<ContactWiring, "board" | "pin">,
): object | null {
  const wiring = existing?.raw.inputs?.[part] as ContactWiring | undefined;
  return wiring?.supervised !== undefined && wiring.board === board && wiring.pin === pin ? wiring : null;
}

/** The old file with the answers laid over it. What was asked about and is not there any more goes. */
export function mergeWithExisting(draft: Draft, existing: Existing | null): Record<string, unknown> {
  if (existing === null) return withoutEmpty(draft);
  const old = structuredClone(existing.raw) as Record<string, Record<string, unknown> | undefined>;
  for (const key of ["inputs", "outputs", "boards", "independentGuard", "attendedMinutes"]) delete old[key];
  for (const key of ["fan", "largeReservoir", "reservoirL"]) delete old.topOff?.[key];
  delete old.heat?.secondHeater;
  for (const path of MEASURED) delete old[path[0]]?.[path[1]];
  const boards = mergeDeep(
    Object.fromEntries(Object.keys(draft.boards).map((name) => [name, existing.raw.boards?.[name] ?? {}])),
    draft.boards,
  );
  return withoutEmpty(mergeDeep(old, { ...draft, boards }));
}

/** What may be answered with `later`: then the old figure does not count any more. */
const MEASURED = [
  ["tank", "pumpOffLevelMm"],
  ["tank", "freeVolumePumpOffL"],
  ["tank", "freeVolumeWeirBlockedL"],
  ["topOff", "provenFlowLPerMin"],
  ["topOff", "evaporationLPerDay"],
] as const;

const isPlain = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function mergeDeep(base: unknown, over: unknown): Record<string, unknown> {
  if (!isPlain(base) || !isPlain(over)) return over as Record<string, unknown>;
  const keys = new Set([...Object.keys(base), ...Object.keys(over)]);
  return Object.fromEntries(
    [...keys].map((key) => [
      key,
      key in over ? (key in base ? mergeDeep(base[key], over[key]) : over[key]) : base[key],
    ]),
  );
}

const withoutEmpty = (file: object): Record<string, unknown> =>
  Object.fromEntries(Object.entries(file).filter(([, value]) => !isPlain(value) || Object.keys(value).length > 0));
