import { GUARD_OF, OUTPUT_PARTS, PART_WORDS } from "../contract/parts.ts";
import { GUARD_PINS, hasGuardFirmware, isGuardInput } from "./guard-firmware.ts";
import { openPinsBeside } from "./open-pins.ts";
import { listPlacedParts, type PlacedPart } from "./placed-parts.ts";
import type { Settings } from "./schema.ts";
import type { SettingsFault } from "./settings-fault.ts";
import { portOfPin } from "./wiring.ts";

/** What must hold of the pins of an input board. */
export const pinFaults = (settings: Settings): SettingsFault[] => [
  ...takenPinFaults(settings),
  ...sharedPortFaults(settings),
  ...openPinFaults(settings),
  ...analogPinFaults(settings),
  ...guardPinFaults(settings),
];

function takenPinFaults(settings: Settings): SettingsFault[] {
  const owners = new Map<string, string>();
  return listPlacedParts(settings).flatMap(({ place, wiring: { board, pin } }) => {
    if (pin === undefined) return [];
    const key = `${board} ${pin}`;
    const owner = owners.get(key);
    owners.set(key, place);
    return owner === undefined
      ? []
      : [{ path: `${place}.pin`, value: pin, expected: `a pin of its own: ${owner} has it` }];
  });
}

/** Where something pours, the float that stops a flood must not die with the one that asks for water. */
function sharedPortFaults({ inputs, outputs }: Settings): SettingsFault[] {
  const { "working-float": working, "high-float": high } = inputs;
  if (!outputs["top-off-pump"] || !working || !high || working.board !== high.board) return [];
  // On one pin they are refused already.
  if (working.pin === high.pin || portOfPin(working.pin) !== portOfPin(high.pin)) return [];
  const first = 8 * portOfPin(working.pin);
  const expected =
    `a pin outside of ${first} to ${first + 7}: the working float hangs on ${working.pin}, and a board reads these ` +
    "eight as one port, which takes both floats when it dies";
  return [{ path: "inputs.high-float.pin", value: high.pin, expected }];
}

/** Standard firmware samples a contact that stands still only where a pin beside it is open. */
function openPinFaults(settings: Settings): SettingsFault[] {
  const placed = listPlacedParts(settings);
  const isPlain = ({ place, wiring }: PlacedPart) =>
    place === "inputs.tank-button" || ("closedWhen" in wiring && !("supervised" in wiring));
  const told = new Set<string>();
  return placed.filter(isPlain).flatMap(({ place, wiring: { board, pin = 0 } }) => {
    const carrier = settings.boards[board];
    const port = `${board} ${portOfPin(pin)}`;
    if (carrier?.kind !== "firmata" || carrier.firmware !== "standard" || told.has(port)) return [];
    told.add(port);
    const wired = new Set(placed.flatMap((other) => (other.wiring.board === board ? (other.wiring.pin ?? []) : [])));
    if (openPinsBeside(pin, wired).length > 0) return [];
    const first = 8 * portOfPin(pin);
    const expected =
      `a pin of another eight, so that one of ${Math.max(2, first)} to ${first + 7} stays unconnected: standard ` +
      "firmware reports these contacts by it (the guard firmware needs none)";
    return [{ path: `${place}.pin`, value: pin, expected }];
  });
}

/** A0 of an Uno and of a Mega; a board with no wire beyond the pins of an Uno is taken for one. */
const ANALOG_PINS = { uno: [14, 19], mega: [54, 69] } as const;
const LAST_PIN_OF_UNO = 19;

/** A pin that only knows high and low measures no voltage: a thermistor or a watched line would read nonsense there. */
function analogPinFaults(settings: Settings): SettingsFault[] {
  const placed = listPlacedParts(settings);
  return placed.filter(isMeasured).flatMap(({ place, wiring: { board, pin = 0 } }) => {
    const pins = placed.flatMap(({ wiring }) => (wiring.board === board ? (wiring.pin ?? []) : []));
    const isUno = hasGuardFirmware(settings, board) || Math.max(...pins) <= LAST_PIN_OF_UNO;
    const [first, last] = isUno ? ANALOG_PINS.uno : ANALOG_PINS.mega;
    if (pin >= first && pin <= last) return [];
    const expected =
      `an analog pin, ${first} to ${last} (A0 to A${last - first}): a voltage is measured here, and pin ${pin} only ` +
      "knows high and low";
    return [{ path: `${place}.pin`, value: pin, expected }];
  });
}

const isMeasured = ({ wiring }: PlacedPart): boolean =>
  "thermistor" in wiring || ("supervised" in wiring && wiring.supervised !== undefined);

/** The guard firmware is built for its pins: a relay elsewhere would never move, and an input on one of them is driven. */
function guardPinFaults(settings: Settings): SettingsFault[] {
  const { outputs } = settings;
  const switches = OUTPUT_PARTS.flatMap((part) => {
    const wiring = outputs[part];
    if (wiring === undefined || !hasGuardFirmware(settings, wiring.board)) return [];
    const faults: SettingsFault[] = [];
    if (wiring.pin !== GUARD_PINS[part]) {
      const expected = `${GUARD_PINS[part]}: the guard firmware has the ${PART_WORDS[part]} there`;
      faults.push({ path: `outputs.${part}.pin`, value: wiring.pin, expected });
    }
    if (wiring.energisedLevel === "low" && (Object.values(GUARD_OF) as string[]).includes(part)) {
      const expected = `"high": the guard firmware closes the ${PART_WORDS[part]} by a pulse, and its pin rests low`;
      faults.push({ path: `outputs.${part}.energisedLevel`, value: "low", expected });
    }
    return faults;
  });
  const inputs = listPlacedParts(settings).flatMap(({ place, wiring: { board, pin } }) => {
    const isOutput = /^outputs\.[^.]+$/.test(place);
    if (pin === undefined || isOutput || !hasGuardFirmware(settings, board)) return [];
    if (isGuardInput(pin, outputs["heater-2"] !== undefined)) return [];
    const expected = "2 to 7, 12 (where there is no second heater) or 14 to 19: the guard firmware drives the others";
    return [{ path: `${place}.pin`, value: pin, expected }];
  });
  return [...switches, ...inputs];
}
