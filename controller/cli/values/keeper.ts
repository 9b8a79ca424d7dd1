import type { Quantity } from "../../../shared/units/index.ts";
import { formatLength, formatTemperature, formatVolume, type KeeperUnits } from "../../../shared/units/index.ts";
import { type Kind, readQuantity } from "./kind.ts";
import { flow, length, plain, temperature, volume } from "./kinds.ts";

/** A kind of quantity as one keeper speaks of it: what a bare number means, and how bounds are told. */
export interface SpokenKind<Q extends number> {
  readonly kind: Kind<Q>;
  /** The unit of a number that has none; empty where there is no unit. */
  readonly bare: string;
  format(value: number): string;
}

export type Spoken = ReturnType<typeof speakIn>;

/** Every kind that a keeper is asked for, in the units that they chose; an answer may carry any other. */
export function speakIn(units: KeeperUnits) {
  const gallons = units.volume;
  return {
    units,
    temperature: {
      kind: temperature,
      bare: units.temperature,
      format: (valueC: number) => formatTemperature(valueC, units),
    },
    volume: { kind: withGallons(volume, gallons), bare: units.volume, format: (l: number) => formatVolume(l, units) },
    length: { kind: length, bare: units.length, format: (mm: number) => formatLength(mm, units) },
    litresPerDay: {
      kind: withGallons(flow, gallons),
      bare: `${gallons}/d`,
      format: (perHour: number) => `${formatVolume(perHour * 24, units)} a day`,
    },
    power: { kind: power, bare: "W", format: (watts: number) => `${watts} W` },
    seconds: { kind: seconds, bare: "s", format: (value: number) => `${value} s` },
    plain: { kind: plain, bare: "", format: (value: number) => `${value}` },
  };
}

const power: Kind<Quantity<"W">> = {
  what: "power",
  example: "150W",
  units: { w: (value) => value as Quantity<"W">, kw: (value) => (value * 1000) as Quantity<"W"> },
  unclear: { "l/h": "that is how much a pump moves; its watts stand on the same label." },
};

const seconds: Kind<Quantity<"s">> = {
  what: "time",
  example: "10s",
  units: { s: (value) => value as Quantity<"s">, min: (value) => (value * 60) as Quantity<"s"> },
};

/** Whoever has chosen a gallon means that one. */
function withGallons<Q extends number>(kind: Kind<Q>, unit: KeeperUnits["volume"]): Kind<Q> {
  if (unit === "L") return kind;
  const own = unit === "US gal" ? "usgal" : "ukgal";
  const { [own]: ofVolume, [`${own}/d`]: ofFlow } = kind.units;
  const gal = { ...(ofVolume && { gal: ofVolume, gallons: ofVolume }), ...(ofFlow && { "gal/d": ofFlow }) };
  return { ...kind, units: { ...kind.units, ...gal } };
}

/** A quantity with or without its unit; 1,5 is one and a half, and 1,500 may be either. */
export function readSpoken<Q extends number>(
  { kind, bare }: SpokenKind<Q>,
  text: string,
): { readonly value: Q; readonly keeps: string } | { readonly refused: string } {
  const [, sign = "", digits, unit = ""] = text.trim().match(/^([-−+]?)\s*(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*)$/) ?? [];
  if (digits === undefined) return { refused: "" };
  if (/,\d{3}$/.test(digits)) return { refused: `write ${digits.replace(",", "")} or ${digits.replace(",", ".")}` };
  const keeps = `${sign === "−" ? "-" : sign}${digits.replace(",", ".")} ${unit === "" ? bare : unit}`.trim();
  const read = readQuantity(kind, keeps);
  return "value" in read ? { value: read.value, keeps } : { refused: read.refused };
}
