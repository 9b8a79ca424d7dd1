import { CONTACT_PARTS, OUTPUT_PARTS } from "../../../shared/contract/parts.ts";
import type { Settings } from "../../../shared/settings/index.ts";
import { openPinsBeside } from "../../../shared/settings/open-pins.ts";
import { portOfPin } from "../../../shared/settings/wiring.ts";

const UNO_ANALOG = { first: 14, last: 19 } as const;

/** A pin as the settings name it, and as it stands beside the terminal of an Uno. */
export const pinWords = (pin: number): string =>
  pin >= UNO_ANALOG.first && pin <= UNO_ANALOG.last ? `pin ${pin} (A${pin - UNO_ANALOG.first})` : `pin ${pin}`;

/** Pins of an Uno with standard firmware that the controller reports its contacts by, so that nothing may hang there. */
export function openPins({ boards, inputs, outputs }: Settings, board: string): readonly number[] {
  const carrier = boards[board];
  if (carrier?.kind !== "firmata" || carrier.firmware !== "standard") return [];
  const isHere = (wiring: { readonly board: string }) => wiring.board === board;
  const contacts = CONTACT_PARTS.flatMap((part) => inputs[part] ?? []).filter(isHere);
  const switches = OUTPUT_PARTS.flatMap((part) => outputs[part] ?? []);
  const sensors = switches.flatMap(({ sensed }) => sensed ?? []).filter(isHere);
  const buttons = [inputs["tank-button"] ?? []].flat().filter(isHere);
  const plain = [...contacts.filter(({ supervised }) => supervised === undefined), ...sensors, ...buttons];
  const all = [...Object.values(inputs), ...switches, ...sensors].filter((wiring) => wiring !== undefined);
  const wired = new Set(all.flatMap((wiring) => ("pin" in wiring && isHere(wiring) ? [wiring.pin] : [])));
  const ports = new Map(plain.map(({ pin }) => [portOfPin(pin), pin]));
  return [...ports.values()].flatMap((pin) => openPinsBeside(pin, wired).slice(0, 1)).sort((a, b) => a - b);
}
