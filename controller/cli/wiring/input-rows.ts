import {
  CONDUCTIVITY_PARTS,
  CONTACT_PARTS,
  type ContactPart,
  PART_WORDS,
  THERMOMETER_PARTS,
  type ThermometerPart,
} from "../../../shared/contract/parts.ts";
import type {
  Compensation,
  ConductivityWiring,
  ContactWiring,
  Register,
  Settings,
  ThermometerWiring,
} from "../../../shared/settings/index.ts";
import { CONTACT_FACTS } from "./contacts.ts";
import { pinWords } from "./pins.ts";
import type { Row } from "./row.ts";

/** A row for each input that the settings name. */
export function inputRows(settings: Settings): Row[] {
  const { inputs } = settings;
  return [
    ...CONTACT_PARTS.flatMap((part) => (inputs[part] ? [contactRow(part, inputs[part])] : [])),
    ...(inputs["tank-button"] ? [buttonRow(inputs["tank-button"])] : []),
    ...THERMOMETER_PARTS.flatMap((part) => (inputs[part] ? [thermometerRow(part, inputs[part], settings)] : [])),
    ...CONDUCTIVITY_PARTS.flatMap((part) => (inputs[part] ? [conductivityRow(part, inputs[part])] : [])),
  ];
}

function contactRow(part: ContactPart, wiring: ContactWiring): Row {
  const facts = CONTACT_FACTS[part];
  const closed = wiring.closedWhen;
  const open = closed === "on" ? "off" : "on";
  const reads = (position: "on" | "off") => `${facts[position]} (${facts.means[position]})`;
  const known = `known, counts as ${facts[facts.safe]} (${facts.means[facts.safe]})`;
  const { supervised } = wiring;
  return {
    key: part,
    words: PART_WORDS[part],
    board: wiring.board,
    terminal: pinWords(wiring.pin),
    drawing: closed === "off" ? "closed-contact" : "open-contact",
    wiring: supervised
      ? `closed when ${facts.when[closed]}; ${kiloohms(supervised.pullUpOhms)} to the supply, at the far end ` +
        `${kiloohms(supervised.closedOhms)} in series and ${kiloohms(supervised.openOhms - supervised.closedOhms)} across`
      : `closed when ${facts.when[closed]}; to ground, pull-up in the board`,
    broken: supervised ? known : reads(open),
    shorted: supervised ? known : reads(closed),
    safe: facts[facts.safe],
    seen: facts.seen,
  };
}

const buttonRow = ({ board, pin }: { readonly board: string; readonly pin: number }): Row => ({
  key: "tank-button",
  words: "button at the tank",
  board,
  terminal: pinWords(pin),
  drawing: "open-contact",
  wiring: "closed while it is pressed; to ground, pull-up in the board",
  broken: "never pressed",
  shorted: "pressed for ever, which asks for nothing",
  safe: "not pressed",
  seen: "press it for a moment: a hold begins",
});

const kiloohms = (ohms: number): string => `${Number((ohms / 1000).toPrecision(3))}\u00a0kΩ`;

function thermometerRow(part: ThermometerPart, wiring: ThermometerWiring, settings: Settings): Row {
  const { inputs, heat } = settings;
  const others = (["thermometer-1", "thermometer-2", "conductivity-probe"] as const).filter(
    (other) => other !== part && inputs[other] !== undefined,
  );
  const lost =
    part === "room-thermometer"
      ? `the room counts as ${heat.roomC} °C`
      : others.length > 0
        ? "bad: the others decide"
        : "bad: heater off, alarm";
  return {
    key: part,
    words: PART_WORDS[part],
    board: wiring.board,
    terminal: sourceWords(wiring),
    drawing: "probe",
    wiring: thermometerWiringWords(wiring),
    broken: `${"pin" in wiring ? "open circuit" : "no answer"}; ${lost}`,
    shorted: `${shortedWords(wiring)}; ${lost}`,
    safe: part === "room-thermometer" ? "nothing hangs on it" : "no temperature: heater off",
    seen: "warm it by hand: it rises",
  };
}

function sourceWords(wiring: ThermometerWiring): string {
  if ("slave" in wiring) return `slave ${wiring.slave}`;
  if ("device" in wiring) return wiring.device;
  return "pin" in wiring ? pinWords(wiring.pin) : `group ${wiring.text.group}`;
}

function thermometerWiringWords(wiring: ThermometerWiring): string {
  if ("slave" in wiring) return `A, B, ground; ${registerWords(wiring.temperatureC)}`;
  if ("device" in wiring) return "data with 4.7 kΩ to 3.3 V, supply, ground";
  if ("pin" in wiring) {
    const { seriesOhms, ohmsAt25C } = wiring.thermistor;
    return `NTC ${kiloohms(ohmsAt25C)} to ground, ${kiloohms(seriesOhms)} to the supply`;
  }
  return `its text in ${wiring.text.unit}`;
}

function shortedWords(wiring: ThermometerWiring): string {
  if ("device" in wiring) return "all zeros or no answer";
  return "pin" in wiring ? "short circuit" : "no answer";
}

const registerWords = ({ table, address, type, scale }: Register): string =>
  `${table} register ${address}, ${type}${scale === 1 ? "" : ` × ${scale}`}`;

function conductivityRow(part: (typeof CONDUCTIVITY_PARTS)[number], wiring: ConductivityWiring): Row {
  const isSource = part === "source-probe";
  const lost = isSource ? "nothing hangs on it" : "salinity unknown: alarm, smaller budget";
  return {
    key: part,
    words: isSource ? "source probe" : PART_WORDS[part],
    board: wiring.board,
    terminal: "text" in wiring ? `group ${wiring.text.group}` : `slave ${wiring.slave}`,
    drawing: "probe",
    wiring:
      ("text" in wiring
        ? `isolated; its text in ${wiring.text.unit}`
        : `isolated; ${registerWords(wiring.conductivityMsPerCm)}`) + compensationWords(wiring.compensation),
    broken: `no answer; ${lost}`,
    shorted: `no answer; ${lost}`,
    safe: isSource ? "unknown" : "unknown: poured by floats and litres alone",
    seen: isSource ? "tap water: it rises" : "lift it out: it falls to 0",
  };
}

const compensationWords = (compensation: Compensation): string =>
  compensation === "none"
    ? "; not compensated"
    : `; compensated ${compensation.percentPerK} %/K to ${compensation.referenceC}\u00a0°C, undone`;
